package allocation

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// farm draws an allocation with carry-over of N, credits and loads.
func farm(r *rand.Rand, materials, fields, seasons int) AllocateSpec {
	var s AllocateSpec
	for t := range seasons {
		s.Seasons = append(s.Seasons, fmt.Sprintf("season %d", t))
	}
	per := func(lb float64) nutrient.Content {
		return nutrient.LiquidContent(units.Concentration(lb) * units.PoundPer1000Gallon)
	}
	var acres float64
	for k := range fields {
		f := Field{Name: fmt.Sprintf("field %d", k), Area: units.Area(10+90*r.Float64()) * units.Acre, Distance: units.Length(0.2+4*r.Float64()) * units.Mile}
		acres += f.Area.In(units.Acre)
		for _, t := range s.Seasons {
			n := units.MassPerArea(60+120*r.Float64()) * units.PoundPerAcre
			f.Limits = append(f.Limits, Limit{Kind: nutrient.LimitNitrogen, Of: "N", Room: n, Season: t},
				Limit{Kind: nutrient.LimitPass, Rate: nutrient.LiquidRate(units.VolumePerArea(8000+12000*r.Float64()) * units.GallonPerAcre), Season: t})
			f.Needs = append(f.Needs, Need{Of: "N", Need: n, Season: t})
		}
		f.Limits = append(f.Limits, Limit{Kind: nutrient.LimitPhosphorus, Of: "P2O5", Room: units.MassPerArea(100+100*r.Float64()) * units.PoundPerAcre})
		f.Needs = append(f.Needs, Need{Of: "P2O5", Need: units.MassPerArea(80*r.Float64()) * units.PoundPerAcre})
		s.Fields = append(s.Fields, f)
	}
	for i := range materials {
		n, p := 2+15*r.Float64(), 1+20*r.Float64()
		s.Materials = append(s.Materials, Material{
			Name: fmt.Sprintf("material %d", i), Stock: nutrient.LiquidAmount(units.Volume(acres*(1000+4000*r.Float64())/float64(materials)) * units.Gallon),
			Holds:       []Holding{{"N", per(n), []nutrient.Content{per(n * 0.2), per(n * 0.1)}}, {"P2O5", per(p), nil}},
			Spread:      nutrient.LiquidPrice(units.PricePer(6+4*r.Float64(), 1000*units.Gallon)),
			HaulPerMile: nutrient.LiquidPrice(units.PricePer(2+2*r.Float64(), 1000*units.Gallon)),
			Load:        nutrient.LiquidAmount(6000 * units.Gallon),
		})
	}
	s.Prices = []Price{{"N", units.PricePer(0.5, units.Pound)}, {"P2O5", units.PricePer(0.4, units.Pound)}}
	return s
}

// No limit is broken and no material lost, loads are whole, and a plan of whole
// loads is never cheaper than the program it comes from.
func TestAllocateKeepsLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 60 {
		s := farm(r, 1+r.IntN(4), 1+r.IntN(12), 1+r.IntN(3))
		got, err := allocate(s)
		require.NoError(t, err)
		for _, m := range got.Materials {
			require.InEpsilon(t, m.Stock.SI(), m.Placed.SI()+m.Left.SI(), 1e-12)
			var placed float64
			for _, p := range got.Placements {
				if p.Material == m.Name {
					placed += p.Amount.SI()
					loads := p.Amount.SI() / float64(6000*units.Gallon)
					require.LessOrEqual(t, loads, float64(p.Loads)+1e-6)
					require.Greater(t, loads, float64(p.Loads-1))
				}
			}
			require.InDelta(t, placed, m.Placed.SI(), 1e-9*m.Stock.SI())
		}
		for k, f := range got.Fields {
			for i, l := range f.Limits {
				require.LessOrEqual(t, float64(l.Applied), float64(l.Room)*(1+1e-8))
				require.LessOrEqual(t, l.Used.SI(), l.Rate.SI()*(1+1e-8))
				// The same from the placements.
				want := s.Fields[k].Limits[i]
				if want.Kind != nutrient.LimitPhosphorus {
					continue
				}
				var sum float64
				for _, p := range got.Placements {
					if p.Field != f.Name {
						continue
					}
					for _, m := range s.Materials {
						if m.Name == p.Material {
							sum += p.Rate.SI() * m.Holds[1].Content.SI()
						}
					}
				}
				require.InDelta(t, sum, float64(l.Applied), 1e-12)
			}
		}
	}
}

func BenchmarkTransport(b *testing.B) {
	for _, n := range []int{60, 600} {
		b.Run(fmt.Sprintf("3x%d", n), func(b *testing.B) {
			s := drawn(n)
			for b.Loop() {
				_, _ = allocate(s)
			}
		})
	}
}

func BenchmarkAllocate(b *testing.B) {
	for _, n := range [][3]int{{3, 60, 1}, {3, 600, 1}, {5, 200, 3}} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s := farm(rand.New(rand.NewPCG(1, 1)), n[0], n[1], n[2])
			var r AllocateResult
			for b.Loop() {
				r, _ = allocate(s)
			}
			b.ReportMetric(float64(r.Rounds), "rounds")
			b.ReportMetric(r.Net-r.Fractional, "rounding")
			b.ReportMetric(r.Materials[0].Left.SI()/r.Materials[0].Stock.SI(), "left")
		})
	}
}
