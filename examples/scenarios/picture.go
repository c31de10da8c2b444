package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/examples/internal/chart"
)

const (
	lowFill, highFill = "fill:#fff", "fill:#888"

	bars       = 48    // of a distribution
	mostRows   = 12    // of a tornado
	leastShown = 0.001 // part of the variance
	width      = 720   // of a chart
)

// renderSVG draws the distribution and the tornado of each output to show, one
// under the other.
func renderSVG(m *model, s Study, d design, t *tally) []byte {
	var b strings.Builder
	y := 58.0
	put := func(c *chart.Chart) {
		svg, h := c.Draw(chart.Wide)
		fmt.Fprintf(&b, `<text x="16" y="%.0f" font-weight="bold">%s</text>`+"\n", y+8, c.Title)
		fmt.Fprintf(&b, `<svg y="%.0f" width="%d" height="%.0f">`+"\n%s</svg>\n", y+16, width, h, svg)
		y += h + 40
	}
	for k, o := range m.outputs {
		if !slices.Contains(s.Show, o.name) || t.Draws == 0 || t.Outputs[k].Min == t.Outputs[k].Max {
			continue
		}
		put(distribution(o, k, t))
		put(tornado(m, d, t, k))
	}
	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %.0f" width="%d" height="%.0f" style="background:#fff">`+"\n<title>%s</title>\n", width, y, width, y, escape(s.Title))
	head += fmt.Sprintf(`<text x="16" y="24" font-weight="bold" style="font-size:16px">%s</text>`+"\n", escape(s.Title))
	head += fmt.Sprintf(`<text x="16" y="42">%s; %d draws, %v</text>`+"\n", escape(s.Site), t.Draws, d.Sampling)
	return []byte(head + b.String() + "</svg>\n")
}

func escape(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(s)
}

// distribution draws the draws of output k between its outer quantiles.
func distribution(o output, k int, t *tally) *chart.Chart {
	s := t.Outputs[k]
	q := func(p float64) float64 { return s.sketch.quantile(p, s.Min, s.Max) }
	low, high := q(0.005), q(0.995)
	if low == high {
		low, high = s.Min, s.Max
	}
	var share [bars]float64
	step := (high - low) / bars
	for class, n := range s.sketch {
		// A class goes to the bars that it covers, in proportion.
		a, b := edges(class)
		a, b = max(a, s.Min), min(b, s.Max)
		for i := range share {
			x0, x1 := low+float64(i)*step, low+float64(i+1)*step
			part := 0.0
			switch {
			case b > a:
				part = max(0, min(b, x1)-max(a, x0)) / (b - a)
			case a >= x0 && (a < x1 || i == bars-1 && a == high):
				part = 1
			}
			share[i] += 100 * part * float64(n) / float64(t.Draws)
		}
	}
	c := &chart.Chart{ID: fmt.Sprintf("d%d", k), Title: o.name,
		Desc: fmt.Sprintf("Distribution of %s: 5 %% of the draws are below %s, half below %s, 95 %% below %s %s.", o.name,
			chart.Number(q(0.05)), chart.Number(q(0.5)), chart.Number(q(0.95)), o.unit),
		XLabel: o.name + ", " + o.unit, YLabel: "% of draws", XMin: low, XMax: high, YMax: 1.1 * slices.Max(share[:]), Height: 260}
	for i, v := range share {
		c.Bar("fill:#ddd", low+float64(i)*step, low+float64(i+1)*step, v)
	}
	for _, p := range []float64{0.05, 0.5, 0.95} {
		c.Line(chart.Dashed, chart.XY{X: q(p)}, chart.XY{X: q(p), Y: c.YMax})
	}
	c.Key(chart.Dashed, "5 %, 50 % and 95 % of the draws lie below")
	return c
}

// tornado draws how far the mean of output k goes with each input, those that explain
// most of its variance first.
func tornado(m *model, d design, t *tally, k int) *chart.Chart {
	type row struct {
		name string
		s    sensitivity
	}
	var rows []row
	for i, in := range m.inputs {
		if d.Sampling == SamplingFactorial && len(in.levels) == 1 {
			continue
		}
		if s := t.sensitivity(m, i, k, d.Sampling == SamplingFactorial); s.FirstOrder >= leastShown {
			rows = append(rows, row{in.name, s})
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(b.s.FirstOrder, a.s.FirstOrder) })
	rows = rows[:min(len(rows), mostRows)]
	o := m.outputs[k]
	mean := t.Outputs[k].Mean
	low, high := mean, mean
	for _, r := range rows {
		low, high = min(low, r.s.AtLow, r.s.AtHigh), max(high, r.s.AtLow, r.s.AtHigh)
	}
	edge := 0.05*(high-low) + math.SmallestNonzeroFloat64
	c := &chart.Chart{ID: fmt.Sprintf("t%d", k), Title: "What " + o.name + " hangs on",
		Desc:   "Mean of " + o.name + " from the lowest to the highest values of each input, with the part of the variance that the input explains alone.",
		XLabel: "mean of " + o.name + ", " + o.unit + "; in brackets the part of the variance",
		XMin:   low - edge, XMax: high + edge, YMin: -float64(len(rows)) + 0.5, YMax: 0.5, Height: 58 + 24*float64(len(rows))}
	for i, r := range rows {
		y := -float64(i)
		c.YNames = append(c.YNames, fmt.Sprintf("%s (%.1f %%)", r.name, 100*max(0, r.s.FirstOrder)))
		bar := func(style string, x float64) {
			c.Area(style+";stroke:#000;stroke-width:.7", []chart.XY{{X: mean, Y: y - 0.35}, {X: x, Y: y - 0.35}, {X: x, Y: y + 0.35}, {X: mean, Y: y + 0.35}})
		}
		bar(lowFill, r.s.AtLow)
		bar(highFill, r.s.AtHigh)
	}
	c.Key(lowFill, "where the input is at its lowest")
	c.Key(highFill, "where the input is at its highest")
	return c
}
