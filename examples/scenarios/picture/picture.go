// Package picture draws the result of a study: for each output the distribution of its
// draws, and how far its mean goes with each input.
package picture

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/examples/internal/chart"
	"example.org/earthbasin/examples/scenarios/study"
)

const (
	lowFill, highFill = "fill:#fff", "fill:#888"

	bars     = 48  // of a distribution
	mostRows = 12  // of a tornado
	width    = 720 // of a chart
)

// SVG draws the outputs to show, one under the other; all but shares when show is empty.
// Outputs that do not vary have no picture.
func SVG(title string, r study.Result, show []string) []byte {
	var b strings.Builder
	y := 58.0
	put := func(c *chart.Chart) {
		svg, h := c.Draw(chart.Wide)
		fmt.Fprintf(&b, `<text x="16" y="%.0f" font-weight="bold">%s</text>`+"\n", y+8, escape(c.Title))
		fmt.Fprintf(&b, `<svg y="%.0f" width="%d" height="%.0f">`+"\n%s</svg>\n", y+16, width, h, svg)
		y += h + 40
	}
	for k, o := range r.Outputs {
		if o.Share || r.Draws == 0 || o.Min == o.Max || len(show) > 0 && !slices.Contains(show, o.Name) {
			continue
		}
		put(distribution(o, k))
		if len(o.Effects) > 0 {
			put(tornado(o, k))
		}
	}
	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %.0f" width="%d" height="%.0f" style="background:#fff">`+"\n<title>%s</title>\n", width, y, width, y, escape(title))
	head += fmt.Sprintf(`<text x="16" y="24" font-weight="bold" style="font-size:16px">%s</text>`+"\n", escape(title))
	head += fmt.Sprintf(`<text x="16" y="42">%d draws, %v</text>`+"\n", r.Draws, r.Sampling)
	return []byte(head + b.String() + "</svg>\n")
}

func escape(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(s)
}

// distribution draws the draws of an output between its outer quantiles.
func distribution(o study.OutputResult, k int) *chart.Chart {
	low, high := o.Quantile(0.005), o.Quantile(0.995)
	if low == high {
		low, high = o.Min, o.Max
	}
	share := o.Bars(low, high, bars)
	step := (high - low) / bars
	c := &chart.Chart{ID: fmt.Sprintf("d%d", k), Title: o.Name,
		Desc: fmt.Sprintf("Distribution of %s: 5 %% of the draws are below %s, half below %s, 95 %% below %s %s.", o.Name,
			chart.Number(o.Quantile(0.05)), chart.Number(o.Quantile(0.5)), chart.Number(o.Quantile(0.95)), o.Unit),
		XLabel: o.Name + ", " + o.Unit, YLabel: "% of draws", XMin: low, XMax: high, YMax: 110 * slices.Max(share), Height: 260}
	for i, v := range share {
		c.Bar("fill:#ddd", low+float64(i)*step, low+float64(i+1)*step, 100*v)
	}
	for _, p := range []float64{0.05, 0.5, 0.95} {
		c.Line(chart.Dashed, chart.XY{X: o.Quantile(p)}, chart.XY{X: o.Quantile(p), Y: c.YMax})
	}
	c.Key(chart.Dashed, "5 %, 50 % and 95 % of the draws lie below")
	return c
}

// tornado draws how far the mean of an output goes with each input, those that explain
// most of its variance first.
func tornado(o study.OutputResult, k int) *chart.Chart {
	rows := o.Drivers(mostRows)
	low, high := o.Mean, o.Mean
	for _, e := range rows {
		low, high = min(low, e.AtLow, e.AtHigh), max(high, e.AtLow, e.AtHigh)
	}
	edge := 0.05*(high-low) + math.SmallestNonzeroFloat64
	c := &chart.Chart{ID: fmt.Sprintf("t%d", k), Title: "What " + o.Name + " hangs on",
		Desc:   "Mean of " + o.Name + " from the lowest to the highest values of each input, with the part of the variance that the input explains alone.",
		XLabel: "mean of " + o.Name + ", " + o.Unit + "; in brackets the part of the variance",
		XMin:   low - edge, XMax: high + edge}
	for i, e := range rows {
		y := -float64(i)
		c.YNames = append(c.YNames, fmt.Sprintf("%s (%.1f %%)", e.Input, 100*max(0, e.FirstOrder)))
		bar := func(style string, x float64) {
			c.Area(style+";stroke:#000;stroke-width:.7", []chart.XY{{X: o.Mean, Y: y - 0.35}, {X: x, Y: y - 0.35}, {X: x, Y: y + 0.35}, {X: o.Mean, Y: y + 0.35}})
		}
		bar(lowFill, e.AtLow)
		bar(highFill, e.AtHigh)
	}
	c.Key(lowFill, "where the input is at its lowest")
	c.Key(highFill, "where the input is at its highest")
	return c
}
