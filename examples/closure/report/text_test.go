package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Columns are narrowed where it makes a table the least longer, never below their longest
// word, and words are measured once however often they are laid out.
func TestColumnWidths(t *testing.T) {
	rows := [][]string{{"Step", "Only after"}, {"agitate", "gas monitors, lifelines and a second person"}, {"calibrate the tank spreader", ""}}
	require.Equal(t, []int{27, 43}, columnWidths(rows, 80))
	require.Equal(t, []int{27, 27}, columnWidths(rows, 58), "two lines of one cell rather than of two")
	require.Equal(t, []int{9, 9}, columnWidths(rows, 5))
	long := [][]string{{strings.Repeat("word ", 400), strings.Repeat("another ", 400), "x"}}
	for range 40 {
		long = append(long, long[0])
	}
	narrowed := testing.AllocsPerRun(1, func() { columnWidths(long, 96) })
	whole := testing.AllocsPerRun(1, func() { columnWidths(long, 1e6) })
	require.InDelta(t, whole, narrowed, 100, "a column a step would take thousands")
}
