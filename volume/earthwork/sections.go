package earthwork

import (
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/cautions"
)

// Section is the cross section of earthwork at a station.
type Section struct {
	Station units.Length `json:"station"` // growing from section to section
	Cut     units.Area   `json:"cut"`     // 0 or more
	Fill    units.Area   `json:"fill"`    // 0 or more
}

// SectionsSpec is earthwork along a line, measured or drawn at stations: an
// embankment on uneven ground, a ditch, a road.
type SectionsSpec struct {
	Sections []Section `json:"sections"` // 2 or more
	// Method joins the sections: average end area; conic, for work that runs out
	// to a point; or prismoidal, which takes the sections in threes, the middle
	// one half way, and so needs an odd number of them.
	Method volume.Method `json:"method"`
	// Soil, with its shrink, makes the ordinates of the mass diagram.
	Soil *SoilSpec `json:"soil,omitzero"`
}

// SectionInterval is the work between two sections, or three with the prismoidal
// method.
type SectionInterval struct {
	From units.Length `json:"from"` // station of the first section
	To   units.Length `json:"to"`   // station of the last
	Cut  units.Volume `json:"cut"`  // bank
	Fill units.Volume `json:"fill"` // compacted
	// Ordinate is the soil over, compacted, from the first section to To: cut
	// (1 - shrink) less fill, below 0 when soil is missing. 0 without a soil.
	Ordinate units.Volume `json:"ordinate"`
}

// SectionsResult is the earthwork along the line.
type SectionsResult struct {
	Spec      SectionsSpec      `json:"spec"`      // what was asked
	Intervals []SectionInterval `json:"intervals"` // by station
	Cut       units.Volume      `json:"cut"`       // bank
	Fill      units.Volume      `json:"fill"`      // compacted
	Cautions  []string          `json:"cautions"`  // what can hurt people, and who decides
}

// Sections returns cut and fill between sections by the named method: D (A + C)/2,
// D/3 (A + C + sqrt(A C)) or D/6 (A + 4B + C). Errors are [units.FieldError] with
// the json field; for the prismoidal method they tell of an even number of
// sections and of a middle one that is not half way.
func Sections(spec SectionsSpec) (SectionsResult, error) {
	var f units.Faults
	n := len(spec.Sections)
	if n < 2 || n > maxSections {
		f.Count("sections", n, "sections", "2 to %v", maxSections)
	}
	for i, s := range spec.Sections {
		at := f.At("sections", i)
		at.Between("station", s.Station, -units.MaxCoordinate, units.MaxCoordinate)
		at.ZeroTo("cut", s.Cut, units.MaxArea)
		at.ZeroTo("fill", s.Fill, units.MaxArea)
		if i > 0 && !(s.Station > spec.Sections[i-1].Station) {
			at.Add("station", s.Station, "more than the station before, %v", spec.Sections[i-1].Station)
		}
	}
	step := 1
	if spec.Method == volume.MethodPrismoidal {
		step = 2
		if n >= 2 && n%2 == 0 {
			f.Count("sections", n, "sections", "an odd number for the prismoidal method")
		}
	}
	checkMethod(&f, spec.Method, volume.MethodEndArea, volume.MethodConic, volume.MethodPrismoidal)
	perCut := 0.0
	if spec.Soil != nil {
		if soil := soilFor(&f, "soil", *spec.Soil, StateCompacted); soil != nil && f.Err() == nil {
			perCut = soil.perBank(StateCompacted)
		}
	}
	if err := f.Err(); err != nil {
		return SectionsResult{}, err
	}
	r := SectionsResult{Spec: spec, Cautions: append(cautions.Digging(0), cautions.Banks)}
	for i := step; i < n; i += step {
		a, mid, c := spec.Sections[i-step], spec.Sections[i-step/2], spec.Sections[i]
		d := c.Station - a.Station
		if off := math.Abs(float64(mid.Station-a.Station-d/2)) / float64(d); step == 2 && off > 1e-6 {
			at := f.At("sections", i-1)
			at.Add("station", mid.Station, "halfway between its neighbours, %v", a.Station+d/2)
			continue
		}
		v := SectionInterval{From: a.Station, To: c.Station,
			Cut:  slice(f.At("sections", i), spec.Method, a.Cut, mid.Cut, c.Cut, d),
			Fill: slice(f.At("sections", i), spec.Method, a.Fill, mid.Fill, c.Fill, d),
		}
		r.Cut, r.Fill = r.Cut+v.Cut, r.Fill+v.Fill
		if spec.Soil != nil {
			v.Ordinate = r.Cut*units.Volume(perCut) - r.Fill
		}
		r.Intervals = append(r.Intervals, v)
	}
	if err := f.Err(); err != nil {
		return SectionsResult{}, err
	}
	return r, nil
}

// Working shows each interval and the sums.
func (r SectionsResult) Working() units.Working {
	var w units.Working
	for _, v := range r.Intervals {
		w.Put(units.Words("%v to %v", units.As(v.From, units.Foot, 1), units.As(v.To, units.Foot, 1)), earth(v.Cut), units.Words("cut, and fill %v", earth(v.Fill)))
	}
	w.Add("cut, bank", earth(r.Cut), "%v", r.Spec.Method)
	w.Add("fill, compacted", earth(r.Fill), "%v", r.Spec.Method)
	if n := len(r.Intervals); n > 0 && r.Spec.Soil != nil {
		w.Add("over, compacted", earth(r.Intervals[n-1].Ordinate), "cut x (1 - shrink) - fill")
	}
	return w
}

// String prints the working.
func (r SectionsResult) String() string { return r.Working().String() }

// maxSections bounds the sections along a line.
const maxSections = 1_000_000

// checkMethod records a fault unless m is one of the methods that serve.
func checkMethod(f *units.Faults, m volume.Method, serve ...volume.Method) {
	if slices.Contains(serve, m) {
		return
	}
	var names []string
	for _, s := range serve {
		names = append(names, s.String())
	}
	f.Add("method", m, "one of %v", units.Word(strings.Join(names, ", ")))
}

// slice returns the volume between two sections, of which the middle one is used by
// the methods that need it; f is the place of the last.
func slice(f units.Faults, m volume.Method, a, mid, c units.Area, d units.Length) units.Volume {
	spec := volume.SliceSpec{Method: m, Bottom: a, Top: c, Depth: d}
	switch m {
	case volume.MethodPrismoidal:
		spec.Mid = mid
	case volume.MethodMidArea:
		spec.Bottom, spec.Mid, spec.Top = 0, mid, 0
	}
	v, err := volume.Slice(spec)
	if err != nil {
		f.Say("", "too large, or too far from the one before", "sections of at most %v, no more than %v apart", units.MaxArea, units.MaxLength)
	}
	return v
}
