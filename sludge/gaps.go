package sludge

import (
	"math"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// GapsSpec asks where the widest gaps between soundings are.
type GapsSpec struct {
	Candidates []plane.Point `json:"candidates"` // places to choose from, inside the boundary and off the islands, at most 10000; none: a lattice of about 400 there
	Most       int           `json:"most"`       // soundings to name, 1 to 1000
	Within     units.Length  `json:"within"`     // stops when each candidate is as near as that to a sounding; 0: does not stop
}

// GapsResult is a list of places in the order in which they close the widest gaps.
type GapsResult struct {
	Widest   units.Length `json:"widest"`             // from any candidate to its nearest sounding, now
	Places   []Gap        `json:"places"`             // in the order in which to sound them
	Left     units.Length `json:"left"`               // the widest once all these places are sounded
	Reached  bool         `json:"reached"`            // Left is no more than the distance asked for
	Cautions []string     `json:"cautions,omitempty"` // for the crew
}

// gapCandidates is the number of candidates when none are given, maxCandidates the
// most that may be.
const (
	gapCandidates = 400
	maxCandidates = 10000
)

// Gap is a place to sound.
type Gap struct {
	At       plane.Point  `json:"at"`       // one of the candidates
	Distance units.Length `json:"distance"` // to the nearest sounding or place before it, straight across islands
}

// Gaps returns the places that are farthest from any sounding, each given those
// before it, so that the soundings come to fill the space: of equally far
// candidates the first one counts, on the lattice that with the least y, then the
// least x (common practice, no source). It needs no model and so answers where a
// field cannot be tried; [Next] is the better answer where one can,
// since the distance knows nothing of how fast the thickness changes and likes the
// banks. After k places no candidate is more than twice as far from a sounding as
// with the best k of them. Faults are on survey, candidates, most and within.
func (s *Survey) Gaps(spec GapsSpec) (GapsResult, error) {
	var f units.Faults
	if s.checkUsable(&f); f.Err() != nil {
		return GapsResult{}, f.Err()
	}
	at := spec.Candidates
	switch {
	case len(at) > maxCandidates:
		f.Count("candidates", len(at), "candidates", "at most %v", maxCandidates)
	case len(at) == 0:
		g, err := s.newGrid(GridSpec{Spacing: units.Length(math.Sqrt(s.area / gapCandidates))})
		if err == nil {
			at = g.inside()
		}
		if len(at) == 0 {
			f.Missing("candidates", "places to choose from, as the area is too narrow for a lattice of them")
		}
	default:
		in := s.inside(at)
		for i, p := range at {
			if !in[i] {
				at := f.At("candidates", i)
				at.Fault(units.FaultConflict, "", outline.Place(p), "inside the boundary and off the islands")
			}
		}
	}
	f.NumberBetween("most", float64(spec.Most), 1, 1000)
	f.ZeroOr("within", spec.Within, units.MinLength, units.MaxCoordinate)
	if err := f.Err(); err != nil {
		return GapsResult{}, err
	}
	return s.gaps(at, spec), nil
}

// gaps works on a checked spec and its candidates.
func (s *Survey) gaps(at []plane.Point, spec GapsSpec) GapsResult {
	sounded := make([]mesh.XY, s.n)
	for i := range sounded {
		sounded[i] = mesh.XY{X: s.x[i], Y: s.y[i]}
	}
	near := mesh.NewNeighbours(sounded)
	gap := make([]units.Length, len(at))
	for i, p := range at {
		var id [1]int32
		var square [1]float64
		near.Find(mesh.Of(p), id[:], square[:])
		gap[i] = units.Length(math.Sqrt(square[0]))
	}
	r := GapsResult{Cautions: []string{geostat.SoundingCaution}}
	for {
		widest := 0
		for i, g := range gap {
			if g > gap[widest] {
				widest = i
			}
		}
		r.Left = gap[widest]
		if len(r.Places) == 0 {
			r.Widest = r.Left
		}
		r.Reached = spec.Within > 0 && r.Left <= spec.Within
		if r.Reached || r.Left == 0 || len(r.Places) == spec.Most {
			return r
		}
		r.Places = append(r.Places, Gap{at[widest], r.Left})
		for i, p := range at {
			gap[i] = min(gap[i], p.Distance(at[widest]))
		}
	}
}

// Working returns the places in order.
func (r GapsResult) Working() units.Working {
	var w units.Working
	w.Add("widest gap now", r.Widest, "from a place to its nearest sounding")
	for i, p := range r.Places {
		w.Put(units.Words("sounding %v at %v", i+1, outline.Place(p.At)), p.Distance, units.Words("to the nearest sounding, those above among them"))
	}
	w.Add("widest gap then", r.Left, "")
	for _, c := range r.Cautions {
		w.Add("caution", "", c)
	}
	return w
}

// String returns the working as a table.
func (r GapsResult) String() string { return r.Working().String() }
