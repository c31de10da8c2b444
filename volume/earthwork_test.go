package volume

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

func anySoil() SoilSpec { return SoilSpec{Swell: new(0.25), Shrink: new(0.1)} }

func TestSoilKeepsItsMass(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		swell, shrink := between(r, 0, 2), between(r, -1, 0.9)
		s, err := NewSoil(SoilSpec{Swell: &swell, Shrink: &shrink})
		require.NoError(t, err)
		v := units.Volume(between(r, 0, 1e6))
		w := v
		for _, step := range [][2]State{{StateBank, StateLoose}, {StateLoose, StateCompacted}, {StateCompacted, StateBank}} {
			w, err = s.Convert(w, step[0], step[1])
			require.NoError(t, err)
		}
		require.InEpsilon(t, v.SI(), w.SI(), 1e-12)
		direct, err := s.Convert(v, StateLoose, StateCompacted)
		require.NoError(t, err)
		require.InEpsilon(t, v.SI()*(1-shrink)/(1+swell), direct.SI(), 1e-12)
	}
}

func TestSoilByDensity(t *testing.T) {
	// 3000 lb/yd3 in place, 2400 loose, 3200 compacted.
	lb := units.TonPerCubicYard / 2000
	s, err := NewSoil(SoilSpec{BankDensity: 3000 * lb, LooseDensity: 2400 * lb, CompactedDensity: 3200 * lb})
	require.NoError(t, err)
	loose, err := s.Convert(100, StateBank, StateLoose)
	require.NoError(t, err)
	require.InDelta(t, 125, loose.SI(), 1e-9)
	compacted, err := s.Convert(100, StateBank, StateCompacted)
	require.NoError(t, err)
	require.InDelta(t, 93.75, compacted.SI(), 1e-9)
	// A bank density with a swell gives the loose density for the payload.
	l, err := Loads(LoadsSpec{Volume: 100 * units.CubicYard, State: StateBank, Soil: SoilSpec{Swell: new(0.25), BankDensity: 3000 * lb}, Truck: TruckSpec{Volume: 20 * units.CubicYard, Payload: 15 * units.Ton}})
	require.NoError(t, err)
	require.Equal(t, 7, l.ByVolume)
	require.Equal(t, 10, l.ByMass)
	require.Equal(t, 10, l.Loads)
	require.InDelta(t, 150, l.Mass.In(units.Ton), 1e-9)
}

func TestSoilFaults(t *testing.T) {
	for _, tt := range []struct {
		spec SoilSpec
		want string
	}{
		{SoilSpec{}, "swell: is nothing"},
		{SoilSpec{Class: 99}, "class: is"},
		{SoilSpec{Class: SoilClassDenseClay, Swell: new(0.3)}, `swell: is "given in 2 ways"`},
		{SoilSpec{Swell: new(math.NaN())}, "swell: is NaN"},
		{SoilSpec{Shrink: new(1.0)}, "shrink: is 1, want -1 to 0.9"},
		{SoilSpec{LooseDensity: 1200}, "swell: is nothing"},
		{SoilSpec{CompactedDensity: 1200, Swell: new(0.1)}, "bankDensity: is nothing"},
		{SoilSpec{BankDensity: units.Density(math.Inf(1)), Swell: new(0.1)}, "bankDensity"},
		{SoilSpec{BankDensity: 1500, LooseDensity: 1800}, "swell: is -0.16"},
	} {
		_, err := NewSoil(tt.spec)
		require.ErrorContains(t, err, tt.want)
	}
	clay, err := NewSoil(SoilSpec{Class: SoilClassDenseClay})
	require.NoError(t, err)
	_, err = clay.Convert(1, StateBank, StateCompacted)
	require.EqualError(t, err, "shrink: is nothing, want the shrink of this soil, to count it compacted")
	_, err = clay.Convert(units.Volume(math.NaN()), 0, 7)
	require.ErrorContains(t, err, "volume")
	require.ErrorContains(t, err, "from")
	require.ErrorContains(t, err, "to")
	for i, row := range SoilTable() {
		require.Equal(t, SoilClass(i+1), row.Class)
		require.NotEmpty(t, row.Source)
		*row.Swell = 9 // a copy: the table stays as it is
		_, err := NewSoil(SoilSpec{Class: row.Class})
		require.NoError(t, err)
	}
}

// offsetArea is the area of p with every side moved outward by d, from the
// intersections of the moved sides.
func offsetArea(p plane.Polygon, d float64) float64 {
	n := len(p)
	moved := make(plane.Polygon, n)
	line := func(i int) (x, y, dx, dy float64) {
		a, e := p[i%n], p[(i+1)%n].Sub(p[i%n])
		l := math.Hypot(float64(e.X), float64(e.Y))
		dx, dy = float64(e.X)/l, float64(e.Y)/l
		return float64(a.X) + d*dy, float64(a.Y) - d*dx, dx, dy
	}
	for i := range n {
		ax, ay, adx, ady := line(i + n - 1)
		bx, by, bdx, bdy := line(i)
		t := ((bx-ax)*bdy - (by-ay)*bdx) / (adx*bdy - ady*bdx)
		moved[i] = plane.Point{X: units.Length(ax + t*adx), Y: units.Length(ay + t*ady)}
	}
	return moved.Area().SI()
}

func TestBermIsOuterLessInnerSolid(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 300 {
		h, crest, zi, zo := between(r, 0.1, 3), between(r, 0, 5), between(r, 0, 4), between(r, 0, 4)
		sec := BermSection{Height: units.Length(h), CrestWidth: units.Length(crest), InnerSlope: zi, OuterSlope: zo}
		var p plane.Polygon
		spec := BermSpec{Sides: []BermSection{sec}}
		if r.IntN(2) == 0 {
			spec.Length, spec.Width = units.Length(between(r, 60, 200)), units.Length(between(r, 60, 200))
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
			return offsetArea(p, toe+zi*h+crest+zo*(h-y)) - offsetArea(p, toe+zi*y)
		}, 0, h, 2, quad.Legendre{}, 0)
		got, err := Berm(spec)
		require.NoError(t, err)
		require.InEpsilon(t, want, got.Volume.SI(), 1e-9)
		require.InEpsilon(t, offsetArea(p, toe+crest+(zi+zo)*h)-offsetArea(p, toe), got.Footprint.SI(), 1e-9)
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
	require.ErrorContains(t, err, "plan: is")
	require.ErrorContains(t, err, "sides: is 2")
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
		h, w, s1, s2 := between(r, 0.5, 4), between(r, 0, 5), between(r, 0, 4), between(r, 0, 4)
		b, z, d := between(r, 0, 5), between(r, 0, 5), between(r, 0.1, 1)*h
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
	require.ErrorContains(t, err, "depth: is")
}

func TestTrenchEndAreaError(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 200 {
		x, h0, h1, s := between(r, 1, 100), between(r, 0, 5), between(r, 0, 5), between(r, 0, 3)
		spec := TrenchSpec{Points: []TrenchPoint{{0, units.Length(h0)}, {units.Length(x), units.Length(h1)}}, BottomWidth: units.Length(between(r, 0, 3)), SideSlopes: [2]float64{0, 2 * s}, Method: MethodEndArea, Soil: anySoil()}
		end, err := Trench(spec)
		require.NoError(t, err)
		spec.Method = MethodPrismoidal
		exact, err := Trench(spec)
		require.NoError(t, err)
		require.InDelta(t, x*s*(h1-h0)*(h1-h0)/6, (end.Excavation - exact.Excavation).SI(), 1e-9*end.Excavation.SI()+1e-12)
	}
}

func TestTrenchBackfill(t *testing.T) {
	got, err := Trench(TrenchSpec{
		Points: []TrenchPoint{{0, 6}, {100, 6}}, BottomWidth: 3, Method: MethodPrismoidal,
		PipeOutside: 1, Bedding: 0.5, Soil: anySoil(),
	})
	require.NoError(t, err)
	require.InDelta(t, 1800, got.Excavation.SI(), 1e-9)
	require.InDelta(t, 150, got.Bedding.SI(), 1e-9)
	require.InDelta(t, 25*math.Pi, got.Pipe.SI(), 1e-9)
	back := 1650 - 25*math.Pi
	require.InDelta(t, back, got.Backfill.SI(), 1e-9)
	// Loose: 1800 x 1.25 dug; each compacted 0.9 takes 1.25.
	require.InDelta(t, 1800*1.25-back/0.9*1.25, got.Surplus.SI(), 1e-9)
	require.Zero(t, got.Shortage)
	require.Contains(t, got.Cautions, cautionCaveIn)
	_, err = Trench(TrenchSpec{Points: []TrenchPoint{{0, 1}, {10, 1}}, BottomWidth: 1, Method: MethodPrismoidal, Bedding: 2, Soil: anySoil()})
	require.ErrorContains(t, err, "pipeOutside")
}

func TestCrownIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for range 200 {
		w := between(r, 1, 100)
		l, g := w*between(r, 1, 5), between(r, 1e-3, 0.5)
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
		w := between(r, 1, 100)
		l, g := w*between(r, 1, 5), between(r, 1e-3, 0.5)
		s, c := math.Sincos(between(r, 0, 6))
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
		g := LevelGrid{Origin: plane.Point{X: -51, Y: -51}, StepX: 1, StepY: 1}
		for range 103 {
			g.Levels = append(g.Levels, make([]units.Length, 103))
		}
		fine, err := Grade(GradeSpec{Ground: g, Outline: p, Final: HipCrown{Outline: p, Grade: 0.04}})
		require.NoError(t, err)
		got := get(p, 0.04)
		require.InEpsilon(t, fine.Fill.SI(), got.Volume.SI(), 2e-3)
		require.InEpsilon(t, float64(fine.MostFill), float64(got.Peak), 3e-2)
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
		FillDepth: 10 * ft, BankSlope: 3, Settlement: SettlementSpec{SettlementRulePlaced, 0.05}, LeastGrade: 0.02,
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

func TestBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	for range 300 {
		swell, shrink := between(r, 0, 0.5), between(r, 0, 0.3)
		spec := BalanceSpec{
			Cuts:  []EarthPart{{"berm", units.Volume(between(r, 0, 1000)), StateBank, 0}, {"heap", units.Volume(between(r, 0, 1000)), StateLoose, 0}},
			Fills: []EarthPart{{"basin", units.Volume(between(r, 0, 2000)), StateCompacted, 0}},
			Soil:  SoilSpec{Swell: &swell, Shrink: &shrink}, Truck: TruckSpec{Volume: 7},
		}
		spec.Cuts[0].Unsuitable = spec.Cuts[0].Volume / 4
		got, err := Balance(spec)
		require.NoError(t, err)
		// All soil counted in place: what is cut and brought is placed, wasted or unfit.
		dug := (spec.Cuts[0].Volume + spec.Cuts[1].Volume/units.Volume(1+swell)).SI()
		require.InEpsilon(t, dug+got.Import.Bank.SI(), (got.Fill.Bank + got.Waste.Bank + got.Unsuitable.Bank).SI(), 1e-9)
		require.Zero(t, min(got.Import.Bank, got.Waste.Bank))
		require.InDelta(t, float64(got.ImportLoads+got.WasteLoads), float64(got.Import.Loose+got.Waste.Loose)/7, 1)
	}
	got, err := Balance(BalanceSpec{
		Fills: []EarthPart{{"basin", 900, StateCompacted, 0}}, Soil: anySoil(),
		Borrow: &SoilSpec{Swell: new(0.5), Shrink: new(0.25), LooseDensity: 1000},
		Truck:  TruckSpec{Volume: 100},
	})
	require.NoError(t, err)
	require.InDelta(t, 1200, got.Import.Bank.SI(), 1e-9)
	require.Equal(t, 18, got.ImportLoads)
	_, err = Balance(BalanceSpec{
		Cuts: []EarthPart{{"", -1, 0, 3}}, Fills: []EarthPart{{"", 1, StateBank, 1}},
		Soil: SoilSpec{Class: SoilClassDenseClay}, Truck: TruckSpec{Volume: 1, Payload: 5},
	})
	for _, want := range []string{"cuts[0].volume", "cuts[0].state", "cuts[0].unsuitable", "fills[0].unsuitable", "soil.shrink", "soil.looseDensity"} {
		require.ErrorContains(t, err, want)
	}
	_, err = Balance(BalanceSpec{Fills: []EarthPart{{"", 1e12, StateBank, 0}}, Soil: anySoil(), Truck: TruckSpec{Volume: 1e-9}})
	require.ErrorContains(t, err, "at most 1e9 loads")
}

func TestTopsoil(t *testing.T) {
	spec := TopsoilSpec{StripArea: 1000, StripDepth: 0.2, ReturnArea: 1500, ReturnDepth: 0.2, ReturnState: StateBank, Loss: 0.1, Soil: anySoil()}
	got, err := Topsoil(spec)
	require.NoError(t, err)
	require.InDelta(t, 200, got.Stripped.SI(), 1e-9)
	require.InDelta(t, 250, got.Stockpile.SI(), 1e-9)
	require.InDelta(t, 180, got.Usable.SI(), 1e-9)
	require.InDelta(t, 120*1.25, got.Shortage.SI(), 1e-9)
	require.Zero(t, got.Surplus)
	require.InDelta(t, 0.12, float64(got.Depth), 1e-12)
	spec.ReturnArea = 500
	got, err = Topsoil(spec)
	require.NoError(t, err)
	require.InDelta(t, 80*1.25, got.Surplus.SI(), 1e-9)
	require.InDelta(t, 0.2, float64(got.Depth), 1e-12)
}

func TestOverbuildVolume(t *testing.T) {
	got, err := Overbuild(OverbuildSpec{Design: 10, Volume: 1000, Settlement: SettlementSpec{SettlementRulePlaced, 0.2}})
	require.NoError(t, err)
	require.InDelta(t, 12.5, float64(got.Built), 1e-12)
	require.InDelta(t, 1250, got.BuiltVolume.SI(), 1e-9)
	require.InDelta(t, 250, got.AllowanceVolume.SI(), 1e-9)
	// What was built settles back to the design.
	require.InDelta(t, 10, float64(got.Built)*(1-0.2), 1e-12)
}

// Who digs, pierces or fills is told what can hurt.
func TestCautions(t *testing.T) {
	trench := func(depth units.Length) []string {
		r, err := Trench(TrenchSpec{Points: []TrenchPoint{{0, depth}, {10, depth}}, BottomWidth: 1, Method: MethodPrismoidal, Soil: anySoil()})
		require.NoError(t, err)
		return r.Cautions
	}
	require.NotContains(t, trench(3.9*ft), cautionWayOut)
	require.Contains(t, trench(4*ft), cautionWayOut)
	require.NotContains(t, trench(4.9*ft), cautionCaveIn)
	require.Contains(t, trench(5*ft), cautionCaveIn)
	require.NotContains(t, trench(19*ft), cautionDesign)
	require.Contains(t, trench(20*ft), cautionDesign)
	require.Contains(t, trench(ft), cautionServices)
	berm, err := Berm(BermSpec{Line: BermLineInnerToe, Length: 9, Width: 9, Sides: []BermSection{{Height: 1, CrestWidth: 1}}})
	require.NoError(t, err)
	require.Subset(t, berm.Cautions, []string{cautionBanks, cautionImpound})
	drain, err := Drain(DrainSpec{Kind: DrainKindHoles, Area: 900, Size: 1, Spacing: 10, Depth: 1})
	require.NoError(t, err)
	require.Contains(t, drain.Cautions, cautionRegulator)
	plug, err := Plug(PlugSpec{Inside: 1, PlugLength: 1, Plugs: 1})
	require.NoError(t, err)
	require.Contains(t, plug.Cautions, cautionPipes)
	balance, err := Balance(BalanceSpec{Cuts: []EarthPart{{"", 1, StateBank, 0}}, Soil: anySoil(), Truck: TruckSpec{Volume: 1}})
	require.NoError(t, err)
	require.Subset(t, balance.Cautions, []string{cautionServices, cautionBanks, cautionDrowning, cautionRegulator})
}

func TestPlug(t *testing.T) {
	got, err := Plug(PlugSpec{Inside: ft, PlugLength: 4 * ft, Plugs: 2, Waste: 0.1, Yield: 0.6 * units.CubicFoot})
	require.NoError(t, err)
	require.InDelta(t, 2*math.Pi, got.Neat.In(units.CubicFoot), 1e-9)
	require.InDelta(t, 2.2*math.Pi, got.Concrete.In(units.CubicFoot), 1e-9)
	require.Equal(t, 12, got.Bags) // 11.52
	// A whole number of bags is not rounded up by noise.
	got, err = Plug(PlugSpec{Inside: ft, PlugLength: ft, Plugs: 3, Yield: math.Pi / 4 * units.CubicFoot})
	require.NoError(t, err)
	require.Equal(t, 3, got.Bags)
	pipe, err := Pipe(PipeSpec{Inside: ft, Outside: 1.2 * ft, Length: 100 * ft})
	require.NoError(t, err)
	require.InDelta(t, 25*math.Pi, pipe.Bore.In(units.CubicFoot), 1e-9)
	require.InDelta(t, 36*math.Pi, pipe.Displaced.In(units.CubicFoot), 1e-9)
	_, err = Pipe(PipeSpec{Inside: 2, Outside: 1, Length: units.Length(math.Inf(1))})
	require.ErrorContains(t, err, "outside")
	require.ErrorContains(t, err, "length")
}

func TestBasinProfile(t *testing.T) {
	spec := BasinProfileSpec{
		Ground: 100 * ft, FloorWidth: 100 * ft, Depth: 8 * ft, CrownGrade: 0.03,
		Left:       ProfileSide{3, BermSection{4 * ft, 10 * ft, 3, 3}, 20 * ft},
		Right:      ProfileSide{2, BermSection{2 * ft, 8 * ft, 2, 3}, 20 * ft},
		Settlement: SettlementSpec{SettlementRuleDesign, 0.1},
	}
	got, err := BasinProfile(spec)
	require.NoError(t, err)
	sqft := units.SquareFoot
	width := 100 + 5*8.0
	require.InDelta(t, 88+26, got.Cut.In(sqft), 1e-9)
	require.InDelta(t, 8*(100+width)/2+0.03*width*width/4, got.Fill.In(sqft), 1e-9)
	require.InDelta(t, 1.1*got.Fill.In(sqft), got.Built.In(sqft), 1e-9)
	for i, p := range got.Points {
		if i > 0 {
			require.GreaterOrEqual(t, p.Station, got.Points[i-1].Station)
		}
		require.GreaterOrEqual(t, p.Built, p.Final)
	}
	require.InDelta(t, 20+34+width+18+20, got.Points[len(got.Points)-1].Station.In(ft), 1e-9)
	_, err = BasinProfile(BasinProfileSpec{Left: ProfileSide{BankSlope: math.NaN()}})
	for _, want := range []string{"depth", "left.bankSlope", "settlement.rule"} {
		require.ErrorContains(t, err, want)
	}
}

func TestGroundProfile(t *testing.T) {
	got, err := GroundProfile(GroundProfileSpec{
		Existing: Plane{Level: 1}, Final: Plane{East: 0.1}, From: plane.Point{}, To: plane.Point{X: 20}, Stations: 8,
	})
	require.NoError(t, err)
	require.Len(t, got.Points, 8)
	require.InDelta(t, 5, got.Cut.SI(), 1e-12) // the levels cross between stations
	require.InDelta(t, 5, got.Fill.SI(), 1e-12)
	_, err = GroundProfile(GroundProfileSpec{})
	for _, want := range []string{"existing", "final", "to", "stations"} {
		require.ErrorContains(t, err, want)
	}
}

// Specs of zero value and of numbers that are none are refused; nothing panics.
func TestEarthworkRefusesNothingAndNonsense(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, err := range map[string]error{
		"Balance":        second(Balance(BalanceSpec{})),
		"Berm":           second(Berm(BermSpec{})),
		"Breach":         second(Breach(BreachSpec{})),
		"Crown":          second(Crown(CrownSpec{})),
		"CrestWidth":     second(CrestWidth(0)),
		"Drain":          second(Drain(DrainSpec{})),
		"FitPlane":       second(FitPlane(PlaneSpec{})),
		"Loads":          second(Loads(LoadsSpec{})),
		"Overbuild":      second(Overbuild(OverbuildSpec{})),
		"Pipe":           second(Pipe(PipeSpec{})),
		"Plug":           second(Plug(PlugSpec{})),
		"SettledCrown":   second(SettledCrown(SettledCrownSpec{})),
		"Topsoil":        second(Topsoil(TopsoilSpec{})),
		"Trench":         second(Trench(TrenchSpec{})),
		"rolled nan":     second(RolledSettlement(units.Length(nan), 0.2)),
		"rolled shrink":  second(RolledSettlement(1, nan)),
		"overbuild nan":  second(Overbuild(OverbuildSpec{1, 0, SettlementSpec{SettlementRulePlaced, nan}})),
		"overbuild one":  second(Overbuild(OverbuildSpec{1, 0, SettlementSpec{SettlementRulePlaced, 1}})),
		"plug nan":       second(Plug(PlugSpec{units.Length(nan), 1, 1, nan, units.Volume(inf)})),
		"loads nan":      second(Loads(LoadsSpec{1, StateBank, anySoil(), TruckSpec{units.Volume(nan), units.Mass(inf)}})),
		"trench order":   second(Trench(TrenchSpec{Points: []TrenchPoint{{1, 1}, {1, 1}}, Method: MethodPrismoidal, BottomWidth: 1, Soil: anySoil()})),
		"trench station": second(Trench(TrenchSpec{Points: []TrenchPoint{{units.Length(nan), 1}, {1, 1}}, Method: MethodPrismoidal, BottomWidth: 1, Soil: anySoil()})),
	} {
		require.NotEmpty(t, units.FieldErrors(err), name)
	}
}

func second[T any](_ T, err error) error { return err }

// Specs read from JSON are what was written, and enumerations refuse other names.
func TestEarthworkJSON(t *testing.T) {
	spec := BalanceSpec{
		Cuts:  []EarthPart{{"berm", 10 * units.CubicYard, StateBank, units.CubicYard}},
		Fills: []EarthPart{{"basin", 20 * units.CubicYard, StateCompacted, 0}},
		Soil:  SoilSpec{Class: SoilClassDenseClay, Shrink: new(0.1)},
		Truck: TruckSpec{Volume: 7 * units.CubicYard},
	}
	text, err := json.Marshal(spec)
	require.NoError(t, err)
	var back BalanceSpec
	require.NoError(t, units.Decode(text, &back))
	require.Empty(t, cmp.Diff(spec, back))
	require.Error(t, units.Decode([]byte(`{"soil":{"class":"mud"}}`), &back))
	berm := BermSpec{Line: BermLineInnerEdge, Plan: plane.Polygon{{}, {X: 3}, {Y: 4}}, Sides: []BermSection{{1, 2, 3, 4}}}
	text, err = json.Marshal(berm)
	require.NoError(t, err)
	var got BermSpec
	require.NoError(t, units.Decode(text, &got))
	require.Empty(t, cmp.Diff(berm, got))
	_, err = json.Marshal(BermSpec{})
	require.Error(t, err) // a line that is none has no name
}
