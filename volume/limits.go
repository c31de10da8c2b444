package volume

import (
	"strconv"

	"example.org/earthbasin/units"
)

// Limits of the earthwork inputs besides those of a basin. They lie far beyond any
// site and keep every product of three inputs finite.
const (
	farthest = 1e8 * units.Metre // coordinates of a plan, whatever its grid
	widest   = 1e10 * units.SquareMetre
	largest  = 1e12 * units.CubicMetre
)

// positive records a fault unless 0 < q <= most. The two are of one type.
func positive(f *units.Faults, field string, q, most units.Quantity) {
	if v := q.SI(); !(v > 0 && v <= most.SI()) {
		f.Add(field, q, "more than 0, at most "+most.Trade())
	}
}

// cubicYards writes an earth volume the way earth is bought and hauled.
func cubicYards(v units.Volume) string { return v.Text(units.CubicYard, 1) }

// number writes a plain number for the working.
func number(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
