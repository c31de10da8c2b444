// Package land works out where liquid, slurry and dug sludge may go: what setbacks
// leave of each field, what its crops need and take off in each crop year, how much
// phosphorus the rule in force allows, on which days each field may be spread on, how
// much water its soil takes on them, and what of each material counts in each place.
//
//	fields, err := land.Plan(spec)              // rooms, windows, shapes, open points
//	spread, err := fields.Allocation(materials) // what allocation.Allocate asks for
//
// It invents nothing: what is missing is an open point, and a field on which it hangs
// is not planned for.
package land
