package earthwork

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
)

// PlaneLevel says how high the plane of FitPlane lies. The zero value is refused.
type PlaneLevel = units.Enum[planeLevelWords]

// Heights of the plane.
const (
	// PlaneLevelMean, "through the mean", passes through the mean level of the ground, as least
	// squares has it: cut and fill have equal volumes in place.
	PlaneLevelMean PlaneLevel = iota + 1
	// PlaneLevelBalanced, "balanced after shrink", makes the cut, compacted, just fill the hollows: the plane
	// lies lower than the mean by what the soil shrinks.
	PlaneLevelBalanced
)

var planeLevelNames = units.Names{PlaneLevelMean: "through the mean", PlaneLevelBalanced: "balanced after shrink"}

type planeLevelWords struct{}

func (planeLevelWords) Names() units.Names { return planeLevelNames }

// FitPlaneSpec asks for the plane of least earthwork.
type FitPlaneSpec struct {
	Ground  volume.LevelGrid `json:"ground"`            // levels as they are
	Outline plane.Polygon    `json:"outline,omitempty"` // as in GradeSpec
	// MinGrade is the least rise per run, for drainage, 0 to 0.5.
	MinGrade float64 `json:"minGrade"`
	// Fall is the direction in which water shall run, in degrees clockwise from
	// north; nil leaves it to the ground.
	Fall  *float64   `json:"fall,omitzero"`
	Level PlaneLevel `json:"level"` // how high the plane lies
	// Soil needs the shrink for PlaneLevelBalanced; otherwise it is checked and not
	// used.
	Soil SoilSpec `json:"soil,omitzero"`
}

// FitPlaneResult is the plane and the earthwork to it.
type FitPlaneResult struct {
	Plane     Plane       `json:"plane"`     // the surface to build
	Level     PlaneLevel  `json:"level"`     // how high it lies, as asked
	MinGrade  float64     `json:"minGrade"`  // that was asked for
	Crossings int         `json:"crossings"` // of the grid inside the outline
	Grade     float64     `json:"grade"`     // rise per run
	Fall      float64     `json:"fall"`      // degrees clockwise from north
	Natural   float64     `json:"natural"`   // grade of the least squares plane without any demand
	Forced    bool        `json:"forced"`    // the demands made it steeper or turned it
	Work      GradeResult `json:"work"`      // cut and fill to the plane
}

// FitPlane returns the plane from which the ground levels at the crossings inside
// the outline differ least, by the sum of squares, among those that are steep
// enough and fall as asked, with the cut and fill to it. Of two directions that
// are equally good on ground without a fall of its own it takes one. Errors are
// [units.FieldError] with the json field; crossings inside the outline that lie on
// one line are among them.
func FitPlane(spec FitPlaneSpec) (FitPlaneResult, error) {
	var f units.Faults
	f.Sub("ground", spec.Ground.Check())
	if len(spec.Outline) > 0 {
		f.Sub("outline", spec.Outline.CheckUpTo(maxCorners))
	}
	f.NumberZeroTo("minGrade", spec.MinGrade, 0.5)
	if spec.Fall != nil {
		f.NumberZeroTo("fall", *spec.Fall, 360)
	}
	if !planeLevelNames.Has(int(spec.Level)) {
		f.Add("level", spec.Level, planeLevelNames.Want())
	}
	var soil *Soil
	switch {
	case spec.Level == PlaneLevelBalanced:
		soil = soilFor(&f, "soil", spec.Soil, StateCompacted)
	case spec.Soil != SoilSpec{}:
		soilFor(&f, "soil", spec.Soil)
	}
	if err := f.Err(); err != nil {
		return FitPlaneResult{}, err
	}
	w := newGrading(&f, GradeSpec{Ground: spec.Ground, Outline: spec.Outline, Final: Plane{}})
	if err := f.Err(); err != nil {
		return FitPlaneResult{}, err
	}
	fit := newPlaneFit(&f, w)
	if err := f.Err(); err != nil {
		return FitPlaneResult{}, err
	}
	r := FitPlaneResult{Level: spec.Level, MinGrade: spec.MinGrade, Crossings: fit.n, Natural: math.Hypot(fit.east, fit.north)}
	east, north := fit.demand(spec)
	r.Forced = math.Hypot(east-fit.east, north-fit.north) > 1e-12
	r.Plane = Plane{At: fit.at, Level: units.Length(fit.mean), East: east, North: north}
	f.Sub("ground", r.Plane.Check())
	if err := f.Err(); err != nil {
		return FitPlaneResult{}, err
	}
	w.final(&f, r.Plane)
	if err := f.Err(); err != nil {
		return FitPlaneResult{}, err
	}
	// The mean of the crossings is close to that of the area; this makes it so.
	perCut := 1.0
	if soil != nil {
		perCut = soil.perBank(StateCompacted)
	}
	raise, _ := w.balance(perCut)
	r.Plane.Level += units.Length(raise)
	w.final(&f, r.Plane)
	if err := f.Err(); err != nil {
		return FitPlaneResult{}, err
	}
	r.Work = w.result()
	r.Grade, r.Fall = r.Plane.Grade(), r.Plane.Fall()
	return r, nil
}

// Working shows the plane and the earthwork to it.
func (r FitPlaneResult) Working() units.Working {
	var w units.Working
	at := r.Plane.At
	w.Add("grade of the ground", r.Natural, "least squares through %v crossings", r.Crossings)
	w.Add("grade of the plane", r.Grade, "at least %v", r.MinGrade)
	w.Add("water runs to", units.Words("%.0f degrees", r.Fall), "clockwise from north")
	w.Add("level", units.As(r.Plane.Level, units.Foot, 2), "at x %v, y %v, %v", units.As(at.X, units.Foot, 1), units.As(at.Y, units.Foot, 1), r.Level)
	w = append(w, r.Work.Working()...)
	return w
}

// String prints the working.
func (r FitPlaneResult) String() string { return r.Working().String() }

// planeFit is the least squares plane through the crossings: its rises, mean level
// and centre, and the moments about the centre.
type planeFit struct {
	n           int
	at          plane.Point
	mean        float64
	east, north float64
	moments     *mat.SymDense // of the places, sum of squares and products
}

func newPlaneFit(f *units.Faults, w *grading) planeFit {
	g, in := w.grid, w.inside()
	rows, cols := g.Size()
	var xs, ys, zs []float64
	for i := range rows {
		for j := range cols {
			if !in[i*cols+j] {
				continue
			}
			// About the origin, so that large coordinates lose nothing.
			xs = append(xs, float64(units.Length(j)*g.StepX))
			ys = append(ys, float64(units.Length(i)*g.StepY))
			zs = append(zs, float64(g.Levels[i][j]))
		}
	}
	fit := planeFit{n: len(zs)}
	if fit.n < 3 {
		f.Count("outline", fit.n, "crossings of the grid", "3 or more that are not on one line")
		return fit
	}
	mx, my := stat.Mean(xs, nil), stat.Mean(ys, nil)
	fit.mean = stat.Mean(zs, nil)
	a, b := mat.NewDense(fit.n, 2, nil), mat.NewVecDense(fit.n, nil)
	for k := range zs {
		a.Set(k, 0, xs[k]-mx)
		a.Set(k, 1, ys[k]-my)
		b.SetVec(k, zs[k]-fit.mean)
	}
	var qr mat.QR
	qr.Factorize(a)
	var slope mat.VecDense
	if err := qr.SolveVecTo(&slope, false, b); err != nil || !(qr.Cond() < 1e10) {
		f.Say("outline", "all crossings of the grid inside it are on one line", "3 or more that are not")
		return fit
	}
	fit.east, fit.north = slope.AtVec(0), slope.AtVec(1)
	fit.at = plane.Point{X: g.Origin.X + units.Length(mx), Y: g.Origin.Y + units.Length(my)}
	fit.moments = mat.NewSymDense(2, nil)
	fit.moments.SymOuterK(1, a.T())
	return fit
}

// demand returns the rises of the best plane that meets the demands of the spec.
func (p planeFit) demand(spec FitPlaneSpec) (east, north float64) {
	if spec.Fall != nil {
		// Along the given fall the sum of squares is least at the projection.
		s, c := math.Sincos(*spec.Fall * math.Pi / 180)
		u := mat.NewVecDense(2, []float64{-s, -c})
		g := mat.Inner(u, p.moments, mat.NewVecDense(2, []float64{p.east, p.north})) / mat.Inner(u, p.moments, u)
		g = max(g, spec.MinGrade)
		return g*u.AtVec(0) + 0, g*u.AtVec(1) + 0 // no -0
	}
	if math.Hypot(p.east, p.north) >= spec.MinGrade {
		return p.east, p.north
	}
	// On the circle of the least grade (S + m I) b = S b0 with the moments S, the
	// free rises b0 and m between 0 and minus the smaller eigenvalue.
	var eigen mat.EigenSym
	eigen.Factorize(p.moments, true)
	s := eigen.Values(nil)
	var v mat.Dense
	eigen.VectorsTo(&v)
	var free [2]float64 // b0 along the eigenvectors
	for k := range 2 {
		free[k] = v.At(0, k)*p.east + v.At(1, k)*p.north
	}
	b := func(m float64) (float64, float64) {
		return s[0] * free[0] / (s[0] + m), s[1] * free[1] / (s[1] + m)
	}
	// The grade grows from the free one without bound as m falls, except on ground
	// with no rise along the first axis, where the missing part is free to choose.
	lo, hi := -s[0], 0.0
	for range 200 {
		m := (lo + hi) / 2
		if m == lo || m == hi {
			break
		}
		if b0, b1 := b(m); math.Hypot(b0, b1) < spec.MinGrade {
			hi = m
		} else {
			lo = m
		}
	}
	b0, b1 := b(hi)
	if rest := spec.MinGrade*spec.MinGrade - b1*b1; rest > b0*b0 {
		b0 = math.Copysign(math.Sqrt(rest), b0)
	}
	return v.At(0, 0)*b0 + v.At(0, 1)*b1, v.At(1, 0)*b0 + v.At(1, 1)*b1
}

// balance returns the height by which to raise the grade so that fill = perCut x
// cut, and in how many rounds over the cells it is found. Fill less cut grows with the
// height, so the root is single; Newton's step with the areas as slope, held inside the
// bracket.
func (w *grading) balance(perCut float64) (raise float64, rounds int) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, d := range w.fill {
		lo, hi = min(lo, -d), max(hi, -d)
	}
	fine := 1e-12 * max(math.Abs(lo), math.Abs(hi))
	for rounds < 100 {
		rounds++
		r := w.run(raise, false)
		over := float64(r.Fill) - perCut*float64(r.Cut)
		if over > 0 {
			hi = raise
		} else {
			lo = raise
		}
		next := raise - over/(float64(r.FillArea)+perCut*float64(r.CutArea))
		if !(next >= lo && next <= hi) {
			next = (lo + hi) / 2
		}
		step := next - raise
		if raise = next; math.Abs(step) <= fine {
			break
		}
	}
	return raise, rounds
}
