package volume

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
	"example.org/earthbasin/volume/internal/skeleton"
)

func TestLinerLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	for range 100 {
		var b Lined = mustRectangular(t, randomRectangular(r))
		if r.IntN(3) == 0 {
			c, err := NewCircular(CircularSpec{Diameter: units.Length(plantest.Between(r, 5, 50)), At: ReferenceFloor, Depth: units.Length(plantest.Between(r, 1, 5)), Slopes: []float64{plantest.Between(r, 0, 4)}})
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
		thick := units.Length(plantest.Between(r, 0.1, 1))
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
		l, w, d, thick := plantest.Between(r, 20, 80), plantest.Between(r, 20, 80), plantest.Between(r, 1, 4), plantest.Between(r, 0.1, 1)
		z := []float64{plantest.Between(r, 0, 4), plantest.Between(r, 0, 4), plantest.Between(r, 0, 4), plantest.Between(r, 0, 4)}
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
		floor := plantest.Star(r, plane.Point{}, 60)
		d, thick, z := plantest.Between(r, 0.5, 1.5), plantest.Between(r, 0.05, 0.3), plantest.Between(r, 0, 2)
		poly, err := NewPolygon(PolygonSpec{Outline: floor, At: ReferenceFloor, Depth: units.Length(d), Slopes: []float64{z}})
		require.NoError(t, err)
		if len(poly.outward.Rings) > 1 {
			continue // a side vanishes on the way up, which offsetArea does not know
		}
		solid := func(low, back float64) float64 {
			return quad.Fixed(func(y float64) float64 { return plantest.OffsetArea(floor, z*y+back) }, low, d, 3, quad.Legendre{}, 0)
		}
		out, err := poly.behind(units.Length(thick))
		require.NoError(t, err)
		b := poly.banks
		b.level, b.depth = b.level-thick*skeleton.Slant(z)/z+thick, b.depth+thick
		if lowered, err := b.solid(); err != nil || len(lowered.outward.Rings) > 1 {
			continue
		}
		require.InEpsilon(t, solid(-thick, thick*skeleton.Slant(z)), Capacity(out).SI(), 1e-7)
		compared++
	}
	require.Greater(t, compared, 50)
}

// A nose of ground that is narrower than twice what the liner takes from it ends
// below the top of the bank, and stands below that all the same.
func TestLinerBehindNose(t *testing.T) {
	const l, w, d, z, wide, long = 60, 40, 3, 2.5, 3, 20
	nose := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(l, 0), plantest.Pt(l, w), plantest.Pt(31.5, w), plantest.Pt(31.5, w-long), plantest.Pt(28.5, w-long), plantest.Pt(28.5, w), plantest.Pt(0, w)}
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
			back := thick * skeleton.Slant(z)
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
		c := plantest.RandomCells(r, 9, 40)
		p, _ := c.Outline()
		z, thick := plantest.Between(r, 0.5, 1.5), plantest.Between(r, 0.05, 0.6)
		b, err := NewPolygon(PolygonSpec{Outline: p, At: ReferenceTop, Depth: d, Slopes: []float64{z}})
		if err != nil {
			continue // closes above the floor
		}
		outer, err := b.behind(units.Length(thick))
		require.NoError(t, err)
		ground := make(plantest.Cells, len(c)+6) // turned inside out, with room around
		for i := range ground {
			ground[i] = make([]bool, len(ground))
			for j := range ground[i] {
				ground[i][j] = !c.Has(i-3, j-3)
			}
		}
		var sum float64
		for i := range (len(c) + 3) * sub {
			for j := range (len(c) + 3) * sub {
				x, y := 1.5+(float64(i)+0.5)/sub, 1.5+(float64(j)+0.5)/sub
				// The place is in the section whose sides lie up to its reach inward.
				reach := c.Reach(x-3, y-3, [4]float64{1, 1, 1, 1}, 3)
				if ground[int(x)][int(y)] {
					reach = -ground.Reach(x, y, [4]float64{1, 1, 1, 1}, 3)
				}
				sum += min(max((reach+thick*skeleton.Slant(z))/z, 0), d+thick)
			}
		}
		require.InEpsilon(t, sum/(sub*sub), Capacity(outer).SI(), 5e-3, "slope %v, %v thick", z, thick)
	}
}

// Of banks of several slopes the thickness is refused at which a side is lost, with
// its place.
func TestLinerLosesSide(t *testing.T) {
	nose := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(60, 0), plantest.Pt(60, 40), plantest.Pt(31.5, 40), plantest.Pt(31.5, 20), plantest.Pt(28.5, 20), plantest.Pt(28.5, 40), plantest.Pt(0, 40)}
	b, err := NewPolygon(PolygonSpec{Outline: nose, At: ReferenceTop, Depth: 3, Slopes: []float64{2.5, 2.5, 2.5, 0, 0, 0, 2.5, 2.5}})
	require.NoError(t, err)
	got, err := Liner(LinerSpec{Basin: b, Thickness: 1.4, Method: LinerMethodOffset})
	require.NoError(t, err)
	require.Positive(t, got.Volume)
	_, err = Liner(LinerSpec{Basin: b, Thickness: 1.6, Method: LinerMethodOffset})
	plantest.RequireFields(t, err, "thickness")
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
		square := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(30, 0), plantest.Pt(30, 30), plantest.Pt(0, 30)}
		b, err := NewPolygon(PolygonSpec{Outline: square, At: ReferenceTop, Depth: 2, Slopes: []float64{z}, CornerRadius: 15})
		require.NoError(t, err)
		c, err := NewCircular(CircularSpec{Diameter: 30, At: ReferenceTop, Depth: 2, Slopes: []float64{z}})
		require.NoError(t, err)
		require.InEpsilon(t, offset(c, 0.5), offset(b, 0.5), 1e-9)
	}
}

func TestLinerOfNothing(t *testing.T) {
	for _, b := range []Lined{nil, (*Rectangular)(nil), (*Polygon)(nil)} {
		_, err := Liner(LinerSpec{Basin: b, Thickness: 1, Method: LinerMethodArea})
		plantest.RequireFields(t, err, "basin")
	}
}
