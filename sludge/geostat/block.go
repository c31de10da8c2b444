package geostat

import (
	"math"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// BlockRule says which points stand for a block.
type BlockRule = units.Enum[blockWords]

const (
	// BlockLattice ("lattice") cuts the area by a lattice of equal cells; each part
	// counts at its centroid with its area, so that the area is exact and so is the mean
	// of a plane.
	BlockLattice BlockRule = iota
	// BlockGauss ("Gauss 4 x 4") takes 4 by 4 Gauss-Legendre points, of a rectangle along
	// the axes only.
	BlockGauss
)

var blockNames = units.Names{"lattice", "Gauss 4 x 4"}

type blockWords struct{}

func (blockWords) Names() units.Names { return blockNames }

// BlockSpec is an area whose mean is wanted, or a line, or points.
type BlockSpec struct {
	Boundary plane.Polygon   `json:"boundary,omitempty"` // of the area; required without a line or points
	Islands  []plane.Polygon `json:"islands,omitempty"`  // inside the boundary, not part of the area
	Line     []plane.Point   `json:"line,omitempty"`     // two places or more: the mean along their legs, in place of the area
	Points   []plane.Point   `json:"points,omitempty"`   // the mean of these, at most 10000, one weight each, in place of the area
	Rule     BlockRule       `json:"rule"`               // which points stand for an area; zero value: lattice
	Step     units.Length    `json:"step"`               // most between the points of an area or a line, 1e-6 m or more; 0: as gives about 1000. At most 250,000 cells in the box around the boundary, 10,000 points on a line
}

// Node is a part of an area, or a point that stands for it.
type Node struct {
	At   plane.Point `json:"at"`   // its centre
	Area units.Area  `json:"area"` // of the part
}

// Weight is the weight of a sample in an estimate.
type Weight struct {
	Sample int     `json:"sample"` // index in the samples of the spec; of the first at its place
	Weight float64 `json:"weight"` // may be below 0 behind another sample
}

// BlockResult is the kriged mean of an area. Its variance is SD squared.
type BlockResult struct {
	Mean       units.Length `json:"mean"`       // estimate over the points
	SD         units.Length `json:"sd"`         // of the mean, not of a place
	Within     units.Area   `json:"within"`     // mean covariance within the area, without the nugget
	Weights    []Weight     `json:"weights"`    // in the order of the samples, adding up to 1
	Multiplier units.Area   `json:"multiplier"` // of the condition that the weights add up to 1
	Area       units.Area   `json:"area"`       // inside the boundary less the islands, exactly
	Rule       BlockRule    `json:"rule"`       // which points stood for the area
	Step       units.Length `json:"step"`       // 0 with Gauss points
	Points     int          `json:"points"`     // number of them
}

// defaultPoints is the number of points that stand for a block when no step is
// given. Four times as many change the standard deviation by less than 1 % on
// basins with tens of soundings.
const defaultPoints = 1000

// What keeps a block within about a second.
const (
	maxCells       = 250000 // of the lattice over the box
	maxGivenPoints = 10000
	maxCutPairs    = 5e8 // of the cells that the edge cuts with all
)

// Nodes returns the points that stand for the block, with their shares of the area,
// which are 0 when the spec has no boundary. Faults are those of [Kriging.Block].
func (spec BlockSpec) Nodes() ([]Node, error) {
	nodes, area, err := spec.nodes()
	if err != nil {
		return nil, err
	}
	list := make([]Node, len(nodes.at))
	for i, p := range nodes.at {
		list[i] = Node{p, area * units.Area(nodes.weight[i])}
	}
	return list, nil
}

// Block returns the kriged mean over an area with its standard deviation: the
// covariances to the target are means over the points of the area, and the
// variance is the mean covariance within the area, without nugget and by the same
// points, less w'c and the multiplier (An Introduction to Applied Geostatistics,
// Oxford University Press, 1989, chapter 13). With neighbours it uses the samples
// nearest to the centre of the area, or of the points. Faults are on boundary,
// islands, line, points, rule and step.
func (k *Kriging) Block(spec BlockSpec) (BlockResult, error) {
	var f units.Faults
	k.checkUsable(&f)
	nodes, area, err := spec.nodes()
	f.Sub("", err)
	if err := f.Err(); err != nil {
		return BlockResult{}, err
	}
	r := k.block(k.systemAt(nodes.centre()), nodes)
	r.Area, r.Rule = area, spec.Rule
	return r, nil
}

// centre returns the weighted mean of the nodes.
func (b *blockNodes) centre() plane.Point {
	c := b.at[0]
	for i, p := range b.at {
		d, w := p.Sub(b.at[0]), units.Length(b.weight[i])
		c.X, c.Y = c.X+w*d.X, c.Y+w*d.Y
	}
	return c
}

// systemAt returns the system of all samples, or of those nearest to p.
func (k *Kriging) systemAt(p plane.Point) *system {
	if k.all != nil {
		return k.all
	}
	s := newSystem(k.k)
	k.near.Find(mesh.Of(p), s.index, make([]float64, k.k))
	s.solve(k)
	return s
}

// nodes checks the spec and returns its points and its area.
func (spec *BlockSpec) nodes() (*blockNodes, units.Area, error) {
	var f units.Faults
	var area units.Area
	if len(spec.Boundary) > 0 || len(spec.Islands) > 0 || len(spec.Line) == 0 && len(spec.Points) == 0 {
		var err error
		area, err = outline.Check(spec.Boundary, spec.Islands)
		f.Sub("", err)
	}
	f.ZeroOr("step", spec.Step, units.MinLength, maxLength)
	if !blockNames.Has(int(spec.Rule)) {
		f.Add("rule", int(spec.Rule), blockNames.Want())
	}
	outline.CheckPlaces(&f, "points", spec.Points)
	outline.CheckPlaces(&f, "line", spec.Line)
	if len(spec.Points) > maxGivenPoints {
		f.Count("points", len(spec.Points), "points", "at most %v", maxGivenPoints)
	}
	if len(spec.Points) > 0 && len(spec.Line) > 0 {
		f.Say("line", "given together with points", "one of the two")
	}
	if err := f.Err(); err != nil {
		return nil, 0, err
	}
	var nodes *blockNodes
	switch {
	case len(spec.Points) > 0:
		nodes = givenNodes(spec.Points)
	case len(spec.Line) > 0:
		nodes = spec.alongLine(&f)
	case spec.Rule == BlockGauss:
		nodes = spec.gauss(area, &f)
	default:
		nodes = spec.overLattice(area, &f)
	}
	return nodes, area, f.Err()
}

func (spec *BlockSpec) gauss(area units.Area, f *units.Faults) *blockNodes {
	low, high := spec.Boundary.Bounds()
	if box := (high.X - low.X).Times(high.Y - low.Y); len(spec.Boundary) != 4 || math.Abs(float64(area/box-1)) > 1e-9 {
		f.Say("rule", spec.Rule.String(), "lattice, unless the area is a rectangle along the axes without islands")
		return nil
	}
	return gaussNodes(low, high)
}

func (spec *BlockSpec) alongLine(f *units.Faults) *blockNodes {
	var length float64
	for i, p := range spec.Line[1:] {
		length += float64(p.Distance(spec.Line[i]))
	}
	if !(length > 0) {
		f.Add("line", units.Length(length), "two places or more that lie apart")
		return nil
	}
	step := float64(spec.Step)
	if step == 0 {
		step = length / defaultPoints
	}
	if length/step+float64(len(spec.Line)) > maxGivenPoints {
		f.Add("step", units.Length(step), "at most %v points on the line", maxGivenPoints)
		return nil
	}
	return lineNodes(spec.Line, length, step)
}

func (spec *BlockSpec) overLattice(area units.Area, f *units.Faults) *blockNodes {
	step := float64(spec.Step)
	low, high := spec.Boundary.Bounds()
	w, h := float64(high.X-low.X), float64(high.Y-low.Y)
	if step == 0 { // a sliver across its box gets fewer points
		step = max(math.Sqrt(float64(area)/defaultPoints), math.Sqrt(w*h/maxCells*4), max(w, h)/maxCells*4)
	}
	if math.Ceil(w/step)*math.Ceil(h/step) > maxCells {
		f.Add("step", units.Length(step), "at most %v cells in the box around the boundary", maxCells)
		return nil
	}
	nodes := latticeNodes(spec.Boundary, spec.Islands, float64(area), step)
	if len(nodes.at) == 0 || nodes.pairs() > maxCutPairs {
		f.Add("step", units.Length(step), "a step at which the edge cuts fewer cells, and at least one cell has an area")
	}
	return nodes
}

// block returns the mean over the nodes from the samples of s.
func (k *Kriging) block(s *system, nodes *blockNodes) BlockResult {
	x, y := make([]float64, len(nodes.at)), make([]float64, len(nodes.at))
	for i, p := range nodes.at {
		x[i], y[i] = k.cov.place(p.Sub(k.origin))
	}
	c0 := make([]float64, len(s.index))
	nodes.to(&k.cov, x, y, s.x, s.y, c0)
	within := nodes.within(&k.cov)
	r := BlockResult{Within: units.Area(within), Step: units.Length(nodes.step), Points: len(nodes.at)}
	w, mu := s.weights(c0)
	r.Weights, r.Multiplier = k.weightsOf(s, w), units.Area(mu)
	e := estimateAt(s.target(c0, within))
	r.Mean, r.SD = e.Value, e.SD
	return r
}

// weightsOf returns the weights of the samples of s in the order of the spec.
func (k *Kriging) weightsOf(s *system, w []float64) []Weight {
	list := make([]Weight, len(w))
	for i, j := range s.index {
		list[i] = Weight{k.source[j], w[i]}
	}
	sortWeights(list)
	return list
}
