// Package allocation says which field takes how much of which material in which
// season, at the least cost of hauling and spreading less the value of the nutrients
// that the fields need, and with no limit broken.
//
//	plan, err := allocation.Allocate(ctx, spec) // materials, fields with their limits, seasons
//
// The plan goes out in whole loads where a material is hauled and in any amount where
// it is pumped. It comes with a bound below which no such plan can be, with the prices
// that say what more land, room or a shorter way would save, and, when the fields
// cannot take everything, with what is missing. [CostOfLimits] is the difference that
// the limits of one kind make, such as rates by phosphorus against rates by nitrogen, and
// [Robust] a plan whose rates hold in a share of draws of volume and contents. An
// [Allocator] plans many farms, one after the other, in the memory of the one before.
//
// A placement may go on a part of its field. Its least area counts what else goes on the
// field, and the plan says which placements then have to lie on separate ground, so that
// no limit is broken on any piece of the field.
//
// The limits come from package nutrient: [nutrient.NitrogenRoom],
// [nutrient.ForageRoom], [nutrient.Metals], [nutrient.Hydraulic], a budget or a rule
// of the site; or they are any other room or rate.
//
// It assumes that costs and uses grow in proportion to the amount: no price for
// setting up on a field. It is a plan on paper: what is spread, where and when, is
// for the permit, the rules of the state and the weather of the day.
package allocation
