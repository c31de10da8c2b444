package geostat

import (
	"context"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// NextSpec asks where to sound next.
type NextSpec struct {
	Block      BlockSpec     `json:"block"`      // the area whose mean is to become surer
	Candidates []plane.Point `json:"candidates"` // places to choose from, at most 10000; none: a lattice of about 400 inside the boundary
	Most       int           `json:"most"`       // soundings to name, 1 to 1000
	TargetSD   units.Length  `json:"targetSD"`   // of the mean; stops when it is reached; 0: none
}

// NextResult is a list of places in the order in which they help most.
type NextResult struct {
	SD       units.Length   `json:"sd"`                 // of the mean now
	Places   []NextSounding `json:"places"`             // in the order in which to sound them
	Reached  bool           `json:"reached"`            // the target SD is reached with the places named, or without any
	Cautions []string       `json:"cautions,omitempty"` // for the crew
}

// SoundingCaution goes with every list of places to sound (common practice, no
// source).
const SoundingCaution = "Drowning and gases: sound from a stable boat with two people, life jackets and a line to a third on the bank, in the open and in moving air, never while the basin is agitated or pumped; nobody enters the basin. Local safety rules come first."

// Working returns the places in order.
func (r NextResult) Working() units.Working {
	var w units.Working
	w.Add("standard deviation of the mean now", r.SD, "")
	for i, p := range r.Places {
		w.Put(units.Words("sounding %v at %v", i+1, outline.Place(p.At)), p.SD, units.Words("standard deviation once it is taken"))
	}
	for _, c := range r.Cautions {
		w.Add("caution", "", c)
	}
	return w
}

// String returns the working as a table.
func (r NextResult) String() string { return r.Working().String() }

// NextSounding is a place to sound.
type NextSounding struct {
	At plane.Point  `json:"at"` // one of the candidates
	SD units.Length `json:"sd"` // of the mean once this place and those before it are sounded
}

// nextCandidates is the number of candidates when none are given.
const nextCandidates = 400

// maxCandidates bounds the memory, which is that of as many samples again for each
// of them.
const maxCandidates = 10000

// Next returns the places whose sounding lowers the standard deviation of the
// mean over the area most: each the best one given those before it (a greedy
// choice). A kriging variance does not depend on the values, so the places can be
// named before anybody goes out. Sounding at x lowers the variance of the mean by
// c^2/v, with c the covariance of the errors of the mean and of the estimate at x
// and v the variance at x. The number of places until TargetSD is reached is the
// number of soundings that the wanted precision asks for. It needs kriging from
// all samples. Faults are on block, candidates, most, targetSD and neighbours; it ends
// with the error of ctx when that is done, though not in the middle of solving for all
// candidates.
func (k *Kriging) Next(ctx context.Context, spec NextSpec) (NextResult, error) {
	var f units.Faults
	if k.checkUsable(&f); f.Err() != nil {
		return NextResult{}, f.Err()
	}
	nodes, area, err := spec.Block.nodes()
	f.Sub("block", err)
	if len(spec.Candidates) > maxCandidates {
		f.Count("candidates", len(spec.Candidates), "candidates", "at most %v", maxCandidates)
	}
	outline.CheckPlaces(&f, "candidates", spec.Candidates)
	f.NumberBetween("most", float64(spec.Most), 1, 1000)
	f.ZeroOr("targetSD", spec.TargetSD, units.MinLength, units.MaxCoordinate)
	if k.all == nil {
		f.Add("neighbours", k.k, "0, all samples")
	}
	if err := f.Err(); err != nil {
		return NextResult{}, err
	}
	at := spec.Candidates
	if len(at) == 0 {
		at = spec.Block.places(area, nodes)
	}
	if err := ctx.Err(); err != nil {
		return NextResult{}, err
	}
	block := k.block(k.all, nodes)
	variance := float64(block.SD) * float64(block.SD)
	r := NextResult{SD: block.SD, Reached: spec.TargetSD > 0 && block.SD <= spec.TargetSD}
	r.Cautions = []string{SoundingCaution}
	c := k.candidates(at, nodes)
	for len(r.Places) < spec.Most && !r.Reached {
		if err := ctx.Err(); err != nil {
			return NextResult{}, err
		}
		best := c.best()
		if best < 0 {
			break // nothing left that would lower it
		}
		variance = max(0, variance-c.drop(best))
		sd := units.Length(math.Sqrt(variance))
		r.Places = append(r.Places, NextSounding{at[best], sd})
		r.Reached = spec.TargetSD > 0 && sd <= spec.TargetSD
		c.take(best)
	}
	return r, nil
}

// places returns the centres inside the block of a lattice of about nextCandidates
// cells, or its nodes where the block is too narrow for that.
func (spec *BlockSpec) places(area units.Area, nodes *blockNodes) []plane.Point {
	low, high := spec.Boundary.Bounds()
	step := units.Length(math.Sqrt(float64(area) / nextCandidates))
	cols, rows := math.Round(float64((high.X-low.X)/step)), math.Round(float64((high.Y-low.Y)/step))
	var list []plane.Point
	if area > 0 && len(spec.Points) == 0 && len(spec.Line) == 0 && cols*rows <= maxCandidates {
		for j := range int(max(rows, 1)) {
			for i := range int(max(cols, 1)) {
				list = append(list, plane.Point{
					X: low.X + (units.Length(i)+0.5)*(high.X-low.X)/units.Length(max(cols, 1)),
					Y: low.Y + (units.Length(j)+0.5)*(high.Y-low.Y)/units.Length(max(rows, 1))})
			}
		}
		in, kept := plane.Inside(spec.Boundary, spec.Islands, list), list[:0]
		for i, p := range list {
			if in[i] {
				kept = append(kept, p)
			}
		}
		list = kept
	}
	if len(list) == 0 {
		return nodes.at[:min(len(nodes.at), maxCandidates)]
	}
	return list
}

// candidates holds, for each candidate, the variance of its estimate and its
// covariance with the error of the block mean, given all samples and the
// candidates taken so far.
type candidates struct {
	k               *Kriging
	x, y            []float64
	solved          blas64.General // L^-1 c0, a column for each candidate
	miss            []float64      // 1 - u'c0
	variance, block []float64
	taken           [][]float64 // covariances with each one taken, over its standard deviation
}

func (k *Kriging) candidates(at []plane.Point, nodes *blockNodes) *candidates {
	n, m := len(k.samples), len(at)
	s := k.all
	c := &candidates{k: k, x: make([]float64, m), y: make([]float64, m), miss: make([]float64, m),
		variance: make([]float64, m), block: make([]float64, m),
		solved: blas64.General{Rows: n, Cols: m, Stride: m, Data: make([]float64, n*m)}}
	for i, p := range at {
		c.x[i], c.y[i] = k.cov.place(p.Sub(k.origin))
		c.miss[i] = 1
		c.variance[i] = k.cov.zero()
	}
	for i := range n {
		row := c.solved.Data[i*m : (i+1)*m]
		k.cov.row(row, c.x, c.y, s.x[i], s.y[i])
		floats.AddScaled(c.miss, -s.u[i], row)
	}
	blas64.Trsm(blas.Left, blas.NoTrans, 1, s.factor, c.solved)

	nx, ny := make([]float64, len(nodes.at)), make([]float64, len(nodes.at))
	for i, p := range nodes.at {
		nx[i], ny[i] = k.cov.place(p.Sub(k.origin))
	}
	toBlock := make([]float64, n)
	nodes.to(&k.cov, nx, ny, s.x, s.y, toBlock)
	blockMiss := 1 - floats.Dot(s.u, toBlock)
	blas64.Trsv(blas.NoTrans, s.factor, blas64.Vector{N: n, Inc: 1, Data: toBlock})
	nodes.to(&k.cov, nx, ny, c.x, c.y, c.block)
	for i := range n {
		row := c.solved.Data[i*m : (i+1)*m]
		floats.AddScaled(c.block, -toBlock[i], row)
		for j, v := range row {
			c.variance[j] -= v * v
		}
	}
	for j := range m {
		c.block[j] += blockMiss * c.miss[j] / s.s
		c.variance[j] += c.miss[j] * c.miss[j] / s.s
		if _, ok := k.exact[at[j]]; ok {
			c.variance[j] = 0 // known already
		}
	}
	return c
}

// drop returns by how much sounding candidate i lowers the variance of the mean.
func (c *candidates) drop(i int) float64 {
	if c.variance[i] <= 1e-9*c.k.cov.zero() {
		return 0 // at or next to a sample: known already
	}
	return c.block[i] * c.block[i] / c.variance[i]
}

// best returns the candidate of the largest drop, -1 when none has any.
func (c *candidates) best() int {
	best, most := -1, 0.0
	for i := range c.variance {
		if d := c.drop(i); d > most*(1+1e-9) { // the first of places that do as much, on every machine
			best, most = i, d
		}
	}
	return best
}

// take conditions variances and covariances on a sounding at candidate b.
func (c *candidates) take(b int) {
	m, s := len(c.x), c.k.all
	with := make([]float64, m) // covariance of each with b
	c.k.cov.row(with, c.x, c.y, c.x[b], c.y[b])
	for i := range c.solved.Rows {
		row := c.solved.Data[i*m : (i+1)*m]
		floats.AddScaled(with, -row[b], row)
	}
	floats.AddScaled(with, c.miss[b]/s.s, c.miss)
	for _, t := range c.taken {
		floats.AddScaled(with, -t[b], t)
	}
	with[b] = c.variance[b]
	floats.Scale(1/math.Sqrt(c.variance[b]), with)
	share := c.block[b] / math.Sqrt(c.variance[b])
	for i, w := range with {
		c.variance[i] -= w * w
		c.block[i] -= share * w
	}
	c.taken = append(c.taken, with)
}
