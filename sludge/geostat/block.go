package geostat

import (
	"fmt"
	"math"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// BlockRule says which points stand for a block.
type BlockRule int

const (
	BlockLattice BlockRule = iota // a square lattice inside the boundary
	BlockGauss                    // 4 by 4 Gauss-Legendre points, of a rectangle along the axes only
)

var blockNames = units.Names{"lattice", "Gauss 4 x 4"}

// String returns the name of the rule.
func (b BlockRule) String() string { return blockNames.String(int(b)) }

// MarshalText returns the name of the rule.
func (b BlockRule) MarshalText() ([]byte, error) { return blockNames.Marshal(int(b)) }

// UnmarshalText sets b to the rule of that name.
func (b *BlockRule) UnmarshalText(text []byte) error {
	return units.UnmarshalName(blockNames, text, b)
}

// BlockSpec is an area whose mean is wanted and the points that stand for it.
type BlockSpec struct {
	Boundary plane.Polygon   `json:"boundary"`
	Islands  []plane.Polygon `json:"islands,omitempty"` // inside the boundary, not part of the area
	Points   []plane.Point   `json:"points,omitempty"`  // that stand for the area with one weight each, instead of a rule; at most 10000
	Rule     BlockRule       `json:"rule"`              // zero value: lattice
	Step     units.Length    `json:"step"`              // of the lattice; 0: as gives about 1000 points. At most a million points
}

// Node is a part of an area, or a point that stands for it.
type Node struct {
	At   plane.Point `json:"at"`   // its centre
	Area units.Area  `json:"area"` // of the part
}

// Weight is the weight of a sample in an estimate.
type Weight struct {
	Sample int     `json:"sample"` // index in the samples of the spec; of the first at its place
	Weight float64 `json:"weight"`
}

// BlockResult is the kriged mean of an area. Its variance is SD squared.
type BlockResult struct {
	Mean       units.Length `json:"mean"`       // estimate over the points
	SD         units.Length `json:"sd"`         // of the mean, not of a place
	Within     units.Area   `json:"within"`     // mean covariance within the area, without the nugget
	Weights    []Weight     `json:"weights"`    // in the order of the samples, adding up to 1
	Multiplier units.Area   `json:"multiplier"` // of the condition that the weights add up to 1
	Area       units.Area   `json:"area"`       // inside the boundary less the islands, exactly
	Rule       BlockRule    `json:"rule"`
	Step       units.Length `json:"step"` // 0 with Gauss points
	Points     int          `json:"points"`
}

// defaultPoints is the number of points that stand for a block when no step is
// given. Four times as many change the standard deviation by less than 1 % on
// basins with tens of soundings.
const defaultPoints = 1000

const maxBlockPoints = 1e6

// maxGivenPoints keeps the pairs of given points within a second.
const maxGivenPoints = 10000

// Nodes returns the points that stand for the area, with their shares of it.
// Faults are those of [Kriging.Block].
func (spec BlockSpec) Nodes() ([]Node, error) {
	nodes, area, err := spec.nodes()
	if err != nil {
		return nil, err
	}
	list := make([]Node, len(nodes.at))
	for i, p := range nodes.at {
		w := 1 / float64(len(nodes.at))
		if nodes.weight != nil {
			w = nodes.weight[i]
		}
		list[i] = Node{p, area * units.Area(w)}
	}
	return list, nil
}

// Block returns the kriged mean over an area with its standard deviation: the
// covariances to the target are means over the points of the area, and the
// variance is the mean covariance within the area, without nugget and by the same
// points, less w'c and the multiplier (An Introduction to Applied Geostatistics,
// Oxford University Press, 1989, chapter 13). With neighbours it uses the samples
// nearest to the centre of the area. Faults are on boundary, islands, rule and
// step.
func (k *Kriging) Block(spec BlockSpec) (BlockResult, error) {
	var f units.Faults
	k.made(&f)
	nodes, area, err := spec.nodes()
	f.Sub("", err)
	if err := f.Err(); err != nil {
		return BlockResult{}, err
	}
	r := k.block(k.blockSystem(spec), nodes)
	r.Area, r.Rule = area, spec.Rule
	return r, nil
}

// blockSystem returns the system that a block rests on.
func (k *Kriging) blockSystem(spec BlockSpec) *system { return k.systemAt(spec.Boundary.Centroid()) }

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
	area, err := outline.Check(spec.Boundary, spec.Islands)
	f.Sub("", err)
	f.Between("step", spec.Step, units.Length(0), maxLength)
	if err := f.Err(); err != nil {
		return nil, 0, err
	}
	nodes, err := spec.nodesOn(area)
	return nodes, area, err
}

// nodesOn works on a checked area and step.
func (spec *BlockSpec) nodesOn(area units.Area) (*blockNodes, error) {
	var f units.Faults
	if len(spec.Points) > 0 {
		if len(spec.Points) > maxGivenPoints {
			f.Add("points", len(spec.Points), fmt.Sprintf("at most %d", maxGivenPoints))
		}
		for i, p := range spec.Points {
			outline.CheckPlace(&f, "points", i, "", p)
		}
		return givenNodes(spec.Points), f.Err()
	}
	low, high := spec.Boundary.Bounds()
	switch spec.Rule {
	case BlockGauss:
		if box := (high.X - low.X).Times(high.Y - low.Y); len(spec.Boundary) != 4 || math.Abs(float64(area/box-1)) > 1e-9 {
			f.Say("rule", spec.Rule.String(), "lattice, unless the area is a rectangle along the axes without islands")
			return nil, f.Err()
		}
		return gaussNodes(low, high), nil
	case BlockLattice:
	default:
		f.Add("rule", int(spec.Rule), blockNames.Want())
		return nil, f.Err()
	}
	step := float64(spec.Step)
	if step == 0 {
		step = math.Sqrt(float64(area) / defaultPoints)
	}
	if points := float64((high.X-low.X)*(high.Y-low.Y)) / step / step; points > maxBlockPoints {
		f.Add("step", units.Length(step), fmt.Sprintf("at most %.0f points in the box around the boundary", float64(maxBlockPoints)))
		return nil, f.Err()
	}
	nodes := latticeNodes(spec.Boundary, spec.Islands, step)
	if len(nodes.at) == 0 {
		f.Add("step", units.Length(step), "short enough for points inside the boundary")
	}
	return nodes, f.Err()
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
