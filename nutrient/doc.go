// Package nutrient works out what the nutrients of manure, effluent and lagoon
// sludge are good for: how much a laboratory report says the material holds, how
// much of that a crop can use in each year, what the crop needs and removes, and
// which rule limits the rate.
//
// # From a laboratory report to available nitrogen
//
// A report in any basis becomes an [Analysis]. A coefficient set ([Set]) answers
// which fraction of each pool becomes available in which year; sets are JSON
// files and the published ones come with the package ([Published]).
// [Available] puts the two together, with earlier applications carried over.
//
// # Limits, rates and allocations
//
// [FieldRate] takes the least of all limits on a field and shows the slack of the
// others; [NitrogenRoom], [ForageRoom], [Metals] and [Hydraulic] make limits, and
// a [Limit] can be any other. [LandBase] says how much land a stock needs, and
// [Worth] what it is worth there. [Allocate] spreads several materials over many
// fields and seasons at the least cost, in whole loads, with the prices that say
// what more land, room or a shorter way would save. It assumes that costs and
// uses grow in proportion to the amount: no price for setting up on a field.
//
// # Forms
//
// Material is handled by volume or by weight. [Amount], [Content] and [Rate]
// hold a quantity of either kind with its [Form] and convert between the forms
// only with a density that the caller gives.
//
// Element and oxide are told apart by the names of fields: P is phosphorus, P2O5
// its oxide, and units.Oxides says which factor stands between them.
package nutrient
