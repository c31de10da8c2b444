package nutrient

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

// PBasis is what a rule allows on a site. The zero value is none and is refused.
type PBasis = units.Enum[pBasisWords]

const (
	// PBasisNitrogen, "n-based", allows the N-based rate.
	PBasisNitrogen PBasis = iota + 1
	// PBasisRemoval, "removal", allows a multiple of the P that the crops take off.
	PBasisRemoval
	// PBasisNone, "none", allows no P.
	PBasisNone
)

var pBasisNames = units.Names{"", "n-based", "removal", "none"}

type pBasisWords struct{}

func (pBasisWords) Names() units.Names { return pBasisNames }

// Site is what rules on phosphorus ask of a field. What a rule does not ask for
// may stay nil.
type Site struct {
	SoilTest      *SoilTest          `json:"soilTest,omitzero"`      // of phosphorus, by the extractant of the rule
	Distance      *units.Length      `json:"distance,omitzero"`      // to surface water
	FilterStrip   *bool              `json:"filterStrip,omitzero"`   // between field and water
	SoilLoss      *units.MassPerArea `json:"soilLoss,omitzero"`      // in a year
	TolerableLoss *units.MassPerArea `json:"tolerableLoss,omitzero"` // T of the soil, in a year
	RiskIndex     *float64           `json:"riskIndex,omitzero"`     // of the index that the rule names
	Saturation    *float64           `json:"saturation,omitzero"`    // degree of P saturation, a fraction
}

// SiteLimit is what a rule allows on a site.
type SiteLimit struct {
	Rule   string  `json:"rule"`            // id of the state
	Allow  PBasis  `json:"allow,omitzero"`  // what may be put on
	Times  float64 `json:"times,omitzero"`  // of the removal
	Note   string  `json:"note,omitzero"`   // of the row
	Source Source  `json:"source,omitzero"` // of the rule
}

// Cap returns the P2O5 that the rule allows where the crops take off removal;
// ok is false when it allows the N-based rate and caps no P.
func (l SiteLimit) Cap(removal units.MassPerArea) (p2o5 units.MassPerArea, ok bool) {
	return units.MassPerArea(l.Times) * removal, l.Allow != PBasisNitrogen
}

// SiteLimit returns what the rule on phosphorus of the state allows on a site: by the
// strictest of the lines that take it, none before removal, the lesser multiple first,
// before N-based. q holds what the rule asks for beside the site. Faults are
// [units.FieldError] with the path in [Site], or the name of another key: what is
// wrong, what a line asks for and the site leaves out, and a site that no line takes.
func (s *State) SiteLimit(site Site, q Query) (SiteLimit, error) {
	var f units.Faults
	var declared []string
	if i := s.keyIndex(KeyExtractant); i >= 0 {
		declared = s.keys[i].Values
	}
	site.check(&f, declared)
	if !s.Has("allow", AsCap) {
		f.Add("", units.Words("the state %v, which has no rule on phosphorus", units.Word(s.spec.ID)), "a state that has one")
	}
	if f.Err() != nil {
		return SiteLimit{}, f.Err()
	}
	r, ok, err := s.Limit("allow", AsCap, site.query(s, q))
	told := map[string]bool{}
	for _, e := range units.FieldErrors(err) {
		for _, path := range site.paths(e) {
			if !told[path] {
				told[path] = true
				placed := *e
				placed.Field = path
				f.Sub("", &placed)
			}
		}
	}
	if f.Err() == nil && !ok {
		caps := slices.DeleteFunc(slices.Clone(s.lines["allow"]), func(n *line) bool { return n.table.As != AsCap })
		first := caps[0] // which speaks against the site, so that it asks for something
		f.Sub("", units.Fault(units.FaultConflict, site.paths(&units.FieldError{Kind: units.FaultConflict, Field: s.keys[first.asks[0].key].Name})[0], units.Words("a site that the rule of %v does not speak of", units.Word(s.spec.ID)), "a site within its lines, or another rule"))
	}
	if f.Err() != nil {
		return SiteLimit{}, f.Err()
	}
	step := r.Steps[len(r.Steps)-1]
	l := SiteLimit{Rule: s.spec.ID, Note: strings.Join(step.Notes, " "), Source: step.Source}
	switch {
	case r.Word == "n-based":
		l.Allow = PBasisNitrogen
	case r.Word == "none" || r.Figure.Low == 0:
		l.Allow = PBasisNone
	default:
		l.Allow, l.Times = PBasisRemoval, r.Figure.Low
	}
	return l, nil
}

// query is what the site says to the keys that the state declares.
func (s Site) query(of *State, q Query) Query {
	q = maps.Clone(q)
	if q == nil {
		q = Query{}
	}
	put := func(name, text string) {
		if of.keyIndex(name) >= 0 && q[name] == "" {
			q[name] = text
		}
	}
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	if t := s.SoilTest; t != nil {
		put(KeySoilP, number(t.Value)+" "+string(t.Unit))
		put(KeyExtractant, string(t.Extractant))
	}
	if s.Distance != nil {
		put(KeyDistance, number(float64(*s.Distance))+" m")
	}
	if s.FilterStrip != nil {
		put(KeyFilterStrip, map[bool]string{true: "yes", false: "no"}[*s.FilterStrip])
	}
	if s.SoilLoss != nil {
		put(KeySoilLoss, number(float64(*s.SoilLoss))+" kg/m2")
		if s.TolerableLoss != nil {
			put(KeySoilLossOverT, number(float64(*s.SoilLoss / *s.TolerableLoss)))
		}
	}
	if s.RiskIndex != nil {
		put(KeyRiskIndex, number(*s.RiskIndex))
	}
	if s.Saturation != nil {
		put(KeySaturation, number(*s.Saturation*100)+" %")
	}
	return q
}

// paths are the places in the site of a fault about a key.
func (s Site) paths(e *units.FieldError) []string {
	switch e.Field {
	case KeySoilP, KeyExtractant:
		switch {
		case s.SoilTest == nil:
			return []string{"soilTest"}
		case e.Kind == units.FaultLacking || e.Kind == units.FaultConflict:
			return []string{"soilTest"}
		case e.Field == KeySoilP:
			return []string{"soilTest.unit"}
		}
		return []string{"soilTest.extractant"}
	case KeySoilLossOverT:
		var list []string
		if s.SoilLoss == nil {
			list = append(list, "soilLoss")
		}
		if s.TolerableLoss == nil {
			list = append(list, "tolerableLoss")
		}
		return append(list, "soilLoss")[:max(1, len(list))]
	}
	return []string{e.Field}
}

// check records what is wrong with the site under a rule that declares extractants.
func (s Site) check(f *units.Faults, declared []string) {
	if s.SoilTest != nil {
		f.Sub("soilTest", s.SoilTest.check(declared))
	}
	if s.Distance != nil {
		notNegative(f, "distance", *s.Distance)
	}
	if s.SoilLoss != nil {
		notNegative(f, "soilLoss", *s.SoilLoss)
	}
	if s.TolerableLoss != nil {
		positive(f, "tolerableLoss", *s.TolerableLoss)
	}
	if s.RiskIndex != nil {
		notNegativeNumber(f, "riskIndex", *s.RiskIndex)
	}
	if s.Saturation != nil {
		upTo(f, "saturation", *s.Saturation, 1)
	}
}
