package removal

import (
	"cmp"
	"math"

	"example.org/earthbasin/units"
)

// LoadingRule says where the efficiency of the loader counts. The number of trucks
// and the output differ.
type LoadingRule = units.Enum[loadingWords]

const (
	// LoadingPeak, "peak", loads a truck at the peak rate, and multiplies the output of the
	// whole fleet by the efficiency, as with a working hour of 50 minutes.
	LoadingPeak LoadingRule = iota + 1
	// LoadingEffective, "effective", loads a truck at the peak rate times the efficiency; the
	// trucks lose nothing else.
	LoadingEffective
)

var loadingNames = units.Names{"", "peak", "effective"}

type loadingWords struct{}

func (loadingWords) Names() units.Names { return loadingNames }

// Bottleneck is what limits the output of a haul.
type Bottleneck = units.Enum[bottleneckWords]

const (
	// BottleneckNone ("none"): the fleet matches the loader.
	BottleneckNone Bottleneck = iota
	// BottleneckTrucks ("trucks"): the loader waits for trucks; another truck adds output.
	BottleneckTrucks
	// BottleneckLoader ("loader"): trucks queue at the loader; a faster loader adds output.
	BottleneckLoader
)

var bottleneckNames = units.Names{"none", "trucks", "loader"}

type bottleneckWords struct{}

func (bottleneckWords) Names() units.Names { return bottleneckNames }

// Bucket is an excavator or loader that fills trucks.
type Bucket struct {
	Size  units.Volume   `json:"size"`  // heaped, loose
	Fill  float64        `json:"fill"`  // of the heaped size, above 0 to 1.3
	Cycle units.Duration `json:"cycle"` // dig, swing, dump, swing back
	// Width of the bucket and Pass, the length that it is drawn through the sludge, say
	// what a thin layer puts into it: no more than layer x width x pass. Both or none.
	Width units.Length `json:"width,omitempty"` // 1 in to 60 ft
	Pass  units.Length `json:"pass,omitempty"`  // 1 in to 300 ft
}

// Fleet is trucks or tank wagons with what loads them.
type Fleet struct {
	Trucks   int          `json:"trucks"`            // 1 to 1000
	Capacity units.Volume `json:"capacity"`          // of one, loose
	Fill     float64      `json:"fill"`              // share of the capacity in a load, above 0 to 1.3
	Payload  units.Mass   `json:"payload,omitempty"` // most that one may carry, 0 for no limit
	Road     *Road        `json:"road,omitempty"`    // legal limits on the way; nil where no public road is used

	LoadRate   units.Flow  `json:"loadRate,omitempty"` // peak, of pump or loader; or Bucket
	Bucket     *Bucket     `json:"bucket,omitempty"`   // gives the peak rate size x fill / cycle
	Efficiency float64     `json:"efficiency"`         // share of the hour that the loading gets done, above 0 to 1
	Loading    LoadingRule `json:"loading"`            // where the efficiency counts

	Distance  units.Length   `json:"distance,omitempty"`  // one way; driven out and back
	SpeedOut  units.Speed    `json:"speedOut,omitempty"`  // loaded; above 0 with a distance
	SpeedBack units.Speed    `json:"speedBack,omitempty"` // empty; above 0 with a distance
	Travel    units.Duration `json:"travel,omitempty"`    // out and back together, instead of distance and speeds
	Unload    units.Duration `json:"unload"`              // tip, spread or pump out; 0 or more
	Wait      units.Duration `json:"wait,omitempty"`      // fixed delays of each trip: spotting, scales, gates
}

// HaulSpec is a volume to haul with a fleet.
type HaulSpec struct {
	Volume  units.Volume  `json:"volume"`            // loose, as it lies in the trucks
	Density units.Density `json:"density,omitempty"` // needed with a payload or a road
	Layer   units.Length  `json:"layer,omitempty"`   // thickness, loose, that a bucket takes it from; 0: deep enough to fill it
	Fleet   Fleet         `json:"fleet"`             // that hauls it
}

// HaulResult is loads, cycle, fleet size and time.
type HaulResult struct {
	PerLoad   units.Volume `json:"perLoad"`             // volume of a full load
	ByPayload bool         `json:"byPayload"`           // the payload, not the volume, limits a load
	Legal     units.Mass   `json:"legal,omitempty"`     // payload that the road allows; 0 without a road
	ByRoad    string       `json:"byRoad,omitempty"`    // what of the road limits a load: gross, or the name of an axle; empty: it does not
	PerBucket units.Volume `json:"perBucket,omitempty"` // that a bucket brings; 0 without one
	ByLayer   bool         `json:"byLayer"`             // the layer, not the bucket, limits that
	Loads     int          `json:"loads"`               // rounded up: a part load is a trip
	LastLoad  units.Volume `json:"lastLoad"`            // volume of the last one

	Loading LoadingRule    `json:"loading"` // where the efficiency counted
	Load    units.Duration `json:"load"`    // of one truck
	Travel  units.Duration `json:"travel"`  // out and back
	Cycle   units.Duration `json:"cycle"`   // load, travel, unload and fixed waits, without queueing

	Ratio         float64        `json:"ratio"`         // cycle / load: trucks that just match the loader
	TrucksNeeded  int            `json:"trucksNeeded"`  // least trucks with which the loader never waits: Ratio rounded up
	TrucksNoQueue int            `json:"trucksNoQueue"` // most trucks that never queue: Ratio rounded down
	Trucks        int            `json:"trucks"`        // as given
	Bottleneck    Bottleneck     `json:"bottleneck"`    // with that many
	LoaderWaits   units.Duration `json:"loaderWaits"`   // in the time of one round of the fleet
	TruckWaits    units.Duration `json:"truckWaits"`    // each truck on each trip
	LoadsPerHour  float64        `json:"loadsPerHour"`  // of the fleet
	Rate          units.Flow     `json:"rate"`          // of the fleet
	Time          units.Duration `json:"time"`          // loads at that rate
	Driven        units.Length   `json:"driven"`        // all trips, out and back; 0 when travel was given as a time
}

// A slip in a unit asks for more than a closure has.
const (
	maxLoads = 1e7 // trips, hose sets, days
	maxRatio = 1e6 // of a cycle to its loading
)

// Haul returns loads, cycle time, fleet and hours. Loads are the volume over the net
// load, rounded up. The cycle is load, out, unload, back and fixed waits; cycle over
// load time is the number of trucks that just match one loader. The output is the
// lesser of what trucks and loader can do, at steady running: the first and the last
// round of the fleet are not added. The production of a bucket is q K 60 E / Cm
// (equipment manual, production of a loader). Quantities out of range are
// [units.FieldError].
func Haul(spec HaulSpec) (HaulResult, error) {
	var f units.Faults
	f.Between("volume", spec.Volume, minVolume, maxVolume)
	f.ZeroOr("density", spec.Density, units.KilogramPerCubicMetre, 1e5*units.KilogramPerCubicMetre)
	var inner units.Faults
	spec.Fleet.check(&inner)
	f.Sub("fleet", inner.Err())
	f.ZeroOr("layer", spec.Layer, units.Inch/25, 300*units.Foot)
	if (spec.Fleet.Payload > 0 || spec.Fleet.Road != nil) && spec.Density == 0 {
		f.Missing("density", "the density of the load, for the payload")
	}
	if err := f.Err(); err != nil {
		return HaulResult{}, err
	}
	r, ok := spec.Fleet.haul(spec.Volume, spec.Density, spec.Layer)
	if !ok {
		f.Add("volume", spec.Volume, "a volume that the fleet hauls with at most %v loads, in cycles of at most %v times the loading", int(maxLoads), int(maxRatio))
		return HaulResult{}, f.Err()
	}
	return r, nil
}

// check records what is wrong with the fleet under the paths of its fields.
func (fl Fleet) check(f *units.Faults) {
	if fl.Trucks < 1 || fl.Trucks > 1000 {
		f.Add("trucks", fl.Trucks, "1 to 1000")
	}
	f.Between("capacity", fl.Capacity, minVolume, maxVolume)
	checkFill(f, "fill", fl.Fill)
	f.ZeroOr("payload", fl.Payload, minMass, maxMass)
	if fl.Road != nil {
		var inner units.Faults
		fl.Road.check(&inner)
		f.Sub("road", inner.Err())
	}
	if b := fl.Bucket; b != nil {
		f.Between("bucket.size", b.Size, minVolume, maxVolume)
		checkFill(f, "bucket.fill", b.Fill)
		f.Between("bucket.cycle", b.Cycle, minDuration, maxDuration)
		if b.Width != 0 || b.Pass != 0 {
			f.Between("bucket.width", b.Width, units.Inch, 60*units.Foot)
			f.Between("bucket.pass", b.Pass, units.Inch, 300*units.Foot)
		}
		if fl.LoadRate != 0 {
			f.Add("loadRate", fl.LoadRate, "either a rate or a bucket, not both")
		}
	} else {
		f.Between("loadRate", fl.LoadRate, minFlow, maxFlow)
	}
	f.NumberBetween("efficiency", fl.Efficiency, minShare, 1)
	if !loadingNames.Has(int(fl.Loading)) {
		f.Add("loading", fl.Loading, loadingNames.Want())
	}
	f.ZeroOr("travel", fl.Travel, minDuration, maxDuration)
	f.ZeroOr("distance", fl.Distance, minRoute, maxRoute)
	if fl.Distance == 0 { // not used, but part of what is kept
		f.ZeroOr("speedOut", fl.SpeedOut, minSpeed, maxSpeed)
		f.ZeroOr("speedBack", fl.SpeedBack, minSpeed, maxSpeed)
	} else {
		f.Between("speedOut", fl.SpeedOut, minSpeed, maxSpeed)
		f.Between("speedBack", fl.SpeedBack, minSpeed, maxSpeed)
		if fl.Travel != 0 {
			f.Add("travel", fl.Travel, "either a travel time or a distance with speeds, not both")
		}
	}
	f.ZeroOr("unload", fl.Unload, minDuration, maxDuration)
	f.ZeroOr("wait", fl.Wait, minDuration, maxDuration)
}

func checkFill(f *units.Faults, field string, x float64) {
	f.NumberBetween(field, x, minShare, 1.3)
}

// brings returns what a bucket brings from a layer, 0 meaning a deep one.
func (b Bucket) brings(layer units.Length) (v units.Volume, byLayer bool) {
	v = units.Volume(b.Fill) * b.Size
	if thin := layer.Times(b.Width).Times(b.Pass); thin > 0 && less(thin, v) {
		return thin, true
	}
	return v, false
}

// haul works out a checked fleet for a volume above 0; ok is false when that takes more
// loads, or a longer cycle beside its loading, than a closure has.
func (fl Fleet) haul(volume units.Volume, density units.Density, layer units.Length) (r HaulResult, ok bool) {
	r = HaulResult{PerLoad: units.Volume(fl.Fill) * fl.Capacity, Loading: fl.Loading, Trucks: fl.Trucks}
	payload := fl.Payload
	byRoad := ""
	if fl.Road != nil {
		gross, axle := fl.Road.most()
		r.Legal = gross - fl.Road.Tare
		if payload == 0 || less(r.Legal, payload) {
			payload, byRoad = r.Legal, cmp.Or(axle, "gross")
		}
	}
	if payload > 0 {
		if v := payload.OverDensity(density); less(v, r.PerLoad) {
			r.PerLoad, r.ByPayload, r.ByRoad = v, true, byRoad
		}
	}
	loads := ceil(float64(volume / r.PerLoad))
	if !(loads <= maxLoads) {
		return HaulResult{}, false
	}
	r.Loads = int(loads)
	r.LastLoad = volume - units.Volume(loads-1)*r.PerLoad
	rate := fl.LoadRate // while it works without a pause
	if b := fl.Bucket; b != nil {
		r.PerBucket, r.ByLayer = b.brings(layer)
		rate = r.PerBucket.OverTime(b.Cycle)
	}
	fleetShare := fl.Efficiency // of the output of the trucks
	if fl.Loading == LoadingEffective {
		rate *= units.Flow(fl.Efficiency)
		fleetShare = 1
	}
	r.Load = r.PerLoad.OverFlow(rate)
	r.Travel = noSign(fl.Travel)
	if fl.Distance > 0 {
		r.Travel = fl.Distance.OverSpeed(fl.SpeedOut) + fl.Distance.OverSpeed(fl.SpeedBack)
		r.Driven = units.Length(2*loads) * fl.Distance
	}
	r.Cycle = r.Load + r.Travel + fl.Unload + fl.Wait
	r.Ratio = float64(r.Cycle / r.Load)
	if !(r.Ratio <= maxRatio) {
		return HaulResult{}, false
	}
	r.TrucksNeeded = int(ceil(r.Ratio))
	r.TrucksNoQueue = int(math.Floor(r.Ratio * (1 + 1e-12)))
	// One round of the fleet takes the cycle, or the loading of all trucks when that
	// is longer.
	round := max(r.Cycle, units.Duration(fl.Trucks)*r.Load)
	switch n := float64(fl.Trucks); {
	case n < r.Ratio*(1-1e-12):
		r.Bottleneck = BottleneckTrucks
		r.LoaderWaits = r.Cycle - units.Duration(n)*r.Load
	case n > r.Ratio*(1+1e-12):
		r.Bottleneck = BottleneckLoader
		r.TruckWaits = units.Duration(n)*r.Load - r.Cycle
	}
	perSecond := fleetShare * float64(fl.Trucks) / float64(round)
	r.LoadsPerHour = perSecond * float64(units.Hour)
	r.Rate = units.Flow(perSecond * float64(r.PerLoad))
	r.Time = units.Duration(loads / perSecond)
	return r, true
}

// Working returns the lines that lead to the time.
func (r HaulResult) Working() units.Working {
	var w units.Working
	how := "capacity x fill"
	if r.ByPayload {
		how = "payload / density"
	}
	w.Add("one load", r.PerLoad, how)
	if r.Legal > 0 {
		limit := units.Words("does not limit a load")
		if r.ByRoad != "" {
			limit = units.Words("limits a load: %v", units.Word(r.ByRoad))
		}
		w.Put(units.Words("legal payload"), r.Legal, limit)
	}
	if r.ByLayer {
		w.Add("one bucket", units.As(r.PerBucket, units.CubicYard, 2), "layer x width x pass, less than the bucket holds")
	}
	w.Add("loads", r.Loads, "volume / load, rounded up; the last is %v", r.LastLoad)
	w.Add("loading", r.Load, "at the %v rate", r.Loading)
	w.Add("travel", r.Travel, "out and back")
	w.Add("cycle", r.Cycle, "load, travel, unload and fixed waits")
	w.Add("trucks that keep the loader busy", r.TrucksNeeded, "cycle / loading = %.3f, rounded up", r.Ratio)
	w.Add("trucks that never queue", r.TrucksNoQueue, "rounded down")
	waits := units.Words("the loader and the trucks match")
	switch r.Bottleneck {
	case BottleneckTrucks:
		waits = units.Words("the loader waits %v in each round", r.LoaderWaits)
	case BottleneckLoader:
		waits = units.Words("each truck waits %v on each trip", r.TruckWaits)
	}
	w.Put(units.Words("trucks"), r.Trucks, waits)
	w.Add("output", r.Rate, "%.3f loads an hour", r.LoadsPerHour)
	w.Add("time", r.Time, "loads / output")
	if r.Driven > 0 {
		w.Add("driven", r.Driven, "loads x twice the distance")
	}
	return w
}

// String returns the working as a table.
func (r HaulResult) String() string { return r.Working().String() }
