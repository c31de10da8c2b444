package allocation

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// drawnFarm is one row of testdata/farms.json.
type drawnFarm struct {
	Name string `json:"name"`
	AllocateSpec
}

// drawFarms draws what is in testdata/farms.json: everything pumped, everything in
// loads, both, a price for leaving beside needs that are soon met, more than the
// fields can take, and solids beside liquids on ways with exceptions.
func drawFarms() []drawnFarm {
	r := rand.New(rand.NewPCG(12, 1))
	list := make([]drawnFarm, 30)
	for i := range list {
		s := farm(r, 1+r.IntN(3), 1+r.IntN(6), 1+r.IntN(3))
		kind := []string{"pumped", "loads", "both", "leaving", "shortage", "solids"}[i%6]
		for j := range s.Materials {
			m := &s.Materials[j]
			switch {
			case kind == "pumped", kind == "both" && j%2 == 0:
				m.Load = nutrient.Amount{}
			case kind == "leaving":
				m.Leave = nutrient.LiquidPrice(units.Price[units.Volume](digits(max(0, m.Spread.SI()*(r.Float64()-0.2)))))
				if r.IntN(2) == 0 {
					timesAmount(&m.Load, 5)
				}
			case kind == "shortage":
				timesAmount(&m.Stock, 5)
			case kind == "solids" && j == len(s.Materials)-1:
				m.weigh()
				m.Seasons = s.Seasons[len(s.Seasons)-1:]
			}
			m.round()
		}
		for k := range s.Fields {
			f := &s.Fields[k]
			f.Area, f.Distance = digits(f.Area), digits(f.Distance)
			for l := range f.Limits {
				f.Limits[l].Room = digits(f.Limits[l].Room)
				if rate := &f.Limits[l].Rate; !rate.IsZero() {
					*rate = rateOf(rate.Form(), digits(rate.SI()))
				}
			}
			for n := range f.Needs {
				if kind == "leaving" {
					f.Needs[n].Need *= 0.3
				}
				f.Needs[n].Need = digits(f.Needs[n].Need)
			}
		}
		for p := range s.Prices {
			s.Prices[p].Price = digits(s.Prices[p].Price)
		}
		if kind == "solids" {
			first := &s.Materials[0]
			more := first.Holds[0].Content
			timesContent(&more, 1.5)
			s.Exceptions = []Exception{
				{Material: first.Name, Field: s.Fields[0].Name, Season: s.Seasons[0], Forbid: true},
				{Material: first.Name, Season: s.Seasons[len(s.Seasons)-1], Holds: []Holding{{Of: "N", Content: more}}},
			}
			s.Fields[0].Limits = append(s.Fields[0].Limits, Limit{Kind: nutrient.LimitWater, Rate: nutrient.LiquidRate(0.006), Material: first.Name})
		}
		list[i] = drawnFarm{fmt.Sprintf("%02d %s", i, kind), s}
	}
	return list
}

// digits rounds to four digits, so that the file can be read.
func digits[Q ~float64](x Q) Q {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(float64(x), 'e', 3, 64), 64)
	return Q(v)
}

// weigh makes a solid of 1 t/m3 of a liquid, hauled by 15 t.
func (m *Material) weigh() {
	m.Stock, m.Load = nutrient.SolidAmount(units.Mass(m.Stock.SI()*1000)), nutrient.SolidAmount(15*units.Tonne)
	m.Spread, m.HaulPerMile = priceOf(nutrient.Solid, m.Spread.SI()/1000), priceOf(nutrient.Solid, m.HaulPerMile.SI()/1000)
	m.eachContent(func(c nutrient.Content) nutrient.Content { return contentOf(nutrient.Solid, c.SI()/1000) })
}

// round rounds every number.
func (m *Material) round() {
	m.Stock = amountOf(m.Stock.Form(), digits(m.Stock.SI()))
	if !m.Load.IsZero() {
		m.Load = amountOf(m.Load.Form(), digits(m.Load.SI()))
	}
	m.Spread, m.HaulPerMile = priceOf(m.Spread.Form(), digits(m.Spread.SI())), priceOf(m.Spread.Form(), digits(m.HaulPerMile.SI()))
	m.eachContent(func(c nutrient.Content) nutrient.Content { return contentOf(c.Form(), digits(c.SI())) })
}

func (m *Material) eachContent(do func(nutrient.Content) nutrient.Content) {
	for h := range m.Holds {
		m.Holds[h].Content = do(m.Holds[h].Content)
		for l := range m.Holds[h].Later {
			m.Holds[h].Later[l] = do(m.Holds[h].Later[l])
		}
	}
}

var draw = flag.Bool("draw", false, "draw testdata/farms.json anew; solve.mjs beside it says how to solve it")

// solved is one row of testdata/optima.csv, left in m3 and t.
type solved struct{ left, net, leftWhole, netWhole float64 }

// solvedFarms returns the farms and what HiGHS makes of them.
func solvedFarms(t *testing.T) (farms []drawnFarm, optima []solved) {
	t.Helper()
	if *draw {
		text, err := json.MarshalIndent(drawFarms(), "", " ")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile("testdata/farms.json", append(text, '\n'), 0o644))
	}
	text, err := os.ReadFile("testdata/farms.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &farms))
	file, err := os.Open("testdata/optima.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(farms)+1)
	for i, row := range rows[1:] {
		require.Equal(t, farms[i].Name, row[0])
		var n [4]float64
		for j := range n {
			n[j], err = strconv.ParseFloat(row[j+1], 64)
			require.NoError(t, err)
		}
		optima = append(optima, solved{n[0], n[1], n[2], n[3]})
	}
	return farms, optima
}

// leftOf returns what is left of the materials without a price for that, m3 and t
// counted alike, before loads were made whole and after.
func leftOf(s *AllocateSpec, r *AllocateResult) (fractional, whole float64) {
	for i, m := range r.Materials {
		unit := 1.0
		if m.Stock.Form() == nutrient.Solid {
			unit = 1000
		}
		if s.Materials[i].Leave.IsZero() {
			fractional += m.LeftFractional.SI() / unit
			whole += m.Left.SI() / unit
		}
	}
	return fractional, whole
}

// The plan before loads are made whole is the optimum that a general solver finds.
func TestPublishedFarms(t *testing.T) {
	farms, optima := solvedFarms(t)
	var checks []evidence.Check
	for i, f := range farms {
		r, err := allocate(f.AllocateSpec)
		require.NoError(t, err)
		require.True(t, r.FractionalProved)
		left, _ := leftOf(&f.AllocateSpec, &r)
		source := "HiGHS 1.15.3 (npm package highs), program written out in nutrient/allocation/testdata/solve.mjs"
		// What is left may be up to 1e-7 m3 more in the second of its programs.
		checks = append(checks,
			evidence.Check{Quantity: "net cost of drawn farm " + f.Name, Got: r.Fractional, Want: optima[i].net, Tol: 2e-6, Unit: "$", Source: source, Kind: evidence.Reference},
			evidence.Check{Quantity: "left of drawn farm " + f.Name, Got: left, Want: optima[i].left, Tol: 2e-6, Unit: "m3", Source: source, Kind: evidence.Reference})
	}
	evidence.Run(t, "nutrient/allocation", checks)
}

// Whole loads come near the optimum of the program with whole numbers, which HiGHS
// finds within 0.1 %: in cost by the money that moves, and in what is left.
func TestWholeLoadsAgainstWholeNumbers(t *testing.T) {
	farms, optima := solvedFarms(t)
	for i, f := range farms {
		r, err := allocate(f.AllocateSpec)
		require.NoError(t, err)
		_, left := leftOf(&f.AllocateSpec, &r)
		var stocks float64
		for _, m := range f.Materials {
			stock := m.Stock.SI()
			if m.Stock.Form() == nutrient.Solid {
				stock /= 1000
			}
			stocks += stock
		}
		want := optima[i]
		require.GreaterOrEqual(t, left, want.leftWhole-1e-6*stocks, f.Name)
		require.LessOrEqual(t, left, want.leftWhole+0.002*stocks, f.Name)
		moved := r.Cost + r.Credit + r.Leaving
		if left <= want.leftWhole+1e-6*stocks {
			require.GreaterOrEqual(t, r.Net, want.netWhole-0.001*moved, f.Name)
			require.LessOrEqual(t, r.Net, want.netWhole+0.002*moved, f.Name)
		}
	}
}
