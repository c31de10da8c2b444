package ledger

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func day(text string) stage.Date {
	var d stage.Date
	if err := d.UnmarshalText([]byte(text)); err != nil {
		panic(err)
	}
	return d
}

func gallons(n float64) nutrient.Amount { return nutrient.LiquidAmount(units.Volume(n) * units.Gallon) }

func per1000(n float64) nutrient.Content {
	return nutrient.LiquidContent(units.Concentration(n) * units.PoundPer1000Gallon)
}

func nitrogen(name, from, to string, room float64) Allowance {
	return Allowance{nutrient.LimitNitrogen, name, day(from), day(to), units.MassPerArea(room) * units.PoundPerAcre}
}

// farm is one field of 40 acres and slurry with 20 lb of N in 1000 gal.
func farm(records ...Record) Spec {
	return Spec{
		AsOf:      day("2026-10-31"),
		Fields:    []Field{{Name: "mill", Area: 40 * units.Acre, Allowances: []Allowance{nitrogen("N of 2026", "2026-01-01", "2026-12-31", 180)}}},
		Materials: []Material{{Name: "slurry", Form: nutrient.Liquid, Stock: []Stock{{day("2026-04-01"), gallons(900_000)}}, Holds: Contents{nutrient.LimitNitrogen: per1000(20)}}},
		Book:      Book{Records: records},
	}
}

func put(on string, n float64) Record {
	return Record{Day: day(on), Field: "mill", Material: "slurry", Amount: gallons(n)}
}

func must(t *testing.T, s Spec) Result {
	r, err := Account(s)
	require.NoError(t, err)
	return r
}

// Two seasons of one crop year draw on one allowance: 226 lb/acre where 180 may go.
func TestNitrogenOfACropYearCountsOnce(t *testing.T) {
	s := farm(put("2026-10-20", 226_000), put("2026-04-15", 226_000))
	r := must(t, s)
	require.Equal(t, day("2026-04-15"), r.Lines[0].Record.Day, "by day")
	require.InDelta(t, 226, r.Rooms[0].Used.In(units.PoundPerAcre), 1e-9)
	require.Zero(t, r.Rooms[0].Left)
	require.Len(t, r.Over, 1)
	o := r.Over[0]
	require.Equal(t, day("2026-10-20"), o.Day, "the record that passed it")
	require.Equal(t, "mill has 226 lb/acre of N of 2026 and may take 180 lb/acre: 46 lb/acre too much, passed on 2026-10-20", o.Why.String())
	require.InDelta(t, 46.0/180, o.Share, 1e-12)
	require.Contains(t, fmt.Sprint(o.Do), "regulator")
	require.Contains(t, fmt.Sprint(o.Do), "No more N on this field in this crop year")
	// A year later each has its own.
	s = farm(put("2026-10-20", 226_000), put("2027-04-15", 226_000))
	s.AsOf = day("2027-05-01")
	s.Fields[0].Allowances = append(s.Fields[0].Allowances, nitrogen("N of 2027", "2027-01-01", "2027-12-31", 180))
	require.Empty(t, must(t, s).Over)
}

// A fresh report counts from the day of its sample; of two of one day the later in the
// list does; what it does not have stays as it was.
func TestFreshReportsCountFromTheirDay(t *testing.T) {
	report := func(on string, n float64) Report {
		return Report{day(on), "slurry", nutrient.AnalyzeSpec{Form: nutrient.Liquid, TKN: per1000(n)}}
	}
	s := farm(put("2026-04-10", 40_000), put("2026-04-12", 40_000), put("2026-04-14", 40_000))
	s.Materials[0].Holds[nutrient.LimitPhosphorus] = per1000(30)
	s.Book.Reports = []Report{report("2026-04-13", 90), report("2026-04-11", 24), report("2026-04-13", 30)}
	r := must(t, s)
	var got []float64
	for _, line := range r.Lines {
		require.Len(t, line.Loads, 2, "P2O5 as planned")
		got = append(got, math.Round(line.Loads[0].Put.In(units.PoundPerAcre)*1e6)/1e6)
		require.InDelta(t, 30, line.Loads[1].Put.In(units.PoundPerAcre), 1e-9)
	}
	require.Equal(t, []float64{20, 24, 30}, got)
	require.InDelta(t, 74, r.Rooms[0].Used.In(units.PoundPerAcre), 1e-9)
	require.Equal(t, []stage.Date{{}, day("2026-04-11"), day("2026-04-13")}, []stage.Date{r.Lines[0].Loads[0].By, r.Lines[1].Loads[0].By, r.Lines[2].Loads[0].By})
	// By the caller's own reckoning of what is available.
	s.Holds = func(material, field string, a nutrient.Analysis) (Contents, error) {
		n, err := a.TotalN.Scale(0.5)
		return Contents{nutrient.LimitNitrogen: n}, err
	}
	require.InDelta(t, 20+12+15, must(t, s).Rooms[0].Used.In(units.PoundPerAcre), 1e-9)
	s.Holds = func(string, string, nutrient.Analysis) (Contents, error) {
		return nil, units.Fault(units.FaultLacking, "method", units.Word("no row"), "another")
	}
	_, err := Account(s)
	require.ErrorContains(t, err, "book.records[1].method: got no row")
}

// A part of a field can have too much before the whole has.
func TestTooMuchOnAPart(t *testing.T) {
	rec := put("2026-04-10", 100_000)
	rec.Area = 10 * units.Acre
	r := must(t, farm(rec))
	require.Len(t, r.Over, 1)
	require.InDelta(t, 20, r.Over[0].By.(units.MassPerArea).In(units.PoundPerAcre), 1e-9)
	require.Equal(t, 10*units.Acre, r.Over[0].Part)
	require.InDelta(t, 130, r.Rooms[0].Left.In(units.PoundPerAcre), 1e-9)
}

// What one day may put on counts all passes of the day together.
func TestMostOfOneDay(t *testing.T) {
	s := farm(put("2026-04-10", 100_000), put("2026-04-10", 100_001), put("2026-04-11", 200_000))
	s.Fields[0].Allowances = nil
	s.Fields[0].Pass = map[string]nutrient.Rate{"slurry": nutrient.LiquidRate(5000 * units.GallonPerAcre)}
	r := must(t, s)
	require.Len(t, r.Over, 1)
	require.Equal(t, "one day", r.Over[0].Limit)
	require.Contains(t, fmt.Sprint(r.Over[0].Do), "tile outlets")
}

// A level that is read again counts instead of what was worked out.
func TestStockIsReadAgain(t *testing.T) {
	s := farm(put("2026-04-10", 300_000), put("2026-05-02", 100_000))
	require.InDelta(t, 500_000, must(t, s).Stocks[0].Left.SI()/units.Gallon.SI(), 1e-6)
	s.Materials[0].Stock = append(s.Materials[0].Stock, Stock{day("2026-05-01"), gallons(700_000)})
	left := must(t, s).Stocks[0]
	require.InDelta(t, 600_000, left.Left.SI()/units.Gallon.SI(), 1e-6)
	require.Equal(t, day("2026-05-01"), left.Was.Day)
	s.Materials[0].Stock[1].Amount = gallons(90_000)
	r := must(t, s)
	require.InDelta(t, 10_000, r.Stocks[0].Short.SI()/units.Gallon.SI(), 1e-6)
	require.Contains(t, r.String(), "10,000 gal more of slurry was put on than the stock of 2026-05-01")
}

// What is hauled is what is planned and not done, as far as the field may take it; two
// materials share the room of a field.
func TestWhatIsLeftToHaul(t *testing.T) {
	s := farm(put("2026-04-10", 200_000))
	s.Materials = append(s.Materials, Material{Name: "effluent", Form: nutrient.Liquid, Stock: []Stock{{day("2026-04-01"), gallons(3e6)}}, Holds: Contents{nutrient.LimitNitrogen: per1000(4)}})
	s.Planned = []Placement{{Field: "mill", Material: "slurry", Amount: gallons(400_000)}, {Field: "mill", Material: "effluent", Amount: gallons(3e6)}}
	r := must(t, s)
	// 80 lb/acre are left: 3,200 lb, or 160,000 gal of slurry, which leaves nothing for effluent.
	require.InDelta(t, 160_000, r.Beside[0].Haul.SI()/units.Gallon.SI(), 1e-6)
	require.InDelta(t, 200_000, r.Beside[0].Left.SI()/units.Gallon.SI(), 1e-6)
	require.InDelta(t, 0, r.Beside[1].Haul.SI()/units.Gallon.SI(), 1e-6)
	require.InDelta(t, 3e6, r.Stocks[1].Unplaced.SI()/units.Gallon.SI(), 1e-6)
}

func TestOtherFormByDensity(t *testing.T) {
	rec := put("2026-04-10", 0)
	rec.Amount = nutrient.SolidAmount(500 * units.Ton)
	s := farm(rec)
	_, err := Account(s)
	require.ErrorContains(t, err, "book.records[0].amount: in another form than the material, whose density is not known")
	s.Materials[0].Density = 8 * units.PoundPerGallon
	require.InDelta(t, 125_000, must(t, s).Lines[0].Amount.SI()/units.Gallon.SI(), 1e-6)
}

func TestDoubts(t *testing.T) {
	twice, wrong := put("2026-04-10", 50_000), put("2026-04-11", 50_000)
	wrong.Area, wrong.Rate = 10*units.Acre, nutrient.LiquidRate(4000*units.GallonPerAcre)
	s := farm(twice, twice, wrong)
	s.Fields[0].Allowances = append(s.Fields[0].Allowances, Allowance{nutrient.LimitMetal, "zinc of all years", day("2000-01-01"), day("2100-01-01"), units.PoundPerAcre})
	text := must(t, s).String()
	require.Contains(t, text, "50,000 gal of slurry on mill on 2026-04-10 stands twice")
	require.Contains(t, text, "says 4,000 gal/acre, and what went on is 5,000 gal/acre")
	require.Equal(t, 1, strings.Count(text, "slurry on mill counts nothing against zinc of all years: its content of metal is not known"))
}

// A record outside the days of every allowance counts against none, which is said.
func TestOutsideEveryPeriod(t *testing.T) {
	r := must(t, farm(put("2025-12-30", 100_000)))
	require.Zero(t, r.Rooms[0].Used)
	require.Contains(t, r.String(), "50 lb/acre of nitrogen on mill on 2025-12-30 counts against no allowance: the day lies in the period of none")
}

// A record of a table is named by its line, whatever is wrong with it.
func TestFaultsNameTheLine(t *testing.T) {
	s := farm()
	var err error
	s.Book, err = ReadCSV("records.csv", []byte("day,field,material,amount\n2026-04-10,mill,slurry,5 gal\n2026-04-11,nowhere,slurry,5 gal\n2027-04-11,mill,slurry,5 ton\n"))
	require.NoError(t, err)
	_, err = Account(s)
	var got []string
	for _, e := range units.FieldErrors(err) {
		got = append(got, e.Field)
	}
	require.Equal(t, []string{"records.csv line 3.field", "records.csv line 4.day", "records.csv line 4.amount"}, got)
}

// In total what fields got is what left the stock, for the material and each
// constituent, and running totals end at what was used.
func TestNothingIsLost(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		s := Spec{AsOf: day("2026-12-31")}
		for i := range 1 + r.IntN(4) {
			s.Fields = append(s.Fields, Field{Name: fmt.Sprint("f", i), Area: units.Area(1+99*r.Float64()) * units.Acre,
				Allowances: []Allowance{nitrogen("N", "2026-01-01", "2026-12-31", 200*r.Float64()), {nutrient.LimitPhosphorus, "P2O5", day("2026-01-01"), day("2029-12-31"), units.MassPerArea(300*r.Float64()) * units.PoundPerAcre}}})
		}
		for i := range 1 + r.IntN(3) {
			s.Materials = append(s.Materials, Material{Name: fmt.Sprint("m", i), Form: nutrient.Liquid, Stock: []Stock{{day("2026-01-01"), gallons(5e6 * r.Float64())}},
				Holds: Contents{nutrient.LimitNitrogen: per1000(40 * r.Float64()), nutrient.LimitPhosphorus: per1000(60 * r.Float64())}})
		}
		pick := func() (string, string) {
			return s.Fields[r.IntN(len(s.Fields))].Name, s.Materials[r.IntN(len(s.Materials))].Name
		}
		for range r.IntN(30) {
			field, material := pick()
			s.Book.Records = append(s.Book.Records, Record{Day: day("2026-01-01").Plus(r.IntN(365)), Field: field, Material: material, Amount: gallons(3e5 * r.Float64())})
		}
		for range r.IntN(8) {
			field, material := pick()
			s.Planned = append(s.Planned, Placement{Field: field, Material: material, Amount: gallons(1e6 * r.Float64())})
		}
		got := must(t, s)
		require.Len(t, got.Lines, len(s.Book.Records))
		area := map[string]units.Area{}
		for _, f := range s.Fields {
			area[f.Name] = f.Area
		}
		put := map[string]float64{}
		mass := map[string]float64{}
		last := map[string]units.MassPerArea{}
		for i, line := range got.Lines {
			require.True(t, i == 0 || !line.Record.Day.Before(got.Lines[i-1].Record.Day))
			put[line.Record.Material] += line.Amount.SI()
			for _, l := range line.Loads {
				mass[line.Record.Field+string(l.Kind)] += l.Put.Times(line.Area).SI()
				require.GreaterOrEqual(t, l.Total, last[line.Record.Field+string(l.Kind)])
				last[line.Record.Field+string(l.Kind)] = l.Total
			}
		}
		for _, left := range got.Stocks {
			require.InDelta(t, put[left.Material], left.Put.SI(), 1e-9*(1+left.Put.SI()))
			require.InDelta(t, left.Was.Amount.SI(), left.Left.SI()+left.Put.SI()-left.Short.SI(), 1e-9*left.Was.Amount.SI())
			require.InDelta(t, left.Left.SI(), left.Placed.SI()+left.Unplaced.SI(), 1e-9*(1+left.Left.SI()))
		}
		over := 0
		for _, room := range got.Rooms {
			k := room.Field + string(room.Allowance.Kind)
			require.InDelta(t, mass[k], room.Used.Times(area[room.Field]).SI(), 1e-9*(1+mass[k]))
			require.InDelta(t, room.Used.SI(), last[k].SI(), 1e-9*(1+last[k].SI()))
			if room.Used > room.Allowance.Room*(1+slack) {
				over++
				require.Zero(t, room.Left)
			}
		}
		require.Len(t, got.Over, over)
		// What is hauled keeps every allowance that has room.
		hauled := map[string]float64{}
		for _, b := range got.Beside {
			for _, m := range s.Materials {
				if m.Name == b.Material {
					for kind, c := range m.Holds {
						hauled[b.Field+string(kind)] += c.SI() * b.Haul.SI()
					}
				}
			}
		}
		for _, room := range got.Rooms {
			require.LessOrEqual(t, hauled[room.Field+string(room.Allowance.Kind)], room.Left.Times(area[room.Field]).SI()*(1+1e-9)+1e-6)
		}
		text, err := json.Marshal(got)
		require.NoError(t, err)
		require.NotContains(t, string(text), "NaN")
	}
}

func TestFaultsInOneRound(t *testing.T) {
	s := Spec{
		AsOf: day("2026-05-01"),
		Fields: []Field{{Name: "a", Area: -1}, {Name: "a", Area: units.Acre, Allowances: []Allowance{{Kind: "Nitrogen", From: day("2026-02-01"), To: day("2026-01-01"), Room: -1}},
			Pass: map[string]nutrient.Rate{"x": {}}}},
		Materials: []Material{{Name: "slurry"}, {Name: "solids", Form: nutrient.Solid, Density: 1, Stock: []Stock{{Amount: gallons(3)}}, Holds: Contents{"zinc": per1000(1)}, On: map[string]Contents{"q": nil}}},
		Planned:   []Placement{{Field: "b", Material: "solids", Amount: gallons(3)}},
		Book: Book{
			Records: []Record{{Day: day("2026-05-02"), Field: "b", Material: "c", Amount: gallons(1)}, {Day: day("2026-04-01"), Field: "a", Material: "solids", Amount: gallons(1), Area: 2 * units.Acre}},
			Reports: []Report{{Material: "d"}},
		},
	}
	_, err := Account(s)
	var got []string
	for _, e := range units.FieldErrors(err) {
		got = append(got, e.Field)
	}
	require.Equal(t, []string{
		"fields[1].name", "materials[0].form", "materials[1].density", "materials[1].stock[0].day", "materials[1].stock[0].amount", "materials[1].holds.zinc", "materials[1].on.q",
		"fields[0].area", "fields[1].allowances[0].kind", "fields[1].allowances[0].name", "fields[1].allowances[0].to", "fields[1].allowances[0].room", "fields[1].pass.x",
		"planned[0].field", "planned[0].amount", "book.reports[0].day", "book.reports[0].report.form", "book.records[0].field", "book.records[0].material", "book.records[0].day", "book.records[1].area", "book.records[1].amount", "book.reports[0].material",
	}, got)
}

func TestOddNumbers(t *testing.T) {
	for _, x := range []float64{0, math.Copysign(0, -1), 5e-324, 1e-310, 1e308, math.Inf(1), math.NaN(), -1} {
		for _, change := range []func(*Spec){
			func(s *Spec) { s.Book.Records[0].Amount = nutrient.LiquidAmount(units.Volume(x)) },
			func(s *Spec) { s.Book.Records[0].Area = units.Area(x) },
			func(s *Spec) { s.Book.Records[0].Rate = nutrient.LiquidRate(units.VolumePerArea(x)) },
			func(s *Spec) { s.Fields[0].Area = units.Area(x) },
			func(s *Spec) { s.Fields[0].Allowances[0].Room = units.MassPerArea(x) },
			func(s *Spec) { s.Materials[0].Stock[0].Amount = nutrient.LiquidAmount(units.Volume(x)) },
			func(s *Spec) { s.Materials[0].Density = units.Density(x) },
			func(s *Spec) {
				s.Materials[0].Holds[nutrient.LimitNitrogen] = nutrient.LiquidContent(units.Concentration(x))
			},
			func(s *Spec) { s.Book.Records[0].Loads, s.Book.Records[0].Load = x, gallons(5) },
		} {
			s := farm(put("2026-04-10", 1000))
			s.Planned = []Placement{{Field: "mill", Material: "slurry", Amount: gallons(400)}}
			change(&s)
			r, err := Account(s)
			if err != nil {
				require.NotEmpty(t, units.FieldErrors(err))
				continue
			}
			_, err = json.Marshal(r)
			require.NoError(t, err, "%g", x)
			require.NotContains(t, r.String(), "NaN")
			require.NotContains(t, r.String(), "Inf")
			require.True(t, math.Abs(x) < 1e-9, "%g is taken", x)
		}
	}
}
