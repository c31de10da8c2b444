package volume

import (
	"example.org/earthbasin/units"
)

// Basin is a solid of level sections. Heights run upward from the lowest point
// of the floor; a height below 0, or NaN, counts as 0, and one above the depth
// as the depth. VolumeAt is the integral of AreaAt from 0, and both are safe for
// concurrent use. A type of the caller that keeps these rules serves every
// function of the package.
type Basin interface {
	// Depth returns the height of the top of the bank, more than 0.
	Depth() units.Length
	// AreaAt returns the area of the level section at height h.
	AreaAt(h units.Length) units.Area
	// VolumeAt returns the content below height h.
	VolumeAt(h units.Length) units.Volume
}

// Capacity returns what b holds filled to the top of the bank; nil holds nothing.
func Capacity(b Basin) units.Volume {
	if units.IsNil(b) {
		return 0
	}
	return b.VolumeAt(b.Depth())
}

// Reference names the level at which the size of a basin was measured. There is
// no usual case: the zero value is refused.
type Reference = units.Enum[referenceWords]

const (
	ReferenceFloor     Reference = iota + 1 // "floor": the toe of the banks
	ReferenceWaterLine                      // "water line": at WaterDepth above the floor
	ReferenceTop                            // "top of bank": the inside top
)

var referenceNames = units.Names{"", "floor", "water line", "top of bank"}

type referenceWords struct{}

func (referenceWords) Names() units.Names { return referenceNames }

const (
	minSide = units.Millimetre // of a basin, or its depth
	slack   = 1e-9             // the relative error of a size that is taken for rounding
)

// clamp returns h held inside 0 to depth, NaN as 0.
func clamp(h, depth units.Length) float64 {
	if !(h > 0) {
		return 0
	}
	return float64(min(h, depth))
}

// side records a fault unless l is a length that a basin can have.
func side(f *units.Faults, field string, l units.Length) {
	f.Between(field, l, minSide, units.MaxLength)
}

// checkPlan records what is wrong with the part that every sloped plan has:
// the reference level, the depths and the slopes, of which there may be one or
// as many as the plan has edges. It returns the height of the reference level
// and one slope per edge.
func checkPlan(f *units.Faults, at Reference, depth, water units.Length, slopes []float64, edges int) (units.Length, []float64) {
	side(f, "depth", depth)
	var level units.Length
	switch at {
	case ReferenceFloor:
	case ReferenceTop:
		level = depth
	case ReferenceWaterLine:
		level = water
		if !(water > 0 && water <= depth) {
			f.Add("waterDepth", water, "more than 0 and no more than the depth of %v", depth)
		}
	default:
		f.Add("at", at, referenceNames.Want())
	}
	if at != ReferenceWaterLine && water != 0 {
		f.Fault(units.FaultConflict, "waterDepth", water, "left out unless the size was measured at the water line")
	}
	all := make([]float64, edges)
	switch len(slopes) {
	case 0:
		f.Missing("slopes", "one slope, horizontal per vertical, or one for each bank")
	case 1:
		for i := range all {
			all[i] = slopes[0]
		}
	case edges:
		copy(all, slopes)
	default:
		f.Count("slopes", len(slopes), "slopes", "1 or %v", edges)
	}
	for i, z := range slopes {
		at := f.At("slopes", i)
		at.NumberZeroTo("", z, units.MaxSlope)
	}
	return level, all
}

// levelField names the input that says how high the reference level is.
func levelField(at Reference) string {
	if at == ReferenceWaterLine {
		return "waterDepth"
	}
	return "depth"
}

// mostOfBasin is more metres, square metres and cubic metres than any solid of this
// package has, and little enough for products of them to stay numbers.
const mostOfBasin = 1e20

// checkBasin records a fault unless b is a basin of some depth and content, with areas at
// the floor, half-way and at the top: it may be of a type of the caller.
func checkBasin(f *units.Faults, b Basin) {
	if units.IsNil(b) {
		f.Missing("basin", "a basin")
		return
	}
	d := b.Depth()
	if !(d > 0 && d <= mostOfBasin) {
		f.Add("basin", d, "a depth of more than 0 that a basin can have")
		return
	}
	if v := Capacity(b); !(v > 0 && v <= mostOfBasin) {
		f.Add("basin", v, "a capacity of more than 0 that a basin can have")
		return
	}
	for _, h := range [...]units.Length{0, d / 2, d} {
		if a := b.AreaAt(h); !(a >= 0 && a <= mostOfBasin) {
			f.Add("basin", a, "an area of 0 or more that a basin can have, at a height of %v", h)
			return
		}
	}
}
