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

// Cut and fill by hand: between 16 and 4 m2, 30 m apart, the conic method has 10 (16 + 4 +
// 8); the prismoidal one takes three sections at a time, 20/6 (10 + 4 x 7 + 3) and so on.
func TestSectionsByHand(t *testing.T) {
	for name, c := range map[string]struct {
		spec SectionsSpec
		want []SectionInterval
	}{
		"conic": {SectionsSpec{Method: volume.MethodConic, Sections: []Section{{5, 16, 1}, {35, 4, 9}, {38, 0, 4}}},
			[]SectionInterval{{5, 35, 280, 130, 0.8*280 - 130}, {35, 38, 4, 19, 0.8*284 - 149}}},
		"prismoidal": {SectionsSpec{Method: volume.MethodPrismoidal, Sections: []Section{{0, 10, 0}, {10, 7, 1}, {20, 3, 3}, {23, 2, 5}, {26, 1, 6}}},
			[]SectionInterval{{0, 20, 20.0 / 6 * 41, 20.0 / 6 * 7, 0.8*20/6*41 - 20.0/6*7}, {20, 26, 12, 29, 0.8*(20.0/6*41+12) - 20.0/6*7 - 29}}},
	} {
		c.spec.Soil = &SoilSpec{Shrink: new(0.2)}
		got, err := Sections(c.spec)
		require.NoError(t, err)
		require.Len(t, got.Intervals, len(c.want), name)
		var cut, fill float64
		for i, want := range c.want {
			v := got.Intervals[i]
			require.Equal(t, []units.Length{want.From, want.To}, []units.Length{v.From, v.To}, name)
			require.InDeltaSlice(t, []float64{want.Cut.SI(), want.Fill.SI(), want.Ordinate.SI()}, []float64{v.Cut.SI(), v.Fill.SI(), v.Ordinate.SI()}, 1e-9, name)
			cut, fill = cut+want.Cut.SI(), fill+want.Fill.SI()
		}
		require.InDeltaSlice(t, []float64{cut, fill}, []float64{got.Cut.SI(), got.Fill.SI()}, 1e-9, name)
		c.spec.Soil = nil
		got, err = Sections(c.spec)
		require.NoError(t, err)
		require.Zero(t, got.Intervals[0].Ordinate)
	}
	two := []Section{{0, 1, 1}, {1, 1, 1}}
	_, err := Sections(SectionsSpec{Method: volume.MethodEndArea, Sections: two})
	require.NoError(t, err)
	_, err = Sections(SectionsSpec{Method: volume.MethodEndArea, Sections: two[:1]})
	plantest.RequireFields(t, err, "sections")
	_, err = Sections(SectionsSpec{Method: volume.MethodPrismoidal, Sections: two})
	plantest.RequireFields(t, err, "sections")
}
