package nutrient

import "example.org/earthbasin/units"

// Element is a constituent that a laboratory reports beside N, P and K. The zero
// value is no element and is refused.
type Element = units.Enum[elementWords]

// Elements, by symbol.
const (
	Calcium Element = 1 + iota
	Magnesium
	Sulfur
	Sodium
	Chloride
	Copper
	Zinc
	Iron
	Manganese
	Boron
	Aluminium
	Arsenic
	Cadmium
	Chromium
	Mercury
	Molybdenum
	Nickel
	Lead
	Selenium
)

var elementNames = units.Names{
	"", "Ca", "Mg", "S", "Na", "Cl", "Cu", "Zn", "Fe", "Mn", "B", "Al",
	"As", "Cd", "Cr", "Hg", "Mo", "Ni", "Pb", "Se",
}

type elementWords struct{}

func (elementWords) Names() units.Names { return elementNames }
