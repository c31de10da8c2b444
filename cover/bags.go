package cover

import (
	"math"

	"example.org/earthbasin/units"
)

const (
	mostBags = 1e9                  // keeps the count of bags in any int
	mostBag  = 1e6 * units.Kilogram // in one bag or bale, more than any holds
)

// inBags returns what is bought to have m, and in how many bags; no bag buys m
// itself. A bag is not opened for a rounding error. The fault names the field of
// the bag.
func inBags(field string, m, bag units.Mass) (bought units.Mass, n int, err error) {
	if bag == 0 {
		return m, 0, nil
	}
	x := math.Ceil(m.SI()/bag.SI() - 1e-9)
	if !(x <= mostBags) {
		return 0, 0, units.Fault(units.FaultRange, field, bag, "a bag of which at most 1e9 are needed for %v", m)
	}
	return units.Mass(x) * bag, int(x), nil
}

// inBagsWords adds a number of bags to a working line; 0 is sold by weight.
func inBagsWords(how units.Phrase, bags int) units.Phrase {
	if bags == 0 {
		return how
	}
	return how.And(", bags: %v", bags)
}
