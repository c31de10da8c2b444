package allocation

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// twoSeasons is 600,000 gal at 10 lb of N on 20 acres that may take 180 lb of it in a
// year: 360,000 gal.
func twoSeasons() AllocateSpec {
	return AllocateSpec{
		Seasons: []string{"spring 2026", "summer 2026"},
		Materials: []Material{{Name: "slurry", Stock: nutrient.LiquidAmount(600_000 * units.Gallon), Holds: []Holding{{Of: "N", Content: lb1000(10)}},
			Spread: nutrient.LiquidPrice(units.PricePer(10, 1000*units.Gallon)), HaulPerMile: nutrient.LiquidPrice(0)}},
		Fields: []Field{{Name: "only", Area: 20 * units.Acre, Limits: []Limit{
			{Kind: nutrient.LimitNitrogen, Of: "N", Room: 180 * units.PoundPerAcre, Season: "spring 2026"},
			{Kind: nutrient.LimitNitrogen, Of: "N", Room: 180 * units.PoundPerAcre, Season: "summer 2026"},
		}}},
	}
}

// A season is no year: the N of a crop year counts once, however many seasons lie in it.
func TestTheYearsNitrogenCountsOnce(t *testing.T) {
	s := twoSeasons()
	r, err := allocate(s)
	require.NoError(t, err)
	require.Zero(t, r.Materials[0].Left.SI(), "each season its own 180 lb/acre")

	s.Years = []string{"2026", "2026"}
	s.Fields[0].Limits = []Limit{{Kind: nutrient.LimitNitrogen, Of: "N", Room: 180 * units.PoundPerAcre, Season: "2026"}}
	r, err = allocate(s)
	require.NoError(t, err)
	left, _ := r.Materials[0].Left.Volume()
	require.InDelta(t, 240_000, left.In(units.Gallon), 1e-3)
	require.InDelta(t, 180, r.Fields[0].Limits[0].Applied.In(units.PoundPerAcre), 1e-6)

	// A season of the next year takes the rest, less what the first year leaves to it:
	// of 10 lb another 2 the year after, 360 x 2/20 = 36 lb/acre of its 180.
	s.Seasons, s.Years = append(s.Seasons, "spring 2027"), append(s.Years, "2027")
	s.Materials[0].Holds[0].Later = []nutrient.Content{lb1000(2)}
	s.Fields[0].Limits = append(s.Fields[0].Limits, Limit{Kind: nutrient.LimitNitrogen, Of: "N", Room: 180 * units.PoundPerAcre, Season: "2027"})
	r, err = allocate(s)
	require.NoError(t, err)
	left, _ = r.Materials[0].Left.Volume()
	require.InDelta(t, 0, left.In(units.Gallon), 1e-3)
	applied := []float64{}
	for _, l := range r.Fields[0].Limits {
		applied = append(applied, l.Applied.In(units.PoundPerAcre))
		require.LessOrEqual(t, l.Applied, l.Room*(1+1e-9))
	}
	require.InDelta(t, 300, applied[0]+applied[1]-applied[0]/5, 1e-6, "600,000 gal x 10 lb over 20 acres, and a fifth of the first year's again")
}

func TestYearFaults(t *testing.T) {
	s := twoSeasons()
	for _, c := range []struct {
		years []string
		field string
	}{
		{[]string{"2026"}, "years"}, {[]string{"", "2026"}, "years[0]"}, {[]string{"spring 2026", "2026"}, "years[0]"},
	} {
		s.Years = c.years
		_, err := allocate(s)
		require.Equal(t, c.field, units.FieldErrors(err)[0].Field)
	}
	s.Seasons, s.Years = append(s.Seasons, "autumn"), []string{"2026", "2027", "2026"}
	_, err := allocate(s)
	require.Equal(t, "years[2]", units.FieldErrors(err)[0].Field)
}

// Contents of every placement: a material that holds more available N where it is
// injected than where it is not, told for every field and season.
func TestContentsOfEveryPlacement(t *testing.T) {
	s := twoSeasons()
	s.Exceptions = []Exception{{Material: "slurry", Field: "only", Season: "summer 2026", Holds: []Holding{{Of: "N", Content: lb1000(5)}}}}
	s.Materials[0].Stock = nutrient.LiquidAmount(2_000_000 * units.Gallon)
	r, err := allocate(s)
	require.NoError(t, err)
	for _, p := range r.Placements {
		rate, _ := p.Rate.VolumePerArea()
		require.InDelta(t, map[string]float64{"spring 2026": 18_000, "summer 2026": 36_000}[p.Season], rate.In(units.GallonPerAcre), 1e-6)
	}
}

// Contents for each of 1,800 placements of 600 fields.
func BenchmarkContentsOfEveryPlacement(b *testing.B) {
	s := farm(rand.New(rand.NewPCG(1, 1)), 3, 600, 1)
	for k := range s.Fields {
		for i := range s.Materials {
			n := nutrient.LiquidContent(units.Concentration(2+k%7) * units.PoundPer1000Gallon)
			s.Exceptions = append(s.Exceptions, Exception{Material: s.Materials[i].Name, Field: fmt.Sprintf("field %d", k), Season: s.Seasons[0], Holds: []Holding{{Of: "N", Content: n}}})
		}
	}
	for b.Loop() {
		if _, err := allocate(s); err != nil {
			b.Fatal(err)
		}
	}
}

// What an application brings in each period, in the words of the periods: its own season,
// the other seasons of its year, later ones, whole years, and all of them together.
func TestBringsInWords(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		p := periods{years: 1 + r.IntN(4)}
		for y := range p.years {
			for range 1 + r.IntN(3) {
				p.year = append(p.year, y)
			}
		}
		l := make(lags, 1+r.IntN(5))
		for i := range l {
			l[i] = 1 + r.Float64()
		}
		after := func(years int) float64 {
			if years < 0 || years >= len(l) {
				return 0
			}
			return l[years]
		}
		n := len(p.year)
		for s, year := range p.year {
			all := 0.0
			for y := range p.years {
				all += after(y - year)
				require.Equal(t, after(y-year), p.brings(l, s, period(n+y)), "the whole year")
				require.Equal(t, y == year, p.has(period(n+y), s))
			}
			require.InDelta(t, all, p.brings(l, s, together), 1e-12)
			require.True(t, p.has(together, s))
			for k := range p.year {
				want := after(p.year[k] - year)
				if k != s && p.year[k] == year {
					want = 0 // counts in its own season only
				}
				require.Equal(t, want, p.brings(l, s, period(k)))
				require.Equal(t, k == s, p.has(period(k), s))
			}
		}
	}
}

// An exception is about a season: a year is none. A broken limit is told with its season.
func TestSeasonsWhereSeasonsAreMeant(t *testing.T) {
	s := twoSeasons()
	s.Years = []string{"2026", "2026"}
	s.Exceptions = []Exception{{Season: "2026", Forbid: true}}
	_, err := allocate(s)
	require.Equal(t, []string{"exceptions[0].season"}, faultFields(err))
	s.Exceptions = nil
	list := make([]Draw, 20)
	for i := range list {
		list[i].Materials = []MaterialDraw{{Stock: 1.5}}
	}
	s.Materials[0].Seasons = []string{"summer 2026"}
	s.Materials[0].Stock = nutrient.LiquidAmount(360_000 * units.Gallon)
	r, err := Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 0.9})
	require.NoError(t, err)
	require.Equal(t, []BrokenLimit{{Field: "only", Limit: "nitrogen", Season: "summer 2026", Share: 1}}, r.Broken)
}
