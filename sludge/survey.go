package sludge

import (
	"context"
	"math"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// maxSoundings keeps the sides of a triangulation within int32.
const maxSoundings = 1e8

// maxDepth bounds depths, levels and thickness, in metres.
const maxDepth = 1e6

// SurveySpec is what was measured in one basin and the rules to read it by.
type SurveySpec struct {
	// Boundary is the edge of the area that holds sludge, such as the waterline.
	Boundary plane.Polygon `json:"boundary"`
	// Sides says what the boundary is: the waterline of sloped banks, or walls.
	Sides Sides `json:"sides,omitempty"`
	// Islands lie inside the boundary, apart from it and from each other, and hold
	// no sludge.
	Islands []plane.Polygon `json:"islands,omitempty"`
	// IslandSlope is that of the banks around the islands, horizontal per vertical, 0 to
	// 100: Floor is cut at them. 0: walls, or banks that Floor has.
	IslandSlope float64    `json:"islandSlope,omitzero"`
	Soundings   []Sounding `json:"soundings"` // 1 or more, up to a hundred million

	// Levels are readings of the liquid level during the survey, in order of time;
	// between them the level runs straight. Depths are corrected to the reference
	// surface with them.
	Levels []LevelReading `json:"levels,omitempty"`
	// ReferenceLevel is the gauge level of the reference surface; when absent it is
	// the first of Levels.
	ReferenceLevel *units.Length `json:"referenceLevel,omitempty"`

	// Floor is the hard floor as designed or built. It stands in for the depth to the
	// floor of soundings with the sludge top only, and every volume is cut at it. One
	// that has no depth anywhere inside the boundary is refused.
	Floor Floor `json:"-"`
	// FloorTolerance is how far below that assumed floor a sounding may put the
	// sludge top and still count as zero thickness. 0 allows none.
	FloorTolerance units.Length `json:"floorTolerance,omitempty"`

	Duplicates DuplicateRule `json:"duplicates"` // what becomes of several at one place; zero value: refuse
	Outside    OutsideRule   `json:"outside"`    // what becomes of those outside the boundary; zero value: refuse
}

// Survey is a checked set of soundings inside a boundary. It does not change and
// is safe for concurrent use.
type Survey struct {
	rings      []plane.Polygon // the boundary counterclockwise, then islands clockwise
	turned     []bool          // by ring: given the other way round
	area       float64
	duplicates DuplicateRule
	outside    OutsideRule
	sides      Sides
	floor      Floor // nil: not told

	// Soundings in the order of the spec; metres.
	x, y, z []float64
	n       int

	toSludge []float64 // of the soundings; NaN where no depth was measured
	index    []int32
	merged   []int32
	flags    []readingFlag
	names    []string // nil when no sounding has a name
	tracks   []int32  // nil when no sounding has a track
	dropped  int
	zeroed   int

	uncut   BankRule // how the banks were taken out of it; open: not
	sounded *Survey  // what it was made of, where they were: its floor is that one's
	deepest float64  // of that floor
}

type readingFlag uint8

const (
	floorAssumed readingFlag = 1 << iota
	isOutside
)

// NewSurvey checks spec and applies its rules. The errors are
// [units.FieldError] with fields such as soundings[3].toSludge, all of them at
// once: a boundary or island that is no simple polygon, a depth that is missing
// or negative, a sludge top below the floor, and what the rules refuse. It ends with the error of ctx when that is done.
func NewSurvey(ctx context.Context, spec SurveySpec) (*Survey, error) {
	var f units.Faults
	s := &Survey{duplicates: spec.Duplicates, outside: spec.Outside, sides: spec.Sides, floor: spec.Floor}
	if !duplicateNames.Has(int(spec.Duplicates)) {
		f.Add("duplicates", spec.Duplicates.String(), duplicateNames.Want())
	}
	if !sidesNames.Has(int(spec.Sides)) {
		f.Add("sides", spec.Sides.String(), sidesNames.Want())
	}
	if !outsideNames.Has(int(spec.Outside)) {
		f.Add("outside", spec.Outside.String(), outsideNames.Want())
	}
	checkFloor(spec.Floor, &f)
	f.NumberBetween("islandSlope", spec.IslandSlope, 0, flattest)
	f.ZeroOr("floorTolerance", spec.FloorTolerance, units.MinLength, units.Length(maxDepth))
	s.setRings(spec, &f)
	checkLevels(spec, &f)
	if n := len(spec.Soundings); n == 0 {
		f.Missing("soundings", "at least 1 sounding")
	} else if n > maxSoundings {
		f.Count("soundings", n, "soundings", "at most %v", int(maxSoundings))
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	if spec.IslandSlope > steepest && spec.Floor != nil && len(spec.Islands) > 0 {
		spec.Floor = islandBanks{spec.Floor, s.rings[1:], spec.IslandSlope}
		s.floor = spec.Floor
	}
	s.setSoundings(ctx, spec, &f)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if f.Err() == nil && s.n == 0 {
		f.Say("soundings", "all outside the boundary", "at least 1 sounding inside")
	}
	if f.Err() == nil && s.floor != nil && !s.floorSomewhere() {
		f.Say("floor", "no depth of more than 0 anywhere inside the boundary", "depths over the area of the survey, in its coordinates")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return s, nil
}

func (s *Survey) setSoundings(ctx context.Context, spec SurveySpec, f *units.Faults) {
	count := len(spec.Soundings)
	s.x, s.y, s.z = make([]float64, 0, count), make([]float64, 0, count), make([]float64, 0, count)
	s.toSludge, s.index, s.merged = make([]float64, 0, count), make([]int32, 0, count), make([]int32, 0, count)
	s.flags = make([]readingFlag, 0, count)
	places := make([]plane.Point, count)
	for i := range places {
		places[i] = spec.Soundings[i].At
	}
	inside := s.inside(places)
	first := make(map[plane.Point]int32, count)
	for i := range spec.Soundings {
		if i%(1<<12) == 0 && ctx.Err() != nil {
			return
		}
		in, at := &spec.Soundings[i], f.At("soundings", i)
		r, err := resolve(&spec, in, !inside[i] && spec.Outside == OutsideDrop)
		if err != nil {
			at.Sub("", err)
			continue
		}
		if in.Name != "" && s.names == nil {
			s.names = make([]string, count)
		}
		if s.names != nil {
			s.names[i] = in.Name
		}
		if !inside[i] {
			switch spec.Outside {
			case OutsideRefuse:
				at.Fault(units.FaultConflict, "at", place(in), "inside the boundary and off the islands")
				continue
			case OutsideDrop:
				s.dropped++
				continue
			}
			r.flags |= isOutside
		}
		if r.zeroed {
			s.zeroed++
		}
		k, again := first[in.At]
		switch {
		case !again:
			first[in.At] = int32(len(s.x))
			s.x, s.y, s.z = append(s.x, float64(in.At.X)), append(s.y, float64(in.At.Y)), append(s.z, r.thickness)
			s.toSludge, s.index, s.merged = append(s.toSludge, r.toSludge), append(s.index, int32(i)), append(s.merged, 1)
			s.flags = append(s.flags, r.flags)
			if in.Track != 0 && s.tracks == nil {
				s.tracks = make([]int32, count)
			}
			if s.tracks != nil {
				s.tracks[len(s.x)-1] = int32(in.Track)
			}
		case spec.Duplicates == DuplicatesMean:
			s.merged[k]++
			m := float64(s.merged[k])
			s.z[k] += (r.thickness - s.z[k]) / m
			s.toSludge[k] += (r.toSludge - s.toSludge[k]) / m
			s.flags[k] |= r.flags
		default:
			at.Fault(units.FaultConflict, "at", place(in), "a place of its own, not that of soundings[%v], or duplicates by mean", int(s.index[k]))
		}
	}
	s.n = len(s.x)
}

// Samples returns the thickness at each sounding in use, in the order of
// [Survey.Readings]. Points of zero thickness on the waterline are not among them.
func (s *Survey) Samples() []geostat.Sample {
	samples := make([]geostat.Sample, s.n)
	for i := range samples {
		samples[i] = geostat.Sample{At: s.at(i), Value: units.Length(s.z[i])}
	}
	return samples
}

// checkUsable records a fault when s is missing or was not made by [NewSurvey].
func (s *Survey) checkUsable(f *units.Faults) {
	if s == nil || len(s.rings) == 0 {
		f.Missing("survey", "a survey made by NewSurvey")
	}
}

// trackOf returns the track of sounding i in use.
func (s *Survey) trackOf(i int) int {
	if s.tracks == nil {
		return 0
	}
	return int(s.tracks[i])
}

// N returns the number of soundings in use, merged ones counted once.
func (s *Survey) N() int { return s.n }

// Dropped returns how many soundings were left out because they lie outside.
func (s *Survey) Dropped() int { return s.dropped }

// SetToZero returns how many soundings had a sludge top below the assumed floor,
// within the tolerance, and count as zero thickness.
func (s *Survey) SetToZero() int { return s.zeroed }

// MeanDepths returns the mean depths below the reference surface to the sludge top
// and to the floor, over the n soundings that have both; 0 when n is 0.
func (s *Survey) MeanDepths() (toSludge, toFloor units.Length, n int) {
	var top, floor sum
	for i, t := range s.toSludge {
		if !math.IsNaN(t) {
			top.add(t)
			floor.add(t + s.z[i])
			n++
		}
	}
	if n == 0 {
		return 0, 0, 0
	}
	return units.Length(top.total() / float64(n)), units.Length(floor.total() / float64(n)), n
}

// Working returns the lines that show what became of the soundings.
func (s *Survey) Working() units.Working {
	var merged, assumed, outside int
	for i := range s.n {
		merged += int(s.merged[i]) - 1
		if s.flags[i]&floorAssumed != 0 {
			assumed++
		}
		if s.flags[i]&isOutside != 0 {
			outside++
		}
	}
	var w units.Working
	w.Add("area", s.Area(), "boundary less %d islands", len(s.rings)-1)
	w.Add("soundings in use", s.n, "places with a thickness")
	w.Add("soundings merged into another", merged, "at one place; rule: %v", s.duplicates)
	w.Add("soundings outside left out", s.dropped, "rule: %v", s.outside)
	w.Add("soundings outside kept", outside, "rule: %v", s.outside)
	w.Add("soundings over an assumed floor", assumed, "sludge top only; thickness rests on drawings")
	w.Add("soundings set to zero thickness", s.zeroed, "sludge top below the assumed floor, within the tolerance")
	w.Add("sides", s.sides, "what the boundary is")
	return w
}

// String returns the working as a table.
func (s *Survey) String() string { return s.Working().String() }

// Rules returns the rules by which the soundings were read.
func (s *Survey) Rules() (DuplicateRule, OutsideRule) { return s.duplicates, s.outside }

// Sides returns what the boundary is, as told.
func (s *Survey) Sides() Sides { return s.sides }

// Floor returns the floor as told, with the banks of the islands; nil where it was not.
func (s *Survey) Floor() Floor { return s.floor }

func (s *Survey) at(i int) plane.Point {
	return plane.Point{X: units.Length(s.x[i]), Y: units.Length(s.y[i])}
}

// Thicknesses returns the thickness of each sounding in use, in the order of
// [Survey.Readings].
func (s *Survey) Thicknesses() []units.Length {
	list := make([]units.Length, s.n)
	for i := range list {
		list[i] = units.Length(s.z[i])
	}
	return list
}

// Readings returns the soundings in use, in the order in which their places
// first come in the spec.
func (s *Survey) Readings() []Reading {
	list := make([]Reading, s.n)
	for i := range list {
		r := Reading{Index: int(s.index[i]), At: s.at(i), Thickness: units.Length(s.z[i]), Merged: int(s.merged[i]),
			FloorAssumed: s.flags[i]&floorAssumed != 0, Outside: s.flags[i]&isOutside != 0}
		if s.names != nil {
			r.Name = s.names[r.Index]
		}
		if top := s.toSludge[i]; !math.IsNaN(top) {
			r.HasDepths, r.ToSludge, r.ToFloor = true, units.Length(top), units.Length(top+s.z[i])
		}
		list[i] = r
	}
	return list
}
