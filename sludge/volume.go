package sludge

import (
	"context"
	"math"

	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// VolumeSpec says how the volume of a survey is worked out. What the boundary is and
// where the floor lies stand in the [SurveySpec].
type VolumeSpec struct {
	Confidence float64 `json:"confidence"` // two-sided, 0.001 to 0.999999, such as 0.95
	// ReadingSD is the standard deviation of one reading of the thickness about its
	// truth, 0 to 10 m; 0 is not known. With a pole 0.1 to 0.2 ft are usual (common
	// practice, no source).
	ReadingSD units.Length `json:"readingSD,omitzero"`
	// SharedSD is that of an error that all soundings of one track share, such as
	// the draught of a boat or the foot of a pole, 0 to 10 m; 0 is none.
	SharedSD units.Length `json:"sharedSD,omitzero"`
	// FloorSD is the standard deviation of one reading of the depth to the floor about its
	// truth, 0 to 10 m; 0 is not known. It adds to ReadingSD where the thickness is one
	// depth less another, so that ReadingSD is then that of the sludge top.
	FloorSD units.Length `json:"floorSD,omitzero"`
	// FloorSharedSD is that of an error that all depths to the floor share, such as of a
	// probe that sinks into a soft floor, or of the drawings that stand in for readings,
	// 0 to 10 m; 0 is none. A difference of two surveys is taken to be free of it.
	FloorSharedSD units.Length `json:"floorSharedSD,omitzero"`
	// Inlets are places where solids come in, at most 1000. They change no figure: the
	// result says whether one of them was not sounded.
	Inlets []plane.Point `json:"inlets,omitempty"`
	// BankRule says how the sludge meets the banks. Zero value: open.
	BankRule BankRule `json:"bankRule,omitzero"`
}

// mostError bounds the errors of soundings, in metres, and mostInlets the inlets.
const (
	mostError  units.Length = 10
	mostInlets int          = 1000
)

// VolumeResult is the volume of sludge, how sure it is, and on what that rests.
type VolumeResult struct {
	Volume units.Volume `json:"volume"` // mean over all hypotheses, 0 or more
	SD     units.Volume `json:"sd"`     // standard deviation, 0 or more; 0 with fewer than 3 places
	// Interval holds the volume with the probability Confidence. It is nil where the
	// sides and the floor are not known and with fewer than 4 places that have a value.
	Interval   *units.Range[units.Volume] `json:"interval,omitempty"`
	Confidence float64                    `json:"confidence,omitzero"` // of Interval; 0 without one
	// Bracket stands in for the interval where that is nil and there are 3 places or
	// more: the lowest and the highest end of the intervals of the hypotheses. No
	// probability goes with it.
	Bracket *units.Range[units.Volume] `json:"bracket,omitempty"`
	Area    units.Area                 `json:"area"` // inside the boundary less the islands
	Mean    units.Length               `json:"mean"` // thickness: volume over area

	// BanksShare is the share of the variance, 0 to 1, that comes from not knowing how
	// the sludge meets the banks. Above 0.5 two soundings half way down a bank settle
	// more than ten in the middle.
	BanksShare float64 `json:"banksShare"`
	// FloorShare is the share of the variance, 0 to 1, that comes from a floor that was
	// read at the soundings and not drawn, that is not known in places, or of which all
	// depths share an error.
	FloorShare float64 `json:"floorShare,omitzero"`
	// GapsShare is the share of the area, 0 to 1, that is farther from every place
	// sounded than Reach: about 0 for a regular grid, 0.06 to 0.09 for random places.
	GapsShare float64 `json:"gapsShare"`
	// Reach is the square root of the area for each place.
	Reach units.Length `json:"reach"`
	// UnsoundedInlets are those without a place sounded within Reach.
	UnsoundedInlets []plane.Point `json:"unsoundedInlets,omitempty"`

	Counts  SiteCounts     `json:"counts"`            // of soundings, by what they say
	Banks   []BankWeight   `json:"banks"`             // ways at the banks, draped first; one with walls
	Floors  []FloorWeight  `json:"floors"`            // as told, as fitted to readings, or guessed
	Log     float64        `json:"log"`               // weight, 0 to 1, of the logarithmic scale of the height
	Fields  []FieldWeight  `json:"fields"`            // by smoothness
	Range   units.Length   `json:"range"`             // practical, mean over all parts by weight
	Nugget  float64        `json:"nugget"`            // share of the variance, 0 to 1, mean over all parts by weight
	Parts   []VolumePart   `json:"parts"`             // the heaviest, at most 5, by weight
	Stretch *FieldStretch  `json:"stretch,omitempty"` // where the readings show one; nil: none
	Notes   []units.Phrase `json:"notes,omitempty"`   // what to doubt and what would help
}

// SiteCounts says what became of the soundings. Free to AtWaterline are under the
// heaviest hypothesis and add up to Places.
type SiteCounts struct {
	Soundings     int          `json:"soundings"`          // in use
	Places        int          `json:"places"`             // once readings at one place are averaged and dense ones thinned
	ThinnedBy     units.Length `json:"thinnedBy,omitzero"` // side of the cells that dense soundings were thinned by; 0: not
	Free          int          `json:"free"`               // with a thickness
	OnFloor       int          `json:"onFloor"`            // full from the floor to the waterline
	Bare          int          `json:"bare"`               // no sludge
	AtWaterline   int          `json:"atWaterline"`        // too shallow to say anything
	Contradicting int          `json:"contradicting"`      // of OnFloor and Bare: against the field of the others, and then values
}

// BankWeight is one way in which the sludge may meet the banks.
type BankWeight struct {
	// Share is that of its height over the deepest floor by which the top lies lower
	// over a bank than a draped one: 0 draped, 1 level with the middle.
	Share  float64      `json:"share"`
	Weight float64      `json:"weight"` // 0 to 1, adding up to 1
	Volume units.Volume `json:"volume"` // if it is so
}

// FloorWeight is one way in which the floor may lie.
type FloorWeight struct {
	Vertical bool         `json:"vertical,omitempty"` // walls
	Slope    float64      `json:"slope,omitzero"`     // of the banks, horizontal per vertical; 0 where the floor was told
	Depth    units.Length `json:"depth,omitzero"`     // deepest below the reference surface; 0 with walls
	Weight   float64      `json:"weight"`             // 0 to 1, adding up to 1
}

// FieldWeight is one smoothness of the field.
type FieldWeight struct {
	Smoothness string  `json:"smoothness"` // rough, once or twice differentiable: Matern 1/2, 3/2, 5/2
	Weight     float64 `json:"weight"`     // 0 to 1, adding up to 1
}

// FieldStretch is a field that stays alike farther one way than across.
type FieldStretch struct {
	Azimuth float64 `json:"azimuth"` // of the long way, degrees clockwise from north, 0 to 180
	Ratio   float64 `json:"ratio"`   // long over short, above 1
	Weight  float64 `json:"weight"`  // 0 to 1, of stretched fields among all
}

// VolumePart is one covariance under one hypothesis. Its volume is a t with DF
// degrees of freedom about Volume; on the logarithmic scale, a log-t.
type VolumePart struct {
	Weight     float64      `json:"weight"`     // 0 to 1
	BankShare  float64      `json:"bankShare"`  // as in [BankWeight]
	Log        bool         `json:"log"`        // the field is the logarithm of the height
	Smoothness string       `json:"smoothness"` // as in [FieldWeight]
	Range      units.Length `json:"range"`      // practical
	Nugget     float64      `json:"nugget"`     // share of the variance
	DF         float64      `json:"df"`         // degrees of freedom of the t
	Volume     units.Volume `json:"volume"`     // the middle of the t
	Scale      units.Volume `json:"scale"`      // of the t
}

// VolumeWithInterval returns the volume of sludge in the area of the survey and an
// interval that says what the soundings leave open. See the package documentation
// for the method and for how often such intervals held the truth in simulations.
//
// Faults are on survey and on the fields of the spec; it ends with the error of ctx
// when that is done.
func VolumeWithInterval(ctx context.Context, s *Survey, spec VolumeSpec) (VolumeResult, error) {
	if err := spec.check(s); err != nil {
		return VolumeResult{}, err
	}
	e, err := newEstimate(ctx, s, spec, estimateOptions{})
	if err != nil {
		return VolumeResult{}, err
	}
	return e.result(spec), nil
}

func (spec *VolumeSpec) check(s *Survey) error {
	var f units.Faults
	s.checkSounded(&f)
	f.Confidence("confidence", spec.Confidence)
	f.Between("readingSD", spec.ReadingSD, units.Length(0), mostError)
	f.Between("sharedSD", spec.SharedSD, units.Length(0), mostError)
	f.Between("floorSD", spec.FloorSD, units.Length(0), mostError)
	f.Between("floorSharedSD", spec.FloorSharedSD, units.Length(0), mostError)
	if len(spec.Inlets) > mostInlets {
		f.Count("inlets", len(spec.Inlets), "inlets", "at most %v", mostInlets)
	}
	for i, p := range spec.Inlets {
		at := f.At("inlets", i)
		outline.CheckPlace(&at, "", p)
	}
	if !bankRuleNames.Has(int(spec.BankRule)) {
		f.Add("bankRule", int(spec.BankRule), bankRuleNames.Want())
	}
	return f.Err()
}

// Working returns the answer and what it rests on.
func (r VolumeResult) Working() units.Working {
	var w units.Working
	w.Add("sludge volume", r.Volume, "mean over the hypotheses below")
	switch {
	case r.Interval != nil:
		w.Add("low", r.Interval.Low, "%v %% interval", 100*r.Confidence)
		w.Add("high", r.Interval.High, "%v %% interval", 100*r.Confidence)
	case r.Bracket != nil:
		w.Add("low", r.Bracket.Low, "bracket of the hypotheses, without a probability")
		w.Add("high", r.Bracket.High, "bracket of the hypotheses, without a probability")
	}
	w.Add("standard deviation", r.SD, "")
	w.Add("area", r.Area, "inside the boundary less islands")
	w.Add("mean thickness", r.Mean, "volume / area")
	c := r.Counts
	w.Add("places", c.Places, "from %v soundings; %v with a thickness, %v full to the waterline, %v bare, %v at the waterline", c.Soundings, c.Free, c.OnFloor, c.Bare, c.AtWaterline)
	for _, b := range r.Banks {
		w.Put(units.Words("top at the banks %.0f %% level", 100*b.Share), b.Volume, units.Words("weight %.3f", b.Weight))
	}
	for _, g := range r.Floors {
		switch {
		case g.Vertical:
			w.Add("sides", SidesVertical, "weight %.3f", g.Weight)
		case g.Slope > 0:
			w.Put(units.Words("floor with banks of %.2f : 1", g.Slope), g.Depth, units.Words("deepest; weight %.3f", g.Weight))
		default:
			w.Add("floor as given", g.Depth, "deepest")
		}
	}
	for _, f := range r.Fields {
		w.Put(units.Words("field %v", units.Word(f.Smoothness)), units.Words("%.3f", f.Weight), units.Words("weight"))
	}
	w.Add("field on the logarithm of the height", units.Words("%.3f", r.Log), "weight")
	w.Add("practical range", r.Range, "mean")
	w.Add("nugget", units.Words("%.3f", r.Nugget), "share of the variance, mean")
	if t := r.Stretch; t != nil {
		w.Add("stretched fields", units.Words("%.3f", t.Weight), "weight; the range is %.1f times as long at azimuth %.0f", t.Ratio, t.Azimuth)
	}
	w.Add("variance from the banks", units.Words("%.2f", r.BanksShare), "share")
	if r.FloorShare > 0 {
		w.Add("variance from the floor", units.Words("%.2f", r.FloorShare), "share")
	}
	w.Add("area far from a sounding", units.Words("%.2f", r.GapsShare), "share farther than %v", r.Reach)
	for _, n := range r.Notes {
		w.Put(units.Words("note"), "", n)
	}
	return w
}

// String returns the working as a table.
func (r VolumeResult) String() string { return r.Working().String() }

// estimateOptions are for tests: the zero value is what an answer is made with.
type estimateOptions struct {
	cells int  // 0: the usual number
	every bool // keep every part
	round bool // no stretched fields
	plain bool // floors that were read do not undulate
	parts int  // about so many, at least 4 of a hypothesis; 0: the usual number

	shares []float64 // of the nugget, that are tried; nil: the usual ones
}

// newEstimate weighs and integrates all hypotheses, unless ctx ends before.
func newEstimate(ctx context.Context, s *Survey, spec VolumeSpec, o estimateOptions) (*estimate, error) {
	e := newGround(ctx, s, spec, o)
	e.round, e.partsOf = o.round, usualDraw
	switch {
	case o.every:
		e.partsOf = func(float64) int { return 0 }
	case o.parts > 0:
		e.partsOf = func(weight float64) int { return max(4, int(math.Ceil(float64(o.parts)*weight))) }
	}
	if len(e.sites) < leastSites {
		return e, ctx.Err()
	}
	e.weigh(spec.BankRule, e.logFrom)
	e.choose()
	e.integrate()
	return e, ctx.Err()
}

// newGround prepares the places, the lattice and the floors of a survey.
func newGround(ctx context.Context, s *Survey, spec VolumeSpec, o estimateOptions) *estimate {
	e := &estimate{stop: ctx.Err, survey: s}
	e.setErrors(spec)
	e.sites, e.thinned = s.sites()
	e.setCells(cellsFor(o.cells, len(e.sites)))
	e.setStructures(o.shares)
	e.logFrom = e.setFloors(o.plain)
	return e
}

// setErrors takes over the errors of readings.
func (e *estimate) setErrors(spec VolumeSpec) {
	e.readingSD, e.sharedSD = float64(spec.ReadingSD), float64(spec.SharedSD)
	e.floorSD, e.floorShared = float64(spec.FloorSD), float64(spec.FloorSharedSD)
}

// floorError returns the standard deviation of a reading of the floor, that of the
// thickness where it is not told.
func (e *estimate) floorError() float64 { return max(e.readingSD, e.floorSD) }

// cellsFor returns the number of cells: count, or the usual one where that is 0.
func cellsFor(count, sites int) int {
	switch {
	case count > 0:
		return count
	case sites > manySites:
		return manyCells
	}
	return fewCells
}

// leastSites is the number of places from which a field is tried.
const leastSites = 3

// openLog is the number of free sites from which the logarithmic scale is tried where
// the floor is a guess: with fewer its right tail runs away.
const openLog = 8

// setFloors sets what the floor may be and whether that is known: told or read. It
// returns from how many free sites the logarithmic scale is tried.
func (e *estimate) setFloors(plain bool) (logFrom int) {
	if e.survey.floor != nil && e.tell() {
		if e.knownFloor {
			return 0
		}
		return openLog
	}
	s := e.survey
	known := e.readDepths()
	if s.sides == SidesVertical {
		e.knownFloor = true
		e.floors = []*floorGuess{e.cells.walls(e.sites)}
		return 0
	}
	enough := false
	if len(known) > 0 {
		e.floors, enough = e.find(openFloor{known: known}, plain)
	} else {
		e.floors = e.cells.guessed(s, e.sites)
	}
	if s.sides == SidesBanks && len(known) >= leastFree && enough {
		e.knownFloor = true
		return 0
	}
	if s.sides == SidesUnknown {
		e.half(e.cells.walls(e.sites))
	}
	if len(e.floors) == 0 {
		e.floors = []*floorGuess{e.cells.walls(e.sites)}
	}
	return openLog
}

// tell sets the floors by the one that was told, found in places where it is not known and
// with banks guessed over one that has none. It is false where it is known nowhere.
func (e *estimate) tell() bool {
	c, s := e.cells, e.survey
	depths, at := c.told(s.floor, e.sites)
	deepest, gaps := 0.0, false
	for _, d := range depths {
		if math.IsNaN(d) {
			e.floorUnknown++
		} else {
			deepest = max(deepest, d)
		}
	}
	for _, d := range at {
		gaps = gaps || math.IsNaN(d)
	}
	if e.floorUnknown == len(depths) {
		return false
	}
	e.told, gaps = true, gaps || e.floorUnknown > 0
	walls := s.sides == SidesVertical
	rises, seen := s.floorRises(deepest)
	banks := rises && (seen || !gaps) || !seen && s.sides == SidesBanks
	if !gaps {
		e.floors = []*floorGuess{(&floorGuess{weight: 1}).setFloor(c, depths, at, nil)}
		e.knownFloor = walls || banks
	} else {
		o := openFloor{known: e.toldDepths(depths, at), told: depths, at: at, walls: walls || !banks}
		var enough bool
		e.floors, enough = e.find(o, false)
		e.knownFloor = enough && (walls || banks)
	}
	if !walls && !banks {
		told := e.floors[0]
		e.floors = c.banksOver(s, e.sites, told)
		if s.sides == SidesUnknown {
			e.half(told)
		}
	}
	return true
}

// half gives another guess half of the weight.
func (e *estimate) half(other *floorGuess) {
	for _, g := range e.floors {
		g.weight /= 2
	}
	if other.weight = 0.5; len(e.floors) == 0 {
		other.weight = 1
	}
	e.floors = append(e.floors, other)
}
