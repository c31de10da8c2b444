package nutrient

import "example.org/earthbasin/units"

// Element is a constituent that a laboratory reports beside N, P and K. The zero
// value is no element and is refused.
type Element = units.Enum[elementWords]

// Elements, by symbol.
const (
	Calcium    Element = iota + 1 // "Ca"
	Magnesium                     // "Mg"
	Sulfur                        // "S"
	Sodium                        // "Na"
	Chloride                      // "Cl"
	Copper                        // "Cu"
	Zinc                          // "Zn"
	Iron                          // "Fe"
	Manganese                     // "Mn"
	Boron                         // "B"
	Aluminium                     // "Al"
	Arsenic                       // "As"
	Cadmium                       // "Cd"
	Chromium                      // "Cr"
	Mercury                       // "Hg"
	Molybdenum                    // "Mo"
	Nickel                        // "Ni"
	Lead                          // "Pb"
	Selenium                      // "Se"
)

var elementNames = units.Names{
	"", "Ca", "Mg", "S", "Na", "Cl", "Cu", "Zn", "Fe", "Mn", "B", "Al",
	"As", "Cd", "Cr", "Hg", "Mo", "Ni", "Pb", "Se",
}

type elementWords struct{}

func (elementWords) Names() units.Names { return elementNames }
