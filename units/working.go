package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"
)

// Line is one line of a result's working: what a paper form would show.
type Line struct {
	Item  string `json:"item"`  // what the figure is
	Value string `json:"value"` // the figure with its unit
	How   string `json:"how"`   // the formula or the place it comes from, empty for an input
}

// Working is the lines that show how a result came about, in the order of the
// computation. Its String is a plain table.
type Working []Line

// Add appends a line. A [Quantity] is shown in its trade unit and a float64 with
// four significant figures, anything else as fmt prints it.
func (w *Working) Add(item string, value any, how string) {
	var s string
	switch v := value.(type) {
	case string:
		s = v
	case float64:
		s = strconv.FormatFloat(v, 'g', 4, 64)
		if math.Abs(v) >= 1000 {
			s = group(v, 0)
		}
	default:
		s = show(value)
	}
	*w = append(*w, Line{item, s, how})
}

// String returns the lines as a table of three columns.
func (w Working) String() string {
	var b strings.Builder
	t := tabwriter.NewWriter(&b, 0, 4, 2, ' ', 0)
	for _, l := range w {
		fmt.Fprintf(t, "%s\t%s\t%s\n", l.Item, l.Value, l.How)
	}
	t.Flush()
	lines := strings.Split(b.String(), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	return strings.Join(lines, "\n")
}

// Money writes an amount of money, in the currency of the caller, with two
// decimals and thousands grouped.
func Money(x float64) string { return group(x, 2) }
