package doubt

import (
	"strings"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
)

// outputs is what a draw gives.
type outputs struct {
	currency string
	closing  bool // is planned
}

func newOutputs(s *plan.Scenario) outputs {
	o := outputs{currency: "money", closing: s.Closing != nil}
	if s.Money != nil && s.Money.Currency != "" {
		o.currency = s.Money.Currency
	}
	return o
}

// list is the outputs in the order of [outputs.put].
func (o *outputs) list() []study.Output {
	list := []study.Output{
		{Name: "cost", Unit: o.currency},
		{Name: "worth of nutrients", Unit: o.currency},
		{Name: "net cost", Unit: o.currency}, // less payments and worth
		{Name: "days to empty", Unit: "d"},
		{Name: "land", Unit: "acre"},
		{Name: "loads", Unit: "1"},
		{Name: "left over", Unit: "1000 gal"},
		{Name: "all is placed", Unit: "1", Share: true},
	}
	if o.closing {
		list = append(list, study.Output{Name: "soil brought in", Unit: "yd3"})
	}
	return list
}

func (o *outputs) names() string {
	var list []string
	for _, x := range o.list() {
		if !x.Share {
			list = append(list, x.Name)
		}
	}
	return strings.Join(list, ", ")
}

// put writes the outputs of a draw.
func (o *outputs) put(d *plan.Outcome, out []float64) {
	placed := 0.0
	if d.Placed {
		placed = 1
	}
	out = append(out[:0], d.Cost, d.Worth, d.Net, d.Days, d.Area.In(units.Acre), d.Loads, d.Left.In(1000*units.Gallon), placed)
	if o.closing {
		_ = append(out, d.Import.In(units.CubicYard))
	}
}
