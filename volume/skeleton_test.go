package volume

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// clipped returns the area of the convex outline with each edge moved inward by
// its slope times t: the common part of half planes.
func clipped(p plane.Polygon, z []float64, t float64) float64 {
	cut := append(plane.Polygon{}, p...)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		l := float64(a.Distance(b))
		nx, ny := -float64(b.Y-a.Y)/l, float64(b.X-a.X)/l
		side := func(q plane.Point) float64 {
			return nx*float64(q.X-a.X) + ny*float64(q.Y-a.Y) - z[i]*t
		}
		var next plane.Polygon
		for k, q := range cut {
			w := cut[(k+1)%len(cut)]
			s, u := side(q), side(w)
			if s >= 0 {
				next = append(next, q)
			}
			if (s >= 0) != (u >= 0) {
				x := units.Length(s / (s - u))
				next = append(next, plane.Point{X: q.X + x*(w.X-q.X), Y: q.Y + x*(w.Y-q.Y)})
			}
		}
		cut = next
	}
	if len(cut) < 3 {
		return 0
	}
	return float64(cut.SignedArea())
}

// randomConvex draws corners on an ellipse.
func randomConvex(r *rand.Rand) (plane.Polygon, []float64) {
	n := 3 + r.IntN(9)
	var p plane.Polygon
	var z []float64
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n)
		p = append(p, pt(60*math.Cos(a), 40*math.Sin(a)))
		z = append(z, 0.5+3*r.Float64())
	}
	return p, z
}

func TestPolygonConvexEvents(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		p, z := randomConvex(r)
		b, err := NewPolygon(PolygonSpec{Outline: p, At: ReferenceTop, Depth: 1000, Slopes: z})
		require.Nil(t, b)
		requireFields(t, err, "depth")
		sk, err := follow(vecs(p), z, 1000)
		require.NoError(t, err)
		depth := sk.last()
		b = mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceTop, Depth: units.Length(depth), Slopes: z})
		for i := range 40 {
			h := depth * float64(i) / 40
			require.InDelta(t, clipped(p, z, depth-h), float64(b.AreaAt(units.Length(h))), 1e-8)
		}
		require.InDelta(t, 0, float64(b.AreaAt(0)), 1e-8)
	}
}

func vecs(p plane.Polygon) []vec {
	var list []vec
	for _, c := range p {
		list = append(list, vec{float64(c.X), float64(c.Y)})
	}
	return list
}

// cells is a plan of unit squares: a rectilinear outline of which the mitred
// sections are known without a skeleton. A point stays inside a section as long
// as the box around it, which grows with the slopes of the four directions,
// stays inside the plan.
type cells [][]bool

// randomCells grows a connected plan without holes or corners that touch.
func randomCells(r *rand.Rand, size, n int) cells {
	c := make(cells, size)
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
func (c cells) changes(x, y int) int {
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

func (c cells) has(x, y int) bool {
	return x >= 0 && y >= 0 && x < len(c) && y < len(c) && c[x][y]
}

// outline walks the border with the plan to the left; dirs says which way each
// edge runs: 0 east, 1 north, 2 west, 3 south.
func (c cells) outline() (p plane.Polygon, dirs []int) {
	step := [][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}
	left := [][2]int{{0, 0}, {-1, 0}, {-1, -1}, {0, -1}} // cell to the left of an edge from (x, y)
	x, y := 0, 0
	for !c.has(x, y) {
		if x++; x == len(c) {
			x, y = 0, y+1
		}
	}
	x0, y0, d := x, y, 0
	for first := true; first || x != x0 || y != y0; first = false {
		p = append(p, pt(float64(x), float64(y)))
		dirs = append(dirs, d)
		for {
			x, y = x+step[d][0], y+step[d][1]
			l, r := left[d], left[(d+3)%4]
			if c.has(x+r[0], y+r[1]) && c.has(x+l[0], y+l[1]) {
				d = (d + 3) % 4
				break
			}
			if !c.has(x+l[0], y+l[1]) {
				d = (d + 1) % 4
				break
			}
		}
	}
	return p, dirs
}

// reach returns the greatest t, at most limit, for which the box around (x, y)
// that reaches t times the slopes of walls to the south, east, north and west
// lies in the plan.
func (c cells) reach(x, y float64, z [4]float64, limit float64) float64 {
	inside := func(t float64) bool {
		for i := int(math.Floor(x - t*z[3])); i <= int(math.Floor(x+t*z[1])); i++ {
			for j := int(math.Floor(y - t*z[0])); j <= int(math.Floor(y+t*z[2])); j++ {
				if !c.has(i, j) {
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

func TestPolygonConcaveAgainstNumericIntegration(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for run := range 60 {
		c := randomCells(r, 9, 120)
		p, dirs := c.outline()
		var z [4]float64
		for i := range z {
			z[i] = 0.4 + r.Float64()
			if run%2 == 0 {
				z[i] = 1
			}
		}
		slopes := make([]float64, len(p))
		for i, d := range dirs {
			slopes[i] = z[d]
		}
		sk, err := follow(vecs(p), slopes, 100)
		require.NoError(t, err, "%v", p)
		depth := sk.last() * (0.3 + 0.7*r.Float64())
		b := mustPolygon(t, PolygonSpec{Outline: turned(p, float64(run), 700, 900), At: ReferenceTop, Depth: units.Length(depth), Slopes: slopes})
		const n = 12 // samples per cell and axis
		var sum float64
		for i := range len(c) * n {
			for j := range len(c) * n {
				x, y := (float64(i)+0.5)/n, (float64(j)+0.5)/n
				if c.has(int(x), int(y)) {
					sum += c.reach(x, y, z, depth)
				}
			}
		}
		require.InEpsilon(t, sum/(n*n), float64(Capacity(b)), 0.004, "run %d: %v %v", run, p, slopes)
	}
}

func TestPolygonOutwardAgainstBoxes(t *testing.T) {
	// Upward from the floor a place is reached once the box around it meets the
	// plan; pockets between arms close on the way.
	r := rand.New(rand.NewPCG(2, 1))
	for range 25 {
		c := randomCells(r, 9, 120)
		p, dirs := c.outline()
		var z [4]float64
		for i := range z {
			z[i] = 0.4 + r.Float64()
		}
		slopes := make([]float64, len(p))
		for i, d := range dirs {
			slopes[i] = z[d]
		}
		const depth, n, margin = 1.2, 12, 2
		b := mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceFloor, Depth: depth, Slopes: slopes})
		var sum float64
		size := len(c) + 2*margin
		for i := range size * n {
			for j := range size * n {
				x, y := (float64(i)+0.5)/n-margin, (float64(j)+0.5)/n-margin
				// The least t for which [x - t z_east, x + t z_west] and its like
				// meet a cell.
				first := math.Inf(1)
				for u := range c {
					for v := range c[u] {
						if c[u][v] {
							du := max((x-float64(u+1))/z[1], (float64(u)-x)/z[3], 0)
							dv := max((y-float64(v+1))/z[2], (float64(v)-y)/z[0], 0)
							first = min(first, max(du, dv))
						}
					}
				}
				sum += max(depth-first, 0)
			}
		}
		require.InEpsilon(t, sum/(n*n), float64(Capacity(b)), 0.003)
	}
}

func TestPolygonFineArcsAreDistance(t *testing.T) {
	// With every reflex corner replaced by many small turns, the mitred section
	// is the one of equal distance from the outline, which sampling knows.
	r := rand.New(rand.NewPCG(3, 1))
	for range 6 {
		var sharp plane.Polygon
		n := 9
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n)
			d := 15 + 25*r.Float64()
			sharp = append(sharp, pt(d*math.Cos(a), d*math.Sin(a)))
		}
		var p plane.Polygon
		for i, c := range sharp {
			turn := turnAt(sharp, i)
			if turn > 0 {
				p = append(p, c)
				continue
			}
			const radius, parts = 0.02, 24
			in := c.Sub(sharp[(i+n-1)%n])
			a := math.Atan2(float64(in.Y), float64(in.X)) + math.Pi/2
			// The centre lies to the right, where the ground is.
			w := radius / math.Cos(turn/2)
			cx, cy := float64(c.X)-w*math.Cos(a+turn/2), float64(c.Y)-w*math.Sin(a+turn/2)
			for k := range parts + 1 {
				b := a + turn*float64(k)/parts
				p = append(p, pt(cx+radius*math.Cos(b), cy+radius*math.Sin(b)))
			}
		}
		const depth, z, step = 3.0, 1.5, 0.25
		b := mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceTop, Depth: depth, Slopes: []float64{z}})
		var sum float64
		low, high := sharp.Bounds()
		for x := low.X + step/2; x < high.X; x += step {
			for y := low.Y + step/2; y < high.Y; y += step {
				q := plane.Point{X: x, Y: y}
				if sharp.Contains(q) {
					sum += min(toOutline(sharp, q)/z, depth)
				}
			}
		}
		require.InEpsilon(t, sum*step*step, float64(Capacity(b)), 0.002)
	}
}

// toOutline returns the distance from q to the nearest edge.
func toOutline(p plane.Polygon, q plane.Point) float64 {
	least := math.Inf(1)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		ux, uy := float64(b.X-a.X), float64(b.Y-a.Y)
		vx, vy := float64(q.X-a.X), float64(q.Y-a.Y)
		t := min(max((ux*vx+uy*vy)/(ux*ux+uy*uy), 0), 1)
		least = min(least, math.Hypot(vx-t*ux, vy-t*uy))
	}
	return least
}

func TestPolygonOnDisturbedGrid(t *testing.T) {
	// Plans on a grid have many events at one moment. Rounding of any size takes
	// them apart, and the result must not notice.
	r := rand.New(rand.NewPCG(5, 1))
	for size := -4.0; size >= -15; size -= 0.5 {
		for range 12 {
			c := randomCells(r, 9, 120)
			p, dirs := c.outline()
			z := [4]float64{0.4 + r.Float64(), 1, 0.4 + r.Float64(), 1}
			slopes := make([]float64, len(p))
			for i, d := range dirs {
				slopes[i] = z[d]
			}
			sk, err := follow(vecs(p), slopes, 100)
			require.NoError(t, err)
			depth := units.Length(0.8 * sk.last())
			want := mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceTop, Depth: depth, Slopes: slopes})
			q := turned(p, 6*r.Float64(), 0, 0)
			off := math.Pow(10, size)
			for i := range q {
				q[i].X += units.Length(off * (r.Float64() - 0.5))
				q[i].Y += units.Length(off * (r.Float64() - 0.5))
			}
			got := mustPolygon(t, PolygonSpec{Outline: q, At: ReferenceTop, Depth: depth, Slopes: slopes})
			require.InEpsilon(t, float64(Capacity(want)), float64(Capacity(got)), 1e-7+3*off)
		}
	}
}

func BenchmarkNewPolygon(b *testing.B) {
	for _, n := range []int{8, 40, 200, 500} {
		p, z := randomStar(rand.New(rand.NewPCG(1, 1)), n)
		sk, err := follow(vecs(p), z, 100)
		require.NoError(b, err)
		spec := PolygonSpec{Outline: p, At: ReferenceTop, Depth: units.Length(sk.last()), Slopes: z}
		b.Run(fmt.Sprintf("%d corners", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := NewPolygon(spec); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
