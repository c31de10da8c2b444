package earthwork

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestBermIsOuterLessInnerSolid(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 300 {
		h, crest, zi, zo := plantest.Between(r, 0.1, 3), plantest.Between(r, 0, 5), plantest.Between(r, 0, 4), plantest.Between(r, 0, 4)
		sec := BermSection{Height: units.Length(h), CrestWidth: units.Length(crest), InnerSlope: zi, OuterSlope: zo}
		var p plane.Polygon
		spec := BermSpec{Sides: []BermSection{sec}}
		if r.IntN(2) == 0 {
			spec.Length, spec.Width = units.Length(plantest.Between(r, 60, 200)), units.Length(plantest.Between(r, 60, 200))
			p = plane.Polygon{{}, {X: spec.Length}, {X: spec.Length, Y: spec.Width}, {Y: spec.Width}}
		} else {
			// Corners on a circle are convex.
			n := 3 + r.IntN(6)
			for k := range n {
				s, c := math.Sincos(2 * math.Pi * (float64(k) + 0.3*r.Float64()) / float64(n))
				p = append(p, plane.Point{X: units.Length(90 * c), Y: units.Length(90 * s)})
			}
			spec.Plan = p
			if r.IntN(2) == 0 {
				spec.Plan = p.Reversed()
			}
		}
		spec.Line = BermLine(1 + r.IntN(4))
		toe := map[BermLine]float64{BermLineInnerToe: 0, BermLineInnerEdge: -zi * h, BermLineCentre: -zi*h - crest/2, BermLineOuterToe: -crest - (zi+zo)*h}[spec.Line]
		want := quad.Fixed(func(y float64) float64 {
			return plantest.OffsetArea(p, toe+zi*h+crest+zo*(h-y)) - plantest.OffsetArea(p, toe+zi*y)
		}, 0, h, 2, quad.Legendre{}, 0)
		got, err := Berm(spec)
		require.NoError(t, err)
		require.InEpsilon(t, want, got.Volume.SI(), 1e-9)
		require.InEpsilon(t, plantest.OffsetArea(p, toe+crest+(zi+zo)*h)-plantest.OffsetArea(p, toe), got.Footprint.SI(), 1e-9)
		require.Len(t, got.Sides, len(p))
	}
}

func TestBermSides(t *testing.T) {
	sec := BermSection{Height: 4 * ft, CrestWidth: 10 * ft, InnerSlope: 3, OuterSlope: 3}
	// A bank without berm on one end takes its share away.
	whole, err := Berm(BermSpec{Line: BermLineInnerToe, Length: 300 * ft, Width: 200 * ft, Sides: []BermSection{sec}})
	require.NoError(t, err)
	open, err := Berm(BermSpec{Line: BermLineInnerToe, Length: 300 * ft, Width: 200 * ft, Sides: []BermSection{sec, {}, sec, sec}})
	require.NoError(t, err)
	require.InDelta(t, whole.Volume.In(units.CubicFoot)-88*(200+2*17), open.Volume.In(units.CubicFoot), 1e-6)
	require.InDelta(t, 17, whole.Sides[1].Centroid.In(ft), 1e-12)
	// Plan at the outer toe too small for the section.
	_, err = Berm(BermSpec{Line: BermLineOuterToe, Length: 50 * ft, Width: 20 * ft, Sides: []BermSection{sec}})
	require.ErrorContains(t, err, "sides[1]")
	_, err = Berm(BermSpec{Line: BermLineInnerToe, Plan: plane.Polygon{{}, {X: 1}, {Y: 1}}, Width: 3, Sides: []BermSection{sec, sec}})
	require.ErrorContains(t, err, "plan: ")
	require.ErrorContains(t, err, "sides: got 2")
	_, err = Berm(BermSpec{Plan: plane.Polygon{{}, {X: 1}}})
	require.ErrorContains(t, err, "line")
	require.ErrorContains(t, err, "plan")
	// An L-shaped plan: the corner that points inward gives length back.
	l := plane.Polygon{{}, {X: 100}, {X: 100, Y: 50}, {X: 50, Y: 50}, {X: 50, Y: 100}, {Y: 100}}
	got, err := Berm(BermSpec{Line: BermLineInnerToe, Plan: l, Sides: []BermSection{{Height: 1, CrestWidth: 2, InnerSlope: 2, OuterSlope: 2}}})
	require.NoError(t, err)
	require.InDelta(t, 4*(400+8*3), got.Volume.SI(), 1e-9)
}

func TestBreachIsTheIntegralOverTheBerm(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 100 {
		h, w, s1, s2 := plantest.Between(r, 0.5, 4), plantest.Between(r, 0, 5), plantest.Between(r, 0, 4), plantest.Between(r, 0, 4)
		b, z, d := plantest.Between(r, 0, 5), plantest.Between(r, 0, 5), plantest.Between(r, 0.1, 1)*h
		got, err := Breach(BreachSpec{Berm: BermSection{units.Length(h), units.Length(w), s1, s2}, BottomWidth: units.Length(b), SideSlope: z, Depth: units.Length(d)})
		require.NoError(t, err)
		notch := func(y float64) float64 { return b*y + z*y*y }
		want := w*notch(d) + (s1+s2)*quad.Fixed(notch, 0, d, 2, quad.Legendre{}, 0)
		require.InEpsilon(t, want, got.Volume.SI(), 1e-9)
		require.Equal(t, d == h, got.Through)
	}
	got, err := Breach(BreachSpec{Berm: BermSection{2, 3, 3, 3}, SideSlope: 2, Depth: 1})
	require.NoError(t, err)
	require.False(t, got.Through)
	require.Contains(t, got.Cautions[len(got.Cautions)-2], "steeper than 3:1")
	_, err = Breach(BreachSpec{Berm: BermSection{2, 3, 3, 3}, Depth: 2.5})
	require.ErrorContains(t, err, "depth: ")
}

// The section of a berm is a trapezoid, of which the plane package has area and centroid.
func TestBermSideByItsCorners(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 100 {
		sides := make([]BermSection, 4)
		for i := range sides {
			sides[i] = BermSection{units.Length(plantest.Between(r, 0.1, 3)), units.Length(plantest.Between(r, 0, 5)), plantest.Between(r, 0, 4), plantest.Between(r, 0, 4)}
		}
		sides[r.IntN(4)] = BermSection{CrestWidth: 3, InnerSlope: 2, OuterSlope: 2} // no berm there
		spec := BermSpec{Length: units.Length(plantest.Between(r, 60, 200)), Width: units.Length(plantest.Between(r, 60, 200)), Line: BermLine(1 + r.IntN(4)), Sides: sides}
		got, err := Berm(spec)
		require.NoError(t, err)
		var volume, footprint float64
		for i, s := range sides {
			side, h := got.Sides[i], float64(s.Height)
			plan := []float64{float64(spec.Length), float64(spec.Width)}[i%2]
			if h == 0 {
				require.Equal(t, BermSide{Length: units.Length(plan)}, side)
				continue
			}
			in, crest, base := s.InnerSlope*h, float64(s.CrestWidth), float64(s.CrestWidth)+(s.InnerSlope+s.OuterSlope)*h
			section := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(base, 0), plantest.Pt(in+crest, h), plantest.Pt(in, h)}
			toe := plan - 2*map[BermLine]float64{BermLineInnerToe: 0, BermLineInnerEdge: in, BermLineCentre: in + crest/2, BermLineOuterToe: base}[spec.Line]
			require.InDelta(t, section.Area().SI(), side.Section.SI(), 1e-9)
			area, err := s.Area()
			require.NoError(t, err)
			require.Equal(t, side.Section, area)
			require.InDelta(t, float64(section.Centroid().X), float64(side.Centroid), 1e-9)
			require.InDelta(t, toe+2*float64(side.Centroid), float64(side.Length), 1e-9)
			require.InDelta(t, side.Section.SI()*float64(side.Length), side.Volume.SI(), 1e-9)
			require.InDelta(t, base*(toe+base), side.Footprint.SI(), 1e-9) // a trapezoid on the ground
			volume, footprint = volume+side.Volume.SI(), footprint+side.Footprint.SI()
		}
		require.InDelta(t, volume, got.Volume.SI(), 1e-7)
		require.InDelta(t, footprint, got.Footprint.SI(), 1e-7)
	}
}

// A side may just run out at one of its toes: at the inner one of a plan at the outer toe,
// at the outer one between two corners that point inward.
func TestBermSideThatRunsOut(t *testing.T) {
	section := []BermSection{{Height: 1, CrestWidth: 1, InnerSlope: 1, OuterSlope: 1}} // 3 m on the ground
	got, err := Berm(BermSpec{Line: BermLineOuterToe, Length: 40, Width: 6, Sides: section})
	require.NoError(t, err)
	require.InDelta(t, 3*3, got.Sides[1].Footprint.SI(), 1e-9)
	_, err = Berm(BermSpec{Line: BermLineOuterToe, Length: 40, Width: 5.99, Sides: section})
	plantest.RequireFields(t, err, "sides[1]", "sides[3]")
	notch := func(wide units.Length) plane.Polygon {
		return plane.Polygon{{}, {X: 60}, {X: 60, Y: 40}, {X: 30 + wide, Y: 40}, {X: 30 + wide, Y: 20}, {X: 30, Y: 20}, {X: 30, Y: 40}, {Y: 40}}
	}
	_, err = Berm(BermSpec{Line: BermLineInnerToe, Plan: notch(6), Sides: section})
	require.NoError(t, err)
	_, err = Berm(BermSpec{Line: BermLineInnerToe, Plan: notch(5.99), Sides: section})
	plantest.RequireFields(t, err, "sides[4]")
}

// A notch of 4 m by 2:1, 1.5 m deep, opens 10 m wide; sides of 3:1 are as flat as asked.
func TestBreachOpening(t *testing.T) {
	spec := BreachSpec{Berm: BermSection{2, 3, 3, 3}, BottomWidth: 4, SideSlope: 2, Depth: 1.5}
	got, err := Breach(spec)
	require.NoError(t, err)
	require.InDelta(t, 10, float64(got.TopWidth), 1e-12)
	text := strings.Join(got.Cautions, " ")
	require.Contains(t, text, "steeper than 3:1")
	require.Contains(t, text, "stops above the ground")
	spec.SideSlope, spec.Depth = 3, 2 // to the ground
	got, err = Breach(spec)
	require.NoError(t, err)
	require.True(t, got.Through)
	text = strings.Join(got.Cautions, " ")
	require.NotContains(t, text, "steeper than 3:1")
	require.NotContains(t, text, "stops above the ground")
}
