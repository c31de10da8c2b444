package study

import (
	"cmp"
	"slices"
)

// leastShown is the part of the variance below which an input is no driver.
const leastShown = 0.001

// Drivers returns the effects of at most n inputs, those that explain most of the
// variance by themselves first.
func (o OutputResult) Drivers(n int) []Effect {
	list := slices.DeleteFunc(slices.Clone(o.Effects), func(e Effect) bool { return e.FirstOrder < leastShown })
	slices.SortStableFunc(list, func(a, b Effect) int { return cmp.Compare(b.FirstOrder, a.FirstOrder) })
	return list[:min(n, len(list))]
}
