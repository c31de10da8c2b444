package calibrate

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/units"
)

// WidthRule is a convention for the effective width of a pass.
type WidthRule = units.Enum[widthWords]

const (
	// WidthTwoPasses, "two passes", is half of the width that two overlapping passes cover: Ohio
	// State University Extension, bulletin B-604.
	WidthTwoPasses WidthRule = iota + 1
	// WidthHalfMaximum, "half of maximum", is the distance between the two points where the rate is half
	// of the maximum: Alberta Agriculture and Food, Nutrient Management Planning
	// Guide, Agdex 400/28-3, p. 195.
	WidthHalfMaximum
	// WidthHalfCentre, "half of centre", is twice the distance out to half of the average centre rate,
	// the mean of both sides: Ohio State University Extension, bulletin B-817. It
	// differs from WidthHalfMaximum where the centre is not the maximum.
	WidthHalfCentre
)

var widthNames = units.Names{"", "two passes", "half of maximum", "half of centre"}

type widthWords struct{}

func (widthWords) Names() units.Names { return widthNames }

// EffectiveWidthSpec asks for the width that a pass counts for.
type EffectiveWidthSpec struct {
	Rule      WidthRule    `json:"rule"`                // required
	TwoPasses units.Length `json:"twoPasses,omitempty"` // of WidthTwoPasses: outer edge to outer edge
	Pattern   Pattern      `json:"pattern,omitzero"`    // of the other rules
	// Centre is the width of the strip around the driving line whose mean is the
	// centre rate of WidthHalfCentre; 0 means the rate on the line itself.
	Centre units.Length `json:"centre,omitempty"`
}

// EffectiveWidthResult is the width and, for the rules on a pattern, how far it
// reaches to either side of the driving line.
type EffectiveWidthResult struct {
	Spec    EffectiveWidthSpec `json:"spec"`    // what it was worked out from
	Width   units.Length       `json:"width"`   // that a pass counts for
	Half    float64            `json:"half"`    // the catch at the two edges, in the unit of the trays; 0 for WidthTwoPasses
	Left    units.Length       `json:"left"`    // edge left of the driving line
	Right   units.Length       `json:"right"`   // edge right of it
	Thrown  units.Length       `json:"thrown"`  // from the empty tray on the left to the empty tray on the right, between which all fell
	Overlap float64            `json:"overlap"` // 1 - width/thrown, 0 for WidthTwoPasses
}

// EffectiveWidth returns the effective width of a pass by the named convention,
// linear between trays. Where the rate crosses the half more than once, the
// outermost crossing counts. A side that is still above the half at its last tray
// is an error: the row was too short. So is a rule without its inputs.
func EffectiveWidth(spec EffectiveWidthSpec) (EffectiveWidthResult, error) {
	var f units.Faults
	if !widthNames.Has(int(spec.Rule)) {
		f.Add("rule", spec.Rule, widthNames.Want())
		return EffectiveWidthResult{}, f.Err()
	}
	r := EffectiveWidthResult{Spec: spec}
	if spec.Rule == WidthTwoPasses {
		f.Positive("twoPasses", spec.TwoPasses)
		f.NotNegative("centre", spec.Centre)
		if p := spec.Pattern; len(p.Trays) > 0 || p.Spacing != 0 || p.Line != 0 {
			f.Say("pattern", "given", "no value with the rule %v", spec.Rule)
		}
		r.Width = spec.TwoPasses / 2
		if err := f.Err(); err != nil {
			return EffectiveWidthResult{}, err
		}
		return r, nil
	}
	if spec.TwoPasses != 0 {
		f.Add("twoPasses", spec.TwoPasses, "no value with the rule %v", spec.Rule)
	}
	p := spec.Pattern
	pattern := f.At("pattern")
	p.check(&pattern)
	f.NotNegative("centre", spec.Centre)
	if err := f.Err(); err != nil {
		return EffectiveWidthResult{}, err
	}
	r.Half = floats.Max(p.Trays) / 2
	if spec.Rule == WidthHalfCentre {
		r.Half = p.centreMean(spec.Centre) / 2
		if r.Half == 0 {
			f.Add("pattern.line", p.Line, "a line on which some material fell, for the rule half-centre")
			return EffectiveWidthResult{}, f.Err()
		}
	}
	left, okLeft := p.edge(r.Half, -1)
	right, okRight := p.edge(r.Half, +1)
	if !okLeft {
		f.Add("pattern.trays[0]", p.Trays[0], "less than half of the reference rate; lay trays farther out")
	}
	if !okRight {
		f.Add("pattern.trays", p.Trays[len(p.Trays)-1], "less than half of the reference rate in the last tray; lay trays farther out")
	}
	if err := f.Err(); err != nil {
		return EffectiveWidthResult{}, err
	}
	r.Left = p.Line - units.Length(left)
	r.Right = units.Length(right) - p.Line
	r.Width = r.Left + r.Right
	first, last := -1, 0
	for i, c := range p.Trays {
		if c > 0 {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	r.Thrown = units.Length(min(last+1, len(p.Trays)-1)-max(first-1, 0)) * p.Spacing
	if r.Thrown > 0 {
		r.Overlap = 1 - float64(r.Width/r.Thrown)
	}
	return r, nil
}

// centreMean returns the mean catch in a strip around the driving line.
func (p Pattern) centreMean(strip units.Length) float64 {
	line := float64(p.Line)
	if strip == 0 {
		return p.at(line)
	}
	var sum, n float64
	for i, c := range p.Trays {
		if math.Abs(float64(i)*float64(p.Spacing)-line) <= float64(strip)/2*(1+1e-9) {
			sum += c
			n++
		}
	}
	if n == 0 {
		return p.at(line)
	}
	return sum / n
}

// edge returns where the catch, coming in from the left (side -1) or from the right
// (+1), first reaches half; ok is false when the outermost tray is above it already.
func (p Pattern) edge(half float64, side int) (x float64, ok bool) {
	n := len(p.Trays)
	at := func(i int) float64 { // i-th tray counted from the outside
		if side > 0 {
			i = n - 1 - i
		}
		return p.Trays[i]
	}
	if at(0) > half {
		return 0, false
	}
	for i := range n {
		c := at(i)
		if c < half {
			continue
		}
		u := float64(i)
		if i > 0 {
			u -= (c - half) / (c - at(i-1))
		}
		if side > 0 {
			u = float64(n-1) - u
		}
		return u * float64(p.Spacing), true
	}
	return 0, false
}

// Working returns the lines that lead to the width.
func (r EffectiveWidthResult) Working() units.Working {
	var w units.Working
	if r.Spec.Rule != WidthTwoPasses {
		w.Add("catch at the edge", units.Words("%.4g", r.Half), "half of the reference rate")
		w.Add("left, right", units.Words("%v, %v", r.Left, r.Right), "from the driving line")
		w.Add("thrown", r.Thrown, "from empty tray to empty tray")
	}
	w.Add("effective width", r.Width, "by the rule %v", r.Spec.Rule)
	return w
}

// String returns the working as a table.
func (r EffectiveWidthResult) String() string { return r.Working().String() }
