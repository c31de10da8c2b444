package volume

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func pt(x, y float64) plane.Point { return plane.Point{X: units.Length(x), Y: units.Length(y)} }

func box(l, w float64) plane.Polygon { return plane.Polygon{pt(0, 0), pt(l, 0), pt(l, w), pt(0, w)} }

// turned returns p turned about the origin and moved.
func turned(p plane.Polygon, angle, dx, dy float64) plane.Polygon {
	var q plane.Polygon
	s, c := math.Sincos(angle)
	for _, v := range p {
		x, y := float64(v.X), float64(v.Y)
		q = append(q, pt(c*x-s*y+dx, s*x+c*y+dy))
	}
	return q
}

func mustPolygon(t testing.TB, s PolygonSpec) *Polygon {
	t.Helper()
	p, err := NewPolygon(s)
	require.NoError(t, err)
	return p
}

func TestPolygonIsRectangular(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		s := randomRectangular(r)
		b := mustRectangular(t, s)
		for _, at := range []Reference{ReferenceFloor, ReferenceTop, ReferenceWaterLine} {
			var water, h units.Length
			switch at {
			case ReferenceTop:
				h = s.Depth
			case ReferenceWaterLine:
				water = units.Length(0.1+0.8*r.Float64()) * s.Depth
				h = water
			}
			l, w := b.SizeAt(h)
			// Edges of the box: right of the width, end, left, start.
			z := []float64{s.Slopes[3], s.Slopes[1], s.Slopes[2], s.Slopes[0]}
			outline := turned(box(float64(l), float64(w)), r.Float64()*6, 5000, -3000)
			if r.IntN(2) == 0 {
				outline = outline.Reversed()
				z = []float64{z[2], z[1], z[0], z[3]}
			}
			p := mustPolygon(t, PolygonSpec{Outline: outline, At: at, Depth: s.Depth, WaterDepth: water, Slopes: z})
			for range 5 {
				x := units.Length(r.Float64()) * s.Depth
				require.InEpsilon(t, float64(b.VolumeAt(x)), float64(p.VolumeAt(x)), 1e-9)
				require.InEpsilon(t, float64(b.AreaAt(x)), float64(p.AreaAt(x)), 1e-9)
			}
			require.InEpsilon(t, float64(b.SlopeArea()), float64(p.SlopeArea()), 1e-9)
		}
	}
}

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

// randomStar draws a concave outline with a slope for each edge.
func randomStar(r *rand.Rand, n int) (plane.Polygon, []float64) {
	var p plane.Polygon
	var z []float64
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.7*r.Float64()) / float64(n)
		d := 10 + 40*r.Float64()
		p = append(p, pt(d*math.Cos(a), d*math.Sin(a)))
		z = append(z, 0.5+3*r.Float64())
	}
	return p, z
}

func TestPolygonIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 40 {
		p, z := randomStar(r, 5+r.IntN(30))
		sk, err := follow(vecs(p), z, 100)
		require.NoError(t, err)
		water := units.Length(0.9 * sk.last())
		depth := water + 1
		b := mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceWaterLine, WaterDepth: water, Depth: depth, Slopes: z})
		require.InEpsilon(t, float64(p.Area()), float64(b.AreaAt(water)), 1e-9)
		last := units.Area(0)
		for i := range 51 {
			h := depth * units.Length(i) / 50
			// Sections enclose the area, which never shrinks upward.
			var sum units.Area
			for _, ring := range b.SectionAt(h) {
				sum += ring.SignedArea()
			}
			require.InDelta(t, float64(b.AreaAt(h)), float64(sum), 1e-6)
			require.GreaterOrEqual(t, b.AreaAt(h), last-1e-9)
			last = b.AreaAt(h)
			// The derivative of the volume is the area.
			const e = 1e-6
			if h > e && h < depth-e {
				require.InDelta(t, float64(last), float64(b.VolumeAt(h+e)-b.VolumeAt(h-e))/(2*e), 1e-2+1e-5*float64(last))
			}
		}
		// Twice the size holds eight times as much.
		q := make(plane.Polygon, len(p))
		for i, c := range p {
			q[i] = plane.Point{X: 2 * c.X, Y: 2 * c.Y}
		}
		big := mustPolygon(t, PolygonSpec{Outline: q, At: ReferenceWaterLine, WaterDepth: 2 * water, Depth: 2 * depth, Slopes: z})
		require.InEpsilon(t, 8*float64(Capacity(b)), float64(Capacity(big)), 1e-9)
		require.InEpsilon(t, 4*float64(b.SlopeArea()), float64(big.SlopeArea()), 1e-9)
	}
}

func TestPolygonRoundedCorners(t *testing.T) {
	// A square whose corners are rounded to a circle is the circular basin.
	for _, at := range []Reference{ReferenceFloor, ReferenceTop} {
		for _, z := range []float64{0, 2} {
			p := mustPolygon(t, PolygonSpec{Outline: box(40, 40), At: at, Depth: 4, Slopes: []float64{z}, CornerRadius: 20})
			c, err := NewCircular(CircularSpec{Diameter: 40, At: at, Depth: 4, Slopes: []float64{z}})
			require.NoError(t, err)
			for _, h := range []units.Length{0, 1, 2.5, 4} {
				require.InDelta(t, float64(c.AreaAt(h)), float64(p.AreaAt(h)), 1e-9)
				require.InDelta(t, float64(c.VolumeAt(h)), float64(p.VolumeAt(h)), 1e-9)
			}
			require.InDelta(t, float64(c.SlopeArea()), float64(p.SlopeArea()), 1e-9)
		}
	}
	// Below the height at which the radius is used up the corners are sharp.
	p := mustPolygon(t, PolygonSpec{Outline: box(40, 30), At: ReferenceTop, Depth: 4, Slopes: []float64{2}, CornerRadius: 3})
	require.InDelta(t, 24*14, float64(p.AreaAt(0)), 1e-9)
	require.InDelta(t, 39*29-(4-math.Pi)*2.5*2.5, float64(p.AreaAt(3.75)), 1e-9)
	require.InDelta(t, 35*25-(4-math.Pi)*0.25, float64(p.AreaAt(2.75)), 1e-9)
}

func TestPolygonFaults(t *testing.T) {
	ell := plane.Polygon{pt(0, 0), pt(20, 0), pt(20, 10), pt(10, 10), pt(10, 20), pt(0, 20)}
	straight := plane.Polygon{pt(0, 0), pt(10, 0), pt(20, 0), pt(20, 20), pt(0, 20)}
	for name, c := range map[string]struct {
		spec   PolygonSpec
		fields []string
	}{
		"zero value": {PolygonSpec{}, []string{"outline", "depth", "at", "slopes"}},
		"crossing": {PolygonSpec{Outline: plane.Polygon{pt(0, 0), pt(9, 9), pt(9, 0), pt(0, 9)}, At: ReferenceTop, Depth: 1, Slopes: []float64{1}},
			[]string{"outline[2]", "outline"}},
		"closes": {PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 6, Slopes: []float64{1}}, []string{"depth"}},
		"island": {PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 1, Slopes: []float64{1}, Islands: []plane.Polygon{box(1, 1)}},
			[]string{"islands"}},
		"two slopes in a line": {PolygonSpec{Outline: straight, At: ReferenceTop, Depth: 1, Slopes: []float64{1, 2, 1, 1, 1}}, []string{"slopes[1]"}},
		"radius of a corner that turns inward": {PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 1, Slopes: []float64{1}, CornerRadius: 1},
			[]string{"cornerRadius"}},
		"radius too large": {PolygonSpec{Outline: box(40, 30), At: ReferenceTop, Depth: 1, Slopes: []float64{1}, CornerRadius: 16},
			[]string{"cornerRadius", "cornerRadius"}},
		"radius with two slopes": {PolygonSpec{Outline: box(40, 30), At: ReferenceTop, Depth: 1, Slopes: []float64{1, 1, 1, 2}, CornerRadius: 1},
			[]string{"cornerRadius"}},
		"too many corners": {PolygonSpec{Outline: make(plane.Polygon, 501)}, []string{"outline"}},
		"too large":        {PolygonSpec{Outline: box(1e9, 1e9), At: ReferenceTop, Depth: 1, Slopes: []float64{1}}, []string{"outline"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewPolygon(c.spec)
			requireFields(t, err, c.fields...)
		})
	}
	// An edge in a straight line counts as one bank.
	b := mustPolygon(t, PolygonSpec{Outline: straight, At: ReferenceTop, Depth: 2, Slopes: []float64{1}})
	require.InDelta(t, 256, float64(b.AreaAt(0)), 1e-9)
	// The arms of the L end in ridges 5 below the top, all at once.
	full := mustPolygon(t, PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 5, Slopes: []float64{1}})
	require.InDelta(t, 0, float64(full.AreaAt(0)), 1e-9)
}

func TestPolygonNotch(t *testing.T) {
	// The walls of the notch between two arms meet 2 m up, and the arms become
	// one bank.
	u := plane.Polygon{pt(0, 0), pt(20, 0), pt(20, 10), pt(12, 10), pt(12, 9), pt(8, 9), pt(8, 10), pt(0, 10)}
	z := []float64{1, 1, 1, 1, 1, 1, 1, 1}
	b := mustPolygon(t, PolygonSpec{Outline: u, At: ReferenceFloor, Depth: 4, Slopes: z})
	require.InDelta(t, 28*18, float64(b.AreaAt(4)), 1e-9)
	require.Len(t, b.SectionAt(4), 1)
	require.Len(t, b.SectionAt(4)[0], 4)
	// A flatter bank at the back of the notch comes level with the arms half a
	// metre up. Two banks of different slopes then lie in one line, and nothing
	// says how the corner between them goes on.
	z[4] = 3
	_, err := NewPolygon(PolygonSpec{Outline: u, At: ReferenceFloor, Depth: 4, Slopes: z})
	requireFields(t, err, "depth")
	require.ErrorContains(t, err, "at most 1.64 ft above the level of the outline")
	mustPolygon(t, PolygonSpec{Outline: u, At: ReferenceFloor, Depth: 0.5, Slopes: z})
}
