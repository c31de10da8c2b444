package earthwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestCrownIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for range 200 {
		w := plantest.Between(r, 1, 100)
		l, g := w*plantest.Between(r, 1, 5), plantest.Between(r, 1e-3, 0.5)
		spec := CrownSpec{Length: units.Length(l), Width: units.Length(w), Grade: g}
		get := func(s CrownShape, spec CrownSpec) CrownResult {
			spec.Shape = s
			c, err := Crown(spec)
			require.NoError(t, err)
			return c
		}
		hip, gable := get(CrownShapeHip, spec), get(CrownShapeGable, spec)
		// Level sections: the integral of (L - 2y/g)(W - 2y/g) to the ridge.
		want := quad.Fixed(func(y float64) float64 { return (l - 2*y/g) * (w - 2*y/g) }, 0, g*w/2, 2, quad.Legendre{}, 0)
		require.InEpsilon(t, want, hip.Volume.SI(), 1e-9)
		// The gable has two end wedges more, a third of the end prism each.
		require.InEpsilon(t, hip.Volume.SI()+2*w*(w/2)*(g*w/2)/6, gable.Volume.SI(), 1e-9)
		spec.Length = spec.Width
		require.InEpsilon(t, get(CrownShapeHip, spec).Volume.SI(), get(CrownShapePyramid, spec).Volume.SI(), 1e-12)
	}
	_, err := Crown(CrownSpec{Shape: CrownShapeHip, Length: 10, Width: 20, Grade: math.NaN()})
	require.ErrorContains(t, err, "length")
	require.ErrorContains(t, err, "grade")
}

func TestCrownOverOutline(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	get := func(p plane.Polygon, g float64) CrownResult {
		c, err := Crown(CrownSpec{Shape: CrownShapeHip, Outline: p, Grade: g})
		require.NoError(t, err)
		return c
	}
	for range 50 {
		// A rectangle, turned and moved, has the formula's crown.
		w := plantest.Between(r, 1, 100)
		l, g := w*plantest.Between(r, 1, 5), plantest.Between(r, 1e-3, 0.5)
		s, c := math.Sincos(plantest.Between(r, 0, 6))
		var p plane.Polygon
		for _, q := range [][2]float64{{0, 0}, {l, 0}, {l, w}, {0, w}} {
			p = append(p, plane.Point{X: units.Length(1000 + q[0]*c - q[1]*s), Y: units.Length(q[0]*s + q[1]*c)})
		}
		want, err := Crown(CrownSpec{Shape: CrownShapeHip, Length: units.Length(l), Width: units.Length(w), Grade: g})
		require.NoError(t, err)
		got := get(p, g)
		require.InEpsilon(t, want.Volume.SI(), got.Volume.SI(), 1e-8)
		require.InEpsilon(t, float64(want.Peak), float64(got.Peak), 1e-8)
		require.InEpsilon(t, want.Volume.SI(), get(p.Reversed(), g).Volume.SI(), 1e-8)
	}
	// Corners on a circle: convex, so that the roof is the distance to the nearest
	// side; a fine grid finds the same volume.
	for range 5 {
		var p plane.Polygon
		for k := range 7 {
			s, c := math.Sincos(2 * math.Pi * (float64(k) + 0.6*r.Float64()) / 7)
			p = append(p, plane.Point{X: units.Length(50 * c), Y: units.Length(50 * s)})
		}
		g := volume.LevelGrid{Origin: plane.Point{X: -51, Y: -51}, StepX: 1, StepY: 1}
		for range 103 {
			g.Levels = append(g.Levels, make([]units.Length, 103))
		}
		fine, err := Grade(GradeSpec{Ground: g, Outline: p, Final: hipCrown(t, p, 0.04)})
		require.NoError(t, err)
		got := get(p, 0.04)
		require.InEpsilon(t, fine.Fill.SI(), got.Volume.SI(), 2e-3)
		require.InEpsilon(t, float64(fine.MaxFill), float64(got.Peak), 3e-2)
	}
	// An L of three squares of side a: a hip of 3a x a that turns the corner keeps
	// the ridge height g a/2; by sections, area(y) = 3a^2 - 8a x + 4x^2 with x = y/g.
	a := units.Length(40)
	got := get(plane.Polygon{{}, {X: 2 * a}, {X: 2 * a, Y: a}, {X: a, Y: a}, {X: a, Y: 2 * a}, {Y: 2 * a}}, 0.05)
	want := quad.Fixed(func(y float64) float64 { x := y / 0.05; return 3*1600 - 320*x + 4*x*x }, 0, 0.05*20, 3, quad.Legendre{}, 0)
	require.InEpsilon(t, want, got.Volume.SI(), 1e-9)
	require.InDelta(t, 1, float64(got.Peak), 1e-9)
	_, err := Crown(CrownSpec{Shape: CrownShapeGable, Outline: plane.Polygon{{}, {X: 1}, {Y: 1}}, Grade: 0.1})
	require.ErrorContains(t, err, "outline")
	_, err = Crown(CrownSpec{Shape: CrownShapeHip, Outline: plane.Polygon{{}, {X: 1}}, Grade: 0.1})
	require.ErrorContains(t, err, "outline")
}

func TestSettledCrown(t *testing.T) {
	spec := SettledCrownSpec{
		Crown:     CrownSpec{Shape: CrownShapeHip, Length: 300 * ft, Width: 200 * ft, Grade: 0.03},
		FillDepth: 10 * ft, BankSlope: 3, Settlement: SettlementSpec{SettlementRulePlaced, 0.05}, MinGrade: 0.02,
	}
	got, err := SettledCrown(spec)
	require.NoError(t, err)
	require.InDelta(t, 0.95*3-0.05*10, got.PeakLeft.In(ft), 1e-9)
	require.InDelta(t, 0.95*0.03-0.05/3, got.GradeOverBank, 1e-12)
	require.False(t, got.ShedsWater)
	// Built to the grade that is asked for, it passes, and no more than passes.
	spec.Crown.Grade = got.GradeNeeded
	again, err := SettledCrown(spec)
	require.NoError(t, err)
	require.True(t, again.ShedsWater)
	require.InDelta(t, 0.02, again.GradeOverBank, 1e-12)
	// The grades left agree with the levels left: a profile across, settled.
	bank := 30 * ft
	k := 0.95
	left := func(x, fill units.Length) float64 {
		built := units.Length(spec.Crown.Grade) * x
		return float64(units.Length(k)*(built+fill) - fill)
	}
	require.InDelta(t, again.GradeOverBank, (left(bank, 10*ft)-left(0, 0))/float64(bank), 1e-12)
	require.InDelta(t, again.GradeOverBase, (left(100*ft, 10*ft)-left(bank, 10*ft))/float64(100*ft-bank), 1e-12)
	require.InDelta(t, float64(again.PeakLeft), left(100*ft, 10*ft), 1e-9)
	// No settlement leaves all.
	spec.Settlement.Share = 0
	none, err := SettledCrown(spec)
	require.NoError(t, err)
	require.Equal(t, none.PeakBuilt, none.PeakLeft)
}

func TestOverbuildVolume(t *testing.T) {
	got, err := Overbuild(OverbuildSpec{Design: 10, Volume: 1000, Settlement: SettlementSpec{SettlementRulePlaced, 0.2}})
	require.NoError(t, err)
	require.InDelta(t, 12.5, float64(got.Built), 1e-12)
	require.InDelta(t, 1250, got.BuiltVolume.SI(), 1e-9)
	require.InDelta(t, 250, got.AllowanceVolume.SI(), 1e-9)
	// What was built settles back to the design.
	require.InDelta(t, 10, float64(got.Built)*(1-0.2), 1e-12)
	require.InDelta(t, 2.5, float64(got.Allowance), 1e-12)
	got, err = Overbuild(OverbuildSpec{Design: 10, Volume: 1000, Settlement: SettlementSpec{SettlementRuleDesign, 0.2}})
	require.NoError(t, err)
	require.InDelta(t, 2, float64(got.Allowance), 1e-12)
	require.InDelta(t, 200, got.AllowanceVolume.SI(), 1e-9)
}

func hipCrown(t *testing.T, p plane.Polygon, grade float64) *HipCrown {
	c, err := NewHipCrown(HipCrownSpec{Outline: p, Grade: grade})
	require.NoError(t, err)
	return c
}

// A plus of five squares of side a, by hand: at the way x inward from its sides it
// is two strips 3a - 2x by a - 2x that share a square, 5a^2 - 12 a x + 4 x^2. That
// vanishes at x = a/2, so that all ridges lie at g a/2, and its integral up to there
// is 5/2 - 3/2 + 1/6 of a^3.
func TestHipCrownPlus(t *testing.T) {
	const a, g = 40, 0.04
	plus := plane.Polygon{plantest.Pt(a, 0), plantest.Pt(2*a, 0), plantest.Pt(2*a, a), plantest.Pt(3*a, a), plantest.Pt(3*a, 2*a), plantest.Pt(2*a, 2*a), plantest.Pt(2*a, 3*a), plantest.Pt(a, 3*a), plantest.Pt(a, 2*a), plantest.Pt(0, 2*a), plantest.Pt(0, a), plantest.Pt(a, a)}
	surface := hipCrown(t, plus, g)
	crown, err := Crown(CrownSpec{Shape: CrownShapeHip, Outline: plus, Grade: g})
	require.NoError(t, err)
	require.InEpsilon(t, g*a*a*a*7/6, crown.Volume.SI(), 1e-9)
	require.InEpsilon(t, crown.Volume.SI(), surface.Volume().SI(), 1e-12)
	require.InEpsilon(t, g*a/2, float64(crown.Peak), 1e-9)
	// The centre is no higher than the ridges of the arms, and the valley from an
	// inward corner is straight.
	require.InEpsilon(t, g*a/2, float64(surface.LevelAt(plantest.Pt(1.5*a, 1.5*a))), 1e-9)
	require.InEpsilon(t, g*a/2, float64(surface.LevelAt(plantest.Pt(1.5*a, a/2))), 1e-9)
	require.InEpsilon(t, g*a/4, float64(surface.LevelAt(plantest.Pt(1.25*a, 1.25*a))), 1e-9)
	ground := volume.LevelGrid{StepX: 1, StepY: 1}
	for range 3*a + 1 {
		ground.Levels = append(ground.Levels, make([]units.Length, 3*a+1))
	}
	graded, err := Grade(GradeSpec{Ground: ground, Outline: plus, Final: surface})
	require.NoError(t, err)
	// Hips and valleys run along diagonals of the cells; half a triangle is off.
	require.InEpsilon(t, crown.Volume.SI(), graded.Fill.SI(), 1e-3)
	require.InEpsilon(t, float64(crown.Peak), float64(graded.MaxFill), 1e-9)
}

// On a plan of unit squares the roof is the reach of a box, whatever the corners.
func TestHipCrownCells(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 30 {
		c := plantest.RandomCells(r, 9, 40)
		p, _ := c.Outline()
		surface := hipCrown(t, p, 0.1)
		for range 200 {
			x, y := plantest.Between(r, 0, 9), plantest.Between(r, 0, 9)
			want := 0.0
			if c.Has(int(x), int(y)) {
				want = 0.1 * c.Reach(x, y, [4]float64{1, 1, 1, 1}, 5)
			}
			require.InDelta(t, want, float64(surface.LevelAt(plantest.Pt(x, y))), 1e-6)
		}
	}
}

// Over stars of any number of inward corners the surface holds the volume of the
// crown, by sampling, and never rises steeper than its grade across a hip.
func TestHipCrownVolumeBySampling(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 10 {
		p := plantest.Star(r, plane.Point{X: 5000, Y: -300}, 40)
		c, err := NewHipCrown(HipCrownSpec{Outline: p, Grade: 0.05})
		if err != nil {
			continue
		}
		low, high := p.Bounds()
		const n = 120
		dx, dy := float64(high.X-low.X)/n, float64(high.Y-low.Y)/n
		var sum, peak float64
		for i := range n {
			for j := range n {
				q := plane.Point{X: low.X + units.Length((float64(i)+0.5)*dx), Y: low.Y + units.Length((float64(j)+0.5)*dy)}
				l := float64(c.LevelAt(q))
				require.Equal(t, p.Contains(q), l > 0)
				sum, peak = sum+l, max(peak, l)
			}
		}
		require.InEpsilon(t, c.Volume().SI(), sum*dx*dy, 3e-3)
		require.LessOrEqual(t, peak, float64(c.Peak())*(1+1e-12))
		require.Greater(t, peak, 0.8*float64(c.Peak()))
	}
}

// A fill under banks so flat that they meet above the depth asked for is as deep as half
// the width has it, over a rectangle and over an outline; without fill the crown alone
// settles; and a level crown sheds nothing, though no grade was asked for.
func TestSettledCrownOverFlatBanks(t *testing.T) {
	spec := SettledCrownSpec{Crown: CrownSpec{Shape: CrownShapeHip, Length: 60, Width: 40, Grade: 0.05}, FillDepth: 3, BankSlope: 10, Settlement: SettlementSpec{SettlementRuleDesign, 0.25}}
	outline := spec
	outline.Crown = CrownSpec{Shape: CrownShapeHip, Outline: plane.Polygon{{}, {X: 60}, {X: 60, Y: 40}, {Y: 40}}, Grade: 0.05}
	for _, spec := range []SettledCrownSpec{spec, outline} {
		got, err := SettledCrown(spec)
		require.NoError(t, err)
		require.InDelta(t, 0.8, got.Left, 1e-12)
		require.InDelta(t, 1, float64(got.PeakBuilt), 1e-9)
		require.InDelta(t, 2, float64(got.Depth), 1e-9)
		require.InDelta(t, 0.8-0.2*2, float64(got.PeakLeft), 1e-9)
		require.InDelta(t, 0.8*0.05-0.2/10, got.GradeOverBank, 1e-12)
		require.InDelta(t, 0.8*0.05, got.GradeOverBase, 1e-12)
		require.InDelta(t, 0.2/10/0.8, got.GradeNeeded, 1e-12)
		require.True(t, got.ShedsWater)
		spec.FillDepth = 0
		got, err = SettledCrown(spec)
		require.NoError(t, err)
		require.InDelta(t, 0.8*0.05, got.GradeOverBank, 1e-12)
		require.Zero(t, got.GradeNeeded)
		spec.FillDepth, spec.Crown.Grade = 3, 0.025 // built to what is needed for none
		got, err = SettledCrown(spec)
		require.NoError(t, err)
		require.InDelta(t, 0, got.GradeOverBank, 1e-12)
		spec.Crown.Grade = 0.024
		got, err = SettledCrown(spec)
		require.NoError(t, err)
		require.False(t, got.ShedsWater)
	}
}
