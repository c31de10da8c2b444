package plan_test

import (
	"bytes"
	"context"
	"fmt"
	"log"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
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
	// 41 steps, 5 fields
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

// What a plan comes to with other figures, at a fraction of the time of a plan.
func ExamplePrepare() {
	var s plan.Scenario
	if err := strict.Decode(plan.Demo(), &s); err != nil {
		log.Fatal(err)
	}
	ctx := context.Background()
	p, err := plan.Prepare(ctx, s)
	if err != nil {
		log.Fatal(err)
	}
	draws, err := p.With([]string{plan.SludgeVolume})
	if err != nil {
		log.Fatal(err)
	}
	draw := draws.Worker(ctx)
	for _, text := range []string{"400000 gal", "420000 gal"} {
		v, err := draws.Read(0, text)
		if err != nil {
			log.Fatal(err)
		}
		o, err := draw([]float64{v})
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(text, o.Route, o.Days, "days, all placed:", o.Placed)
	}
	// Output:
	// 400000 gal agitate and pump 8 days, all placed: true
	// 420000 gal agitate and pump 9 days, all placed: false
}
