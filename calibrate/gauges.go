package calibrate

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/sample"
)

// System is the kind of irrigation system over the gauges.
type System = units.Enum[systemWords]

const (
	// SystemGun, "gun", is a big gun, stationary or travelling.
	SystemGun System = iota + 1
	// SystemSolidSet, "solid set", is sprinklers on a fixed grid.
	SystemSolidSet
	// SystemPivot, "pivot", is a centre pivot with gauges along a radius: a gauge stands for
	// an area in proportion to its radius.
	SystemPivot
)

var systemNames = units.Names{"", "gun", "solid set", "pivot"}

type systemWords struct{}

func (systemWords) Names() units.Names { return systemNames }

// GaugesSpec is one test with gauges.
type GaugesSpec struct {
	System      System                         `json:"system"`                // over the gauges; required
	Gauges      []Gauge                        `json:"gauges"`                // in the order of their places
	Opening     units.Area                     `json:"opening,omitempty"`     // of a gauge; required with caught volumes or evaporation
	Evaporation *Evaporation                   `json:"evaporation,omitempty"` // corrects the readings
	LowQuarter  LowQuarterRule                 `json:"lowQuarter,omitempty"`  // zero value: fractional
	Spread      SpreadRule                     `json:"spread,omitempty"`      // zero value: sample
	Window      int                            `json:"window,omitempty"`      // neighbouring gauges averaged for the scheduling coefficient; 0 means 1
	Flag        float64                        `json:"flag,omitempty"`        // gauges farther from the mean than this fraction are listed; 0 means 0.20
	Confidence  float64                        `json:"confidence"`            // of the interval, two-sided, above 0 and below 1, such as 0.95
	Wind        *units.Speed                   `json:"wind,omitempty"`        // mean during the test
	Carries     map[string]units.Concentration `json:"carries,omitempty"`     // what the liquid holds, by the caller's analysis
}

// GaugeReading is what one gauge shows.
type GaugeReading struct {
	Gauge  int          `json:"gauge"`  // index into gauges
	At     units.Length `json:"at"`     // place along the line of gauges
	Depth  units.Length `json:"depth"`  // corrected for evaporation where that was measured
	Weight float64      `json:"weight"` // share of the area that the gauge stands for, by radius for a pivot
}

// GaugesResult is depth and uniformity of one test.
type GaugesResult struct {
	Spec      GaugesSpec  `json:"spec"`                // what it was worked out from, with its defaults
	Missing   int         `json:"missing"`             // gauges without a value
	AsRead    Uniformity  `json:"asRead"`              // by area for a pivot, else every gauge alike
	Corrected *Uniformity `json:"corrected,omitempty"` // for evaporation
	// Plain weighs the gauges of a pivot alike, for comparison only: it gives the
	// many wet or dry gauges near the pivot point, with little land each, too much
	// say. Corrected where Corrected is there; nil for other systems.
	Plain       *Uniformity                  `json:"plain,omitempty"`
	Evaporation units.DepthRate              `json:"evaporation"`        // 0 when it was not measured
	Interval    *units.Range[units.Length]   `json:"interval,omitempty"` // of Depth, each gauge counting by its weight; nil with one gauge
	Summary     sample.Summary[units.Length] `json:"summary"`            // of the gauges alike, corrected where possible
	Readings    []GaugeReading               `json:"readings"`           // of the gauges with a value, in their order
	Flagged     []int                        `json:"flagged,omitempty"`  // indices into gauges of those off the mean by more than Flag
	Carried     map[string]units.MassPerArea `json:"carried,omitempty"`  // Depth x concentration
	Notes       []units.Phrase               `json:"notes,omitempty"`    // what a reader of the figures should know
	Cautions    []string                     `json:"cautions"`           // for the people under the jet
}

// Depth returns the mean depth that the test shows: corrected for evaporation
// where that was measured, by area for a pivot.
func (r GaugesResult) Depth() units.Length { return r.best().Mean }

func (r GaugesResult) best() Uniformity {
	if r.Corrected != nil {
		return *r.Corrected
	}
	return r.AsRead
}

// flagDefault is how far off the mean a can marks a spot to mend: Michigan State
// University Extension, letter on irrigation uniformity.
const flagDefault = 0.20

// windLimit is the wind below which NC county training slides on field calibration
// of animal wastewater equipment ask the gun test to be run.
const windLimit = 5 * units.MilePerHour

// Gauges returns mean depth and uniformity from catch gauges. Missing gauges are
// left out, zeros count. A can's depth is its volume over its opening. With control
// cans the evaporation is their mean loss per time, and a reading gains that times
// its own time since the start (Federal University of Vicosa, pivot data set,
// https://doi.org/10.5281/zenodo.18495332). Nutrients carried down are depth x
// concentration.
//
// A gauge with no reading that is not marked missing, or with two, negative depths,
// a pivot gauge without its radius, nothing caught at all, and options out of range
// are [units.FieldError].
func Gauges(spec GaugesSpec) (GaugesResult, error) {
	var f units.Faults
	spec.check(&f)
	evaporation := spec.evaporation(&f)
	var depth, corrected, weight []float64
	var index []int
	for i, g := range spec.Gauges {
		at := f.At("gauges", i)
		g.check(&at, spec)
		if g.Missing {
			continue
		}
		d := g.depth(&f, &at, spec)
		depth = append(depth, float64(d))
		corrected = append(corrected, float64(d+evaporation.Times(g.After)))
		weight = append(weight, float64(g.At))
		index = append(index, i)
	}
	if err := f.Err(); err != nil {
		return GaugesResult{}, err
	}
	if len(depth) == 0 {
		f.Say("gauges", "all marked missing", "at least one gauge with a reading")
		return GaugesResult{}, f.Err()
	}
	r := GaugesResult{
		Missing: len(spec.Gauges) - len(depth), Evaporation: evaporation, Cautions: []string{cautionWastewater},
	}
	alike, weighting := ones(len(depth)), GaugeWeightingRadius
	if spec.System != SystemPivot {
		weight, weighting = alike, GaugeWeightingAlike
	}
	if spec.Flag == 0 {
		spec.Flag = flagDefault
	}
	spec.Window = max(1, spec.Window)
	r.Spec = spec
	opt := uniformOptions{spec.LowQuarter, spec.Spread, spec.Window}
	r.AsRead = opt.uniformity(&f, depth, weight, weighting)
	best := depth
	if spec.Evaporation != nil {
		best = corrected
		u := opt.uniformity(&f, corrected, weight, weighting)
		r.Corrected = &u
	}
	if spec.System == SystemPivot {
		u := opt.uniformity(&f, best, alike, GaugeWeightingAlike)
		r.Plain = &u
	}
	lengths := make([]units.Length, len(best))
	for i, d := range best {
		lengths[i] = units.Length(d)
		r.Readings = append(r.Readings, GaugeReading{Gauge: index[i], At: spec.Gauges[index[i]].At, Depth: lengths[i], Weight: weight[i] / floats.Sum(weight)})
		if math.Abs(d-float64(r.Depth())) > spec.Flag*float64(r.Depth()) {
			r.Flagged = append(r.Flagged, index[i])
		}
	}
	var err error
	r.Summary, err = sample.Summarize(lengths, spec.Confidence)
	f.Sub("", err)
	amount := make([]float64, len(best))
	for i := range best {
		amount[i] = best[i] * weight[i]
	}
	r.Interval = ratioInterval[units.Length](amount, weight, r.Summary.Confidence)
	if len(spec.Carries) > 0 {
		r.Carried = make(map[string]units.MassPerArea, len(spec.Carries))
	}
	for _, name := range sortedKeys(spec.Carries) {
		r.Carried[name] = r.Depth().Applied().Carrying(spec.Carries[name])
		at := f.Named("carries", name)
		checkResult(&at, "", r.Carried[name])
	}
	if err := f.Err(); err != nil {
		return GaugesResult{}, err
	}
	r.note(spec)
	return r, nil
}

const cautionWastewater = "Gauges under manure or wastewater hold pathogens: wear gloves and eye cover, and keep out of the wetted area while it runs. A gun's jet and its drive can injure."

// Limits that no test with gauges reaches; they catch slips in a unit and keep sums
// finite.
const (
	maxDepth = 10 * units.Metre
	maxTest  = 30 * units.Day
	maxPlace = 10 * units.Kilometre

	maxGauges = 100_000
)

// check records what is wrong with the options.
func (spec GaugesSpec) check(f *units.Faults) {
	if !systemNames.Has(int(spec.System)) {
		f.Add("system", spec.System, systemNames.Want())
	}
	f.CountBetween("gauges", len(spec.Gauges), "gauges", 1, maxGauges)
	f.NotNegative("opening", spec.Opening)
	if !lowQuarterNames.Has(int(spec.LowQuarter)) {
		f.Add("lowQuarter", spec.LowQuarter, lowQuarterNames.Want())
	}
	if !spreadNames.Has(int(spec.Spread)) {
		f.Add("spread", spec.Spread, spreadNames.Want())
	}
	if spec.Window < 0 || spec.Window > max(1, len(spec.Gauges)) {
		f.Add("window", spec.Window, "1 to the number of gauges")
	}
	f.NotNegativeNumber("flag", spec.Flag)
	f.Confidence("confidence", spec.Confidence)
	if spec.Wind != nil {
		f.NotNegative("wind", *spec.Wind)
	}
	for _, name := range sortedKeys(spec.Carries) {
		at := f.Named("carries", name)
		at.NotNegative("", spec.Carries[name])
	}
}

// note adds what a reader of the figures should know.
func (r *GaugesResult) note(spec GaugesSpec) {
	say := func(text string, args ...any) { r.Notes = append(r.Notes, units.Words(text, args...)) }
	limit := units.As(windLimit, units.MilePerHour, 0)
	if spec.Wind == nil {
		say("The wind was not measured; %v or more distorts the pattern.", limit)
	} else if *spec.Wind >= windLimit {
		say("Wind of %v, %v or more: the pattern is that of a windy day.", units.As(*spec.Wind, units.MilePerHour, 1), limit)
	}
	if r.Missing > 0 {
		say("%v of %v gauges have no value and were left out.", r.Missing, len(spec.Gauges))
	}
	if spec.Evaporation == nil {
		say("Not corrected for evaporation from the gauges.")
	}
	if n := r.AsRead.N; spec.System == SystemGun && n < 16 {
		say("%v gauges; field calibration of a gun asks for 16 or more, at most %v apart.", n, units.As(25*units.Foot, units.Foot, 0))
	}
}

// Working returns the lines that lead to depth and uniformity.
func (r GaugesResult) Working() units.Working {
	var w units.Working
	add := func(name string, u Uniformity) {
		w.Put(units.Words("%v mean depth", units.Word(name)), u.Mean, units.Words("%d gauges, %s", u.N, u.Weighting))
		w.Put(units.Words("%v uniformity", units.Word(name)), units.Share(u.Christiansen), units.Words(u.christiansenName()))
		w.Put(units.Words("%v low quarter", units.Word(name)), units.Share(u.LowQuarter), units.Words("mean of the lowest quarter / mean, %v rule", u.LowQuarterRule))
		if u.Scheduling != nil {
			w.Put(units.Words("%v scheduling coefficient", units.Word(name)), units.Words("%.3f", *u.Scheduling), units.Words("mean / lowest mean of a window of %v", u.Window))
		} else {
			w.Put(units.Words("%v scheduling coefficient", units.Word(name)), "none", units.Words("nothing fell in a window of %v", u.Window))
		}
		w.Put(units.Words("%v statistical uniformity", units.Word(name)), units.Share(u.Statistical), units.Words("1 - s/mean, %v s", u.SpreadRule))
	}
	add("as read:", r.AsRead)
	if r.Corrected != nil {
		w.Add("evaporation", r.Evaporation, "mean loss of the control cans per time")
		add("corrected:", *r.Corrected)
	}
	if r.Plain != nil {
		add("gauges alike:", *r.Plain)
	}
	if i := r.Interval; i != nil {
		w.Put(units.Words("interval"), i, units.Words("%v, two-sided, %v", units.Share(r.Summary.Confidence), r.AsRead.Weighting).And(belowZero(i.Low)))
	}
	w.Add("far off gauges", len(r.Flagged), "more than %v from the mean", units.Share(r.Spec.Flag))
	for _, name := range sortedKeys(r.Carried) {
		w.Add(name, r.Carried[name], "depth x concentration")
	}
	for _, n := range r.Notes {
		w.Put(units.Words("note"), nil, n)
	}
	return w
}

// String returns the working as a table.
func (r GaugesResult) String() string { return r.Working().String() }

// Series returns the depths that count, corrected where evaporation was measured,
// over the places of the gauges, each in its unit, which must be above 0. Gauges
// without places stand at 0.
func (r GaugesResult) Series(place, depth units.Length) units.Series {
	s := make(units.Series, len(r.Readings))
	for i, g := range r.Readings {
		s[i] = [2]float64{g.At.In(place), g.Depth.In(depth)}
	}
	return s
}
