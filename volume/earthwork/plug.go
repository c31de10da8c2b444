package earthwork

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/limits"
)

// PipeSpec is a run of pipe.
type PipeSpec struct {
	Inside  units.Length `json:"inside"`           // diameter
	Outside units.Length `json:"outside,omitzero"` // diameter; 0 when only the bore matters
	Length  units.Length `json:"length"`
}

// PipeResult is the bore and the displacement of a pipe.
type PipeResult struct {
	Bore      units.Volume `json:"bore"`      // to flush, and to fill when it is filled in place
	Displaced units.Volume `json:"displaced"` // by the outside of the pipe: to backfill when it is pulled; 0 without outside diameter
	Cautions  []string     `json:"cautions"`
	shown
}

// Pipe returns the content of a pipe and the ground it takes, pi/4 D^2 x length.
// Errors are [units.FieldError] with the json field.
func Pipe(spec PipeSpec) (PipeResult, error) {
	var f units.Faults
	limits.Positive(&f, "inside", spec.Inside, 100*units.Metre)
	limits.Positive(&f, "length", spec.Length, limits.MaxLength)
	if spec.Outside != 0 {
		limits.Positive(&f, "outside", spec.Outside, 100*units.Metre)
		if spec.Outside < spec.Inside {
			f.Add("outside", spec.Outside, "at least the inside diameter "+spec.Inside.Trade())
		}
	}
	if err := f.Err(); err != nil {
		return PipeResult{}, err
	}
	r := PipeResult{
		Bore:      cylinder(spec.Inside, spec.Length),
		Displaced: cylinder(spec.Outside, spec.Length),
		Cautions:  []string{cautions.Pipes},
	}
	r.lines.Add("bore", r.Bore, "pi/4 "+spec.Inside.Trade()+"^2 x "+spec.Length.Trade())
	if spec.Outside != 0 {
		r.lines.Add("ground taken", r.Displaced, "pi/4 "+spec.Outside.Trade()+"^2 x "+spec.Length.Trade())
	}
	return r, nil
}

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
}

// PlugResult is the concrete for the plugs.
type PlugResult struct {
	Neat     units.Volume `json:"neat"`     // pi/4 ID^2 x plug length x plugs
	Concrete units.Volume `json:"concrete"` // with waste
	Bags     int          `json:"bags"`     // rounded up, 0 without yield
	Cautions []string     `json:"cautions"`
	shown
}

// Plug returns the concrete that plugs take, with waste, and the bags rounded up
// over all plugs together. Errors are [units.FieldError] with the json field.
// Flowable fill that shall be dug again later stays below 150 psi (1,035 kPa) at
// 28 days, FHWA-RD-97-148.
func Plug(spec PlugSpec) (PlugResult, error) {
	var f units.Faults
	limits.Positive(&f, "inside", spec.Inside, 100*units.Metre)
	limits.Positive(&f, "plugLength", spec.PlugLength, limits.MaxLength)
	if spec.Plugs < 1 || spec.Plugs > 1000000 {
		f.Add("plugs", spec.Plugs, "1 to 1000000")
	}
	limits.OrZero(&f, "waste", spec.Waste, 1)
	limits.OrZero(&f, "yield", spec.Yield, limits.MaxVolume)
	if err := f.Err(); err != nil {
		return PlugResult{}, err
	}
	r := PlugResult{Neat: cylinder(spec.Inside, spec.PlugLength) * units.Volume(spec.Plugs), Cautions: []string{cautions.Pipes}}
	r.Concrete = r.Neat * units.Volume(1+spec.Waste)
	r.lines.Add("neat volume", units.As(r.Neat, units.CubicFoot, 2), "%d x pi/4 %s^2 x %s", spec.Plugs, spec.Inside, spec.PlugLength)
	r.lines.Add("with waste", units.As(r.Concrete, units.CubicFoot, 2), "neat x (1 + "+number(spec.Waste)+")")
	if spec.Yield > 0 {
		bags := float64(r.Concrete / spec.Yield)
		if !(bags <= maxLoads) {
			f.Add("yield", spec.Yield, "a bag of which at most 1e9 are needed")
			return PlugResult{}, f.Err()
		}
		r.Bags = ceil(bags)
		r.lines.Add("bags", r.Bags, "concrete / "+spec.Yield.Text(units.CubicFoot, 3)+", rounded up")
	}
	return r, nil
}
