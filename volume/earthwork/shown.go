package earthwork

import (
	"slices"

	"example.org/earthbasin/units"
)

// shown is the part of an earthwork result that keeps how it came about.
type shown struct{ lines units.Working }

// Working returns the lines of the computation.
func (s shown) Working() units.Working { return slices.Clone(s.lines) }

// String returns the working as a table.
func (s shown) String() string { return s.lines.String() }
