package sludge

import "example.org/earthbasin/units"

// Sides says what the boundary of a survey is. The volume depends on it more than
// on anything that is measured in the middle of the basin.
type Sides int

const (
	// SidesUnknown is not told. A volume then has a bracket in place of an interval.
	SidesUnknown Sides = iota
	// SidesBanks is the waterline of sloped banks: the floor comes up to the
	// boundary, and around islands, so that the sludge ends there.
	SidesBanks
	// SidesVertical is walls: at the boundary the basin is as deep as in the middle.
	SidesVertical
)

var sidesNames = units.Names{"unknown", "banks", "vertical"}

// String returns the name that MarshalText writes.
func (s Sides) String() string { return sidesNames.String(int(s)) }

// MarshalText writes the name.
func (s Sides) MarshalText() ([]byte, error) { return sidesNames.Marshal(int(s)) }

// UnmarshalText reads a name; the error lists the names.
func (s *Sides) UnmarshalText(text []byte) error { return units.UnmarshalName(sidesNames, text, s) }

// BankRule says how the sludge meets the banks, where somebody has looked. Told
// wrongly it makes an interval that does not hold the truth.
type BankRule int

const (
	// BankOpen leaves it to the soundings: ways between level and draped are weighed
	// by how well they agree with what was read on the banks, and stay open where
	// nothing was.
	BankOpen BankRule = iota
	// BankLevel is a top as level over the banks as in the middle, so that the sludge
	// tapers out up the banks: liquid sludge that settled.
	BankLevel
	// BankDraped is a layer as thick on the banks as in the middle, and full to the
	// waterline where the floor comes up through it: stiff or piled sludge.
	BankDraped
)

var bankRuleNames = units.Names{"open", "level", "draped"}

// String returns the name that MarshalText writes.
func (r BankRule) String() string { return bankRuleNames.String(int(r)) }

// MarshalText writes the name.
func (r BankRule) MarshalText() ([]byte, error) { return bankRuleNames.Marshal(int(r)) }

// UnmarshalText reads a name; the error lists the names.
func (r *BankRule) UnmarshalText(text []byte) error {
	return units.UnmarshalName(bankRuleNames, text, r)
}
