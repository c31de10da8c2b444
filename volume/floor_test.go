package volume

import (
	"cmp"
	"context"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
)

type triangles []struct {
	corners [3]plane.Point
	levels  [3]units.Length
}

func (t triangles) Len() int { return len(t) }
func (t triangles) Triangle(i int) ([3]plane.Point, [3]units.Length) {
	return t[i].corners, t[i].levels
}

func (t *triangles) add(a, b, c [3]float64) {
	*t = append(*t, struct {
		corners [3]plane.Point
		levels  [3]units.Length
	}{[3]plane.Point{plantest.Pt(a[0], a[1]), plantest.Pt(b[0], b[1]), plantest.Pt(c[0], c[1])},
		[3]units.Length{units.Length(a[2]), units.Length(b[2]), units.Length(c[2])}})
}

// rectangularSurface returns the floor and the banks of a basin at a datum.
func rectangularSurface(l, w, z, depth, datum float64) triangles {
	var t triangles
	in := [][3]float64{{0, 0, datum}, {l, 0, datum}, {l, w, datum}, {0, w, datum}}
	e := z * depth
	out := [][3]float64{{-e, -e, datum + depth}, {l + e, -e, datum + depth}, {l + e, w + e, datum + depth}, {-e, w + e, datum + depth}}
	t.add(in[0], in[1], in[2])
	t.add(in[0], in[2], in[3])
	for i := range 4 {
		j := (i + 1) % 4
		t.add(out[i], out[j], in[j])
		t.add(out[i], in[j], in[i])
	}
	return t
}

func mustFloor(t testing.TB, s FloorSpec) *Floor {
	t.Helper()
	b, err := NewFloor(context.Background(), s)
	require.NoError(t, err)
	return b
}

func TestFloorOfPlaneBanksIsRectangular(t *testing.T) {
	s := rectangularSurface(60, 30, 2.5, 4, 1203)
	f := mustFloor(t, FloorSpec{Surface: s, Top: 1207})
	b := mustRectangular(t, RectangularSpec{Length: 60, Width: 30, At: ReferenceFloor, Depth: 4, Slopes: []float64{2.5}})
	require.Equal(t, units.Length(1203), f.LowestLevel())
	for h := units.Length(0); h <= 4; h += 0.1 {
		require.InDelta(t, float64(b.AreaAt(h)), float64(f.AreaAt(h)), 1e-8)
		require.InDelta(t, float64(b.VolumeAt(h)), float64(f.VolumeAt(h)), 1e-8)
	}
	// A lower top cuts the banks off; a higher one stands on them as a wall.
	require.InDelta(t, float64(b.VolumeAt(3)), float64(Capacity(mustFloor(t, FloorSpec{Surface: s, Top: 1206}))), 1e-8)
	require.InDelta(t, float64(Capacity(b)+b.AreaAt(4).Times(1)), float64(Capacity(mustFloor(t, FloorSpec{Surface: s, Top: 1208}))), 1e-8)
}

// wet returns the plan area and the volume below a level over one triangle,
// which has sharp edges only where levels differ.
func wet(area float64, z [3]float64, y float64) (a, v float64) {
	slices.Sort(z[:])
	switch {
	case y <= z[0]:
		return 0, 0
	case y >= z[2]:
		return area, area * (y - (z[0]+z[1]+z[2])/3)
	case y <= z[1]:
		k := area / ((z[1] - z[0]) * (z[2] - z[0]))
		return k * (y - z[0]) * (y - z[0]), k * cube(y-z[0]) / 3
	}
	k := area / ((z[2] - z[1]) * (z[2] - z[0]))
	return area - k*(z[2]-y)*(z[2]-y), area*(y-(z[0]+z[1]+z[2])/3) + k*cube(z[2]-y)/3
}

// randomGround returns triangles side by side whose relief spans many scales,
// some of them level or nearly so.
func randomGround(r *rand.Rand, n int) triangles {
	var t triangles
	for i := range n {
		x, base := float64(2*i), 3*r.Float64()
		level := func() float64 {
			switch r.IntN(4) {
			case 0:
				return base
			case 1:
				return base + math.Pow(10, -14*r.Float64())
			}
			return 3 * r.Float64()
		}
		t.add([3]float64{x, 0, level()}, [3]float64{x + 1, r.Float64(), level()}, [3]float64{x, 1 + r.Float64(), level()})
	}
	return t
}

func TestFloorAgainstSumOfTriangles(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	s := randomGround(r, 3000)
	b := mustFloor(t, FloorSpec{Surface: s, Top: 4})
	for range 400 {
		h := b.Depth() * units.Length(r.Float64())
		if r.IntN(3) == 0 { // at a corner, where the quadratics change
			h = s[r.IntN(len(s))].levels[r.IntN(3)] - b.LowestLevel()
		}
		var area, volume float64
		for i := range s {
			c, l := s.Triangle(i)
			plan := math.Abs(float64(plane.Polygon(c[:]).SignedArea()))
			a, v := wet(plan, [3]float64{float64(l[0]), float64(l[1]), float64(l[2])}, float64(h+b.LowestLevel()))
			area, volume = area+a, volume+v
		}
		require.InDelta(t, volume, float64(b.VolumeAt(h)), 1e-9*float64(Capacity(b)))
		// A level triangle is wet at once: the area jumps there by up to 1 m2,
		// and which side a level on the corner falls is rounding.
		require.InDelta(t, area, float64(b.AreaAt(h)), 1.001)
		got, err := HeightFor(b, b.VolumeAt(h))
		require.NoError(t, err)
		require.InDelta(t, float64(b.VolumeAt(h)), float64(b.VolumeAt(got)), 1e-9*float64(Capacity(b)))
	}
	require.InDelta(t, 0, float64(b.VolumeAt(0)), 1e-12)
}

func TestFloorOfGrid(t *testing.T) {
	// A covered grid holds what the means of its cells say, and what its own
	// interpolation says.
	r := rand.New(rand.NewPCG(1, 1))
	g := LevelGrid{Origin: plantest.Pt(500, 700), StepX: 3, StepY: 2}
	var mean float64
	for range 6 {
		row := make([]units.Length, 9)
		for j := range row {
			row[j] = units.Length(90 + 3*r.Float64())
		}
		g.Levels = append(g.Levels, row)
	}
	for i := range 5 {
		for j := range 8 {
			mean += float64(g.Levels[i][j]+g.Levels[i+1][j]+g.Levels[i][j+1]+g.Levels[i+1][j+1]) / 4 / 40
		}
	}
	b := mustFloor(t, FloorSpec{Grid: &g, Top: 94})
	require.InDelta(t, 240*(94-mean), float64(Capacity(b)), 1e-9)
	var sum float64
	const n = 40
	for i := range 5 * n {
		for j := range 8 * n {
			p := plantest.Pt(500+3*(float64(j)+0.5)/n, 700+2*(float64(i)+0.5)/n)
			sum += max(0, 91.5-float64(g.LevelAt(p)))
		}
	}
	require.InEpsilon(t, sum*6/(n*n), float64(b.VolumeAt(91.5-b.LowestLevel())), 1e-3)
	_, err := NewFloor(context.Background(), FloorSpec{Grid: &g, Surface: rectangularSurface(6, 3, 2, 4, 0), Top: 94})
	plantest.RequireFields(t, err, "surface")
	_, err = NewFloor(context.Background(), FloorSpec{Grid: &LevelGrid{StepX: 1, StepY: 1, Levels: [][]units.Length{{1, 2}, {1}}}, Top: 94})
	plantest.RequireFields(t, err, "grid.levels[1]")
}

func TestFloorNearlyLevel(t *testing.T) {
	for _, relief := range []float64{0, 1e-320, 1e-17, 1e-13, 1e-11, 1e-6} {
		var s triangles
		s.add([3]float64{0, 0, 0}, [3]float64{2, 0, relief}, [3]float64{0, 2, relief / 3})
		s.add([3]float64{5, 0, 1}, [3]float64{7, 0, 1 + relief}, [3]float64{5, 2, 1})
		b := mustFloor(t, FloorSpec{Surface: s, Top: 2})
		require.InDelta(t, 6, float64(Capacity(b)), 3*relief+1e-12)
		require.InDelta(t, 2, float64(b.AreaAt(0.5)), 1e-9)
		require.InDelta(t, 4, float64(b.AreaAt(1.5)), 1e-9)
		v, err := VolumeUnder(s, -1)
		require.NoError(t, err)
		require.InDelta(t, 6, float64(v), 3*relief+1e-12)
	}
}

func TestFloorFaults(t *testing.T) {
	_, err := NewFloor(context.Background(), FloorSpec{Top: units.Length(math.NaN())})
	plantest.RequireFields(t, err, "top", "surface")
	good := rectangularSurface(6, 3, 2, 4, 0)
	_, err = NewFloor(context.Background(), FloorSpec{Surface: good, Top: 0})
	plantest.RequireFields(t, err, "top")
	bad := append(triangles{}, good...)
	bad.add([3]float64{0, 0, 1}, [3]float64{1, 1, 1}, [3]float64{2, 2, 1})
	bad.add([3]float64{0, 0, 1}, [3]float64{1, 1, math.NaN()}, [3]float64{0, 2, 1})
	bad.add([3]float64{0, math.Inf(1), 1}, [3]float64{1, 1, 1}, [3]float64{0, 2, 1})
	_, err = NewFloor(context.Background(), FloorSpec{Surface: bad, Top: 4})
	plantest.RequireFields(t, err, "surface[10]", "surface[11]", "surface[12]")
}

// ending is a surface that ends a context once so many triangles or places were asked for.
type ending struct {
	triangles
	places
	asked, last int
	end         context.CancelFunc
}

func (c *ending) count() {
	if c.asked++; c.asked == c.last {
		c.end()
	}
}

func (c *ending) Triangle(i int) ([3]plane.Point, [3]units.Length) {
	c.count()
	return c.triangles.Triangle(i)
}

func (c *ending) At(p plane.Point) (units.Length, bool) {
	c.count()
	return c.places.At(p)
}

// A floor is not worked out to the end for a request that has gone.
func TestFloorEndsWithItsContext(t *testing.T) {
	const n = 3 * stopEvery
	s := randomGround(rand.New(rand.NewPCG(1, 1)), n)
	for name, make := range map[string]func(c *ending) FloorSpec{
		"surface": func(c *ending) FloorSpec { return FloorSpec{Surface: c, Top: 4} },
		"sampled": func(c *ending) FloorSpec {
			return FloorSpec{Sampled: &SampledSpec{Places: c, Outline: box(100, 100), Step: 1}, Top: 4}
		},
	} {
		t.Run(name, func(t *testing.T) {
			ctx, cancel := context.WithCancel(t.Context())
			c := &ending{triangles: s, places: func(x, y float64) float64 { return x }, last: 1000, end: cancel}
			spec := make(c)
			b, err := NewFloor(ctx, spec)
			require.ErrorIs(t, err, context.Canceled)
			require.Nil(t, b)
			require.Less(t, c.asked, 2*stopEvery)
			basin, err := NewBasin(ctx, BasinSpec{Floor: &spec})
			require.ErrorIs(t, err, context.Canceled)
			require.Nil(t, basin)
			require.Less(t, c.asked, 2*stopEvery)
		})
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := sweep(ctx, []facet{{area: 1, z: [3]float64{0, 1, 2}}}, 0, 3)
	require.ErrorIs(t, err, context.Canceled)
}

// The order by digits is that by comparison.
func TestSorted(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	var list []change
	for i := range 5000 {
		at := []float64{0, float64(i % 7), r.Float64(), math.Ldexp(r.Float64(), -r.IntN(1074)), 1e9 * r.Float64()}[r.IntN(5)]
		list = append(list, change{at, int32(i / 3), int8(i % 3)})
	}
	want := slices.Clone(list)
	slices.SortStableFunc(want, func(a, b change) int { return cmp.Compare(a.at, b.at) })
	require.Equal(t, want, sorted(t.Context(), list))
	require.Empty(t, sorted(t.Context(), nil))
}

// Two million triangles are the most that a floor may have.
func BenchmarkNewFloor(b *testing.B) {
	for _, n := range []int{1000, 100_000, maxTriangles} {
		s := randomGround(rand.New(rand.NewPCG(1, 1)), n)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := NewFloor(context.Background(), FloorSpec{Surface: s, Top: 4}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// Of many faults of a surface ten are listed, each with the worst of its levels; levels as
// far from the datum as they may be are sound.
func TestFloorListsTenFaults(t *testing.T) {
	const far = float64(units.MaxLength)
	var s triangles
	for range 15 {
		s.add([3]float64{0, 0, 1}, [3]float64{1, 0, -3 * far}, [3]float64{0, 1, 2 * far})
	}
	_, err := NewFloor(context.Background(), FloorSpec{Surface: s, Top: 4})
	list := units.FieldErrors(err)
	require.Len(t, list, 10)
	require.ErrorContains(t, list[0], units.Length(-3*far).Trade())
	hole := places(func(x, y float64) float64 { return math.NaN() })
	_, err = NewFloor(context.Background(), FloorSpec{Sampled: &SampledSpec{Places: hole, Outline: box(20, 20), Step: 1}, Top: 4})
	require.Len(t, units.FieldErrors(err), 10)
	for _, c := range []struct {
		low, high float64
		sound     bool
	}{{-far, far, true}, {-far * 1.001, 0, false}, {0, far * 1.001, false}} {
		s = nil
		s.add([3]float64{0, 0, c.low}, [3]float64{1, 0, c.high}, [3]float64{0, 1, c.low})
		_, err = NewFloor(context.Background(), FloorSpec{Surface: s, Top: units.MaxLength})
		require.Equal(t, c.sound, err == nil, "%v to %v", c.low, c.high)
	}
}

// Twofold numbers are sums and products to 104 bits and more, as package math/big has
// them, also where the leading digits cancel.
func TestTwofoldAgainstBig(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	exact := func(x twofold) *big.Float {
		sum := new(big.Float).SetPrec(400).SetFloat64(x.hi)
		return sum.Add(sum, new(big.Float).SetFloat64(x.lo))
	}
	draw := func() twofold {
		hi := r.NormFloat64() * math.Pow(2, float64(r.IntN(20)-10))
		return renormed(hi, hi*r.NormFloat64()*0x1p-54)
	}
	same := func(want *big.Float, scale float64, got twofold, what string) {
		t.Helper()
		off, _ := new(big.Float).SetPrec(400).Sub(want, exact(got)).Float64()
		require.LessOrEqual(t, math.Abs(off), scale*0x1p-100, what)
		require.LessOrEqual(t, math.Abs(got.lo), math.Abs(got.hi)*0x1p-52, what)
	}
	ints := func() *big.Float { return new(big.Float).SetPrec(400) }
	for range 2000 {
		x, y := draw(), draw()
		if r.IntN(3) == 0 {
			y = twofold{hi: -x.hi * (1 + r.NormFloat64()*0x1p-40)}
		}
		size := math.Abs(x.hi) + math.Abs(y.hi)
		if sum := x.plus(y); sum.hi != 0 {
			off, _ := ints().Sub(ints().Add(exact(x), exact(y)), exact(sum)).Float64()
			require.LessOrEqual(t, math.Abs(off), size*0x1p-100)
		}
		same(ints().Mul(exact(x), exact(y)), math.Abs(x.hi*y.hi), x.times(y), "product")
		same(ints().Mul(exact(x), big.NewFloat(3)), math.Abs(3*x.hi), x.by(3), "three times")
	}
}

// A cubic about another origin has the same values, and sums and differences are those of
// the values.
func TestCurveMoved(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 200 {
		number := func() twofold { return twofold{hi: float64(r.IntN(19) - 9)} }
		p, q := curve{number(), number(), number(), number()}, curve{number(), number(), number(), number()}
		from, to := float64(r.IntN(9)), float64(r.IntN(9)-4)
		at := func(c curve, x float64) float64 { return c[0].hi + x*(c[1].hi+x*(c[2].hi+x*c[3].hi)) }
		for _, x := range []float64{-2, 0, 1, 3} {
			require.Equal(t, at(p, x-from), at(p.moved(from, to), x-to)) // whole numbers, so exact
			require.Equal(t, at(p, x)+at(q, x), at(p.add(q, 1), x))
			require.Equal(t, at(p, x)-at(q, x), at(p.add(q, -1), x))
		}
	}
}

// A level bench counts as covered from its level on, also where many benches lie close
// together: 2 m2 each.
func TestFloorOfBenches(t *testing.T) {
	var s triangles
	levels := []float64{0, 1, 1.0625, 1.125, 1.25, 1.5, 9}
	for i, z := range levels {
		x := 3 * float64(i)
		s.add([3]float64{x, 0, z}, [3]float64{x + 2, 0, z}, [3]float64{x, 2, z})
	}
	b := mustFloor(t, FloorSpec{Surface: s, Top: 10})
	for i, z := range levels {
		require.InDelta(t, 2*float64(i+1), b.AreaAt(units.Length(z)).SI(), 1e-9, "at %v", z)
		want := 0.0
		for _, low := range levels[:i] {
			want += 2 * (z - low)
		}
		require.InDelta(t, want, b.VolumeAt(units.Length(z)).SI(), 1e-9, "at %v", z)
		if i > 0 {
			require.InDelta(t, 2*float64(i), b.AreaAt(units.Length(z-1e-6)).SI(), 1e-9, "below %v", z)
		}
	}
}
