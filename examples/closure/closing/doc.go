// Package closing plans the last stage of a closure: what happens to the basin once
// the waste is out of it. [Plan] works out the alternatives side by side, each to its
// end: fill and crown; breach the berm and grade with the soil that is there; or convert
// to a pond. Each has its quantities, hours and costs with their interval, its tasks
// with what they wait for and the cautions of the day, the evidence to keep, the
// conditions on which it is allowed, and, where it cannot be done, the reason.
//
//	r, err := closing.Plan(closing.Spec{Basin: basin, Ground: 9 * units.Foot, Chosen: closing.AlternativeFill})
//
// Only the basin, the level of the ground and the alternative are required. A part that
// is missing, a soil, a truck, a crown, a price, leaves its rows open and says what to
// measure or decide; nothing is made up in its place.
//
// The basin may be of any kind that package volume has. Areas and volumes are those of
// its level sections; where the outline of a section is not known, as in a basin known
// only by its areas, the crown needs an outline from the caller.
//
// Nothing here says that a bank stands, a fill carries or a berm may be breached: local
// codes, the regulator and licensed practice decide.
package closing
