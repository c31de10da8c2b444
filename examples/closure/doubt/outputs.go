package doubt

import (
	"math"
	"strings"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
)

// figure is one thing that a draw gives.
type figure struct {
	study.Output
	get func(o *plan.Outcome) float64
	of  func(x float64) any // as a value of its type, for readers
}

// outputs is what a draw gives.
type outputs struct {
	currency string
	figures  []figure
}

func newOutputs(s *plan.Scenario) outputs {
	o := outputs{currency: "money"}
	if s.Money != nil && s.Money.Currency != "" {
		o.currency = s.Money.Currency
	}
	money := func(x float64) any { return units.Money(round(x, 3)) }
	count := func(x float64) any { return units.Count{N: int(math.Round(x))} }
	add := func(name, unit string, get func(o *plan.Outcome) float64, of func(x float64) any) {
		o.figures = append(o.figures, figure{study.Output{Name: name, Unit: unit}, get, of})
	}
	add("cost", o.currency, func(d *plan.Outcome) float64 { return d.Cost }, money)
	add("worth of nutrients", o.currency, func(d *plan.Outcome) float64 { return d.Worth }, money)
	add("cost less payments and worth", o.currency, func(d *plan.Outcome) float64 { return d.Net }, money)
	add("days to empty", "d", func(d *plan.Outcome) float64 { return d.Days }, count)
	add("land", "acre", func(d *plan.Outcome) float64 { return d.Area.In(units.Acre) },
		func(x float64) any { return units.As(units.Area(x)*units.Acre, units.Acre, 0) })
	add("loads", "1", func(d *plan.Outcome) float64 { return d.Loads }, count)
	add("left over", "1000 gal", func(d *plan.Outcome) float64 { return d.Left.In(1000 * units.Gallon) },
		func(x float64) any { return units.As(units.Volume(round(x, 3))*1000*units.Gallon, units.Gallon, 0) })
	add("all is placed", "1", func(d *plan.Outcome) float64 {
		if d.Placed {
			return 1
		}
		return 0
	}, func(x float64) any { return units.Share(x) })
	o.figures[len(o.figures)-1].Share = true
	if s.Closing != nil {
		add("soil brought in", "yd3", func(d *plan.Outcome) float64 { return d.Import.In(units.CubicYard) },
			func(x float64) any { return units.As(units.Volume(round(x, 3))*units.CubicYard, units.CubicYard, 0) })
	}
	return o
}

// round rounds to n figures.
func round(x float64, n int) float64 {
	if x == 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-float64(n-1))
	return math.Round(x/step) * step
}

// list is the outputs in the order of [outputs.put].
func (o *outputs) list() (list []study.Output) {
	for _, x := range o.figures {
		list = append(list, x.Output)
	}
	return list
}

func (o *outputs) names() string {
	var list []string
	for _, x := range o.figures {
		if !x.Share {
			list = append(list, x.Name)
		}
	}
	return strings.Join(list, ", ")
}

// put writes the outputs of a draw.
func (o *outputs) put(d *plan.Outcome, out []float64) {
	for i := range o.figures {
		out[i] = o.figures[i].get(d)
	}
}
