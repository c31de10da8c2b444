package earthwork

import (
	"strconv"

	"example.org/earthbasin/units"
)

// cubicYards writes an earth volume the way earth is bought and hauled.
func cubicYards(v units.Volume) string { return v.Text(units.CubicYard, 1) }

// number writes a plain number for the working.
func number(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
