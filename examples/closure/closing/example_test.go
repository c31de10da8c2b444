package closing_test

import (
	"fmt"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// Without soil, truck and prices the rows that hang on them stay open.
func ExamplePlan() {
	basin, err := volume.NewCircular(volume.CircularSpec{Diameter: 40 * units.Metre, At: volume.ReferenceTop, Depth: 3 * units.Metre, Slopes: []float64{3}})
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := closing.Plan(closing.Spec{
		Basin: basin, Ground: 2.4 * units.Metre, Chosen: closing.AlternativeFill,
		Crown:      &closing.Crown{LeastGrade: 0.02},
		Settlement: &earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign, Share: 0.05},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range r.Outcomes {
		fmt.Println(o.Alternative, "-", o.Verdict)
	}
	fill := r.Of(r.Chosen)
	fmt.Println("crown", fill.Crown.Build.Peak.Text(units.Metre, 2), "high")
	place := fill.Item("closing.fill.place")
	fmt.Println(place.What.Item, place.What.ValueText())
	// Output:
	// fill and crown - can be done
	// breach and grade - open
	// convert to a pond - open
	// crown 0.69 m high
	// place, compact and crown the fill 2,456 yd3
}
