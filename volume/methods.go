package volume

import (
	"math"

	"example.org/earthbasin/units"
)

// Method names how a volume is worked out from the areas of level sections. The
// zero value is refused: the methods differ by up to several percent, and the
// caller has to know which one stands behind a figure.
type Method = units.Enum[methodWords]

const (
	// MethodEndArea, "average end area", is the mean of the end areas times the depth: the area is
	// linear between sections. Never low on a basin with plane banks.
	MethodEndArea Method = iota + 1
	// MethodConic, "conic", is D/3 (A + C + √(AC)), exact where the ends are similar.
	MethodConic
	// MethodPrismoidal, "prismoidal", is D/6 (A + 4B + C) with the area B at mid-depth, exact
	// for every section whose area is a cubic of the height or simpler: all
	// basins with plane or conical banks.
	MethodPrismoidal
	// MethodMidArea, "mid-area", is the area at mid-depth times the depth. Low on a basin
	// with plane banks by half as much as MethodEndArea is high.
	MethodMidArea
)

var methodNames = units.Names{"", "average end area", "conic", "prismoidal", "mid-area"}

type methodWords struct{}

func (methodWords) Names() units.Names { return methodNames }

// SliceSpec is a body between two level sections.
type SliceSpec struct {
	Method Method       `json:"method"`       // how the volume is worked out
	Bottom units.Area   `json:"bottom"`       // not for MethodMidArea
	Mid    units.Area   `json:"mid,omitzero"` // at half the depth; for MethodPrismoidal and MethodMidArea only
	Top    units.Area   `json:"top"`          // not for MethodMidArea
	Depth  units.Length `json:"depth"`        // between bottom and top
}

// Slice returns the volume of spec by its method. Areas are 0 or more and the
// depth more than 0; an area that the method does not use must be left out.
// Average end area and conic are equations 10.18 and 10.19 of FHWA, Hydraulic
// Engineering Circular 22, 4th edition, 2024.
func Slice(spec SliceSpec) (units.Volume, error) {
	var f units.Faults
	f.UpTo("depth", spec.Depth, units.MaxLength)
	area := func(field string, a units.Area, used bool) {
		f.ZeroTo(field, a, units.MaxArea)
		if !used && a != 0 {
			f.Fault(units.FaultConflict, field, a, "left out with the method %v", spec.Method)
		}
	}
	if !methodNames.Has(int(spec.Method)) {
		f.Add("method", spec.Method, methodNames.Want())
	}
	area("bottom", spec.Bottom, spec.Method != MethodMidArea)
	area("mid", spec.Mid, spec.Method == MethodPrismoidal || spec.Method == MethodMidArea)
	area("top", spec.Top, spec.Method != MethodMidArea)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return units.Volume(sliceVolume(spec.Method, float64(spec.Bottom), float64(spec.Mid), float64(spec.Top), float64(spec.Depth))), nil
}

// sliceVolume works out one slice; m is known.
func sliceVolume(m Method, bottom, mid, top, depth float64) float64 {
	switch m {
	case MethodEndArea:
		return depth * (bottom + top) / 2
	case MethodConic:
		return depth / 3 * (bottom + top + math.Sqrt(bottom)*math.Sqrt(top))
	case MethodPrismoidal:
		return depth / 6 * (bottom + 4*mid + top)
	}
	return depth * mid
}

// MethodVolume is the volume of a body by one method, and how far that is from
// the integral of its sections.
type MethodVolume struct {
	Method        Method       `json:"method"`        // one of the four
	Volume        units.Volume `json:"volume"`        // of the body as one slice
	RelativeError float64      `json:"relativeError"` // (volume - exact)/exact
}

// CompareMethodsSpec is a part of a basin, of which something lies between the heights.
type CompareMethodsSpec struct {
	Basin Basin        `json:"-"`    // not nil
	Low   units.Length `json:"low"`  // 0 or more
	High  units.Length `json:"high"` // above Low, at most the depth
}

// CompareMethods returns the volume of a part of a basin, taken as one slice, by each
// method in turn. Errors are [units.FieldError] with the json field.
func CompareMethods(spec CompareMethodsSpec) ([]MethodVolume, error) {
	b, low, high := spec.Basin, spec.Low, spec.High
	var f units.Faults
	checkBasin(&f, b)
	if err := f.Err(); err != nil {
		return nil, err
	}
	exact := b.VolumeAt(high) - b.VolumeAt(low)
	if !(low >= 0 && low < high && high <= b.Depth() && exact > 0) {
		f.Add("high", high, "more than low, which is %v, with both in the depth of %v", low, b.Depth())
		return nil, f.Err()
	}
	var list []MethodVolume
	bottom, mid, top := b.AreaAt(low), b.AreaAt(low+(high-low)/2), b.AreaAt(high)
	for _, m := range []Method{MethodEndArea, MethodConic, MethodPrismoidal, MethodMidArea} {
		v := sliceVolume(m, float64(bottom), float64(mid), float64(top), float64(high-low))
		list = append(list, MethodVolume{m, units.Volume(v), v/float64(exact) - 1})
	}
	return list, nil
}
