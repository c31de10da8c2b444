package volume

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func TestLinerLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	for range 100 {
		var b Lined = mustRectangular(t, randomRectangular(r))
		if r.IntN(3) == 0 {
			c, err := NewCircular(CircularSpec{Diameter: units.Length(between(r, 5, 50)), At: ReferenceFloor, Depth: units.Length(between(r, 1, 5)), Slopes: []float64{between(r, 0, 4)}})
			require.NoError(t, err)
			b = c
		}
		volumes := func(thick units.Length) (area, solid float64) {
			a, err := Liner(LinerSpec{Basin: b, Thickness: thick, Method: LinerMethodArea})
			require.NoError(t, err)
			s, err := Liner(LinerSpec{Basin: b, Thickness: thick, Method: LinerMethodOffset})
			require.NoError(t, err)
			return a.Volume.SI(), s.Volume.SI()
		}
		// The offset solid has the toe and corners besides; they vanish with t.
		thick := units.Length(between(r, 0.1, 1))
		area, solid := volumes(thick)
		require.Greater(t, solid, area)
		area, solid = volumes(1e-6)
		require.InEpsilon(t, area, solid, 1e-4)
	}
	_, err := Liner(LinerSpec{})
	for _, want := range []string{"basin", "thickness", "method"} {
		require.ErrorContains(t, err, want)
	}
}

// A polygon has the offset solid of the rectangle that it is, and that of its
// moved sides.
func TestLinerOfPolygon(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 1))
	offset := func(b Lined, thick float64) float64 {
		got, err := Liner(LinerSpec{Basin: b, Thickness: units.Length(thick), Method: LinerMethodOffset})
		require.NoError(t, err)
		return got.Volume.SI()
	}
	for range 200 {
		l, w, d, thick := between(r, 20, 80), between(r, 20, 80), between(r, 1, 4), between(r, 0.1, 1)
		z := []float64{between(r, 0, 4), between(r, 0, 4), between(r, 0, 4), between(r, 0, 4)}
		at := Reference(1 + 2*r.IntN(2))
		if at == ReferenceTop {
			l, w = l+40, w+40
		}
		rect := mustRectangular(t, RectangularSpec{Length: units.Length(l), Width: units.Length(w), At: at, Depth: units.Length(d), Slopes: z})
		// Edges of the outline: south, east, north, west.
		spec := PolygonSpec{Outline: plane.Polygon{{}, {X: units.Length(l)}, {X: units.Length(l), Y: units.Length(w)}, {Y: units.Length(w)}}, At: at, Depth: units.Length(d), Slopes: []float64{z[2], z[1], z[3], z[0]}}
		if r.IntN(2) == 0 {
			spec.Outline = spec.Outline.Reversed()
			spec.Slopes = []float64{z[3], z[1], z[2], z[0]}
		}
		poly, err := NewPolygon(spec)
		require.NoError(t, err)
		require.InEpsilon(t, offset(rect, thick), offset(poly, thick), 1e-8)
	}
	compared := 0
	for range 100 {
		// Concave floors too: the sides only move outward.
		floor := star(r, plane.Point{}, 60)
		d, thick, z := between(r, 0.5, 1.5), between(r, 0.05, 0.3), between(r, 0, 2)
		poly, err := NewPolygon(PolygonSpec{Outline: floor, At: ReferenceFloor, Depth: units.Length(d), Slopes: []float64{z}})
		require.NoError(t, err)
		if len(poly.outward.rings) > 1 {
			continue // a side vanishes on the way up, which offsetArea does not know
		}
		solid := func(low, back float64) float64 {
			return quad.Fixed(func(y float64) float64 { return offsetArea(floor, z*y+back) }, low, d, 3, quad.Legendre{}, 0)
		}
		out, err := poly.behind(units.Length(thick))
		require.NoError(t, err)
		b := poly.banks
		b.level, b.depth = b.level-thick*slant(z)/z+thick, b.depth+thick
		if lowered, err := b.solid(); err != nil || len(lowered.outward.rings) > 1 {
			continue
		}
		require.InEpsilon(t, solid(-thick, thick*slant(z)), out.SI(), 1e-7)
		compared++
	}
	require.Greater(t, compared, 50)
}

// A nose of ground that is narrower than twice what the liner takes from it ends
// below the top of the bank, and stands below that all the same.
func TestLinerBehindNose(t *testing.T) {
	const l, w, d, z, wide, long = 60, 40, 3, 2.5, 3, 20
	nose := plane.Polygon{pt(0, 0), pt(l, 0), pt(l, w), pt(31.5, w), pt(31.5, w-long), pt(28.5, w-long), pt(28.5, w), pt(0, w)}
	for _, corners := range []plane.Polygon{nose, nose.Reversed()} {
		b, err := NewPolygon(PolygonSpec{Outline: corners, At: ReferenceTop, Depth: d, Slopes: []float64{z}})
		require.NoError(t, err)
		for _, thick := range []float64{0.1, 0.55, 0.556, 0.558, 0.56, 0.7, 1.5} {
			got, err := Liner(LinerSpec{Basin: b, Thickness: units.Length(thick), Method: LinerMethodOffset})
			require.NoError(t, err)
			// Sections by hand: the sides lie out beyond the top by x, and the nose is
			// 2x narrower.
			section := func(y, back float64) float64 {
				x := back - z*(d-y)
				return (l+2*x)*(w+2*x) - max(wide-2*x, 0)*long
			}
			back := thick * slant(z)
			ends := d - (back-wide/2.0)/z // the nose, above here
			sum := func(low, high, back float64) float64 {
				if high <= low {
					return 0
				}
				return quad.Fixed(func(y float64) float64 { return section(y, back) }, low, high, 3, quad.Legendre{}, 0)
			}
			want := sum(-thick, min(d, ends), back) + sum(min(d, ends), d, back) - sum(0, d, 0)
			require.InEpsilon(t, want, got.Volume.SI(), 1e-9, "%v m", thick)
		}
	}
}

// Plans of unit squares, whose mitred sections are known from boxes.
func TestLinerOfCells(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	const d, sub = 0.6, 8
	for range 8 {
		c := randomCells(r, 9, 40)
		p, _ := c.outline()
		z, thick := between(r, 0.5, 1.5), between(r, 0.05, 0.6)
		b, err := NewPolygon(PolygonSpec{Outline: p, At: ReferenceTop, Depth: d, Slopes: []float64{z}})
		if err != nil {
			continue // closes above the floor
		}
		outer, err := b.behind(units.Length(thick))
		require.NoError(t, err)
		ground := make(cells, len(c)+6) // turned inside out, with room around
		for i := range ground {
			ground[i] = make([]bool, len(ground))
			for j := range ground[i] {
				ground[i][j] = !c.has(i-3, j-3)
			}
		}
		var sum float64
		for i := range (len(c) + 3) * sub {
			for j := range (len(c) + 3) * sub {
				x, y := 1.5+(float64(i)+0.5)/sub, 1.5+(float64(j)+0.5)/sub
				// The place is in the section whose sides lie up to its reach inward.
				reach := c.reach(x-3, y-3, [4]float64{1, 1, 1, 1}, 3)
				if ground[int(x)][int(y)] {
					reach = -ground.reach(x, y, [4]float64{1, 1, 1, 1}, 3)
				}
				sum += min(max((reach+thick*slant(z))/z, 0), d+thick)
			}
		}
		require.InEpsilon(t, sum/(sub*sub), outer.SI(), 5e-3, "slope %v, %v thick", z, thick)
	}
}

// Of banks of several slopes the thickness is refused at which a side is lost, with
// its place.
func TestLinerLosesSide(t *testing.T) {
	nose := plane.Polygon{pt(0, 0), pt(60, 0), pt(60, 40), pt(31.5, 40), pt(31.5, 20), pt(28.5, 20), pt(28.5, 40), pt(0, 40)}
	b, err := NewPolygon(PolygonSpec{Outline: nose, At: ReferenceTop, Depth: 3, Slopes: []float64{2.5, 2.5, 2.5, 0, 0, 0, 2.5, 2.5}})
	require.NoError(t, err)
	got, err := Liner(LinerSpec{Basin: b, Thickness: 1.4, Method: LinerMethodOffset})
	require.NoError(t, err)
	require.Positive(t, got.Volume)
	_, err = Liner(LinerSpec{Basin: b, Thickness: 1.6, Method: LinerMethodOffset})
	requireFields(t, err, "thickness")
	require.ErrorContains(t, err, "at most about 4.921 ft, where the side near")
}

// Rounded corners move down with their bank.
func TestLinerBehindRoundedCorners(t *testing.T) {
	offset := func(b Lined, thick units.Length) float64 {
		got, err := Liner(LinerSpec{Basin: b, Thickness: thick, Method: LinerMethodOffset})
		require.NoError(t, err)
		return got.Volume.SI()
	}
	for _, z := range []float64{0, 2} {
		// A square whose corners are quarter circles is a circle.
		square := plane.Polygon{pt(0, 0), pt(30, 0), pt(30, 30), pt(0, 30)}
		b, err := NewPolygon(PolygonSpec{Outline: square, At: ReferenceTop, Depth: 2, Slopes: []float64{z}, CornerRadius: 15})
		require.NoError(t, err)
		c, err := NewCircular(CircularSpec{Diameter: 30, At: ReferenceTop, Depth: 2, Slopes: []float64{z}})
		require.NoError(t, err)
		require.InEpsilon(t, offset(c, 0.5), offset(b, 0.5), 1e-9)
	}
}

func TestDrain(t *testing.T) {
	holes, err := Drain(DrainSpec{Kind: DrainKindHoles, Length: 100, Width: 45, Size: 1, Spacing: 10, Depth: 0.5})
	require.NoError(t, err)
	require.Equal(t, 50, holes.Count)
	require.InDelta(t, 10, float64(holes.Spacing), 1e-12)
	require.InDelta(t, 50*math.Pi/4/4500, holes.Share, 1e-12)
	require.InDelta(t, 50*math.Pi/8, holes.Volume.SI(), 1e-9)
	r := rand.New(rand.NewPCG(7, 1))
	for range 200 {
		share := between(r, 1e-3, 0.3)
		spec := DrainSpec{Kind: DrainKind(1 + r.IntN(2)), Length: units.Length(between(r, 30, 200)), Width: units.Length(between(r, 30, 200)), Size: units.Length(between(r, 0.3, 1)), Share: share, Depth: 1}
		got, err := Drain(spec)
		require.NoError(t, err)
		require.GreaterOrEqual(t, got.Share, share*(1-1e-9))
		// A floor of any shape needs no more, and the same but for the rounding up.
		spec.Area, spec.Length, spec.Width = spec.Length.Times(spec.Width), 0, 0
		area, err := Drain(spec)
		require.NoError(t, err)
		require.GreaterOrEqual(t, area.Share, share*(1-1e-9))
		require.LessOrEqual(t, area.Share, got.Share*(1+1e-9))
	}
	_, err = Drain(DrainSpec{Kind: DrainKindHoles, Length: 10, Width: 10, Size: 2, Spacing: 1, Depth: 1})
	require.ErrorContains(t, err, "size")
	_, err = Drain(DrainSpec{Kind: DrainKindHoles, Length: 1e5, Width: 1e5, Size: 1e-6, Spacing: 1e-9, Depth: 1})
	require.ErrorContains(t, err, "at most 1e9")
	_, err = Drain(DrainSpec{Spacing: 1, Share: 2})
	require.ErrorContains(t, err, "one of spacing and share")
	_, err = Drain(DrainSpec{Kind: DrainKindTrenches, Area: 5, Width: 3, Size: 1, Share: 2, Depth: 1})
	require.ErrorContains(t, err, "area")
	require.ErrorContains(t, err, "share")
	trenches, err := Drain(DrainSpec{Kind: DrainKindTrenches, Length: 100, Width: 45, Size: 1, Spacing: 10, Depth: 0.5})
	require.NoError(t, err)
	require.Equal(t, 5, trenches.Count)
	require.InDelta(t, 500, float64(trenches.Trenches), 1e-9)
	require.InDelta(t, 250, trenches.Volume.SI(), 1e-9)
}

func TestLinerOfNothing(t *testing.T) {
	for _, b := range []Lined{nil, (*Rectangular)(nil), (*Polygon)(nil)} {
		_, err := Liner(LinerSpec{Basin: b, Thickness: 1, Method: LinerMethodArea})
		requireFields(t, err, "basin")
	}
}
