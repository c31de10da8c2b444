package sludge

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/field"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// NextSpec asks where to sound next.
type NextSpec struct {
	Volume VolumeSpec `json:"volume"` // how the volume is worked out
	// Candidates are places to choose from, inside the boundary and off the islands, at
	// most 10000. None: the middles of the cells that stand for the basin, 135 or 240.
	Candidates []plane.Point `json:"candidates,omitempty"`
	Most       int           `json:"most"` // soundings to name, 1 to 100
	// HalfWidth is the wanted half of the interval, 0 or more; 0: none is wanted. Places
	// are named until it is reached, and Needed says how many it takes.
	HalfWidth units.Volume `json:"halfWidth,omitzero"`
}

// NextResult is a list of places in the order in which they help most.
type NextResult struct {
	Volume VolumeResult   `json:"volume"` // now
	Places []NextSounding `json:"places"` // the best first, each given those before it
	// Needed is the number of further soundings that bring the half of the interval to
	// the one wanted; 0 when it is reached already, when none was wanted and when not
	// even all candidates reach it: Reached tells which.
	Needed   int      `json:"needed"`
	Reached  bool     `json:"reached"`            // Needed soundings are enough
	Cautions []string `json:"cautions,omitempty"` // for the crew
}

// NextSounding is a place to sound.
type NextSounding struct {
	At plane.Point  `json:"at"` // one of the candidates
	SD units.Volume `json:"sd"` // of the volume once this place and those before it are sounded, as expected
	// HalfWidth is the half of the interval then, 0 where there is none now.
	HalfWidth units.Volume `json:"halfWidth,omitzero"`
	Narrower  float64      `json:"narrower"` // share, 0 to 1, by which the interval is narrower than now
}

// mostNext and mostNeeded bound the places that are named and looked at.
const (
	mostNext   = 100
	mostNeeded = 1000
)

// Next names the places where a sounding narrows the interval of the volume most, each
// the best one given those before it (a greedy choice). It looks at all hypotheses
// together: a place counts by its covariance with the volume, within the fields and
// between them, so that where the banks are open the places are on the banks. A
// sounding at x lowers the variance of the volume by c^2/v, with c that covariance and
// v the variance of a reading at x (the linear rule: the true gain depends on what is
// found). Faults are on survey and on the fields of the spec; it ends with the error of
// ctx when that is done.
func Next(ctx context.Context, s *Survey, spec NextSpec) (NextResult, error) {
	var f units.Faults
	f.Sub("volume", spec.Volume.check(s))
	if s != nil && len(s.rings) > 0 {
		checkCandidates(&f, s, spec.Candidates)
	}
	f.NumberBetween("most", float64(spec.Most), 1, mostNext)
	f.NotNegative("halfWidth", spec.HalfWidth)
	if err := f.Err(); err != nil {
		return NextResult{}, err
	}
	e, err := newEstimate(ctx, s, spec.Volume, estimateOptions{})
	if err != nil {
		return NextResult{}, err
	}
	r := NextResult{Volume: e.result(spec.Volume), Cautions: []string{geostat.SoundingCaution}}
	if len(e.parts) == 0 {
		return r, nil
	}
	var half units.Volume
	if i := r.Volume.Interval; i != nil {
		half = i.Half()
	}
	r.Reached = spec.HalfWidth > 0 && half > 0 && half <= spec.HalfWidth
	j := e.joint(spec.Candidates)
	if err := ctx.Err(); err != nil {
		return NextResult{}, err
	}
	first := j.variance
	wanted := spec.HalfWidth > 0 && half > 0
	for k := 1; k <= mostNeeded && !r.Reached; k++ {
		if !wanted && k > spec.Most {
			break
		}
		if err := ctx.Err(); err != nil {
			return NextResult{}, err
		}
		best := j.best()
		if best < 0 {
			break // nothing left that would lower it
		}
		at := j.at[best]
		j.take(best)
		share := math.Sqrt(j.variance / first)
		if len(r.Places) < spec.Most {
			p := NextSounding{At: at, SD: units.Volume(share) * r.Volume.SD, HalfWidth: units.Volume(share) * half, Narrower: 1 - share}
			r.Places = append(r.Places, p)
		}
		if wanted && units.Volume(share)*half <= spec.HalfWidth {
			r.Reached, r.Needed = true, k
		}
	}
	return r, nil
}

func checkCandidates(f *units.Faults, s *Survey, list []plane.Point) {
	if len(list) > maxCandidates {
		f.Count("candidates", len(list), "candidates", "at most %v", maxCandidates)
		return
	}
	for i, p := range list {
		if !s.Contains(p) {
			at := f.At("candidates", i)
			at.Fault(units.FaultConflict, "", outline.Place(p), "inside the boundary and off the islands")
		}
	}
}

// joint is what a reading at each candidate and the volume have to do with each other
// over all parts.
type joint struct {
	at       []plane.Point
	node     []int       // used node of each
	noise    []float64   // variance of a reading about the mean of its cell
	cov      [][]float64 // between the cells of the used nodes
	volume   []float64   // of each with the volume
	variance float64     // of the volume
	floor    float64     // of it that no sounding takes away
}

// joint works out the covariances. A candidate stands for the cell that it lies in.
func (e *estimate) joint(candidates []plane.Point) *joint {
	m := len(e.targets.Used)
	j := &joint{volume: make([]float64, m), noise: make([]float64, m), cov: make([][]float64, m)}
	for i := range j.cov {
		j.cov[i] = make([]float64, m)
	}
	type first struct{ thickness []float64 }
	mean, slope, c := make([]float64, m), make([]float64, m), make([]float64, m*m)
	total := make([]float64, m)
	firsts := make([]first, 0, len(e.parts))
	var order []*portion
	e.eachField(func(p *portion, f *field.Field) {
		f.Mean(mean, p.of.values, p.fit.Beta)
		f.Covariance(e.targets, c)
		t := first{make([]float64, m)}
		bands := p.of.bandsOver(asItLies)
		for k, cell := range e.cellOf {
			if slope[k] = 0; cell >= 0 {
				t.thickness[k], slope[k] = p.of.thickness(e, bands, mean, f.Variance[k]*p.variance(), k, cell)
				total[k] += p.weight * t.thickness[k]
			}
		}
		s2 := p.weight * p.variance()
		for a := range m {
			if slope[a] == 0 {
				continue
			}
			row := j.cov[a]
			for b := range m {
				row[b] += s2 * slope[a] * slope[b] * c[a*m+b]
			}
			j.noise[a] += s2 * slope[a] * slope[a] * f.Structure.Share
		}
		firsts, order = append(firsts, t), append(order, p)
	})
	for n, p := range order {
		for a := range m {
			d := firsts[n].thickness[a] - total[a]
			for b := range m {
				j.cov[a][b] += p.weight * d * (firsts[n].thickness[b] - total[b])
			}
		}
	}
	all := e.mixture(nil)
	var fromFloor float64
	for _, p := range e.parts {
		j.floor += p.weight * latticeError * latticeError * p.volume * p.volume
		fromFloor += p.weight * p.floor
	}
	j.floor += fromFloor
	for a := range m {
		for b, cell := range e.cellOf {
			if cell >= 0 {
				j.volume[a] += e.cells.list[cell].area * j.cov[a][b]
			}
		}
		j.noise[a] += e.readingSD * e.readingSD
	}
	for a, cell := range e.cellOf {
		if cell >= 0 {
			j.variance += e.cells.list[cell].area * j.volume[a]
		}
	}
	// The parts know the volume a little better than the sum over their cells.
	sd := all.SD()
	if j.variance > 0 {
		scale := max(0, sd*sd-fromFloor) / j.variance
		for a := range m {
			j.volume[a] *= math.Sqrt(scale)
		}
	}
	j.variance = sd * sd
	e.place(j, candidates)
	return j
}

// place sets the places to choose from.
func (e *estimate) place(j *joint, candidates []plane.Point) {
	nodeOf := make([]int, len(e.cells.list))
	for k, cell := range e.cellOf {
		if cell >= 0 {
			nodeOf[cell] = k
		}
	}
	if len(candidates) == 0 {
		for i, c := range e.cells.list {
			x, y := e.cells.Node(c.node)
			if p := e.cells.place(x+c.dx, y+c.dy); e.survey.Contains(p) {
				j.at, j.node = append(j.at, p), append(j.node, nodeOf[i])
			}
		}
		return
	}
	cellAt := make(map[int]int, len(e.cells.list))
	for i, c := range e.cells.list {
		cellAt[c.node] = i
	}
	for _, p := range candidates {
		d := p.Sub(e.cells.origin)
		col := max(0, min(e.cells.Cols-1, int(float64(d.X)/e.cells.DX)))
		row := max(0, min(e.cells.Rows-1, int(float64(d.Y)/e.cells.DY)))
		if i, ok := cellAt[row*e.cells.Cols+col]; ok {
			j.at, j.node = append(j.at, p), append(j.node, nodeOf[i])
		}
	}
}

// drop returns by how much a sounding at candidate i lowers the variance.
func (j *joint) drop(i int) float64 {
	k := j.node[i]
	v := j.cov[k][k] + j.noise[k]
	if v <= 0 {
		return 0
	}
	return min(j.volume[k]*j.volume[k]/v, j.variance-j.floor)
}

// best returns the candidate of the largest drop, -1 when none has any to speak of.
func (j *joint) best() int {
	best, most := -1, 1e-9*j.variance
	for i := range j.at {
		if d := j.drop(i); d > most*(1+1e-9) {
			best, most = i, d
		}
	}
	return best
}

// take conditions on a sounding at candidate i.
func (j *joint) take(i int) {
	j.variance -= j.drop(i)
	k := j.node[i]
	with := make([]float64, len(j.cov))
	copy(with, j.cov[k])
	v := j.cov[k][k] + j.noise[k]
	share := j.volume[k] / v
	for a := range with {
		j.volume[a] -= share * with[a]
		floats.AddScaled(j.cov[a], -with[a]/v, with)
	}
}

// Working returns the places in order.
func (r NextResult) Working() units.Working {
	var w units.Working
	w.Add("sludge volume now", r.Volume.Volume, "standard deviation %v", r.Volume.SD)
	for i, p := range r.Places {
		w.Put(units.Words("sounding %v at %v", i+1, outline.Place(p.At)), p.SD,
			units.Words("standard deviation then; interval narrower by %.0f %%", 100*p.Narrower))
	}
	if r.Needed > 0 {
		w.Add("soundings needed", r.Needed, "for the half-width wanted")
	}
	for _, c := range r.Cautions {
		w.Add("caution", "", c)
	}
	return w
}

// String returns the working as a table.
func (r NextResult) String() string { return r.Working().String() }
