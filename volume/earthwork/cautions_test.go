package earthwork_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/volume/earthwork"
)

// Whatever is dug carries the cautions of a trench: marks before digging, the way out, the
// cave-in, an engineer below 20 ft (29 CFR 1926.651 and 1926.652).
func TestDiggingCautions(t *testing.T) {
	soil := earthwork.SoilSpec{Swell: new(0.2), Shrink: new(0.1)}
	for name, of := range map[string]func() ([]string, error){
		"plug": func() ([]string, error) {
			r, err := earthwork.Plug(earthwork.PlugSpec{Inside: ft, PlugLength: ft, Plugs: 1})
			return r.Cautions, err
		},
		"pipe": func() ([]string, error) {
			r, err := earthwork.Pipe(earthwork.PipeSpec{Inside: ft, Length: ft})
			return r.Cautions, err
		},
		"drain": func() ([]string, error) {
			r, err := earthwork.Drain(earthwork.DrainSpec{Kind: earthwork.DrainKindHoles, Area: 1000, Size: 1, Spacing: 8, Depth: 21 * ft})
			return r.Cautions, err
		},
		"borrow": func() ([]string, error) {
			r, err := earthwork.Borrow(earthwork.BorrowSpec{Volume: 1e5, State: earthwork.StateBank, Depth: 21 * ft, Soil: soil})
			return r.Cautions, err
		},
		"account": func() ([]string, error) {
			r, err := earthwork.Account(earthwork.AccountSpec{Soils: []earthwork.AccountSoil{{Name: "a", Soil: soil}}})
			return r.Cautions, err
		},
		"trench": func() ([]string, error) {
			r, err := earthwork.Trench(earthwork.TrenchSpec{Points: []earthwork.TrenchPoint{{0, 3}, {9, 21 * ft}}, BottomWidth: 1, Method: 3, Soil: soil})
			return r.Cautions, err
		},
	} {
		list, err := of()
		require.NoError(t, err, name)
		text := fmt.Sprint(list)
		for _, word := range []string{"1926.651(b)", "ladder or ramp", "1926.652", "Deeper than 20 ft"} {
			require.Contains(t, text, word, name)
		}
	}
	shallow, err := earthwork.Plug(earthwork.PlugSpec{Inside: ft, PlugLength: ft, Plugs: 1, Cover: 3 * ft})
	require.NoError(t, err)
	require.NotContains(t, fmt.Sprint(shallow.Cautions), "Deeper than 20 ft")
}
