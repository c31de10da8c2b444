package main

import (
	"bytes"
	"encoding/csv"
	"strconv"
)

// quantiles that the report gives.
var quantiles = []float64{0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99}

// renderCSV writes the study in long form: a row for each figure of each output,
// with the input when the figure is about one.
func renderCSV(m *model, d design, t *tally) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	row := func(o output, figure, input string, v float64) {
		w.Write([]string{o.name, o.unit, figure, input, number(v)}) // the error stays in w
	}
	w.Write([]string{"output", "unit", "figure", "input", "value"})
	all := output{name: "study"}
	row(all, "draws", "", float64(t.Draws))
	row(all, "refused", "", float64(t.Refused))
	for k, o := range m.outputs {
		s := t.Outputs[k]
		if t.Draws == 0 {
			continue
		}
		if o.share {
			row(o, "share", "", s.Mean)
		} else {
			row(o, "mean", "", s.Mean)
			row(o, "variance", "", t.variance(k))
			row(o, "skewness", "", t.skew(k))
			row(o, "min", "", s.Min)
			for _, p := range quantiles {
				row(o, "quantile "+number(p), "", s.sketch.quantile(p, s.Min, s.Max))
			}
			row(o, "max", "", s.Max)
		}
		for i, in := range m.inputs {
			if d.Sampling == SamplingFactorial && len(in.levels) == 1 {
				continue
			}
			e := t.sensitivity(m, i, k, d.Sampling == SamplingFactorial)
			row(o, "first order", in.name, e.FirstOrder)
			row(o, "mean at lowest", in.name, e.AtLow)
			row(o, "mean at highest", in.name, e.AtHigh)
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
