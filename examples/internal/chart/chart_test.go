package chart_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/internal/chart"
)

func TestSVGIsWellFormedAndNamed(t *testing.T) {
	c := chart.Chart{ID: "a", Title: "Depth & <width>", Desc: "what it shows", XLabel: "x", YLabel: "y", XMax: 10, YMax: 5}
	c.Area(chart.Hatch, []chart.XY{{X: 0, Y: 0}, {X: 5, Y: 0}, {X: 5, Y: 4}})
	c.Line(chart.Dashed, chart.XY{X: 0, Y: 1}, chart.XY{X: 10, Y: 1})
	c.Bar(chart.Dots, 1, 2, 3)
	c.Mark(chart.XY{X: 3, Y: 3}, "3.1")
	c.Text(chart.XY{X: 4, Y: 4}, "<4>")
	c.Key(chart.Hatch, "cut")
	c.Key(chart.Full, "ground")
	svg := c.SVG()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		_, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
	}
	require.Contains(t, svg, `role="img" aria-labelledby="a-t a-d"`)
	require.Contains(t, svg, "<title id=\"a-t\">Depth &amp; &lt;width&gt;</title>")
	require.NotContains(t, svg, "NaN")
}

// Names on the left stand in for the numbers there, with more room.
func TestNamesOnTheLeft(t *testing.T) {
	c := chart.Chart{ID: "b", XMax: 1, YMin: -1.5, YMax: 0.5}
	c.Line(chart.Full, chart.XY{}, chart.XY{X: 1})
	numbers := c.SVG()
	require.Contains(t, numbers, ">-1<")
	c.YNames = []string{"price of N", "depth < 3 ft"}
	names := c.SVG()
	require.Contains(t, names, ">depth &lt; 3 ft<")
	require.NotContains(t, names, ">-1<")
	left := func(svg string) (x float64) {
		_, err := fmt.Sscanf(svg[strings.Index(svg, "<rect"):], `<rect x="%f"`, &x)
		require.NoError(t, err)
		return x
	}
	require.Greater(t, left(names), left(numbers)+100)
}

func TestNice(t *testing.T) {
	require.Equal(t, []float64{0, 2, 4, 6, 8, 10}, chart.Nice(0, 10, 6))
	require.Equal(t, []float64{0, 50, 100}, chart.Nice(-1, 110, 3))
	require.Nil(t, chart.Nice(1, 1, 5))
}
