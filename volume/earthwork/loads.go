package earthwork

import (
	"math"

	"example.org/earthbasin/units"
)

// TruckSpec is a truck or other hauling unit.
type TruckSpec struct {
	Volume  units.Volume `json:"volume"`           // loose soil it carries, more than 0
	Payload units.Mass   `json:"payload,omitzero"` // 0 when mass does not limit
}

// LoadsSpec asks for the number of loads of a soil.
type LoadsSpec struct {
	Volume units.Volume `json:"volume"` // 0 or more
	State  State        `json:"state"`  // of Volume
	Soil   SoilSpec     `json:"soil"`   // needs the swell, and a density when the truck has a payload
	Truck  TruckSpec    `json:"truck"`  // that carries it
}

// LoadsResult is the number of loads. Mass and ByMass are 0 when the truck has no
// payload limit.
type LoadsResult struct {
	Spec     LoadsSpec    `json:"spec"`            // what was asked
	Loose    units.Volume `json:"loose"`           // the volume as the truck carries it
	Mass     units.Mass   `json:"mass,omitzero"`   // of the soil
	ByVolume int          `json:"byVolume"`        // loose volume over that of the truck, rounded up
	ByMass   int          `json:"byMass,omitzero"` // mass over payload, rounded up
	Loads    int          `json:"loads"`           // the larger of the two
}

// maxLoads keeps the count an int on every platform.
const maxLoads = 1e9

// Loads returns the loads that carry the soil, rounded up: loose volume over the
// volume of the truck and, when the truck has a payload, mass over payload,
// whichever asks for more. Errors are [units.FieldError] with the json field.
func Loads(spec LoadsSpec) (LoadsResult, error) {
	var f units.Faults
	f.ZeroTo("volume", spec.Volume, units.MaxVolume)
	checkState(&f, "state", spec.State)
	soil := soilFor(&f, "soil", spec.Soil, StateLoose, spec.State)
	spec.Truck.check(&f)
	spec.Truck.weighs(&f, "soil", soil)
	if err := f.Err(); err != nil {
		return LoadsResult{}, err
	}
	r, err := spec.Truck.loads(soil.convert(spec.Volume, spec.State, StateLoose), soil)
	if err != nil {
		return LoadsResult{}, err
	}
	r.Spec = spec
	return r, nil
}

// Working shows the loads by volume and by mass.
func (r LoadsResult) Working() units.Working {
	var w units.Working
	w.Add("loose volume", earth(r.Loose), "from %v %v", earth(r.Spec.Volume), r.Spec.State)
	w.Add("loads by volume", r.ByVolume, "loose volume / %v, rounded up", earth(r.Spec.Truck.Volume))
	if r.ByMass > 0 {
		w.Add("loads by mass", r.ByMass, "%v / %v, rounded up", r.Mass, r.Spec.Truck.Payload)
	}
	w.Add("loads", r.Loads, "the larger number")
	return w
}

// String prints the working.
func (r LoadsResult) String() string { return r.Working().String() }

// check records the faults of the truck.
func (t TruckSpec) check(f *units.Faults) {
	f.UpTo("truck.volume", t.Volume, 1000*units.CubicMetre)
	f.ZeroTo("truck.payload", t.Payload, 1e7*units.Kilogram)
}

// weighs records a fault when the truck has a payload and the soil at path no
// density. A soil that is wrong itself is nil.
func (t TruckSpec) weighs(f *units.Faults, path string, soil *Soil) {
	if soil != nil && t.Payload > 0 && soil.looseDensity == 0 {
		f.Missing(path+".looseDensity", "a loose or bank density, because the truck has a payload")
	}
}

// loads counts the loads of a loose volume, without working.
func (t TruckSpec) loads(loose units.Volume, soil *Soil) (LoadsResult, error) {
	r := LoadsResult{Loose: loose}
	n, m := float64(loose/t.Volume), 0.0
	if t.Payload > 0 {
		r.Mass = soil.looseDensity.Times(loose)
		m = float64(r.Mass / t.Payload)
	}
	if !(max(n, m) <= maxLoads) {
		return LoadsResult{}, units.Fault(units.FaultConflict, "truck", units.Words("%.3g loads", max(n, m)), "a truck that needs at most 1e9 loads")
	}
	r.ByVolume, r.ByMass = ceil(n), ceil(m)
	r.Loads = max(r.ByVolume, r.ByMass)
	return r, nil
}

// ceil rounds up, but takes a whole number with rounding noise for that number.
func ceil(x float64) int {
	if near := math.Round(x); math.Abs(x-near) <= 1e-9*max(1, near) {
		return int(near)
	}
	return int(math.Ceil(x))
}
