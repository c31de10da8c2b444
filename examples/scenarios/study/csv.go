package study

import (
	"bytes"
	"encoding/csv"
	"strconv"
)

// quantiles are those of [Result.CSV].
var quantiles = []float64{0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99}

// CSV returns the figures in long form: a row for each figure of each output, with the
// input when the figure is about one.
func (r Result) CSV() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	row := func(o OutputResult, figure, input string, v float64) {
		w.Write([]string{o.Name, o.Unit, figure, input, number(v)}) // the error stays in w
	}
	w.Write([]string{"output", "unit", "figure", "input", "value"})
	all := OutputResult{Name: "study"}
	row(all, "draws", "", float64(r.Draws))
	row(all, "refused", "", float64(r.Refused))
	for _, o := range r.Outputs {
		switch {
		case r.Draws == 0:
			continue
		case o.Share:
			row(o, "share", "", o.Mean)
		default:
			row(o, "mean", "", o.Mean)
			row(o, "variance", "", o.Variance)
			row(o, "skewness", "", o.Skewness)
			row(o, "min", "", o.Min)
			for _, p := range quantiles {
				row(o, "quantile "+number(p), "", o.Quantile(p))
			}
			row(o, "max", "", o.Max)
		}
		for _, e := range o.Effects {
			row(o, "first order", e.Input, e.FirstOrder)
			row(o, "mean at lowest", e.Input, e.AtLow)
			row(o, "mean at highest", e.Input, e.AtHigh)
		}
		for _, i := range o.Indices {
			row(o, "first order", i.Input, i.FirstOrder)
			row(o, "error of first order", i.Input, i.FirstError)
			row(o, "total", i.Input, i.Total)
			row(o, "error of total", i.Input, i.TotalError)
		}
		for _, s := range o.Screen {
			row(o, "mean effect", s.Input, s.Mean)
			row(o, "mean size of effect", s.Input, s.MeanAbs)
			row(o, "error of size", s.Input, s.Error)
			row(o, "deviation of effect", s.Input, s.SD)
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// RowsCSV returns a function for [Options.Rows] that writes each evaluation as a row of
// CSV: the draw, the inputs, the outputs, and why it was refused; and the head of them.
func (s *Study) RowsCSV(write func(row []byte) error) (head []byte, rows func(draw int64, values, out []float64, err error) error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	text := func(fields []string) ([]byte, error) {
		b.Reset()
		w.Write(fields) // the error stays in w
		w.Flush()
		return b.Bytes(), w.Error()
	}
	fields := []string{"draw"}
	for _, in := range s.model.Inputs {
		fields = append(fields, in.Path)
	}
	for _, o := range s.model.Outputs {
		fields = append(fields, o.Name)
	}
	head, _ = text(append(fields, "refused"))
	head = bytes.Clone(head)
	return head, func(draw int64, values, out []float64, err error) error {
		fields = append(fields[:0], strconv.FormatInt(draw, 10))
		for _, v := range values {
			fields = append(fields, number(v))
		}
		why := ""
		if err != nil {
			why = err.Error()
		}
		for _, v := range out {
			if err != nil {
				fields = append(fields, "")
			} else {
				fields = append(fields, number(v))
			}
		}
		row, wrong := text(append(fields, why))
		if wrong != nil {
			return wrong
		}
		return write(row)
	}
}
