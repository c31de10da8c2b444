package earthwork

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/cautions"
)

// ProfilePoint is one station of a section. Between points all levels run straight.
type ProfilePoint struct {
	Station  units.Length `json:"station"`  // along the line
	Existing units.Length `json:"existing"` // ground, berm, bank and floor, the basin empty
	Final    units.Length `json:"final"`    // that shall remain
	Built    units.Length `json:"built"`    // to build, with the allowance for settlement
}

// ProfileResult is a section through the work, ready to draw: a line for each of
// the three levels over the stations.
type ProfileResult struct {
	Basin    *BasinProfileSpec `json:"basin,omitzero"` // what was asked of a section across a basin; nil for one along a line
	Points   []ProfilePoint    `json:"points"`         // by station
	Cut      units.Area        `json:"cut"`            // between existing and final
	Fill     units.Area        `json:"fill"`           // between existing and final
	Built    units.Area        `json:"built"`          // fill with its allowance
	Cautions []string          `json:"cautions"`       // what can hurt people, and who decides
}

// ProfileSide is one side of a section across a basin.
type ProfileSide struct {
	BankSlope float64      `json:"bankSlope"` // below the ground, horizontal per vertical
	Berm      BermSection  `json:"berm"`      // on the ground, from the top of the bank outward
	Beyond    units.Length `json:"beyond"`    // ground to show outside the berm
}

// BasinProfileSpec is a section across a basin that is filled to the ground and
// crowned, its berms taken down.
type BasinProfileSpec struct {
	Ground     units.Length   `json:"ground"`     // level of the ground around the basin
	FloorWidth units.Length   `json:"floorWidth"` // 0 for banks that meet
	Depth      units.Length   `json:"depth"`      // of the floor below the ground
	Left       ProfileSide    `json:"left"`       // at station 0
	Right      ProfileSide    `json:"right"`      // at the far end
	CrownGrade float64        `json:"crownGrade"` // rise per run, 0 to 0.5
	GradeBuilt bool           `json:"gradeBuilt"` // the crown is built at CrownGrade; else that grade shall remain
	Settlement SettlementSpec `json:"settlement"` // of the fill, by thickness
}

// BasinProfile returns the section from left to right, station 0 at the left end.
// The crown rises at its grade from both tops of the banks to a ridge in the
// middle. When that grade shall remain, each thickness of fill is built with its
// allowance by the named convention; when it is the grade built, each thickness
// settles by that convention. Errors are [units.FieldError] with the json field.
func BasinProfile(spec BasinProfileSpec) (ProfileResult, error) {
	var f units.Faults
	f.Between("ground", spec.Ground, -units.MaxLength, units.MaxLength)
	f.ZeroTo("floorWidth", spec.FloorWidth, units.MaxLength)
	f.UpTo("depth", spec.Depth, units.MaxLength)
	left, right := f.At("left"), f.At("right")
	spec.Left.check(&left)
	spec.Right.check(&right)
	f.NumberZeroTo("crownGrade", spec.CrownGrade, 0.5)
	settlement := f.At("settlement")
	spec.Settlement.check(&settlement)
	if err := f.Err(); err != nil {
		return ProfileResult{}, err
	}
	var x, y []float64
	to := func(dx, level float64) { x, y = append(x, x[len(x)-1]+dx), append(y, level) }
	ground, depth := float64(spec.Ground), float64(spec.Depth)
	floor := ground - depth
	l, r := spec.Left, spec.Right
	x, y = []float64{0}, []float64{ground}
	to(float64(l.Beyond), ground)
	if h := float64(l.Berm.Height); h > 0 {
		to(l.Berm.OuterSlope*h, ground+h)
		to(float64(l.Berm.CrestWidth), ground+h)
		to(l.Berm.InnerSlope*h, ground)
	}
	start := x[len(x)-1]
	to(l.BankSlope*depth, floor)
	to(float64(spec.FloorWidth), floor)
	to(r.BankSlope*depth, ground)
	end := x[len(x)-1]
	if h := float64(r.Berm.Height); h > 0 {
		to(r.Berm.InnerSlope*h, ground+h)
		to(float64(r.Berm.CrestWidth), ground+h)
		to(r.Berm.OuterSlope*h, ground)
	}
	to(float64(r.Beyond), ground)

	ridge := (start + end) / 2
	p := ProfileResult{Basin: &spec}
	built := spec.Settlement.built()
	add := func(x, y float64) {
		final := ground + spec.CrownGrade*max(0, min(x-start, end-x))
		top := final
		switch {
		case final <= y: // cut
		case spec.GradeBuilt:
			final = y + (top-y)/built
		default:
			top = y + (final-y)*built
		}
		q := ProfilePoint{units.Length(x), units.Length(y), units.Length(final), units.Length(top)}
		if n := len(p.Points); n == 0 || p.Points[n-1] != q {
			p.Points = append(p.Points, q)
		}
	}
	for i := range x {
		if i > 0 && x[i-1] < ridge && ridge < x[i] {
			add(ridge, y[i-1]+(ridge-x[i-1])/(x[i]-x[i-1])*(y[i]-y[i-1]))
		}
		add(x[i], y[i])
	}
	p.areas()
	p.Cautions = append(cautions.Digging(max(l.Berm.Height, r.Berm.Height)), cautions.Banks, cautions.Drowning, cautions.Regulator)
	return p, nil
}

func (s ProfileSide) check(f *units.Faults) {
	f.NumberZeroTo("bankSlope", s.BankSlope, units.MaxSlope)
	berm := f.At("berm")
	s.Berm.check(&berm)
	f.ZeroTo("beyond", s.Beyond, units.MaxLength)
}

// GroundProfileSpec is a section along a line through a graded site.
type GroundProfileSpec struct {
	Existing Surface     `json:"-"`        // the ground as it is
	Final    Surface     `json:"-"`        // that shall remain
	Built    Surface     `json:"-"`        // nil when it is the final surface
	From     plane.Point `json:"from"`     // station 0
	To       plane.Point `json:"to"`       // the last station, another place than From
	Stations int         `json:"stations"` // points along the line, 2 to 100000
}

// GroundProfile returns the section from From to To at evenly spaced stations.
// Errors are [units.FieldError] with the json field.
func GroundProfile(spec GroundProfileSpec) (ProfileResult, error) {
	var f units.Faults
	checkSurface(&f, "existing", spec.Existing)
	checkSurface(&f, "final", spec.Final)
	if spec.Built != nil {
		checkSurface(&f, "built", spec.Built)
	}
	for _, c := range []struct {
		field string
		value units.Length
	}{{"from.x", spec.From.X}, {"from.y", spec.From.Y}, {"to.x", spec.To.X}, {"to.y", spec.To.Y}} {
		f.Between(c.field, c.value, -units.MaxCoordinate, units.MaxCoordinate)
	}
	if spec.From == spec.To {
		f.Say("to", "the same place as from", "another place")
	}
	if spec.Stations < 2 || spec.Stations > 100000 {
		f.Add("stations", spec.Stations, "2 to 100000")
	}
	if err := f.Err(); err != nil {
		return ProfileResult{}, err
	}
	var p ProfileResult
	length := spec.From.Distance(spec.To)
	for i := range spec.Stations {
		t := units.Length(i) / units.Length(spec.Stations-1)
		at := plane.Point{X: spec.From.X + t*(spec.To.X-spec.From.X), Y: spec.From.Y + t*(spec.To.Y-spec.From.Y)}
		q := ProfilePoint{Station: t * length, Existing: spec.Existing.LevelAt(at), Final: spec.Final.LevelAt(at)}
		if q.Built = q.Final; spec.Built != nil {
			q.Built = spec.Built.LevelAt(at)
		}
		for _, l := range []units.Length{q.Existing, q.Final, q.Built} {
			if !(math.Abs(float64(l)) <= 1e9) {
				f.Fault(units.FaultRange, "final", l, "surfaces with a level everywhere on the line, also at station %v", q.Station)
				return ProfileResult{}, f.Err()
			}
		}
		p.Points = append(p.Points, q)
	}
	p.areas()
	p.Cautions = []string{cautions.Services, cautions.Quantities}
	return p, nil
}

// areas integrates between the levels, split where they cross.
func (p *ProfileResult) areas() {
	for i := 1; i < len(p.Points); i++ {
		a, b := p.Points[i-1], p.Points[i]
		dx := float64(b.Station - a.Station)
		p.Fill += units.Area(above(dx, float64(a.Final-a.Existing), float64(b.Final-b.Existing)))
		p.Cut += units.Area(above(dx, float64(a.Existing-a.Final), float64(b.Existing-b.Final)))
		p.Built += units.Area(above(dx, float64(a.Built-a.Existing), float64(b.Built-b.Existing)))
	}
}

// above returns the area above 0 under the straight line from a to b over dx.
func above(dx, a, b float64) float64 {
	switch {
	case a >= 0 && b >= 0:
		return dx * (a + b) / 2
	case a <= 0 && b <= 0:
		return 0
	}
	high := max(a, b)
	return dx * high * (high / math.Abs(a-b)) / 2
}

// Working shows the areas of the section.
func (r ProfileResult) Working() units.Working {
	var w units.Working
	if b := r.Basin; b != nil {
		width := b.FloorWidth + units.Length(b.Left.BankSlope+b.Right.BankSlope)*b.Depth
		when := "grade x half the width, that shall remain"
		if b.GradeBuilt {
			when = "grade x half the width, as built"
		}
		w.Add("width to fill", width, "between the tops of the banks")
		w.Add("ridge above the ground", units.Length(b.CrownGrade)*width/2, when)
		w.Add("settlement", b.Settlement.Share, "%v, %v", b.Settlement.Rule, units.Word(b.Settlement.how()))
	} else if n := len(r.Points); n > 0 {
		w.Add("length", r.Points[n-1].Station, "%v stations", n)
	}
	section := func(a units.Area) any { return units.As(a, units.SquareFoot, 1) }
	w.Add("cut in the section", section(r.Cut), "existing above final")
	w.Add("fill in the section", section(r.Fill), "final above existing")
	w.Add("fill to build", section(r.Built), "with the allowance")
	return w
}

// String prints the working.
func (r ProfileResult) String() string { return r.Working().String() }
