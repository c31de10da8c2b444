package volume

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestStageStorage(t *testing.T) {
	b := formBasin(t)
	table, err := StageStorage(StageStorageSpec{Basin: b, Step: ft})
	require.NoError(t, err)
	require.Len(t, table, 12) // 0 to 10 ft and the top at 10.1 ft
	require.Zero(t, table[0].Volume)
	require.Equal(t, Capacity(b), table[11].Volume)
	for i, r := range table[:11] {
		require.InDelta(t, float64(i), r.Height.In(ft), 1e-12)
		require.Equal(t, b.VolumeAt(r.Height), r.Volume)
		require.Equal(t, b.AreaAt(r.Height), r.Area)
	}
	// A step that divides the depth up to rounding gives no sliver of a row.
	table, err = StageStorage(StageStorageSpec{Basin: b, Step: b.Depth() / 7 * (1 - 1e-12)})
	require.NoError(t, err)
	require.Len(t, table, 8)
	table, err = StageStorage(StageStorageSpec{Basin: b, Step: 100})
	require.NoError(t, err)
	require.Len(t, table, 2)
	for _, step := range []units.Length{0, -1, units.Length(math.NaN()), units.Length(math.Inf(1)), 1e-9} {
		_, err = StageStorage(StageStorageSpec{Basin: b, Step: step})
		plantest.RequireFields(t, err, "step")
	}
	_, err = StageStorage(StageStorageSpec{Basin: broken{0, 1, 1}, Step: 1})
	plantest.RequireFields(t, err, "basin")
	_, err = StageStorage(StageStorageSpec{Basin: empty{}, Step: 1})
	plantest.RequireFields(t, err, "basin")
	_, err = StageStorage(StageStorageSpec{Basin: broken{math.NaN(), 1, 1}, Step: 1})
	plantest.RequireFields(t, err, "basin")
}

// empty is a basin that holds nothing.
type empty struct{ broken }

func (empty) Depth() units.Length                { return 1 }
func (empty) VolumeAt(units.Length) units.Volume { return 0 }

// A curve has the rows of its table, in the units asked for.
func TestStageSeries(t *testing.T) {
	table, err := StageStorage(StageStorageSpec{Basin: formBasin(t), Step: 2 * ft})
	require.NoError(t, err)
	s := table.Series(ft, 1000*units.Gallon)
	require.Equal(t, len(table), s.Len())
	for i, r := range table {
		x, y := s.XY(i)
		require.Equal(t, r.Height.In(ft), x)
		require.Equal(t, r.Volume.In(1000*units.Gallon), y)
	}
	require.Zero(t, StageTable(nil).Series(ft, units.Gallon).Len())
}
