package nutrient

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

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// drawnFarm is one row of testdata/allocation/farms.json.
type drawnFarm struct {
	Name string `json:"name"`
	AllocationSpec
}

// digits rounds to four digits, so that the file can be read.
func digits(x float64) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 3, 64), 64)
	return v
}

// drawFarms draws what is in testdata/allocation/farms.json: everything pumped,
// everything in loads, both, a price for leaving beside needs that are soon met,
// more than the fields can take, and solids beside liquids on ways with exceptions.
func drawFarms() []drawnFarm {
	r := rand.New(rand.NewPCG(12, 1))
	list := make([]drawnFarm, 30)
	for i := range list {
		s := farm(r, 1+r.IntN(3), 1+r.IntN(6), 1+r.IntN(3))
		kind := []string{"pumped", "loads", "both", "leaving", "shortage", "solids"}[i%6]
		for j := range s.Materials {
			m := &s.Materials[j]
			stock, load, price := m.Stock.SI(), m.Load.SI(), m.Spread.SI()
			switch {
			case kind == "pumped", kind == "both" && j%2 == 0:
				load = 0
			case kind == "leaving":
				m.Leave = LiquidPrice(units.Price[units.Volume](max(0, digits(price*(r.Float64()-0.2)))))
				if r.IntN(2) == 0 {
					load *= 5
				}
			case kind == "shortage":
				stock *= 5
			}
			m.Stock, m.Load = LiquidAmount(units.Volume(digits(stock))), Amount{}
			if load > 0 {
				m.Load = LiquidAmount(units.Volume(digits(load)))
			}
			m.Spread, m.HaulPerMile = LiquidPrice(units.Price[units.Volume](digits(price))), LiquidPrice(units.Price[units.Volume](digits(m.HaulPerMile.SI())))
			for h := range m.Holds {
				m.Holds[h].Content.value = digits(m.Holds[h].Content.value)
				for l := range m.Holds[h].Later {
					m.Holds[h].Later[l].value = digits(m.Holds[h].Later[l].value)
				}
			}
			if kind == "solids" && j == len(s.Materials)-1 { // about 1 t/m3
				m.Stock, m.Load = SolidAmount(units.Mass(m.Stock.value*1000)), SolidAmount(15*units.Tonne)
				m.Spread, m.HaulPerMile = SolidPrice(units.Price[units.Mass](digits(m.Spread.value/1000))), SolidPrice(units.Price[units.Mass](digits(m.HaulPerMile.value/1000)))
				for h := range m.Holds {
					m.Holds[h].Content = SolidContent(units.MassFraction(digits(m.Holds[h].Content.value / 1000)))
					for l := range m.Holds[h].Later {
						m.Holds[h].Later[l] = SolidContent(units.MassFraction(digits(m.Holds[h].Later[l].value / 1000)))
					}
				}
			}
		}
		for k := range s.Fields {
			f := &s.Fields[k]
			f.Area, f.Distance = units.Area(digits(float64(f.Area))), units.Length(digits(float64(f.Distance)))
			for l := range f.Limits {
				f.Limits[l].Room = units.MassPerArea(digits(float64(f.Limits[l].Room)))
				f.Limits[l].Rate.value = digits(f.Limits[l].Rate.value)
			}
			for n := range f.Needs {
				need := float64(f.Needs[n].Need)
				if kind == "leaving" {
					need *= 0.3
				}
				f.Needs[n].Need = units.MassPerArea(digits(need))
			}
		}
		for p := range s.Prices {
			s.Prices[p].Price = units.Price[units.Mass](digits(float64(s.Prices[p].Price)))
		}
		if kind == "solids" {
			s.Exceptions = []AllocationException{
				{Material: s.Materials[0].Name, Field: s.Fields[0].Name, Season: s.Seasons[0], Forbid: true},
				{Material: s.Materials[0].Name, Season: s.Seasons[len(s.Seasons)-1], Holds: []Holding{{Of: "N", Content: s.Materials[0].Holds[0].Content.times(1.5)}}},
			}
			s.Materials[len(s.Materials)-1].Seasons = s.Seasons[len(s.Seasons)-1:]
			s.Fields[0].Limits = append(s.Fields[0].Limits, AllocationLimit{Kind: LimitWater, Rate: LiquidRate(0.006), Material: s.Materials[0].Name})
		}
		list[i] = drawnFarm{fmt.Sprintf("%02d %s", i, kind), s}
	}
	return list
}

var draw = flag.Bool("draw", false, "draw testdata/allocation/farms.json anew; solve.mjs beside it says how to solve it")

// solved is one row of testdata/allocation/optima.csv, left in m3 and t.
type solved struct{ left, net, leftWhole, netWhole float64 }

// solvedFarms returns the farms and what HiGHS makes of them.
func solvedFarms(t *testing.T) (farms []drawnFarm, optima []solved) {
	t.Helper()
	if *draw {
		text, err := json.MarshalIndent(drawFarms(), "", " ")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile("testdata/allocation/farms.json", append(text, '\n'), 0o644))
	}
	text, err := os.ReadFile("testdata/allocation/farms.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &farms))
	file, err := os.Open("testdata/allocation/optima.csv")
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
func leftOf(s *AllocationSpec, r *AllocationResult) (fractional, whole float64) {
	for i, m := range r.Materials {
		unit := 1.0
		if m.Stock.Form() == Solid {
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
		r, err := Allocate(f.AllocationSpec)
		require.NoError(t, err)
		require.True(t, r.FractionalProved)
		left, _ := leftOf(&f.AllocationSpec, &r)
		source := "HiGHS 1.15.3 (npm package highs), program written out in testdata/allocation/solve.mjs"
		// What is left may be up to 1e-7 m3 more in the second of its programs.
		checks = append(checks,
			evidence.Check{Quantity: "net cost of drawn farm " + f.Name, Got: r.Fractional, Want: optima[i].net, Tol: 2e-6, Unit: "$", Source: source, Kind: evidence.Reference},
			evidence.Check{Quantity: "left of drawn farm " + f.Name, Got: left, Want: optima[i].left, Tol: 2e-6, Unit: "m3", Source: source, Kind: evidence.Reference})
	}
	evidence.Run(t, "nutrient", checks)
}

// Whole loads come near the optimum of the program with whole numbers, which HiGHS
// finds within 0.1 %: in cost by the money that moves, and in what is left.
func TestWholeLoadsAgainstWholeNumbers(t *testing.T) {
	farms, optima := solvedFarms(t)
	for i, f := range farms {
		r, err := Allocate(f.AllocationSpec)
		require.NoError(t, err)
		_, left := leftOf(&f.AllocationSpec, &r)
		var stocks float64
		for _, m := range f.Materials {
			stock := m.Stock.SI()
			if m.Stock.Form() == Solid {
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
