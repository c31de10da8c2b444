package study

import (
	"cmp"
	"slices"
)

// leastShown is the part of the variance below which an input is no driver, and chance
// how many errors an effect lies above 0 where it is none of chance.
const leastShown, chance = 0.001, 3

// mostShown is how many inputs the working of an output names by indices or screening.
const mostShown = 5

// largest returns those of a list whose size is not chance, the largest first.
func largest[T any](list []T, of func(T) (size, err float64)) []T {
	list = slices.DeleteFunc(slices.Clone(list), func(x T) bool {
		size, err := of(x)
		return !(size > chance*err && size > 0)
	})
	slices.SortStableFunc(list, func(a, b T) int {
		x, _ := of(a)
		y, _ := of(b)
		return cmp.Compare(y, x)
	})
	return list[:min(mostShown, len(list))]
}

// Drivers returns the effects of at most n inputs, those that explain most of the
// variance by themselves first, without those that may be chance.
func (o OutputResult) Drivers(n int) []Effect {
	list := slices.DeleteFunc(slices.Clone(o.Effects), func(e Effect) bool { return e.FirstOrder < max(leastShown, chance*e.Error) })
	slices.SortStableFunc(list, func(a, b Effect) int { return cmp.Compare(b.FirstOrder, a.FirstOrder) })
	return list[:min(n, len(list))]
}
