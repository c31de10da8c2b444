// Package plantest holds plans to test with: random ones, and ones of which the mitred
// sections are known without a skeleton.
package plantest

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.org/earthbasin/units/plane"
)

// Cells is a plan of unit squares: a rectilinear outline of which the mitred
// sections are known without a skeleton. A point stays inside a section as long
// as the box around it, which grows with the slopes of the four directions,
// stays inside the plan.
type Cells [][]bool

// RandomCells grows a connected plan without holes or corners that touch.
func RandomCells(r *rand.Rand, size, n int) Cells {
	c := make(Cells, size)
	for i := range c {
		c[i] = make([]bool, size)
	}
	c[size/2][size/2] = true
	for range n {
		x, y := 1+r.IntN(size-2), 1+r.IntN(size-2)
		if c[x][y] || !(c[x-1][y] || c[x+1][y] || c[x][y-1] || c[x][y+1]) {
			continue
		}
		c[x][y] = true
		if c.changes(x, y) != 2 && c.changes(x, y) != 0 {
			c[x][y] = false
		}
	}
	return c
}

// changes counts the changes between plan and ground around a cell: 2 when
// adding it neither closes a hole nor touches at a corner.
func (c Cells) changes(x, y int) int {
	around := [][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}
	n := 0
	for i, d := range around {
		e := around[(i+1)%8]
		if c[x+d[0]][y+d[1]] != c[x+e[0]][y+e[1]] {
			n++
		}
	}
	return n
}

// Has reports whether the square whose low corner is x, y is in the plan.
func (c Cells) Has(x, y int) bool {
	return x >= 0 && y >= 0 && x < len(c) && y < len(c) && c[x][y]
}

// Outline walks the border with the plan to the left; dirs says which way each
// edge runs: 0 east, 1 north, 2 west, 3 south.
func (c Cells) Outline() (p plane.Polygon, dirs []int) {
	step := [][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}
	left := [][2]int{{0, 0}, {-1, 0}, {-1, -1}, {0, -1}} // cell to the left of an edge from (x, y)
	x, y := 0, 0
	for !c.Has(x, y) {
		if x++; x == len(c) {
			x, y = 0, y+1
		}
	}
	x0, y0, d := x, y, 0
	for first := true; first || x != x0 || y != y0; first = false {
		p = append(p, Pt(float64(x), float64(y)))
		dirs = append(dirs, d)
		for {
			x, y = x+step[d][0], y+step[d][1]
			l, r := left[d], left[(d+3)%4]
			if c.Has(x+r[0], y+r[1]) && c.Has(x+l[0], y+l[1]) {
				d = (d + 3) % 4
				break
			}
			if !c.Has(x+l[0], y+l[1]) {
				d = (d + 1) % 4
				break
			}
		}
	}
	return p, dirs
}

// Reach returns the greatest t, at most limit, for which the box around (x, y)
// that reaches t times the slopes of walls to the south, east, north and west
// lies in the plan.
func (c Cells) Reach(x, y float64, z [4]float64, limit float64) float64 {
	inside := func(t float64) bool {
		for i := int(math.Floor(x - t*z[3])); i <= int(math.Floor(x+t*z[1])); i++ {
			for j := int(math.Floor(y - t*z[0])); j <= int(math.Floor(y+t*z[2])); j++ {
				if !c.Has(i, j) {
					return false
				}
			}
		}
		return true
	}
	if inside(limit) {
		return limit
	}
	low, high := 0.0, limit
	for range 24 {
		if mid := (low + high) / 2; inside(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// Covered returns the area of the union of boxes x0, x1, y0, y1 within a square.
func Covered(boxes [][4]float64, low, high float64) float64 {
	xs, ys := []float64{low, high}, []float64{low, high}
	for i, b := range boxes {
		for k := range b {
			b[k] = min(max(b[k], low), high)
		}
		boxes[i] = b
		xs, ys = append(xs, b[0], b[1]), append(ys, b[2], b[3])
	}
	slices.Sort(xs)
	slices.Sort(ys)
	// Corners of the boxes counted up and down; sums over both axes are covers.
	count := make([][]int, len(xs))
	for i := range count {
		count[i] = make([]int, len(ys))
	}
	for _, b := range boxes {
		x0, _ := slices.BinarySearch(xs, b[0])
		x1, _ := slices.BinarySearch(xs, b[1])
		y0, _ := slices.BinarySearch(ys, b[2])
		y1, _ := slices.BinarySearch(ys, b[3])
		count[x0][y0]++
		count[x1][y0]--
		count[x0][y1]--
		count[x1][y1]++
	}
	var area float64
	for i := range xs[1:] {
		n := 0
		for j := range ys[1:] {
			if i > 0 {
				count[i][j] += count[i-1][j]
			}
			if n += count[i][j]; n > 0 {
				area += (xs[i+1] - xs[i]) * (ys[j+1] - ys[j])
			}
		}
	}
	return area
}
