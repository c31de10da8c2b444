// Package cautions holds the cautions that results carry, in one wording.
package cautions

import "example.org/earthbasin/units"

// Cautions of the results. The trench rules are those of 29 CFR
// 1926.651 and 1926.652 as secondary pages print them; the stand-off from a
// crest is common practice, no source.
const (
	Quantities = "These are quantities of earth. They do not say that a bank, a trench or a site is safe; local codes, the regulator and licensed practice decide."
	Services   = "Before any digging have the owners of buried lines locate and mark them (29 CFR 1926.651(b)), expose them by safe means when close, support them while open, and look for overhead wires within reach of the boom."
	Banks      = "Wet liners and banks loaded with sludge slide under a machine. Work from firm ground, tracks square to the edge, back from the crest by at least the depth of the cut, and have a competent person look at the bank each day and after rain (common practice, no source)."
	Drowning   = "A dried crust looks like ground and does not carry. Keep the fence, its latched gate and its signs until the basin is filled; work at the edge by daylight, with a life ring and rope at hand and never alone."
	Impound    = "Whether an embankment that can hold liquid may be lowered or breached, whether it counts as a dam, and the stability of its slopes are for a licensed engineer and the regulator, before work starts."
	Regulator  = "Have the regulator inspect the emptied basin before it is filled or graded; whether liner soil may stay, be pierced or must go, and which soil and groundwater tests show it, is the regulator's decision."
	Pipes      = "Leaving, filling or pulling a pipe below a road or an embankment is for a licensed engineer. Nobody enters a pipe, sump or pit of the system without tested air, forced ventilation, supplied-air apparatus, a line and two people outside."
	Spoil      = "Keep spoil and machines at least 2 ft from the edge of an excavation (29 CFR 1926.651)."
	WayOut     = "At 4 ft and deeper a trench needs a ladder or ramp within 25 ft of everyone in it (29 CFR 1926.651)."
	CaveIn     = "At 5 ft and deeper nobody is in the trench without sloping, shoring or a shield that a competent person has chosen (29 CFR 1926.652)."
	Gas        = "Stirred manure gives off hydrogen sulfide that kills without warning: keep people and stock away and upwind, and nobody enters the storage."
	Drawdown   = "Wet banks slump when the level falls fast, and ground water can lift a liner that is no longer weighed down: ask a licensed engineer about the rate."
	LandApply  = "Liquid goes on the land only as the nutrient plan and the weather allow; the regulator's limits come before these dates."
	Rollers    = "Fill near an open edge gives way under a roller: keep back from the edge, level the lift first, have a spotter on foot in sight of the driver, and roll-over protection and belts in use (common practice, no source)."
	Borrow     = "A borrow pit is an excavation: slope its sides, fence it while it is open, and close it so that it drains, or have it allowed as a pond; a permit for land disturbance may count its area with the site."
	SoftFloor  = "Nobody walks and no machine drives on a floor that pumps under foot. The first lift is pushed out ahead of the blade by a light machine that stays on it; a licensed engineer says how thick, and what lies below."
	PondWater  = "Have the water tested before stock drink it, fish are put in or it is let out; the limits are the regulator's."
	Design     = "Deeper than 20 ft the protection of an excavation is designed by a licensed engineer (29 CFR 1926.652)."
)

// Digging returns the cautions for an excavation of the given depth that people
// may enter; all of them where the depth is not known, which is 0.
func Digging(depth units.Length) []string {
	list := []string{Services, Spoil}
	for _, rule := range []struct {
		from units.Length
		text string
	}{{4 * units.Foot, WayOut}, {5 * units.Foot, CaveIn}, {20 * units.Foot, Design}} {
		if depth == 0 || depth >= rule.from {
			list = append(list, rule.text)
		}
	}
	return append(list, Quantities)
}
