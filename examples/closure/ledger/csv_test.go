package ledger

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/examples/internal/schema"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// same compares records without the places in their files.
var same = cmp.Options{
	cmp.Comparer(func(a, b stage.Date) bool { return a == b }),
	cmp.Comparer(func(a, b nutrient.Amount) bool { return a == b }),
	cmp.Comparer(func(a, b nutrient.Rate) bool { return a == b }),
	cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".at" }, cmp.Ignore()),
}

// random is a record at random, measured in one of the ways.
func random(r *rand.Rand) Record {
	letters := []rune("abc,;\"'# \tüß水😀=xyz")
	words := func() string {
		var b strings.Builder
		for range r.IntN(30) {
			b.WriteRune(letters[r.IntN(len(letters))])
		}
		return strings.TrimSpace(strings.ReplaceAll(b.String(), "\t", "t"))
	}
	rec := Record{Day: stage.DayOf(2026, time.March, 1).Plus(r.IntN(300)), Field: "f" + words(), Material: "m" + words(), Machine: words(), Operator: words(), Weather: words(), Note: words()}
	number := func(most float64) float64 {
		if r.IntN(2) == 0 {
			return math.Round(r.Float64()*most) + 1
		}
		return r.Float64()*most + 1e-3
	}
	amount := func() nutrient.Amount {
		if r.IntN(2) == 0 {
			return nutrient.LiquidAmount(units.Volume(number(1e6)) * units.Gallon)
		}
		return nutrient.SolidAmount(units.Mass(number(1e4)) * units.Ton)
	}
	switch r.IntN(4) {
	case 0:
		rec.Amount = amount()
	case 1:
		rec.Loads, rec.Load = number(200), amount()
	case 2:
		start := units.Volume(number(1e6)) * units.Gallon
		rec.MeterStart, rec.MeterEnd = &start, new(start+units.Volume(number(1e5))*units.Gallon)
	case 3:
		rec.Area, rec.Rate = units.Area(number(100))*units.Acre, nutrient.LiquidRate(units.VolumePerArea(number(2e4))*units.GallonPerAcre)
	}
	if r.IntN(2) == 0 {
		rec.Area, rec.Rate = units.Area(number(100))*units.Acre, nutrient.SolidRate(units.MassPerArea(number(20))*units.TonPerAcre)
	}
	return rec
}

func TestRecordsGoRoundByCSVAndJSON(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		var b Book
		for range r.IntN(6) {
			b.Records = append(b.Records, random(r))
		}
		text, err := b.WriteCSV()
		require.NoError(t, err)
		back, err := ReadCSV("records.csv", text)
		require.NoError(t, err, "%s", text)
		require.Empty(t, cmp.Diff(b, back, same), "%s", text)
		data, err := json.Marshal(back)
		require.NoError(t, err)
		again, err := ReadBook(data)
		require.NoError(t, err, "%s", data)
		require.Empty(t, cmp.Diff(b, again, same), "%s", data)
		twice, err := again.WriteCSV()
		require.NoError(t, err)
		require.Equal(t, string(text), string(twice))
	}
}

// Whatever is read writes itself back to the same records, and the text is stable.
func FuzzReadCSV(f *testing.F) {
	f.Add([]byte("day,field,material,amount (gal)\n2026-09-14,a,b,120000\n"))
	f.Add([]byte("sep=;\nDay;Field;Material;Loads;Load;Area\n2026-09-14;a;b;20,5;6000 gal;12,5 ha\n"))
	f.Add([]byte("day\tfield\tmaterial\tmeter start (m3)\tmeter end (m3)\tweather\n2026-09-14\ta\tb\t1\t2\t\"x\"\n"))
	f.Add([]byte("day,field,material,area,rate\n2026-09-14,a,b,1 acre,3 ton/acre\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := ReadCSV("in", data)
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err))
			return
		}
		text, err := b.WriteCSV()
		require.NoError(t, err)
		back, err := ReadCSV("in", text)
		require.NoError(t, err, "%s", text)
		require.Empty(t, cmp.Diff(b, back, same), "%s", text)
		for _, r := range b.Records {
			_, _, err := r.Put()
			require.NoError(t, err)
		}
	})
}

func FuzzReadBook(f *testing.F) {
	sound, err := os.ReadFile("testdata/book.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(sound)
	f.Add([]byte(`{"records": [{"day": "2026-09-14", "field": "a", "material": "b", "meterStart": "1 gal", "meterEnd": null}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := ReadBook(data)
		if err != nil {
			return
		}
		text, err := b.WriteCSV()
		require.NoError(t, err)
		back, err := ReadCSV("in", text)
		require.NoError(t, err, "%s", text)
		require.Empty(t, cmp.Diff(b.Records, back.Records, same, cmp.FilterPath(func(p cmp.Path) bool { return len(p) == 1 }, cmp.Comparer(func(a, b []Record) bool {
			return len(a) == len(b) && cmp.Equal(append([]Record{}, a...), append([]Record{}, b...), same)
		}))))
	})
}

// Every fault of a table in one round, each with its line and column.
func TestFaultsOfATable(t *testing.T) {
	_, err := ReadCSV("records.csv", []byte(`day,field,material,amount (gal),loads,load,meter start,meter end,area,rate
2026-09-14,a,b,120000,,,,,,
14.9.2026,a,b,many,,,,,,
2026-09-14,,b,,,,,,,
2026-09-14,a,b,5,2,,,,,
2026-09-14,a,b,,2,6000 gal,1 gal,,,
2026-09-14,a,b,,,,9 gal,3 gal,,
2026-09-14,a,b,,NaN,6000 gal,,,,
2026-09-14,a,b,-5,,,,,1e308 acre,
`))
	var got []string
	for _, e := range units.FieldErrors(err) {
		got = append(got, e.Field)
	}
	require.Equal(t, []string{
		"records.csv line 3, day", "records.csv line 3, amount",
		"records.csv line 4, field", "records.csv line 4, amount",
		"records.csv line 5, load", "records.csv line 5, amount",
		"records.csv line 6, meter end", "records.csv line 6, amount",
		"records.csv line 7, meter end",
		"records.csv line 8, loads",
		"records.csv line 9, area",
	}, got)
}

func TestWriteRefusesWhatCannotBeRead(t *testing.T) {
	_, err := Book{Records: []Record{{Field: " a", Material: "b\nc"}}}.WriteCSV()
	require.ErrorContains(t, err, "records[0].day: missing")
	require.ErrorContains(t, err, "records[0].field")
	require.ErrorContains(t, err, "records[0].material")
}

func TestSchema(t *testing.T) {
	schema.Hold(t, schema.File[Book]{Schema: "book.schema.json", Title: "Records and laboratory reports of an emptying", Root: "../../..",
		Examples: []string{"testdata/book.json"},
		Load:     func(data []byte) error { _, err := ReadBook(data); return err }})
}

func ExampleBook_WriteCSV() {
	b := Book{Records: []Record{{Day: stage.DayOf(2026, time.September, 14), Field: "Mill field", Material: "slurry", Amount: nutrient.LiquidAmount(120_000 * units.Gallon)}}}
	text, err := b.WriteCSV()
	fmt.Print(string(text), err)
	// Output:
	// day,field,material,machine,operator,amount,loads,load,meterStart,meterEnd,area,rate,weather,note
	// 2026-09-14,Mill field,slurry,,,120000 gal,,,,,,,,
	// <nil>
}

func ExampleRecord_Put() {
	r := Record{Day: stage.DayOf(2026, time.September, 14), Field: "Mill field", Material: "slurry", Loads: 20, Load: nutrient.LiquidAmount(6000 * units.Gallon)}
	amount, estimated, err := r.Put()
	fmt.Println(amount, estimated, err)
	// Output: 120,000 gal false <nil>
}
