package nutrient_test

import (
	"fmt"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func ExamplePublishedState() {
	state := must(nutrient.PublishedState("minnesota"))
	fmt.Print(must(state.Answer("totalN", nutrient.Query{"year": "1", "species": "swine", "method": "injected with sweeps"})))
	_, err := state.Answer("totalN", nutrient.Query{"year": "1", "species": "swine", "method": "broadcast", "incorporation": "never"})
	fmt.Println(err)
	// Output:
	// N that becomes available  80 %  Table 1, Calculating manure application rates: printed 80 %
	// note                            Incorporation within 12 h includes double disks.
	// note                            For manure put on in fall with the soil below 50 F.
	// totalN                    80 %
	// incorporation: no figure for totalN in the state minnesota; want another choice or state: the table has a column for incorporation later than 96 h, none for manure that is never incorporated
}

func ExamplePublishedStateIDs() {
	fmt.Println(slices.Contains(nutrient.PublishedStateIDs(), "minnesota"))
	// Output: true
}

func ExampleParseState() {
	_, err := nutrient.ParseState([]byte(`{
	  "id": "my-state", "jurisdiction": "an invented state",
	  "source": {"title": "Invented bulletin", "edition": "2026", "publisher": "nobody"},
	  "keys": [{"name": "method", "label": "How it is applied", "values": ["spread", "injected"]}],
	  "tables": [
	    {"place": "table 1", "gives": "totalN", "of": "total", "unit": "%", "by": ["method", "year"],
	     "rows": [["spread", 1, "30-50"], ["injectd", 1, 80]]}]}`))
	for _, fault := range units.FieldErrors(err) {
		fmt.Println(fault)
	}
	// Output:
	// tables[0].rows[1][0]: got "injectd", want injected, or one of spread; injected, or several with a semicolon and a space between (line 7, column 41)
}

func ExampleNewState() {
	state := must(nutrient.NewState(nutrient.StateSpec{
		ID: "my-state", Jurisdiction: "an invented state",
		Source: nutrient.Source{Title: "Invented bulletin", Edition: "2026", Publisher: "nobody"},
		Keys:   []nutrient.Key{{Name: "soil", Label: "Soil", Values: []string{"sand", "clay"}}},
		Tables: []nutrient.Table{
			{Place: "table 1", Gives: "n", Unit: "kg/ha", By: []string{"soil"}, Rows: [][]nutrient.Cell{{"sand", "120"}, {"clay", "90-100"}}},
			{Place: "table 2", Gives: "n", Unit: "%", As: nutrient.AsTimes, Rows: [][]nutrient.Cell{{"80-90"}}},
		},
	}))
	fmt.Println(must(state.Answer("n", nutrient.Query{"soil": "clay"})).Figure)
	// Output: {72 90}
}
