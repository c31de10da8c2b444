package cover

import (
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// Anchoring is how a mulch is held in place.
type Anchoring = units.Enum[anchoringsWords]

// Anchorings. The zero value is not one.
const (
	AnchoringNone      Anchoring = iota + 1 // "none"
	AnchoringCrimped                        // "crimped": pressed into the soil by a disk or crimper
	AnchoringTackified                      // "tackified": glued by a tackifier
	AnchoringNetted                         // "netted": held by a net or blanket
)

var anchorings = units.Names{"", "none", "crimped", "tackified", "netted"}

type anchoringsWords struct{}

func (anchoringsWords) Names() units.Names { return anchorings }

// MulchRule is the limits that one sheet sets for one mulch. Limits that it does
// not set are null. Sheets differ by more than 2 times for the same material.
type MulchRule struct {
	ID           string `json:"id"`                     // short name, each once
	Jurisdiction string `json:"jurisdiction,omitempty"` // whose sheet it is; empty: that of the state
	Material     string `json:"material"`               // mulch that it holds for
	// Rate with equal ends is a sheet's one figure and judged as the least.
	Rate       *units.Range[units.MassPerArea] `json:"rate,omitempty"`
	MinCover   *float64                        `json:"minCover,omitempty"`   // fraction of the ground
	Thickness  *units.Range[units.Length]      `json:"thickness,omitempty"`  // laid loose
	Anchoring  []Anchoring                     `json:"anchoring,omitempty"`  // any of these
	CrimpDepth *units.Length                   `json:"crimpDepth,omitempty"` // least depth pressed into the soil
	// MinSlope is the steepest slope, horizontal per vertical.
	MinSlope *float64 `json:"minSlope,omitempty"`
	Note     string   `json:"note,omitempty"`  // further words of the sheet
	Source   string   `json:"source"`          // ID of a source of the state, or title, publisher, number, year
	Place    string   `json:"place,omitempty"` // page or table of the source
}

func (r MulchRule) check() error {
	var f units.Faults
	required(&f, "id", r.ID)
	required(&f, "material", r.Material)
	required(&f, "source", r.Source)
	if x := r.Rate; x != nil {
		f.NotNegative("rate.low", x.Low)
		f.Positive("rate.high", x.High)
		if x.High < x.Low {
			f.Add("rate.high", x.High, "at least rate.low")
		}
	}
	if x := r.MinCover; x != nil {
		f.Fraction("minCover", *x)
	}
	if x := r.Thickness; x != nil {
		f.NotNegative("thickness.low", x.Low)
		f.Positive("thickness.high", x.High)
		if x.High < x.Low {
			f.Add("thickness.high", x.High, "at least thickness.low")
		}
	}
	for i, a := range r.Anchoring {
		if !anchorings.Has(int(a)) {
			at := f.At("anchoring", i)
			at.Add("", a, anchorings.Want())
		}
	}
	if x := r.CrimpDepth; x != nil {
		f.Positive("crimpDepth", *x)
	}
	if x := r.MinSlope; x != nil {
		f.PositiveNumber("minSlope", *x)
	}
	return f.Err()
}

// clone returns a copy that shares nothing with r that can be written.
func (r MulchRule) clone() MulchRule {
	r.Rate, r.Thickness = pointed(r.Rate), pointed(r.Thickness)
	r.MinCover, r.CrimpDepth, r.MinSlope = pointed(r.MinCover), pointed(r.CrimpDepth), pointed(r.MinSlope)
	r.Anchoring = slices.Clone(r.Anchoring)
	return r
}

// MulchSpec is the mulch planned.
type MulchSpec struct {
	Area units.Area        `json:"area"` // to mulch, more than 0
	Rate units.MassPerArea `json:"rate"` // air-dry
	// Slope is horizontal per vertical, 0.1 to 1000, and 1000 for level ground; nil
	// when it is not known.
	Slope     *float64     `json:"slope,omitempty"`
	Anchoring Anchoring    `json:"anchoring"` // how it is held; required
	Crimp     units.Length `json:"crimp"`     // depth, for crimped; 0 not known
	Cover     float64      `json:"cover"`     // fraction of the ground that it hides; 0 not known
	Thickness units.Length `json:"thickness"` // 0 not known
	// Bale is the weight of a bale; 0 for mulch in bulk.
	Bale  units.Mass              `json:"bale"`
	Price units.Price[units.Mass] `json:"price"` // 0 unknown
	// Rules are the ids of published rules to hold the plan against, Own further
	// ones.
	Rules []string    `json:"rules"`
	Own   []MulchRule `json:"own,omitempty"` // the caller's rules
}

// MulchResult is the mulch to order and a verdict line per limit of each rule.
type MulchResult struct {
	Spec     MulchSpec  `json:"spec"`     // what it was worked out from
	Mass     units.Mass `json:"mass"`     // rate x area
	Bales    int        `json:"bales"`    // rounded up, 0 in bulk
	Cost     float64    `json:"cost"`     // of the bales, or of the mass; 0 without a price
	Findings []Finding  `json:"findings"` // one for each limit, in the order of the rules
	Cautions []string   `json:"cautions"` // for the people who mulch
}

// Mulch works out the mulch to order, in bales rounded up, and judges rate, cover,
// thickness, anchoring and slope as the separate limits that they are.
func Mulch(spec MulchSpec) (MulchResult, error) {
	var f units.Faults
	f.UpTo("area", spec.Area, units.MaxArea)
	f.Positive("rate", spec.Rate)
	if spec.Slope != nil {
		f.NumberBetween("slope", *spec.Slope, 0.1, 1000)
	}
	if !anchorings.Has(int(spec.Anchoring)) {
		f.Add("anchoring", spec.Anchoring, anchorings.Want())
	}
	f.NotNegative("crimp", spec.Crimp)
	if spec.Crimp > 0 && spec.Anchoring != AnchoringCrimped {
		f.Add("crimp", spec.Crimp, "no value unless crimped")
	}
	f.Fraction("cover", spec.Cover)
	f.NotNegative("thickness", spec.Thickness)
	f.ZeroTo("bale", spec.Bale, mostBag)
	f.Price("price", spec.Price)
	rules := slices.Clone(spec.Own)
	for i, r := range spec.Own {
		at := f.At("own", i)
		at.Sub("", r.check())
	}
	published := publishedMulch()
	for i, id := range spec.Rules {
		rule, err := find("", id, published, func(r MulchRule) string { return r.ID })
		at := f.At("rules", i)
		at.Sub("", err)
		rules = append(rules, rule)
	}
	if err := f.Err(); err != nil {
		return MulchResult{}, err
	}
	r := MulchResult{Spec: spec, Mass: spec.Rate.Times(spec.Area), Findings: []Finding{}, Cautions: []string{cautionMulchFire, cautionSlope}}
	bought, n, err := inBags("bale", r.Mass, spec.Bale)
	f.Sub("", err)
	r.Bales, r.Cost = n, spec.Price.Of(bought)
	if err := f.Err(); err != nil {
		return MulchResult{}, err
	}
	for _, rule := range rules {
		r.Findings = append(r.Findings, rule.judge(spec)...)
	}
	return r, nil
}

// judge holds the plan against each limit of the rule.
func (r MulchRule) judge(spec MulchSpec) []Finding {
	var list []Finding
	add := func(limit string, known bool, value, want units.Phrase, good bool) {
		f := Finding{Rule: r.ID + " " + limit, Value: value, Want: want, Verdict: VerdictNotMet}
		switch {
		case !known:
			f.Value, f.Verdict, f.Why = units.Words("not given"), VerdictCannotSay, "the "+limit+" is not given"
		case good:
			f.Verdict = VerdictMet
		}
		list = append(list, f)
	}
	inches := func(q units.Length, decimals int) units.Shown { return units.As(q, units.Inch, decimals) }
	if x := r.Rate; x != nil {
		lo, hi, v := x.Low.SI(), x.High.SI(), spec.Rate.SI()
		want, most := units.Words("%v to %v", x.Low, x.High), &hi
		if lo == hi {
			want, most = units.Words("at least %v", x.Low), nil
		}
		add("rate", true, units.Words("%v", spec.Rate), want, verdict(v, v, &lo, most) == VerdictMet)
	}
	if x := r.MinCover; x != nil {
		add("cover", spec.Cover > 0, units.Words("%v", units.Share(spec.Cover)), units.Words("at least %v", units.Share(*x)), spec.Cover >= *x)
	}
	if x := r.Thickness; x != nil {
		lo, hi, v := x.Low.SI(), x.High.SI(), spec.Thickness.SI()
		add("thickness", v > 0, units.Words("%v", inches(spec.Thickness, 2)), units.Words("%v to %v", inches(x.Low, 2), inches(x.High, 2)), verdict(v, v, &lo, &hi) == VerdictMet)
	}
	if len(r.Anchoring) > 0 {
		var any []string
		for _, a := range r.Anchoring {
			any = append(any, a.String())
		}
		add("anchoring", true, units.Words("%v", spec.Anchoring), units.Words(strings.Join(any, " or ")), slices.Contains(r.Anchoring, spec.Anchoring))
	}
	if x := r.CrimpDepth; x != nil && spec.Anchoring == AnchoringCrimped {
		add("crimp depth", spec.Crimp > 0, units.Words("%v", inches(spec.Crimp, 1)), units.Words("at least %v", inches(*x, 1)), spec.Crimp >= *x)
	}
	if x := r.MinSlope; x != nil {
		var slope float64
		if spec.Slope != nil {
			slope = *spec.Slope
		}
		add("slope", spec.Slope != nil, units.Words("%v:1", rounded(slope, 4)), units.Words("not steeper than %v:1", rounded(*x, 3)), slope >= *x)
	}
	return list
}

// ruleName is whose rule for what mulch a finding is of, and the limit.
func (r MulchResult) ruleName(name string) string {
	for _, rule := range slices.Concat(r.Spec.Own, publishedMulch()) {
		if limit, ok := strings.CutPrefix(name, rule.ID+" "); ok && rule.Jurisdiction != "" {
			return rule.Jurisdiction + ", " + rule.Material + ": " + limit
		}
	}
	return name
}

// Working shows the order and the verdicts.
func (r MulchResult) Working() units.Working {
	var w units.Working
	w.Add("rate", r.Spec.Rate, "")
	w.Add("area", r.Spec.Area, "")
	how := units.Words("rate x area")
	if r.Bales > 0 {
		how = how.And(", bales of %v: %v", r.Spec.Bale, r.Bales)
	}
	w.Put(units.Words("mulch"), r.Mass, how)
	if r.Spec.Price > 0 {
		w.Add("cost", units.Money(r.Cost), "%v", r.Spec.Price)
	}
	for _, f := range r.Findings {
		w.Put(units.Words(r.ruleName(f.Rule)), f.Verdict, f.Value.And(", want ").And(f.Want.Text, f.Want.Args...))
	}
	return w
}

// String prints the working.
func (r MulchResult) String() string { return r.Working().String() }
