package sludge

import (
	"slices"

	"gonum.org/v1/gonum/spatial/kdtree"

	"example.org/earthbasin/units/plane"
)

// nearest finds the samples nearest to a place.
type nearest struct{ tree *kdtree.Tree }

func newNearest(samples []Sample) *nearest {
	list := make(located, len(samples))
	for i, s := range samples {
		list[i] = location{[2]float64{float64(s.At.X), float64(s.At.Y)}, i}
	}
	return &nearest{kdtree.New(list, false)}
}

// find sets index to the numbers of the len(index) samples nearest to p, in
// rising order.
func (n *nearest) find(p plane.Point, index []int) {
	keep := kdtree.NewNKeeper(len(index))
	n.tree.NearestSet(keep, location{[2]float64{float64(p.X), float64(p.Y)}, -1})
	for i, c := range keep.Heap {
		index[i] = c.Comparable.(location).index
	}
	slices.Sort(index)
}

// location is a sample in the tree.
type location struct {
	at    [2]float64
	index int
}

func (l location) Compare(c kdtree.Comparable, d kdtree.Dim) float64 {
	return l.at[d] - c.(location).at[d]
}
func (l location) Dims() int { return 2 }
func (l location) Distance(c kdtree.Comparable) float64 {
	dx, dy := l.at[0]-c.(location).at[0], l.at[1]-c.(location).at[1]
	return dx*dx + dy*dy
}

type located []location

func (l located) Index(i int) kdtree.Comparable         { return l[i] }
func (l located) Len() int                              { return len(l) }
func (l located) Slice(start, end int) kdtree.Interface { return l[start:end] }

// Pivot splits at the median, found the same way each time.
func (l located) Pivot(d kdtree.Dim) int {
	p := plane2{l, d}
	return kdtree.Partition(p, kdtree.MedianOfMedians(p))
}

// plane2 orders locations along one axis.
type plane2 struct {
	located
	dim kdtree.Dim
}

func (p plane2) Less(i, j int) bool                     { return p.located[i].at[p.dim] < p.located[j].at[p.dim] }
func (p plane2) Swap(i, j int)                          { p.located[i], p.located[j] = p.located[j], p.located[i] }
func (p plane2) Slice(start, end int) kdtree.SortSlicer { return plane2{p.located[start:end], p.dim} }
