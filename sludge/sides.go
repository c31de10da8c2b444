package sludge

import "example.org/earthbasin/units"

// Sides says what the boundary of a survey is. The volume depends on it more than
// on anything that is measured in the middle of the basin.
type Sides = units.Enum[sidesWords]

const (
	// SidesUnknown, "unknown", is not told. A volume then has a bracket in place of an interval.
	SidesUnknown Sides = iota
	// SidesBanks, "banks", is the waterline of sloped banks: the floor comes up to the
	// boundary, and around islands, so that the sludge ends there.
	SidesBanks
	// SidesVertical, "vertical", is walls: at the boundary the basin is as deep as in the middle.
	SidesVertical
)

var sidesNames = units.Names{"unknown", "banks", "vertical"}

type sidesWords struct{}

func (sidesWords) Names() units.Names { return sidesNames }

// BankRule says how the sludge meets the banks, where somebody has looked. Told
// wrongly it makes an interval that does not hold the truth.
type BankRule = units.Enum[bankRuleWords]

const (
	// BankOpen, "open", leaves it to the soundings: ways between level and draped are weighed
	// by how well they agree with what was read on the banks, and stay open where
	// nothing was.
	BankOpen BankRule = iota
	// BankLevel, "level", is a top as level over the banks as in the middle, so that the sludge
	// tapers out up the banks: liquid sludge that settled.
	BankLevel
	// BankDraped, "draped", is a layer as thick on the banks as in the middle, and full to the
	// waterline where the floor comes up through it: stiff or piled sludge.
	BankDraped
)

var bankRuleNames = units.Names{"open", "level", "draped"}

type bankRuleWords struct{}

func (bankRuleWords) Names() units.Names { return bankRuleNames }
