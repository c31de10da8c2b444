package sludge

import "math"

// sum adds with the running error kept (Neumaier), so that a million terms lose
// nothing.
type sum struct{ s, c float64 }

func (a *sum) add(v float64) {
	t := a.s + v
	if math.Abs(a.s) >= math.Abs(v) {
		a.c += (a.s - t) + v
	} else {
		a.c += (v - t) + a.s
	}
	a.s = t
}

func (a *sum) total() float64 { return a.s + a.c }
