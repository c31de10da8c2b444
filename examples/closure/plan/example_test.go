package plan_test

import (
	"bytes"
	"context"
	"fmt"
	"log"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

func ExampleRead() {
	p, err := plan.Read(context.Background(), plan.Demo())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(p.Results.Routes.Taken)
	fmt.Println(len(p.Results.Calendar.Rows), "steps,", len(p.Results.Fields.Fields), "fields")
	// Output:
	// agitate and pump
	// 39 steps, 5 fields
}

// Every fault comes at once, with its place in the file.
func ExampleRead_faults() {
	file := bytes.Replace(plan.Demo(), []byte(`"workDay": "9 h"`), []byte(`"workDay": "90 h"`), 1)
	file = bytes.Replace(file, []byte(`"depth": "12 ft"`), []byte(`"depth": "12"`), 1)
	_, err := plan.Read(context.Background(), file)
	for _, f := range units.FieldErrors(err) {
		fmt.Println(f.Field, "|", f.Kind, "|", f.GotText())
	}
	// Output:
	// basin.rectangular.depth | unit | "12"
	// removal.workDay | range | 90 h
}
