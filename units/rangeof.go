package units

// Range is a low and a high value of one quantity or plain number: a published
// range, or an interval.
type Range[Q ~float64] struct {
	Low  Q `json:"low"`  // the low end, at most High
	High Q `json:"high"` // the high end
}

// Point returns the range that is the one value q.
func Point[Q ~float64](q Q) Range[Q] { return Range[Q]{q, q} }

// IsPoint reports whether low and high are equal.
func (r Range[Q]) IsPoint() bool { return r.Low == r.High }

// Mid returns the middle of the range.
func (r Range[Q]) Mid() Q { return r.Low/2 + r.High/2 }

// Half returns half the width of the range.
func (r Range[Q]) Half() Q { return r.High/2 - r.Low/2 }

// Has reports whether low <= q <= high.
func (r Range[Q]) Has(q Q) bool { return r.Low <= q && q <= r.High }

// UnitsValue returns the range as a value that a [Style] shows.
func (r Range[Q]) UnitsValue() any { return Span{any(r.Low), any(r.High)} }
