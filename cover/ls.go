package cover

import (
	"math"

	"example.org/earthbasin/units"
)

// LSVersion is the equation of the slope length and steepness factor. It must be
// the one that goes with the erodibility and cover factors used: at 33 percent and
// 60 ft the versions differ by 75 percent.
type LSVersion = units.Enum[lsVersionsWords]

// Versions. The zero value is not one.
const (
	// LSAH537, "AH-537", is (length/72.6 ft)^m (65.41 sin^2 + 4.56 sin + 0.065), Agriculture
	// Handbook 537 (1978).
	LSAH537 LSVersion = iota + 1
	// LSQuadratic, "older quadratic", is the older (length/72.6 ft)^m (430 sin^2 + 30 sin + 0.43)/6.613,
	// as used in Colorado DRMS document 952611, page 11.
	LSQuadratic
	// LSSmooth, "AH-537 smooth exponent", is LSAH537 with m = 0.6 (1 - exp(-35.835 grade)) and the length over
	// 22.1 m, as in the theory of a public watershed model (section 4, erosion,
	// topographic factor of the modified equation).
	LSSmooth
	// LSAH703, "AH-703", is the revised equation, Agriculture Handbook 703 (1997):
	// L = (length/72.6 ft)^m, m = b/(1 + b), b = r (sin/0.0896)/(3 sin^0.8 + 0.56);
	// S = 10.8 sin + 0.03 below 9 percent, 16.8 sin - 0.50 from there on.
	LSAH703
)

var lsVersions = units.Names{"", "AH-537", "older quadratic", "AH-537 smooth exponent", "AH-703"}

type lsVersionsWords struct{}

func (lsVersionsWords) Names() units.Names { return lsVersions }

// RillRatio is how much of the erosion is by rills against between them, which
// sets the exponent of AH-703.
type RillRatio = units.Enum[rillRatiosWords]

// Rill ratios. The zero value is not one. The moderate one is held to the printed
// table 4-2 cell by cell up to 14 percent; low, which halves b, and high, which doubles
// it, to values read from tables 4-1 and 4-3 at 33 percent and 150 ft.
const (
	RillLow      RillRatio = iota + 1 // "low": consolidated ground, range
	RillModerate                      // "moderate": tilled cropland
	RillHigh                          // "high": freshly disturbed ground, as after grading
)

var rillRatios = units.Names{"", "low", "moderate", "high"}

type rillRatiosWords struct{}

func (rillRatiosWords) Names() units.Names { return rillRatios }

// LSSpec is a uniform slope.
type LSSpec struct {
	Version LSVersion `json:"version"` // no default
	// Length is the horizontal length from where runoff begins to where it settles
	// or is collected: 3 to 1000 ft for AH-703 and 15 to 3000 ft for the others.
	Length units.Length `json:"length"`
	Grade  float64      `json:"grade"` // rise per run, 0.0001 to 1
	// Rill is for AH-703 only.
	Rill RillRatio `json:"rill,omitzero"`
	// Exponent of the length for AH-537 and the older quadratic, 0.01 to 1; 0 takes
	// the rule of each. AH-537: 0.2 below 1 percent, 0.3 to 3 percent, 0.4 from 3.5 to
	// 4.5 percent and 0.5 from 5 percent. Older quadratic: 0.3 at 3 percent or less,
	// 0.4 at 4 percent, 0.5 at 5 percent or more. Straight lines between.
	Exponent float64 `json:"exponent,omitzero"`
	// Exponents is how AH-537 gets from one exponent to the next where none is given.
	Exponents LSExponents `json:"exponents,omitzero"`
}

// LSExponents is how the exponent of AH-537 goes with the grade.
type LSExponents = units.Enum[lsExponentsWords]

// Readings of AH-537. They differ from 3 to 3.5 and from 4.5 to 5 percent, which the
// handbook leaves open, and by the grades themselves.
const (
	// LSExponentsLines, "lines", has straight lines from 3 to 3.5 and from 4.5 to 5 percent.
	LSExponentsLines LSExponents = iota
	// LSExponentsSteps, "steps", is 0.2 to 1 percent, 0.3 to 3, 0.4 to 5 and 0.5 above, with the ends
	// in the lower class, as function MUSLE.LS of CRAN package VFS 1.0.2 has it.
	LSExponentsSteps
)

var lsExponents = units.Names{"lines", "steps"}

type lsExponentsWords struct{}

func (lsExponentsWords) Names() units.Names { return lsExponents }

// LSResult is the factor with its parts.
type LSResult struct {
	Spec LSSpec `json:"spec"` // as asked for
	// LS is the factor; the high end of Range where there is one.
	LS float64 `json:"ls"`
	// Range is what LS lies between on a slope that is shorter or steeper than the
	// equation and its table reach, such as the face of a berm; nil within them.
	Range    *units.Range[float64] `json:"range,omitempty"`
	L        float64               `json:"l"`        // 0 when LS is read from the table
	S        float64               `json:"s"`        // 0 when LS is read from the table
	Exponent float64               `json:"exponent"` // of the length, 0 when LS is read from the table
	Table    bool                  `json:"table"`    // LS is read from AH-703 table 4-2
	Notes    []string              `json:"notes"`    // what the figure is worth
}

// unitPlot is the length of the plot at which L is 1.
const unitPlot = 72.6 * units.Foot

// shortSlope is the length below which the AH-703 equation departs from its own
// table.
const shortSlope = 15 * units.Foot

// steepest is the grade at which the tables of AH-703 end (from memory).
const steepest = 0.6

// LS works out the slope length and steepness factor of the soil loss equation,
// 1 on the unit plot of 72.6 ft at 9 percent.
//
// How far each version holds: the AH-703 equation from 15 ft on, its moderate rill
// ratio against the print to 14 percent, the others at 33 percent; below 15 ft its
// printed table departs from it and is read here to 14 percent at moderate rill ratio.
// The other versions start at 15 ft. On slopes shorter than the table reaches, and on
// grades from 60 percent to 1:1, no printed value was seen: LS comes with a range, from
// the equation on the length that it is asked for and at 60 percent at most, to the
// equation on 15 ft at least and on the whole grade. The low end is too low, for the
// table falls less with the length than the equation. Steeper slopes are refused, for
// soil on them slides and the soil loss equation does not describe it; so are lengths
// below 3 ft, where the table begins.
func LS(spec LSSpec) (LSResult, error) {
	var f units.Faults
	if !lsVersions.Has(int(spec.Version)) {
		f.Add("version", spec.Version, lsVersions.Want())
	}
	if !(spec.Grade >= 1e-4 && spec.Grade <= 1) {
		f.Add("grade", spec.Grade, "0.0001 to 1 of rise per run; soil on steeper faces slides, so have them flattened or their stability designed")
	}
	revised := spec.Version == LSAH703
	if revised {
		f.Between("length", spec.Length, 3*units.Foot, 1000*units.Foot)
		if !rillRatios.Has(int(spec.Rill)) {
			f.Add("rill", spec.Rill, rillRatios.Want())
		}
	} else {
		if !(spec.Length >= shortSlope && spec.Length <= 3000*units.Foot) {
			f.Add("length", spec.Length, "15 ft to 3,000 ft; AH-703 answers from 3 ft on")
		}
		if spec.Rill != 0 {
			f.Add("rill", spec.Rill, "no value unless AH-703")
		}
	}
	stepped := spec.Version == LSAH537 || spec.Version == LSQuadratic
	switch {
	case !stepped && spec.Exponent != 0:
		f.Add("exponent", spec.Exponent, "no value with %v", spec.Version)
	case !lsExponents.Has(int(spec.Exponents)):
		f.Add("exponents", spec.Exponents, lsExponents.Want())
	case spec.Exponents != 0 && (spec.Version != LSAH537 || spec.Exponent != 0):
		f.Add("exponents", spec.Exponents, "no value with %v, or with an exponent of its own", spec.Version)
	case stepped && spec.Exponent != 0 && !(spec.Exponent >= 0.01 && spec.Exponent <= 1):
		f.Add("exponent", spec.Exponent, "0 for the rule, or 0.01 to 1")
	}
	if err := f.Err(); err != nil {
		return LSResult{}, err
	}
	return spec.work(), nil
}

func (spec LSSpec) work() LSResult {
	short, steep := spec.Length < shortSlope, spec.Grade > steepest
	if short && spec.Rill == RillModerate && spec.Grade <= 0.14 {
		return LSResult{Spec: spec, LS: shortTable(spec.Length.In(units.Foot), spec.Grade), Table: true,
			Notes: []string{"shorter than 15 ft: read from AH-703 table 4-2"}}
	}
	high := spec
	high.Length = max(spec.Length, shortSlope)
	r := high.equation()
	r.Spec = spec
	if short || steep {
		low := spec
		low.Grade = min(spec.Grade, steepest)
		r.Range = &units.Range[float64]{Low: low.equation().LS, High: r.LS}
	}
	if short {
		r.Notes = append(r.Notes, "shorter than 15 ft, where the equation falls below its own table: LS lies between that of this length and that of 15 ft, which stands")
	}
	if steep {
		r.Notes = append(r.Notes, "steeper than 60 %, where no table reaches: LS lies between that of 60 % and that of the whole grade, which stands")
	}
	if spec.Grade > 0.2 {
		r.Notes = append(r.Notes, "steeper than 20 %: the versions part, by 75 % at 33 % and 60 ft")
	}
	return r
}

// equation returns the factor by the equation of the version, wherever it is asked.
func (spec LSSpec) equation() LSResult {
	r := LSResult{Spec: spec, Notes: []string{}}
	sin := spec.Grade / math.Hypot(1, spec.Grade)
	base := unitPlot
	switch spec.Version {
	case LSAH537, LSQuadratic:
		r.Exponent = spec.Exponent
		if r.Exponent == 0 {
			r.Exponent = steppedExponent(spec.Grade)
			if spec.Version == LSAH537 {
				r.Exponent = handbookExponent(spec.Grade, spec.Exponents)
			}
		}
		r.S = 65.41*sin*sin + 4.56*sin + 0.065
		if spec.Version == LSQuadratic {
			r.S = (430*sin*sin + 30*sin + 0.43) / 6.613
		}
	case LSSmooth:
		base = 22.1 * units.Metre
		r.Exponent = 0.6 * (1 - math.Exp(-35.835*spec.Grade))
		r.S = 65.41*sin*sin + 4.56*sin + 0.065
	case LSAH703:
		r.Exponent, r.S = revisedFactors(sin, spec.Grade, spec.Rill)
	}
	r.L = math.Pow(spec.Length.SI()/base.SI(), r.Exponent)
	r.LS = r.L * r.S
	return r
}

// steppedExponent is 0.3 to 3 %, 0.4 at 4 % and 0.5 from 5 % (Colorado DRMS document
// 952611, page 11); the straight lines between are a choice, since no source
// fills the gaps.
func steppedExponent(grade float64) float64 {
	return min(0.5, max(0.3, 0.3+0.1*(100*grade-3)))
}

// handbookExponent is that of AH-537: 0.2 below 1 %, 0.3 to 3 %, 0.4 from 3.5 to 4.5 %
// and 0.5 from 5 %. A public implementation that cites the handbook (MUSLE.LS of the R
// package VFS 1.0.2) has 0.2, 0.3, 0.4 and 0.5 with steps at 1, 3 and 5 %; the straight
// lines from 3 to 3.5 % and from 4.5 to 5 % are a choice, so that a grade measured a
// little differently does not change LS by a tenth.
func handbookExponent(grade float64, by LSExponents) float64 {
	if by == LSExponentsSteps {
		for i, end := range []float64{0.01, 0.03, 0.05} {
			if grade <= end*(1+1e-12) {
				return []float64{0.2, 0.3, 0.4}[i]
			}
		}
		return 0.5
	}
	if grade < 0.01 {
		return 0.2
	}
	percent := 100 * grade
	return 0.3 + 0.1*min(1, max(0, (percent-3)/0.5)) + 0.1*min(1, max(0, (percent-4.5)/0.5))
}

// revisedFactors returns the exponent of length and S of AH-703; the S lines are
// eq. 3.31 and 3.32 of the textbook Biosystems Engineering, p. 116.
func revisedFactors(sin, grade float64, rill RillRatio) (m, s float64) {
	r := [...]float64{RillLow: 0.5, RillModerate: 1, RillHigh: 2}[rill]
	b := r * (sin / 0.0896) / (3*math.Pow(sin, 0.8) + 0.56)
	s = 10.8*sin + 0.03
	if grade >= 0.09 {
		s = 16.8*sin - 0.50
	}
	return b / (1 + b), s
}

// shortRows are the cells of AH-703 table 4-2, moderate rill ratio, at 3, 6, 9, 12
// and 15 ft. Up to 8 percent the row is constant.
var shortRows = [...]struct {
	grade float64
	ls    [5]float64
}{
	{0.10, [5]float64{0.46, 0.48, 0.50, 0.51, 0.52}},
	{0.14, [5]float64{0.48, 0.58, 0.65, 0.70, 0.75}},
}

// shortTable reads the table from 3 to below 15 ft up to 14 percent, by straight
// lines in length and grade.
func shortTable(feet, grade float64) float64 {
	flat := func(g float64) float64 {
		return LSSpec{Version: LSAH703, Length: shortSlope, Grade: g, Rill: RillModerate}.equation().LS
	}
	along := func(row [5]float64) float64 {
		x := feet/3 - 1
		i := int(x) // at most 3, below 15 ft
		return row[i] + (row[i+1]-row[i])*(x-float64(i))
	}
	lo, hi := shortRows[0], shortRows[1]
	switch {
	case grade <= 0.08:
		return flat(grade)
	case grade <= lo.grade:
		a := flat(0.08)
		return a + (along(lo.ls)-a)*(grade-0.08)/(lo.grade-0.08)
	}
	a := along(lo.ls)
	return a + (along(hi.ls)-a)*(grade-lo.grade)/(hi.grade-lo.grade)
}

// Working shows the factor.
func (r LSResult) Working() units.Working {
	var w units.Working
	w.Add("slope length", r.Spec.Length, "horizontal")
	w.Add("grade", units.Share(r.Spec.Grade), "")
	if !r.Table {
		w.Add("exponent of length", rounded(r.Exponent, 3), "%v", r.Spec.Version)
		w.Add("L", rounded(r.L, 4), "")
		w.Add("S", rounded(r.S, 4), "")
	}
	how := units.Words("%v", r.Spec.Version)
	if r.Spec.Rill != 0 {
		how = how.And(", %v rill ratio", r.Spec.Rill)
	}
	w.Put(units.Words("LS"), rounded(r.LS, 3), how)
	if d := r.Range; d != nil {
		w.Add("LS lies between", units.Words("%v and %v", rounded(d.Low, 3), rounded(d.High, 3)), "")
	}
	for _, n := range r.Notes {
		w.Add("note", "", n)
	}
	return w
}

// String prints the working.
func (r LSResult) String() string { return r.Working().String() }
