package nutrient

import "example.org/earthbasin/units"

// Element is a constituent that a laboratory reports beside N, P and K. The zero
// value is no element and is refused.
type Element int

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

// String returns the symbol, which MarshalText writes.
func (e Element) String() string { return elementNames.String(int(e)) }

// MarshalText writes the symbol.
func (e Element) MarshalText() ([]byte, error) { return elementNames.Marshal(int(e)) }

// UnmarshalText reads a symbol; the error lists the symbols.
func (e *Element) UnmarshalText(text []byte) error {
	return units.UnmarshalName(elementNames, text, e)
}
