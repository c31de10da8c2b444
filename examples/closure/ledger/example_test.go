package ledger_test

import (
	"fmt"
	"time"

	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

const records = `day,field,material,machine,operator,amount (gal),loads,load (gal),area (acre),rate (gal/acre),weather,note
2026-09-14,Mill field,slurry,hose,R. Toller,120000,,,20,6000,"dry, light wind from the west",
2026-09-15,Mill field,slurry,tanker,R. Toller,,20,6000,20,6000,overcast,second pass
2026-09-16,Creek field,slurry,hose,R. Toller,90000,,,15,5000,dry,
`

func spec() ledger.Spec {
	year := func(kind nutrient.LimitKind, name string, room units.MassPerArea) ledger.Allowance {
		return ledger.Allowance{Kind: kind, Name: name, From: stage.DayOf(2026, time.September, 1), To: stage.DayOf(2027, time.August, 31), Room: room}
	}
	return ledger.Spec{
		AsOf: stage.DayOf(2026, time.September, 17),
		Fields: []ledger.Field{
			{Name: "Mill field", Area: 40 * units.Acre, Allowances: []ledger.Allowance{year(nutrient.LimitNitrogen, "N of corn 2027", 150*units.PoundPerAcre)}},
			{Name: "Creek field", Area: 15 * units.Acre, Allowances: []ledger.Allowance{year(nutrient.LimitNitrogen, "N of corn 2027", 110*units.PoundPerAcre)}},
		},
		Materials: []ledger.Material{{
			Name: "slurry", Form: nutrient.Liquid,
			Stock: []ledger.Stock{{Day: stage.DayOf(2026, time.September, 14), Amount: nutrient.LiquidAmount(500_000 * units.Gallon)}},
			Holds: ledger.Contents{nutrient.LimitNitrogen: nutrient.LiquidContent(20 * units.PoundPer1000Gallon)},
		}},
		Planned: []ledger.Placement{
			{Field: "Mill field", Material: "slurry", Amount: nutrient.LiquidAmount(280_000 * units.Gallon)},
			{Field: "Creek field", Material: "slurry", Amount: nutrient.LiquidAmount(75_000 * units.Gallon)},
		},
	}
}

func ExampleAccount() {
	s := spec()
	var err error
	if s.Book, err = ledger.ReadCSV("records.csv", []byte(records)); err != nil {
		fmt.Println(err)
		return
	}
	r, err := ledger.Account(s)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(r)
	// Output:
	// Account of           2026-09-17   3 records
	// Over: Creek field    10 lb/acre   Creek field has 120 lb/acre of N of corn 2027 and may take 110 lb/acre: 10 lb/acre too much, passed on 2026-09-16
	// Do                                Stop on this field and write down what happened, why, and what was done
	// Do                                Ask the nutrient planner whether it has to be reported to the regulator; many permits set a number of days
	// Do                                No more N on this field in this crop year, from fertilizer either; plant a crop that takes it up, and credit what is left to the next by a soil nitrate test
	// Left of slurry       170,000 gal  500,000 gal on 2026-09-14 less 330,000 gal put on; 40,000 gal of it still has a place
	// Room on Mill field   30 lb/acre   N of corn 2027: 150 lb/acre less 120 lb/acre used
	// Room on Creek field  0 lb/acre    N of corn 2027: 110 lb/acre less 120 lb/acre used
	// Haul to Mill field   40,000 gal   slurry: 280,000 gal planned, 240,000 gal done
	// Haul to Creek field  0 gal        slurry: 75,000 gal planned, 90,000 gal done
	// Note                              the record of Creek field on 2026-09-16 says 5,000 gal/acre, and what went on is 6,000 gal/acre: check the calibration, the area or the loads
	// Note                              130,000 gal of slurry has no place that is planned and may take it
	// Note                              Mill field could take 20,000 gal of slurry more
}

func ExampleResult_Table() {
	s := spec()
	s.Book, _ = ledger.ReadCSV("records.csv", []byte(records))
	r, err := ledger.Account(s)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range r.Table() {
		fmt.Println(units.Style{}.Text(row[0]), units.Style{}.Text(row[1]), units.Style{}.Text(row[5]), units.Style{}.Text(row[8]), units.Style{}.Text(row[9]))
	}
	// Output:
	// day field amount nitrogen nitrogen, field so far
	// 2026-09-14 Mill field 120,000 gal 120 lb/acre 60 lb/acre
	// 2026-09-15 Mill field 120,000 gal 120 lb/acre 120 lb/acre
	// 2026-09-16 Creek field 90,000 gal 120 lb/acre 120 lb/acre
}

func ExampleReadCSV() {
	_, err := ledger.ReadCSV("records.csv", []byte("day,field,material,loads,load\n2026-09-14,Mill field,slurry,20,\n14.9.2026,Mill field,slurry,20,6000 gal\n"))
	fmt.Println(err)
	// Output:
	// records.csv line 2, load: missing; want the size of a load
	// records.csv line 3, day: got "14.9.2026", want a day such as 2026-06-01
}

func ExampleReadBook() {
	b, err := ledger.ReadBook([]byte(`{"records": [{"day": "2026-09-14", "field": "Mill field", "material": "slurry", "amount": "120000 gal", "weather": "dry"}]}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	text, err := b.WriteCSV()
	fmt.Print(string(text), err)
	// Output:
	// day,field,material,machine,operator,amount,loads,load,meterStart,meterEnd,area,rate,weather,note
	// 2026-09-14,Mill field,slurry,,,120000 gal,,,,,,,dry,
	// <nil>
}

func ExampleTotals() {
	a, err := nutrient.Analyze(nutrient.AnalyzeSpec{Form: nutrient.Liquid, TKN: nutrient.LiquidContent(24 * units.PoundPer1000Gallon)})
	fmt.Println(ledger.Totals(a)[nutrient.LimitNitrogen], err)
	// Output:
	// 24 lb/1000 gal <nil>
}
