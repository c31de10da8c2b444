package earthwork

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/limits"
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
	From units.Length `json:"from"`
	To   units.Length `json:"to"`
	Cut  units.Volume `json:"cut"`  // bank
	Fill units.Volume `json:"fill"` // compacted
	// Ordinate is the soil over, compacted, from the first section to To: cut
	// (1 - shrink) less fill, below 0 when soil is missing. 0 without a soil.
	Ordinate units.Volume `json:"ordinate"`
}

// SectionsResult is the earthwork along the line.
type SectionsResult struct {
	Method    volume.Method     `json:"method"`
	Intervals []SectionInterval `json:"intervals"`
	Cut       units.Volume      `json:"cut"`  // bank
	Fill      units.Volume      `json:"fill"` // compacted
	shown
}

// Sections returns cut and fill between sections by the named method: D (A + C)/2,
// D/3 (A + C + sqrt(A C)) or D/6 (A + 4B + C). Errors are [units.FieldError] with
// the json field; for the prismoidal method they tell of an even number of
// sections and of a middle one that is not half way.
func Sections(spec SectionsSpec) (SectionsResult, error) {
	var f units.Faults
	n := len(spec.Sections)
	if n < 2 || n > maxSections {
		f.Add("sections", n, fmt.Sprintf("2 to %d sections", maxSections))
	}
	for i, s := range spec.Sections {
		at := fmt.Sprintf("sections[%d].", i)
		limits.Signed(&f, at+"station", s.Station, limits.MaxCoordinate)
		limits.OrZero(&f, at+"cut", s.Cut, limits.MaxArea)
		limits.OrZero(&f, at+"fill", s.Fill, limits.MaxArea)
		if i > 0 && !(s.Station > spec.Sections[i-1].Station) {
			f.Add(at+"station", s.Station, "more than the station before, "+spec.Sections[i-1].Station.Trade())
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
	r := SectionsResult{Method: spec.Method}
	for i := step; i < n; i += step {
		a, mid, c := spec.Sections[i-step], spec.Sections[i-step/2], spec.Sections[i]
		d := c.Station - a.Station
		if off := math.Abs(float64(mid.Station-a.Station-d/2)) / float64(d); step == 2 && off > 1e-6 {
			f.Add(fmt.Sprintf("sections[%d].station", i-1), mid.Station, "half way between its neighbours, "+(a.Station+d/2).Trade())
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
		r.lines.Add(v.From.Text(units.Foot, 1)+" to "+v.To.Text(units.Foot, 1), cubicYards(v.Cut), "cut, and fill "+cubicYards(v.Fill))
	}
	if err := f.Err(); err != nil {
		return SectionsResult{}, err
	}
	r.lines.Add("cut, bank", cubicYards(r.Cut), spec.Method.String())
	r.lines.Add("fill, compacted", cubicYards(r.Fill), spec.Method.String())
	if spec.Soil != nil {
		r.lines.Add("over, compacted", cubicYards(r.Intervals[len(r.Intervals)-1].Ordinate), "cut x (1 - shrink) - fill")
	}
	return r, nil
}

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
	f.Add("method", m, "one of "+strings.Join(names, ", "))
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
		f.Say("", "too large, or too far from the one before", "sections of at most %v, no more than %v apart", limits.MaxArea, limits.MaxLength)
	}
	return v
}
