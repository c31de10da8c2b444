package chart_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
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
	svg := c.SVG(chart.Wide)
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		_, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
	}
	require.Contains(t, svg, `role="img" aria-labelledby="a-720-t a-720-d"`)
	require.Contains(t, svg, "<title id=\"a-720-t\">Depth &amp; &lt;width&gt;</title>")
	require.NotContains(t, svg, "NaN")
}

// Names on the left stand in for the numbers there, with more room.
func TestNamesOnTheLeft(t *testing.T) {
	c := chart.Chart{ID: "b", XMax: 1, YMin: -1.5, YMax: 0.5}
	c.Line(chart.Full, chart.XY{}, chart.XY{X: 1})
	numbers := c.SVG(chart.Wide)
	require.Contains(t, numbers, ">-1<")
	c.YNames = []string{"price of N", "depth < 3 ft"}
	names := c.SVG(chart.Wide)
	require.Contains(t, names, ">depth &lt; 3 ft<")
	require.NotContains(t, names, ">-1<")
	left := func(svg string) (x float64) {
		_, err := fmt.Sscanf(svg[strings.Index(svg, "<rect"):], `<rect x="%f"`, &x)
		require.NoError(t, err)
		return x
	}
	require.Greater(t, left(names), left(numbers)+30)
}

func TestNice(t *testing.T) {
	require.Equal(t, []float64{0, 2, 4, 6, 8, 10}, chart.Nice(0, 10, 6))
	require.Equal(t, []float64{0, 50, 100}, chart.Nice(-1, 110, 3))
	require.Nil(t, chart.Nice(1, 1, 5))
	require.Nil(t, chart.Nice(10961, math.Nextafter(10961, 1e9), 5), "apart by rounding alone")
}

// On a phone no text is smaller, and none leaves the picture.
func TestTextKeepsItsSize(t *testing.T) {
	c := chart.Chart{ID: "w", XLabel: "a long title of the axis below, thousands of gallons", YLabel: "a long title of the other axis, feet above the floor",
		XMax: 10, YMax: 5, Names: nil}
	for i := range 10 {
		c.Mark(chart.XY{X: float64(i), Y: 5 - float64(i%2)}, fmt.Sprintf("sounding %d", i))
	}
	c.Text(chart.XY{X: 10, Y: 5}, "in the corner")
	c.Key(chart.Full, "a meaning that is longer than a narrow picture is wide, and so stands in two lines")
	for _, width := range []float64{chart.Wide, chart.Narrow} {
		svg := c.SVG(width)
		require.NotContains(t, svg, "font-size")
		var height float64
		_, err := fmt.Sscanf(svg[strings.Index(svg, "viewBox"):], `viewBox="0 0 `+fmt.Sprintf("%.0f", width)+` %f"`, &height)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`<text[^>]* x="([0-9.-]+)" y="([0-9.-]+)" text-anchor="(\w+)">([^<]*)<`).FindAllStringSubmatch(svg, -1) {
			x, y := number(t, m[1]), number(t, m[2])
			w := 6.2 * float64(len(m[4]))
			low, high := x, x+w
			switch m[3] {
			case "middle":
				low, high = x-w/2, x+w/2
			case "end":
				low, high = x-w, x
			}
			require.Greater(t, low, -8.0, m[4])
			require.Less(t, high, width+8, m[4])
			require.Greater(t, y, 8.0, m[4])
			require.Less(t, y, height, m[4])
		}
	}
}

func number(t *testing.T, s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}
