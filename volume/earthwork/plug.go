package earthwork

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// PipeSpec is a run of pipe.
type PipeSpec struct {
	Inside  units.Length `json:"inside"`           // diameter
	Outside units.Length `json:"outside,omitzero"` // diameter; 0 when only the bore matters
	Length  units.Length `json:"length"`           // more than 0 to 100 km
	// Cover is the depth of the trench in which it is laid open; 0 when it is not known,
	// and then the cautions are those of any depth.
	Cover units.Length `json:"cover,omitzero"`
}

// PipeResult is the bore and the displacement of a pipe.
type PipeResult struct {
	Spec      PipeSpec     `json:"spec"`      // what was asked
	Bore      units.Volume `json:"bore"`      // to flush, and to fill when it is filled in place
	Displaced units.Volume `json:"displaced"` // by the outside of the pipe: to backfill when it is pulled; 0 without outside diameter
	Cautions  []string     `json:"cautions"`  // what can hurt people, and who decides
}

// Pipe returns the content of a pipe and the ground it takes, pi/4 D^2 x length.
// Errors are [units.FieldError] with the json field.
func Pipe(spec PipeSpec) (PipeResult, error) {
	var f units.Faults
	f.UpTo("inside", spec.Inside, 100*units.Metre)
	f.UpTo("length", spec.Length, units.MaxLength)
	if spec.Outside != 0 {
		f.UpTo("outside", spec.Outside, 100*units.Metre)
		if spec.Outside < spec.Inside {
			f.Add("outside", spec.Outside, "at least the inside diameter of %v", spec.Inside)
		}
	}
	f.ZeroTo("cover", spec.Cover, units.MaxLength)
	if err := f.Err(); err != nil {
		return PipeResult{}, err
	}
	r := PipeResult{
		Spec:      spec,
		Bore:      cylinder(spec.Inside, spec.Length),
		Displaced: cylinder(spec.Outside, spec.Length),
		Cautions:  append(cautions.Digging(spec.Cover), cautions.Pipes, cautions.Gas),
	}
	return r, nil
}

// Working shows the bore and the ground that the pipe takes.
func (r PipeResult) Working() units.Working {
	var w units.Working
	w.Add("bore", r.Bore, "pi/4 (%v)^2 x %v", r.Spec.Inside, r.Spec.Length)
	if r.Spec.Outside != 0 {
		w.Add("ground taken", r.Displaced, "pi/4 (%v)^2 x %v", r.Spec.Outside, r.Spec.Length)
	}
	return w
}

// String prints the working.
func (r PipeResult) String() string { return r.Working().String() }

func cylinder(diameter, length units.Length) units.Volume {
	return diameter.Times(diameter).Times(length) * (math.Pi / 4)
}

// PlugSpec is concrete, grout or flowable fill that closes pipes. A pipe that is
// filled from end to end has PlugLength equal to its length.
type PlugSpec struct {
	Inside     units.Length `json:"inside"`         // diameter of the pipe
	PlugLength units.Length `json:"plugLength"`     // of one plug; no rule could be read, the engineer says
	Plugs      int          `json:"plugs"`          // 1 or more
	Waste      float64      `json:"waste"`          // extra concrete, a fraction of the neat volume, 0 to 1
	Yield      units.Volume `json:"yield,omitzero"` // of one bag; 0 for ready-mixed
	// Cover is the depth of the hole in which the end is laid open; 0 when it is not known,
	// and then the cautions are those of any depth.
	Cover units.Length `json:"cover,omitzero"`
}

// PlugResult is the concrete for the plugs.
type PlugResult struct {
	Spec     PlugSpec     `json:"spec"`     // what was asked
	Neat     units.Volume `json:"neat"`     // pi/4 ID^2 x plug length x plugs
	Concrete units.Volume `json:"concrete"` // with waste
	Bags     int          `json:"bags"`     // rounded up, 0 without yield
	Cautions []string     `json:"cautions"` // what can hurt people, and who decides
}

// Plug returns the concrete that plugs take, with waste, and the bags rounded up
// over all plugs together. Errors are [units.FieldError] with the json field.
// Flowable fill that shall be dug again later stays below 150 psi (1,035 kPa) at
// 28 days, FHWA-RD-97-148.
func Plug(spec PlugSpec) (PlugResult, error) {
	var f units.Faults
	f.UpTo("inside", spec.Inside, 100*units.Metre)
	f.UpTo("plugLength", spec.PlugLength, units.MaxLength)
	if spec.Plugs < 1 || spec.Plugs > 1000000 {
		f.Add("plugs", spec.Plugs, "1 to 1000000")
	}
	f.NumberZeroTo("waste", spec.Waste, 1)
	f.ZeroTo("yield", spec.Yield, units.MaxVolume)
	f.ZeroTo("cover", spec.Cover, units.MaxLength)
	if err := f.Err(); err != nil {
		return PlugResult{}, err
	}
	r := PlugResult{Spec: spec, Neat: cylinder(spec.Inside, spec.PlugLength) * units.Volume(spec.Plugs), Cautions: append(cautions.Digging(spec.Cover), cautions.Pipes, cautions.Gas)}
	r.Concrete = r.Neat * units.Volume(1+spec.Waste)
	if spec.Yield > 0 {
		bags := float64(r.Concrete / spec.Yield)
		if !(bags <= maxLoads) {
			f.Add("yield", spec.Yield, "a bag of which at most 1e9 are needed")
			return PlugResult{}, f.Err()
		}
		r.Bags = ceil(bags)
	}
	return r, nil
}

// Working shows the concrete and the bags.
func (r PlugResult) Working() units.Working {
	var w units.Working
	concrete := func(v units.Volume, decimals int) any { return units.As(v, units.CubicFoot, decimals) }
	w.Add("neat volume", concrete(r.Neat, 2), "%v x pi/4 (%v)^2 x %v", r.Spec.Plugs, r.Spec.Inside, r.Spec.PlugLength)
	w.Add("with waste", concrete(r.Concrete, 2), "neat x (1 + %v)", r.Spec.Waste)
	if r.Spec.Yield > 0 {
		w.Add("bags", r.Bags, "concrete / %v, rounded up", concrete(r.Spec.Yield, 3))
	}
	return w
}

// String prints the working.
func (r PlugResult) String() string { return r.Working().String() }
