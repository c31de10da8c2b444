package cover

import (
	"math"
	"time"

	"example.org/earthbasin/units"
)

// SoilLossSpec is the soil loss equation for ground that lies bare and is then
// covered.
type SoilLossSpec struct {
	System FactorUnits `json:"system"` // of R and K
	R      float64     `json:"r"`      // erosivity of a year, more than 0
	K      float64     `json:"k"`      // erodibility, more than 0
	LS     float64     `json:"ls"`     // from [LS]
	P      float64     `json:"p"`      // support practice in both states, more than 0 to 1
	// BareC and CoveredC are the cover factors before and after; CoveredC is at
	// most BareC.
	BareC    float64 `json:"bareC"`
	CoveredC float64 `json:"coveredC"` // once the cover stands
	// Stages are what the cover goes through from the day on which it is laid
	// until CoveredC holds: mulch over the seed, seedlings, the first year. None
	// where CoveredC holds at once, as under sod.
	Stages []CoverStage `json:"stages,omitempty"`
	Area   units.Area   `json:"area"` // that lies bare, more than 0
	// Begin is the first month in which the ground lies bare.
	Begin time.Month `json:"begin"`
	// MonthlyR is the share of R in each month, January first; it adds to 1.
	MonthlyR [12]float64 `json:"monthlyR"`
	// DeliveryRatio is the share of the eroded soil that reaches the edge, 0 to 1; nil
	// when it is not known, and then what reaches the edge is not worked out.
	DeliveryRatio *float64 `json:"deliveryRatio,omitempty"`
	// Tolerance is the soil loss of a year that the soil can bear, T; 0 unknown.
	Tolerance units.MassPerArea `json:"tolerance"`
}

// SoilLossMonth is one month of the year that starts with Begin.
type SoilLossMonth struct {
	Month   time.Month        `json:"month"`   // of the year
	ShareR  float64           `json:"shareR"`  // of the year's erosivity, 0 to 1
	Bare    units.MassPerArea `json:"bare"`    // lost in the month while bare
	Covered units.MassPerArea `json:"covered"` // lost in the month once CoveredC holds
	// Stage is the cover of the month, empty for CoveredC, and Growing what is
	// lost in it, when the cover is laid at the start of Begin.
	Stage   string            `json:"stage,omitempty"`
	Growing units.MassPerArea `json:"growing"` // lost in the month while the cover grows
	// Delay is what is lost more when the cover is laid only after this month
	// and not at the start of Begin, until both have come to CoveredC. It can
	// fall below 0 where a late start moves a weak stage into months of little
	// rain.
	Delay units.MassPerArea `json:"delay"`
	// DelayMass is Delay on the whole area, DelaySediment the part that reaches
	// the edge.
	DelayMass     units.Mass  `json:"delayMass"`
	DelaySediment *units.Mass `json:"delaySediment,omitempty"` // nil without a delivery ratio
}

// SoilLossResult is the loss of a year in both states and by month of delay.
type SoilLossResult struct {
	Spec            SoilLossSpec      `json:"spec"`                      // what it was worked out from
	Bare            units.MassPerArea `json:"bare"`                      // a year
	Covered         units.MassPerArea `json:"covered"`                   // a year
	Growing         units.MassPerArea `json:"growing"`                   // the first year, when the cover is laid at the start of Begin
	BareMass        units.Mass        `json:"bareMass"`                  // on the whole area, a year
	CoveredMass     units.Mass        `json:"coveredMass"`               // on the whole area, a year
	BareSediment    *units.Mass       `json:"bareSediment,omitempty"`    // at the edge, a year; nil without a delivery ratio
	CoveredSediment *units.Mass       `json:"coveredSediment,omitempty"` // likewise
	Months          []SoilLossMonth   `json:"months"`                    // 12, from Begin
	// Tolerance compares the covered loss with T; nil without one.
	Tolerance *Finding `json:"tolerance,omitempty"`
	// Critical says that the bare loss is above 2 T, a mark of a critical area in
	// the Mississippi practice sheet 342 (January 2000); false without T.
	Critical bool     `json:"critical"`
	Cautions []string `json:"cautions"` // what the estimate is worth
}

// SoilLoss works out A = R K LS C P (Agriculture Handbooks 537 and 703) bare and
// covered. In US units A is in tons/acre a year, in SI in Mg/ha.
func SoilLoss(spec SoilLossSpec) (SoilLossResult, error) {
	var f units.Faults
	if !systems.Has(int(spec.System)) {
		f.Add("system", spec.System, systems.Want())
	}
	// Wide bounds, which catch a factor of the other system or in other units.
	boundR, boundK := 2000.0, 1.0
	if spec.System == FactorUnitsSI {
		boundR, boundK = boundR*ErosivitySI, boundK*ErodibilitySI
	}
	if !(spec.R > 0 && spec.R <= boundR) {
		f.Add("r", spec.R, "more than 0 and at most %v in the units of the system", rounded(boundR, 3))
	}
	if !(spec.K > 0 && spec.K <= boundK) {
		f.Add("k", spec.K, "more than 0 and at most %v in the units of the system", rounded(boundK, 3))
	}
	f.PositiveNumber("ls", spec.LS)
	f.PositiveFraction("p", spec.P)
	f.PositiveFraction("bareC", spec.BareC)
	f.PositiveFraction("coveredC", spec.CoveredC)
	checkStages(&f, spec)
	if spec.CoveredC > spec.BareC {
		f.Add("coveredC", spec.CoveredC, "at most bareC, %v", spec.BareC)
	}
	f.Positive("area", spec.Area)
	if spec.Begin < time.January || spec.Begin > time.December {
		f.Add("begin", int(spec.Begin), "a month, 1 to 12")
	}
	sum := 0.0
	for i, x := range spec.MonthlyR {
		at := f.At("monthlyR", i)
		at.Fraction("", x)
		sum += x
	}
	if math.Abs(sum-1) > shareSlack {
		f.Add("monthlyR", sum, "12 shares that add to 1")
	}
	if spec.DeliveryRatio != nil {
		f.Fraction("deliveryRatio", *spec.DeliveryRatio)
	}
	f.NotNegative("tolerance", spec.Tolerance)
	if err := f.Err(); err != nil {
		return SoilLossResult{}, err
	}

	unit := units.TonPerAcre
	if spec.System == FactorUnitsSI {
		unit = units.TonnePerHectare
	}
	year := func(c float64) units.MassPerArea {
		return unit * units.MassPerArea(spec.R*spec.K*spec.LS*c*spec.P)
	}
	edge := func(m units.Mass) *units.Mass {
		if spec.DeliveryRatio == nil {
			return nil
		}
		return new(m * units.Mass(*spec.DeliveryRatio))
	}
	r := SoilLossResult{Spec: spec, Bare: year(spec.BareC), Covered: year(spec.CoveredC), Cautions: []string{cautionErosion}}
	r.BareMass, r.CoveredMass = r.Bare.Times(spec.Area), r.Covered.Times(spec.Area)
	r.BareSediment, r.CoveredSediment = edge(r.BareMass), edge(r.CoveredMass)
	if !finite(r.Bare.SI(), r.BareMass.SI()) {
		f.Add("r", spec.R, "factors whose product is a finite number")
		return SoilLossResult{}, f.Err()
	}
	k := spec.K
	if spec.System == FactorUnitsSI {
		k /= ErodibilitySI
	}
	if k < leastK || k > mostK {
		r.Cautions = append(r.Cautions, "K lies outside "+reportedK+": is it in the units of the system?")
	}
	growing := spec.growing()
	inMonth := func(i int, c float64) units.MassPerArea {
		return year(c) * units.MassPerArea(spec.MonthlyR[(int(spec.Begin)-1+i)%12])
	}
	// laidAfter is the loss until every start within the year has come to CoveredC.
	laidAfter := func(months int) (sum units.MassPerArea) {
		for i := range 12 + len(growing) {
			c := spec.BareC
			if i >= months {
				c, _ = spec.stage(growing, i-months)
			}
			sum += inMonth(i, c)
		}
		return sum
	}
	atOnce := laidAfter(0)
	for i := range 12 {
		c, stage := spec.stage(growing, i)
		month := (int(spec.Begin)-1+i)%12 + 1
		m := SoilLossMonth{
			Month: time.Month(month), ShareR: spec.MonthlyR[month-1], Bare: inMonth(i, spec.BareC), Covered: inMonth(i, spec.CoveredC),
			Stage: stage, Growing: inMonth(i, c), Delay: laidAfter(i+1) - atOnce,
		}
		m.DelayMass = m.Delay.Times(spec.Area)
		m.DelaySediment = edge(m.DelayMass)
		r.Growing += m.Growing
		r.Months = append(r.Months, m)
	}
	if t := spec.Tolerance; t > 0 {
		most := t.SI()
		r.Critical = r.Bare > 2*t
		r.Tolerance = &Finding{
			Rule: "loss of a year once covered", Value: units.Words("%v", r.Covered), Want: units.Words("at most %v", t),
			Verdict: verdict(r.Covered.SI(), r.Covered.SI(), nil, &most),
		}
	}
	return r, nil
}

// Working shows the equation and the months of delay.
func (r SoilLossResult) Working() units.Working {
	var w units.Working
	s := r.Spec
	w.Add("R", rounded(s.R, 4), "%v units", s.System)
	w.Add("K", rounded(s.K, 3), "%v units", s.System)
	w.Add("LS", rounded(s.LS, 3), "")
	w.Add("C bare, covered", units.Words("%.3g, %.3g", s.BareC, s.CoveredC), "")
	w.Add("P", rounded(s.P, 3), "")
	perArea := func(x units.MassPerArea) units.Shown { return units.As(x, units.TonPerAcre, 2) }
	tons := func(x units.Mass) units.Shown { return units.As(x, units.Ton, 1) }
	w.Add("bare, a year", perArea(r.Bare), "R K LS C P")
	w.Add("covered, a year", perArea(r.Covered), "R K LS C P")
	for _, g := range s.Stages {
		w.Add("  stage", g.Cover, "C %v, months: %v", rounded(g.C, 3), g.Months)
	}
	if len(s.Stages) > 0 {
		w.Add("first year, laid at once", perArea(r.Growing), "by stage")
	}
	if r.Tolerance != nil {
		w.Put(units.Words("tolerable loss"), r.Tolerance.Verdict, r.Tolerance.Want)
	}
	atEdge := func(m *units.Mass) units.Phrase {
		if m == nil || s.DeliveryRatio == nil {
			return units.Words("at the edge not known: no delivery ratio")
		}
		return units.Words("%v at the edge, ratio %.3g", tons(*m), *s.DeliveryRatio)
	}
	w.Put(units.Words("bare on the area"), tons(r.BareMass), atEdge(r.BareSediment))
	w.Put(units.Words("covered on the area"), tons(r.CoveredMass), atEdge(r.CoveredSediment))
	for _, m := range r.Months {
		w.Put(units.Words("  cover after %v", units.Word(m.Month.String())), tons(m.DelayMass), units.Words("more than at once; in the month bare %v, covered %v", perArea(m.Bare), perArea(m.Covered)))
	}
	return w
}

// String prints the working.
func (r SoilLossResult) String() string { return r.Working().String() }
