package sludge

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units/plane"
)

// bentBasin has a bay and an island, so that cells are whole, cut and beside it.
func bentBasin(t *testing.T) *Survey {
	boundary := plane.Polygon{at(10, 5), at(90, 5), at(90, 35), at(42, 35), at(33, 75), at(10, 75)}
	island := rectangle(50, 12, 61, 22)
	return surveyOf(t, boundary, []geostat.Sample{sampleAt(20, 20, 1), sampleAt(80, 15, 1.3), sampleAt(25, 60, 0.7), sampleAt(70, 30, 1.1)},
		func(s *SurveySpec) { s.Islands, s.Sides = []plane.Polygon{island}, SidesVertical })
}

// The cells add up to the area, whole ones about their nodes and cut ones about their
// centroids, with 8 by 8 points of which those in the basin count.
func TestBasinCells(t *testing.T) {
	s := bentBasin(t)
	c := newCells(s, 120)
	require.InDelta(t, s.area/120, c.DX*c.DY, 0.1*s.area/120)
	var area, x, y float64
	last := -1
	for _, p := range c.list {
		require.Greater(t, p.node, last, "in order")
		last = p.node
		nx, ny := c.Node(p.node)
		area += p.area
		x += p.area * (nx + p.dx)
		y += p.area * (ny + p.dy)
		if p.area > (1-1e-9)*c.DX*c.DY {
			require.Zero(t, [2]float64{p.dx, p.dy})
			require.Equal(t, 64, p.to-p.from)
		}
		inside := 0
		for j := range 8 {
			for i := range 8 {
				q := subPoint{((float64(i)+0.5)/8 - 0.5) * c.DX, ((float64(j)+0.5)/8 - 0.5) * c.DY}
				if s.Contains(c.place(nx+q.dx, ny+q.dy)) {
					require.InDelta(t, q.dx, c.points[p.from+inside].dx, 1e-12)
					require.InDelta(t, q.dy, c.points[p.from+inside].dy, 1e-12)
					inside++
				}
			}
		}
		if inside == 0 {
			require.Equal(t, []subPoint{{p.dx, p.dy}}, c.points[p.from:p.to])
		} else {
			require.Equal(t, inside, p.to-p.from)
		}
	}
	whole, hole := s.rings[0].Centroid(), s.rings[1].Centroid()
	a, b := float64(s.rings[0].Area()), float64(s.rings[1].Area())
	require.InDelta(t, a-b, area, 1e-9)
	require.InDelta(t, a*(float64(whole.X)-10)-b*(float64(hole.X)-10), x, 1e-6)
	require.InDelta(t, a*(float64(whole.Y)-5)-b*(float64(hole.Y)-5), y, 1e-6)

	// Nodes are used that are those of cells or beside them.
	targets := c.targets()
	used := map[int]bool{}
	for _, p := range c.list {
		col, row := p.node%c.Cols, p.node/c.Cols
		for _, n := range [][2]int{{col, row}, {col - 1, row}, {col + 1, row}, {col, row - 1}, {col, row + 1}} {
			if n[0] >= 0 && n[0] < c.Cols && n[1] >= 0 && n[1] < c.Rows {
				used[n[1]*c.Cols+n[0]] = true
			}
		}
	}
	require.Len(t, targets.Used, len(used))
	for k, i := range targets.Used {
		require.True(t, used[i])
		x, y := c.Node(i)
		for _, d := range [][2]float64{{0, 0}, {-0.49, 0.3}, {0.49, -0.49}} {
			got, ok := usedNode(targets, x+d[0]*c.DX, y+d[1]*c.DY)
			require.True(t, ok)
			require.Equal(t, k, got)
		}
	}
	_, ok := usedNode(targets, float64(90-10), float64(75-5))
	require.False(t, ok, "a corner of the box without a cell near it")
	_, ok = usedNode(targets, -3, -3)
	require.True(t, ok, "the nearest cell counts beside the box")

	require.Equal(t, 135, newCells(surveyOf(t, rectangle(0, 0, 100, 60), rounded(3)), cellsFor(0, manySites)).Len())
	require.Equal(t, 240, newCells(surveyOf(t, rectangle(0, 0, 100, 60), rounded(3)), cellsFor(0, manySites+1)).Len())
}

// The levels of a cell are its points by depth, as many in each, with their mean depth,
// place and share of what is an estimate.
func TestFloorLevels(t *testing.T) {
	s := bentBasin(t)
	c := newCells(s, 120)
	estimated := func(k int) bool { return k%3 == 0 }
	depths := make([]float64, len(c.points))
	for _, p := range c.list {
		x, y := c.Node(p.node)
		for k := p.from; k < p.to; k++ {
			if q := c.points[k]; p.node%5 > 1 {
				depths[k] = 2 + 0.03*(x+q.dx) - 0.01*(y+q.dy)
			} else if depths[k] = 1.5; p.node%5 == 1 && k%2 == 0 {
				depths[k] = 1.6 // as deep as others
			}
		}
	}
	list, from := c.levels(depths, estimated)
	for i, p := range c.list {
		levels := list[from[i]:from[i+1]]
		d := depths[p.from:p.to]
		n := len(d)
		if slices.Max(d) == slices.Min(d) {
			require.Len(t, levels, 1)
			require.Equal(t, [4]float64{d[0], 1, p.dx, p.dy}, [4]float64{levels[0].depth, levels[0].share, levels[0].dx, levels[0].dy})
		} else {
			require.Len(t, levels, min(4, n))
		}
		var share, depth, dx, dy, open float64
		for k, l := range levels {
			share += l.share
			depth += l.share * l.depth
			dx += l.share * l.dx
			dy += l.share * l.dy
			open += l.share * l.open
			if len(levels) > 1 {
				require.InDelta(t, float64((k+1)*n/len(levels)-k*n/len(levels))/float64(n), l.share, 1e-12)
				sorted := slices.Sorted(slices.Values(d))[k*n/len(levels) : (k+1)*n/len(levels)]
				var mean float64
				for _, v := range sorted {
					mean += v / float64(len(sorted))
				}
				require.InDelta(t, mean, l.depth, 1e-12)
			}
		}
		var wantDepth, wantX, wantY, wantOpen float64
		for k := p.from; k < p.to; k++ {
			wantDepth += depths[k] / float64(n)
			wantX += c.points[k].dx / float64(n)
			wantY += c.points[k].dy / float64(n)
			if estimated(k) {
				wantOpen += 1 / float64(n)
			}
		}
		require.InDelta(t, 1, share, 1e-12)
		require.InDelta(t, wantDepth, depth, 1e-12)
		require.InDelta(t, wantOpen, open, 1e-12)
		if len(levels) > 1 {
			require.InDelta(t, wantX, dx, 1e-12)
			require.InDelta(t, wantY, dy, 1e-12)
		}
	}
	none, _ := c.levels(depths, nil)
	for k, l := range none {
		require.Zero(t, l.open)
		require.Equal(t, list[k].depth, l.depth)
	}
}

// A dense survey is thinned to one group in each square cell: the ping nearest to the middle
// of the cell and those close to it.
func TestThinning(t *testing.T) {
	for _, n := range []int{mostSites + 1, 700} {
		s := surveyOf(t, rectangle(0, 0, 120, 80), rounded(n), func(spec *SurveySpec) {
			for i := range spec.Soundings {
				spec.Soundings[i].Track = i % 7
			}
		})
		got := newThinning(s, 0, 0)
		least := math.Sqrt(s.area / mostSites)
		require.GreaterOrEqual(t, got.side, least)
		held := func(side float64) map[[2]int][]int {
			cells := map[[2]int][]int{}
			for i := range s.n {
				k := [2]int{min(int(s.y[i]/side), int(80/side)), min(int(s.x[i]/side), int(120/side))}
				cells[k] = append(cells[k], i)
			}
			return cells
		}
		cells := held(got.side)
		require.LessOrEqual(t, len(cells), mostSites)
		if got.side > least {
			require.Greater(t, len(held(got.side/1.1)), mostSites, "no coarser than needed")
		}
		require.Len(t, got.groups, len(cells))
		list, side := s.sites()
		require.Equal(t, got.side, side)
		require.Len(t, list, len(cells))
		last := [2]int{-1, -1}
		for g, ids := range got.groups {
			first := int(ids[0])
			k := [2]int{min(int(s.y[first]/got.side), int(80/got.side)), min(int(s.x[first]/got.side), int(120/got.side))}
			require.Positive(t, slices.Compare(k[:], last[:]), "row by row")
			last = k
			mx, my := (float64(k[1])+0.5)*got.side, (float64(k[0])+0.5)*got.side
			want := []int32{}
			for _, i := range cells[k] {
				require.LessOrEqual(t, math.Hypot(s.x[first]-mx, s.y[first]-my), math.Hypot(s.x[i]-mx, s.y[i]-my)+1e-12)
				if i != first && math.Hypot(s.x[i]-s.x[first], s.y[i]-s.y[first]) <= got.side/12 {
					want = append(want, int32(i))
				}
			}
			require.Equal(t, want, append([]int32{}, ids[1:]...))
			var x, y, z float64
			for _, i := range ids {
				x, y, z = x+s.x[i]/float64(len(ids)), y+s.y[i]/float64(len(ids)), z+s.z[i]/float64(len(ids))
			}
			require.InDelta(t, x, list[g].x, 1e-9)
			require.InDelta(t, y, list[g].y, 1e-9)
			require.InDelta(t, z, list[g].thickness, 1e-12)
			require.Equal(t, first%7, list[g].track)
			require.Equal(t, 1.0, list[g].readings)
		}
	}
	// As many cells as there may be are not too many.
	var pairs []geostat.Sample
	cell := math.Sqrt(120 * 80 / 120.0)
	for i := range mostSites { // of 14 by 9
		x, y := min((float64(i%14)+0.5)*cell, 118), (float64(i/14)+0.5)*cell
		pairs = append(pairs, sampleAt(x, y, 1), sampleAt(x+0.1, y+0.1, 1))
	}
	got := newThinning(surveyOf(t, rectangle(0, 0, 120, 80), pairs), 0, 0)
	require.InDelta(t, cell, got.side, 1e-12)
	require.Len(t, got.groups, mostSites)

	// The floor of a group is the mean of those that were read.
	spec := SurveySpec{Boundary: rectangle(0, 0, 120, 80), Sides: SidesBanks}
	for i, r := range rounded(900) {
		d := 3 + 0.01*float64(i%17)
		if sounding := depths(float64(r.At.X), float64(r.At.Y), d-float64(r.Value), d); i%3 > 0 {
			spec.Soundings = append(spec.Soundings, sounding)
		} else {
			spec.Soundings = append(spec.Soundings, core(float64(r.At.X), float64(r.At.Y), float64(r.Value)))
		}
	}
	s, err := NewSurvey(t.Context(), spec)
	require.NoError(t, err)
	list, _ := s.sites()
	several := 0
	for g, ids := range newThinning(s, 0, 0).groups {
		var sum, n float64
		for _, i := range ids {
			if i%3 > 0 {
				sum, n = sum+3+0.01*float64(i%17), n+1
			}
		}
		if n == 0 {
			require.True(t, math.IsNaN(list[g].floor))
			continue
		}
		if n > 1 {
			several++
		}
		require.InDelta(t, sum/n, list[g].floor, 1e-12)
	}
	require.Positive(t, several)

	few := surveyOf(t, rectangle(0, 0, 120, 80), rounded(mostSites))
	list, side := few.sites()
	require.Len(t, list, mostSites, "as they are")
	require.Zero(t, side)
}
