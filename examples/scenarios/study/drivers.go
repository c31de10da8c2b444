package study

import (
	"cmp"
	"slices"
)

// leastShown is the part of the variance below which an input is no driver, and chance
// how many errors an effect lies above 0 where it is none of chance.
const leastShown, chance = 0.001, 3

// Drivers returns the effects of at most n inputs, those that explain most of the
// variance by themselves first, without those that may be chance.
func (o OutputResult) Drivers(n int) []Effect {
	list := slices.DeleteFunc(slices.Clone(o.Effects), func(e Effect) bool { return e.FirstOrder < max(leastShown, chance*e.Error) })
	slices.SortStableFunc(list, func(a, b Effect) int { return cmp.Compare(b.FirstOrder, a.FirstOrder) })
	return list[:min(n, len(list))]
}
