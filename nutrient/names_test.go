package nutrient

import (
	"encoding"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// readsBack holds that every value with a name reads back from its text, and
// that one without, as the zero value of most enumerations, is refused.
func readsBack[E interface {
	~int
	encoding.TextMarshaler
}, P interface {
	*E
	encoding.TextUnmarshaler
}](t *testing.T, names units.Names) {
	t.Helper()
	for i := range len(names) + 1 {
		text, err := E(i).MarshalText()
		if !names.Has(i) {
			require.Error(t, err)
			continue
		}
		require.NoError(t, err)
		var back E
		require.NoError(t, P(&back).UnmarshalText(text))
		require.Equal(t, E(i), back)
	}
	var e E
	require.Error(t, P(&e).UnmarshalText([]byte("no such name")))
}

func TestEnumerationsReadBack(t *testing.T) {
	readsBack[ReportBasis](t, reportBasisNames)
	readsBack[Form](t, formNames)
	readsBack[Element](t, elementNames)
	readsBack[Pool](t, poolNames)
	readsBack[Basis](t, basisNames)
	readsBack[PBasis](t, pBasisNames)
	readsBack[NColumn](t, nColumnNames)
}
