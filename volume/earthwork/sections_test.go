package earthwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestSectionsAgreeWithTheTrench(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 1))
	for range 100 {
		trench := TrenchSpec{BottomWidth: units.Length(plantest.Between(r, 0, 3)), SideSlopes: [2]float64{plantest.Between(r, 0, 2), plantest.Between(r, 0, 2)}, Soil: anySoil()}
		var ends, threes SectionsSpec
		station, depth := 0.0, plantest.Between(r, 0, 4)
		section := func(x, h float64) Section {
			sec := BermSection{units.Length(h), trench.BottomWidth, trench.SideSlopes[0], trench.SideSlopes[1]}
			area, err := sec.Area()
			require.NoError(t, err)
			return Section{Station: units.Length(x), Cut: area}
		}
		for i := range 2 + r.IntN(5) {
			dx, next := plantest.Between(r, 1, 50), plantest.Between(r, 0, 4)
			if i > 0 {
				threes.Sections = append(threes.Sections, section(station+dx/2, (depth+next)/2))
				station, depth = station+dx, next
			}
			trench.Points = append(trench.Points, TrenchPoint{units.Length(station), units.Length(depth)})
			ends.Sections = append(ends.Sections, section(station, depth))
			threes.Sections = append(threes.Sections, section(station, depth))
		}
		for m, spec := range map[volume.Method]SectionsSpec{volume.MethodEndArea: ends, volume.MethodConic: ends, volume.MethodPrismoidal: threes} {
			trench.Method, spec.Method = m, m
			want, err := Trench(trench)
			require.NoError(t, err)
			got, err := Sections(spec)
			require.NoError(t, err)
			require.InEpsilon(t, want.Excavation.SI(), got.Cut.SI(), 1e-9)
			require.Zero(t, got.Fill)
		}
	}
}

func TestSectionsMassDiagram(t *testing.T) {
	got, err := Sections(SectionsSpec{
		Sections: []Section{{0, 10, 0}, {10, 10, 0}, {20, 0, 9}, {30, 0, 9}},
		Method:   volume.MethodEndArea, Soil: &SoilSpec{Shrink: new(0.1)},
	})
	require.NoError(t, err)
	var ordinates []float64
	for _, v := range got.Intervals {
		ordinates = append(ordinates, v.Ordinate.SI())
	}
	require.InDeltaSlice(t, []float64{90, 90, 0}, ordinates, 1e-9)
	require.InDelta(t, 150, got.Cut.SI(), 1e-9)
	require.InDelta(t, 135, got.Fill.SI(), 1e-9)
}

func TestSectionsFaults(t *testing.T) {
	_, err := Sections(SectionsSpec{Method: volume.MethodMidArea, Sections: []Section{{0, -1, 0}, {0, 0, units.Area(math.NaN())}}, Soil: &SoilSpec{Class: SoilClassDenseClay}})
	for _, want := range []string{"sections[0].cut", "sections[1].fill", "sections[1].station", "method", "soil.shrink"} {
		require.ErrorContains(t, err, want)
	}
	_, err = Sections(SectionsSpec{Method: volume.MethodPrismoidal, Sections: []Section{{0, 1, 0}, {1, 1, 0}, {2, 1, 0}, {3, 1, 0}}})
	require.ErrorContains(t, err, "odd number")
	_, err = Sections(SectionsSpec{Method: volume.MethodPrismoidal, Sections: []Section{{0, 1, 0}, {1, 1, 0}, {3, 1, 0}}})
	require.ErrorContains(t, err, "sections[1].station")
	_, err = Sections(SectionsSpec{})
	require.ErrorContains(t, err, "sections: got 0")
	_, err = BermSection{Height: -1}.Area()
	plantest.RequireFields(t, err, "height")
}
