// Package cover works out the green end of closing an earthen basin: the seed
// to order, lime, fertilizer, mulch and topsoil, when to plant, the soil that is
// lost while the ground is bare, while the cover grows and once it stands, and what
// a cost-share program or a bidder leaves to pay.
//
//	mix, err := cover.Mix(cover.MixSpec{
//		Area: 2 * units.Acre, Basis: cover.MixSharesOfSeeds, SeedsPerArea: 40 * units.SeedPerSquareFoot,
//		Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
//		Items: []cover.MixItemSpec{ ... },
//	})
//	for _, f := range rules.Judge(mix) { ... }        // a verdict line per rule
//
// # What is a choice
//
// Public sources disagree on much of this, so every choice is a field of the
// spec and comes back in the result: what "percent of a mix" means, the
// broadcast and critical-area factors (no default), which published number of
// seeds per pound, the basis of a lime need, the version of the slope length
// and steepness factor and its exponent, how the pasture table of C is read near
// bare ground, how a program counts partial acres.
//
// # What is data
//
// Species, rule sets, mulch limits, planting windows and soil rules are JSON, one
// file a state, with its sources and a source on every row: [PublishedState] has
// those that come with the package, and [ParseState] reads another strictly (its
// schema is data/state.schema.json). They are examples of what is in force somewhere,
// never a default for another place.
//
// # What is not confirmed by print
//
// The exponents of slope length that Agriculture Handbook 537 gives by grade were
// read in a public implementation of it, not in the handbook. Where [LS] goes beyond what was seen in print its result has
// a range. The constants of the erodibility
// nomograph are recalled and give its one known example. Form, season and nativity of
// the species table are general botany; bloom periods and heights have a source at
// the row, which says so where it is general botany too.
//
// # What is not here
//
// Erosivity and erodibility maps, payment schedules and prices are the caller's.
// The soil loss equation describes sheet and rill erosion on a uniform slope as a
// long-term average: no gullies, no single storms, no settling in a channel.
// A package of numbers does not design slopes, drains or outlets: that is
// licensed practice.
//
// # References
//
// Wischmeier and Smith, Predicting Rainfall Erosion Losses, USDA Agriculture
// Handbook 537 (1978). Renard and others, Predicting Soil Erosion by Water, USDA
// Agriculture Handbook 703 (1997). Pennsylvania DEP, Erosion and Sediment
// Pollution Control Program Manual 363-2134-008 (2012). Montana NRCS job sheet
// MT342-JS1 (2003). Penn State Agronomy Guide, soil acidity and lime. The rest
// stands beside each formula and row.
package cover
