package calibrate

import (
	"math"
	"slices"

	"example.org/earthbasin/units"
)

// line is a stretch of a field on which the catch goes straight from one value to
// another.
type line struct{ from, to, left, right float64 }

// lines is a catch in straight stretches over one period of the field. Its figures
// are exact integrals.
type lines []line

// bend is a place where the summed catch changes its slope or, where a row of trays
// was cut off, jumps.
type bend struct{ at, slope, jump float64 }

// scratch is memory that the widths of one call share.
type scratch struct {
	bends []bend
	field lines
	ends  []float64
}

// overlapped returns the summed catch of all passes over one period, in s.
func (p Pattern) overlapped(width units.Length, drive Drive, s *scratch) lines {
	w, spacing := float64(width), float64(p.Spacing)
	period := w
	if drive == DriveToAndFro {
		period = 2 * w
	}
	n := len(p.Trays)
	// The sum bends where a tray of any pass lies, and nowhere else.
	bends := append(s.bends[:0], bend{})
	for i, c := range p.Trays {
		b := bend{at: float64(i)*spacing - float64(p.Line)}
		switch i {
		case 0:
			b.slope, b.jump = (p.Trays[1]-c)/spacing, c
		case n - 1:
			b.slope, b.jump = (p.Trays[i-1]-c)/spacing, -c
		default:
			b.slope = (p.Trays[i-1] - 2*c + p.Trays[i+1]) / spacing
		}
		bends = append(bends, bend{wrap(b.at, period), b.slope, b.jump})
		if drive == DriveToAndFro { // seen from the other side
			bends = append(bends, bend{wrap(w-b.at, period), b.slope, -b.jump})
		}
	}
	slices.SortFunc(bends, func(a, b bend) int { // all finite
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	bends = append(bends, bend{at: period})
	const slack = 1e-9 // of a tray, for the rounding of places that are one
	field := s.field[:0]
	var catch, slope, jump float64
	from := 0.0
	for _, b := range bends {
		if length := b.at - from; length > slack*spacing {
			if len(field) == 0 { // two inner places give the first line, also next to a jump
				q1, q3 := p.summed(from+length/4, w, drive), p.summed(b.at-length/4, w, drive)
				slope = 2 * (q3 - q1) / length
				catch = q1 - (q3-q1)/2
			} else {
				catch += jump
			}
			right := catch + slope*length
			field = append(field, line{from, b.at, max(0, catch), max(0, right)})
			catch, from, jump = right, b.at, 0
		}
		slope += b.slope // before the first line nothing comes of either
		jump += b.jump
	}
	s.bends, s.field = bends, field
	return field
}

// wrap returns x less whole periods, 0 to the period.
func wrap(x, period float64) float64 { return max(0, x-period*math.Floor(x/period)) }

// summed returns the catch of all passes at x from the driving line of pass 0; pass k
// drives at k widths.
func (p Pattern) summed(x, width float64, drive Drive) float64 {
	left, right := float64(p.Line), float64(len(p.Trays)-1)*float64(p.Spacing)-float64(p.Line)
	most := max(left, right) // how far a pass throws, driven either way
	sum := 0.0
	for k := math.Ceil((x - most) / width); k <= math.Floor((x+most)/width); k++ {
		t := x - k*width
		if drive == DriveToAndFro && math.Mod(k, 2) != 0 {
			t = -t
		}
		sum += p.at(t + left)
	}
	return sum
}

// integral returns the sum over the stretches of their length times what.
func (f lines) integral(what func(line) float64) float64 {
	sum := 0.0
	for _, l := range f {
		sum += (l.to - l.from) * what(l)
	}
	return sum
}

func (f lines) period() float64 { return f[len(f)-1].to - f[0].from }

func (f lines) mean() float64 {
	return f.integral(func(l line) float64 { return (l.left + l.right) / 2 }) / f.period()
}

// deviation returns the standard deviation from the mean m.
func (f lines) deviation(m float64) float64 {
	return math.Sqrt(f.integral(func(l line) float64 {
		a, b := l.left-m, l.right-m
		return (a*a + a*b + b*b) / 3
	}) / f.period())
}

// absolute returns the mean absolute deviation from m.
func (f lines) absolute(m float64) float64 {
	return f.integral(func(l line) float64 {
		a, b := l.left-m, l.right-m
		if a*b >= 0 {
			return math.Abs(a+b) / 2
		}
		return (a*a + b*b) / (2 * (math.Abs(a) + math.Abs(b))) // two triangles
	}) / f.period()
}

func (f lines) extremes() (low, high float64) {
	low, high = math.Inf(1), 0
	for _, l := range f {
		low, high = min(low, l.left, l.right), max(high, l.left, l.right)
	}
	return low, high
}

// below returns the share of the period where the catch is at most v, or below v, and
// the integral of the catch there.
func (f lines) below(v float64, orAt bool) (share, sum float64) {
	for _, l := range f {
		a, b := min(l.left, l.right), max(l.left, l.right)
		part := 0.0
		switch {
		case b < v || orAt && b <= v:
			part = 1
		case a < v: // so that a < b
			part, b = (v-a)/(b-a), v
		}
		share += part * (l.to - l.from)
		sum += part * (l.to - l.from) * (a + b) / 2
	}
	return share / f.period(), sum / f.period()
}

// lowQuarter returns the mean of the quarter of the period with the lowest catch.
func (f lines) lowQuarter(s *scratch) float64 {
	ends := s.ends[:0]
	for i, l := range f {
		if i == 0 || l.left != f[i-1].right {
			ends = append(ends, l.left)
		}
		ends = append(ends, l.right)
	}
	slices.Sort(ends)
	s.ends = ends
	// The first end at or below which a quarter lies; between ends the share rises
	// straight, at ends it may jump where the catch is level.
	i, _ := slices.BinarySearchFunc(ends, 0.25, func(v, quarter float64) int {
		if share, _ := f.below(v, true); share < quarter {
			return -1
		}
		return 1
	})
	i = min(i, len(ends)-1)
	limit := ends[i]
	if upTo, _ := f.below(limit, false); i > 0 && upTo > 0.25 {
		from, _ := f.below(ends[i-1], true)
		limit = ends[i-1] + (limit-ends[i-1])*(0.25-from)/(upTo-from)
	}
	share, sum := f.below(limit, false)
	return (sum + (0.25-share)*limit) / 0.25
}

// profile returns the ends of the stretches, those that meet as one point.
func (f lines) profile() []OverlapPoint {
	list := append(make([]OverlapPoint, 0, len(f)+3), OverlapPoint{units.Length(f[0].from), f[0].left})
	_, top := f.extremes()
	for i, l := range f {
		if i > 0 && math.Abs(l.left-f[i-1].right) > 1e-9*top {
			list = append(list, OverlapPoint{units.Length(l.from), l.left})
		}
		list = append(list, OverlapPoint{units.Length(l.to), l.right})
	}
	return list
}
