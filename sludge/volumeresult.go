package sludge

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/field"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

var smoothnessNames = [...]string{"rough", "once differentiable", "twice differentiable"}

// heaviestShown is the number of parts that a result lists.
const heaviestShown = 5

// result puts the answer together.
func (e *estimate) result(spec VolumeSpec) VolumeResult {
	s := e.survey
	r := VolumeResult{Area: s.Area()}
	r.Counts = SiteCounts{Soundings: s.n, Places: len(e.sites), ThinnedBy: units.Length(e.thinned)}
	e.gaps(&r, spec.Inlets)
	if len(e.parts) == 0 {
		e.few(&r)
		return r
	}
	all := e.mixture(nil)
	r.Volume, r.SD = units.Volume(all.Mean()), units.Volume(all.SD())
	r.Mean = r.Volume.Over(r.Area).Depth()
	e.weights(&r)
	e.counts(&r.Counts)
	if e.knownFloor && r.Counts.Free+r.Counts.Contradicting >= leastFree {
		low, high := e.between(all, spec.Confidence)
		r.Interval, r.Confidence = &units.Range[units.Volume]{Low: units.Volume(low), High: units.Volume(high)}, spec.Confidence
	} else {
		r.Bracket = e.bracket(spec.Confidence)
	}
	e.notes(&r)
	return r
}

// few answers where there are too few places for a field: the mean thickness, cut at
// the floor.
func (e *estimate) few(r *VolumeResult) {
	var mean float64
	for _, s := range e.sites {
		mean += s.thickness / float64(len(e.sites))
	}
	for _, g := range e.floors {
		for i, c := range e.cells.list {
			for _, l := range g.levels[g.from[i]:g.from[i+1]] {
				r.Volume += units.Volume(g.weight * c.area * l.share * min(mean, l.depth))
			}
		}
	}
	r.Mean = r.Volume.Over(r.Area).Depth()
	r.Notes = append(r.Notes, units.Words("too few of the %v places have a value for an interval: sound %v or more off the waterline", len(e.sites), leastFree))
}

// counts counts the sites by what they say under the heaviest hypothesis.
func (e *estimate) counts(c *SiteCounts) {
	h := slices.MaxFunc(e.hypotheses, func(a, b *hypothesis) int { return cmp.Compare(a.weight, b.weight) })
	c.Contradicting = len(h.against)
	for _, r := range h.roles {
		switch r {
		case roleFree:
			c.Free++
		case roleFloor:
			c.OnFloor++
		case roleBare:
			c.Bare++
		case roleWaterline:
			c.AtWaterline++
		}
	}
}

// weights fills in what the parts weigh together.
func (e *estimate) weights(r *VolumeResult) {
	mean, variance := float64(r.Volume), float64(r.SD)*float64(r.SD)
	byShare, volumes := map[float64]float64{}, map[float64]float64{}
	byFloor, overFloor := map[*floorGuess]float64{}, map[*floorGuess]float64{}
	var fromFloor float64
	var bySmoothness [len(smoothnessNames)]float64
	byMetric := map[field.Metric]float64{}
	for _, p := range e.parts {
		st := p.structure()
		byShare[p.of.share] += p.weight
		volumes[p.of.share] += p.weight * p.volume
		byFloor[p.of.floor] += p.weight
		overFloor[p.of.floor] += p.weight * p.volume
		fromFloor += p.weight * p.floor * p.df() / max(p.df()-2, 0.5) // as the t has it
		bySmoothness[st.Family] += p.weight
		byMetric[st.Metric] += p.weight
		r.Range += units.Length(p.weight * st.Range)
		r.Nugget += p.weight * st.Share
		if p.of.log {
			r.Log += p.weight
		}
		r.Parts = append(r.Parts, VolumePart{Weight: p.weight, BankShare: p.of.share, Log: p.of.log,
			Smoothness: smoothnessNames[st.Family], Range: units.Length(st.Range), Nugget: st.Share, DF: p.df(),
			Volume: units.Volume(p.volume), Scale: units.Volume(p.scale)})
	}
	for _, share := range bankShares {
		if w := byShare[share]; w > 0 {
			v := volumes[share] / w
			r.Banks = append(r.Banks, BankWeight{share, w, units.Volume(v)})
			if variance > 0 {
				r.BanksShare += w * (v - mean) * (v - mean) / variance
			}
		}
	}
	for _, g := range e.floors {
		if w := byFloor[g]; w > 0 {
			f := FloorWeight{Vertical: g.vertical, Slope: g.slope, Weight: w}
			if !g.vertical {
				f.Depth = units.Length(g.deepest)
			}
			r.Floors = append(r.Floors, f)
			if off := overFloor[g]/w - mean; len(e.floors) > 1 {
				fromFloor += w * off * off
			}
		}
	}
	if variance > 0 {
		r.FloorShare = min(1, fromFloor/variance)
	}
	for k, w := range bySmoothness {
		r.Fields = append(r.Fields, FieldWeight{smoothnessNames[k], w})
	}
	r.Stretch = e.stretchOf(byMetric)
	slices.SortStableFunc(r.Parts, func(a, b VolumePart) int { return cmp.Compare(b.Weight, a.Weight) })
	r.Parts = slices.Clone(r.Parts[:min(heaviestShown, len(r.Parts))])
}

// stretchOf returns the heaviest of the stretched metrics with the weight of all, nil
// where there are none.
func (e *estimate) stretchOf(weights map[field.Metric]float64) *FieldStretch {
	var heaviest, all float64
	r := &FieldStretch{}
	for _, st := range e.structures { // in their order: the same answer each time
		w := weights[st.Metric]
		if st.Metric == field.Isotropic || w == 0 {
			continue
		}
		all += w
		weights[st.Metric] = 0
		if w > heaviest {
			heaviest = w
			angle, ratio := st.Metric.Axis()
			r.Azimuth, r.Ratio = math.Mod(450-angle*180/math.Pi, 180), ratio
		}
	}
	if r.Weight = all; all == 0 {
		return nil
	}
	return r
}

// structure returns the covariance of the part.
func (p *portion) structure() field.Structure { return p.of.factors.Structures[p.fit.Structure] }

// bracket returns the lowest and the highest end of the intervals of the hypotheses.
func (e *estimate) bracket(confidence float64) *units.Range[units.Volume] {
	low, high := math.Inf(1), math.Inf(-1)
	for _, h := range e.hypotheses {
		m := e.mixture(func(p *portion) bool { return p.of == h })
		if len(m) == 0 {
			continue
		}
		a, b := e.between(m, confidence)
		low, high = min(low, a), max(high, b)
	}
	return &units.Range[units.Volume]{Low: units.Volume(low), High: units.Volume(high)}
}

// gaps fills in how far the soundings leave the area and the inlets alone.
func (e *estimate) gaps(r *VolumeResult, inlets []plane.Point) {
	reach := math.Sqrt(e.survey.area / float64(len(e.sites)))
	r.Reach = units.Length(reach)
	far := func(x, y float64) bool {
		for _, s := range e.sites {
			if dx, dy := s.x-x, s.y-y; dx*dx+dy*dy <= reach*reach {
				return false
			}
		}
		return true
	}
	for _, c := range e.cells.list {
		x, y := e.cells.Node(c.node)
		if far(x+c.dx, y+c.dy) {
			r.GapsShare += c.area / e.survey.area
		}
	}
	for _, p := range inlets {
		d := p.Sub(e.cells.origin)
		if far(float64(d.X), float64(d.Y)) {
			r.UnsoundedInlets = append(r.UnsoundedInlets, p)
		}
	}
}

// Shares from which a note is made.
const (
	muchFromBanks = 0.5
	muchFar       = 0.15
)

// notes says what to doubt and what would help.
func (e *estimate) notes(r *VolumeResult) {
	note := func(text string, args ...any) { r.Notes = append(r.Notes, units.Words(text, args...)) }
	switch {
	case !e.knownFloor && e.survey.sides == SidesUnknown:
		note("nothing is known of the sides: the bracket spans walls and banks of usual slopes and has no probability; say what the boundary is and give the floor, or the depths to it")
	case !e.knownFloor && e.told:
		note("the boundary is a waterline, but the floor given does not come up to it: the bracket spans usual banks and has no probability; give a floor with its banks")
	case !e.knownFloor:
		note("the boundary is a waterline, but the floor is not known: the bracket spans usual banks and has no probability; give the floor, or depths to it at %v places", leastFree)
	case r.Interval == nil:
		note("%v places with a thickness: fewer than %v make no interval", r.Counts.Free, leastFree)
	case !e.told && e.survey.sides == SidesBanks:
		note("the floor is not drawn but estimated from the depths read at the soundings, and %.0f %% of the variance is the floor's: a floor from drawings makes the volume surer", 100*r.FloorShare)
	}
	if e.floorUnknown > 0 {
		note("the floor given is not known over %.0f %% of the area: it is estimated there from where it is, and %.0f %% of the variance is the floor's", 100*float64(e.floorUnknown)/float64(len(e.cells.points)), 100*r.FloorShare)
	}
	if r.BanksShare > muchFromBanks {
		note("%.0f %% of the variance is how the sludge meets the banks: two soundings half way down a bank settle more than ten in the middle", 100*r.BanksShare)
	}
	if r.GapsShare > muchFar {
		note("%.0f %% of the area is farther than %v from every place sounded", 100*r.GapsShare, r.Reach)
	}
	for _, p := range r.UnsoundedInlets {
		note("the inlet at %v has no sounding within %v: the interval supposes that no pile was missed there", outline.Place(p), r.Reach)
	}
	if c := r.Counts; c.ThinnedBy > 0 {
		note("%v soundings were thinned to %v places, one in each cell of %v", c.Soundings, c.Places, c.ThinnedBy)
	}
}
