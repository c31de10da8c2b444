package nutrient

import (
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// PBasis is what a rule allows on a site. The zero value is none and is refused.
type PBasis int

const (
	// PBasisNitrogen allows the N-based rate.
	PBasisNitrogen PBasis = 1 + iota
	// PBasisRemoval allows a multiple of the P that the crops take off.
	PBasisRemoval
	// PBasisNone allows no P.
	PBasisNone
)

var pBasisNames = units.Names{"", "n-based", "removal", "none"}

// String returns the name that MarshalText writes.
func (b PBasis) String() string { return pBasisNames.String(int(b)) }

// MarshalText writes the name.
func (b PBasis) MarshalText() ([]byte, error) { return pBasisNames.Marshal(int(b)) }

// UnmarshalText reads a name; the error lists the names.
func (b *PBasis) UnmarshalText(text []byte) error { return units.UnmarshalName(pBasisNames, text, b) }

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
	Rule   string  `json:"rule"`            // id of the rule
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

// Limit returns what the rule allows on a site: by the strictest of the rows
// that take it, none before removal, the lesser multiple first, before N-based.
// Faults are [units.FieldError] with the path in [Site]: what is wrong, what a
// row asks for and the site leaves out, and a site that no row takes.
func (r *SiteRule) Limit(s Site) (SiteLimit, error) {
	var f units.Faults
	s.check(&f)
	if f.Err() != nil {
		return SiteLimit{}, f.Err()
	}
	var best *siteRow
	open := map[*siteRow][]string{} // rows that may take the site, with what they still ask for
	for i := range r.rows {
		row := &r.rows[i]
		switch fits, lacking := row.takes(s, r.ppm); {
		case fits && len(lacking) > 0:
			open[row] = lacking
		case fits && (best == nil || row.strictness() > best.strictness()):
			best = row
		}
	}
	for _, key := range siteKeys {
		for i := range r.rows {
			row := &r.rows[i]
			if (best == nil || row.strictness() > best.strictness()) && slices.Contains(open[row], key.name) {
				switch want := key.want + row.wantTest(key.name); key.name {
				case "soilTest.extractant":
					f.Add(key.name, string(s.SoilTest.Extractant), want)
				case "soilTest.unit":
					f.Add(key.name, string(s.SoilTest.Unit), want)
				default:
					f.Missing(key.name, want)
				}
				break
			}
		}
	}
	if f.Err() != nil {
		return SiteLimit{}, f.Err()
	}
	if best == nil {
		return SiteLimit{}, units.Fault(units.FaultConflict, r.firstKey(), units.Words("a site that the rule "+r.spec.ID+" does not speak of"), "a site within its rows, or another rule")
	}
	return SiteLimit{Rule: r.spec.ID, Allow: best.allow, Times: best.times, Note: best.note, Source: r.spec.Source}, nil
}

// firstKey returns the first key of a site that the rule asks for.
func (r *SiteRule) firstKey() string {
	for _, key := range siteKeys {
		for _, row := range r.rows {
			if _, asks := row.takes(Site{}, nil); slices.Contains(asks, key.name) {
				return key.name
			}
		}
	}
	return "rule" // one without rows, which no constructor made
}

// strictness rises with how little P the row allows.
func (r *siteRow) strictness() float64 {
	switch r.allow {
	case PBasisNone:
		return math.Inf(1)
	case PBasisRemoval:
		return 1 / r.times
	}
	return 0
}

// siteKeys are the paths of a Site that a rule may ask for, in order.
var siteKeys = []struct{ name, want string }{
	{"soilTest", "a soil test by "},
	{"soilTest.extractant", ""},
	{"soilTest.unit", ""},
	{"distance", "the distance to surface water"},
	{"filterStrip", "true or false"},
	{"soilLoss", "the soil loss in a year"},
	{"tolerableLoss", "the tolerable soil loss in a year"},
	{"riskIndex", "the index that the rule names"},
	{"saturation", "the degree of P saturation"},
}

// takes reports whether nothing that is known of the site speaks against the
// row, and the keys that are not known.
func (r *siteRow) takes(s Site, ppm map[SoilTestUnit]float64) (fits bool, lacking []string) {
	if r.tests != nil {
		if s.SoilTest == nil {
			lacking = append(lacking, "soilTest")
		} else if i := slices.IndexFunc(r.tests, func(t SoilTestClass) bool {
			return t.Extractant == "" || t.Extractant == s.SoilTest.Extractant
		}); i < 0 {
			lacking = append(lacking, "soilTest.extractant")
		} else if x, ok := s.SoilTest.in(r.tests[i].Unit, ppm); !ok {
			lacking = append(lacking, "soilTest.unit")
		} else if !r.testIn[i].has(x) {
			return false, nil
		}
	}
	if r.asksStrip {
		if s.FilterStrip == nil {
			lacking = append(lacking, "filterStrip")
		} else if *s.FilterStrip != r.strip {
			return false, nil
		}
	}
	for _, c := range r.conditions {
		x, missing := s.number(c.key)
		if lacking = append(lacking, missing...); missing == nil && !c.in.has(x) {
			return false, nil
		}
	}
	return true, lacking
}

// in returns the value of t in the unit u, by factors to ppm; ok is false when one of
// two units has none.
func (t *SoilTest) in(u SoilTestUnit, ppm map[SoilTestUnit]float64) (x float64, ok bool) {
	if t.Unit == u {
		return t.Value, true
	}
	from, to := ppm[t.Unit], ppm[u]
	return t.Value * from / to, from > 0 && to > 0
}

// wantTest lists the extractants or the units that the row knows, for a fault about
// the key.
func (r *siteRow) wantTest(key string) string {
	var names []string
	for _, t := range r.tests {
		switch {
		case key == "soilTest.unit":
			names = append(names, string(t.Unit))
		case t.Extractant == "":
			names = []string{"the extractant of the state"}
		default:
			names = append(names, string(t.Extractant))
		}
	}
	names = slices.Compact(names)
	if !strings.HasPrefix(key, "soilTest") {
		return ""
	}
	return strings.Join(names, " or ")
}

// number returns what the site says to a condition, or the keys that are
// missing.
func (s Site) number(key string) (x float64, missing []string) {
	switch key {
	case "distance":
		return given(key, s.Distance)
	case "soilLoss":
		return given(key, s.SoilLoss)
	case "riskIndex":
		return given(key, s.RiskIndex)
	case "saturation":
		return given(key, s.Saturation)
	}
	loss, noLoss := given("soilLoss", s.SoilLoss)
	t, noT := given("tolerableLoss", s.TolerableLoss)
	if missing = append(noLoss, noT...); missing != nil {
		return 0, missing
	}
	return loss / t, nil
}

func given[Q ~float64](key string, q *Q) (x float64, missing []string) {
	if q == nil {
		return 0, []string{key}
	}
	return float64(*q), nil
}

func (s Site) check(f *units.Faults) {
	if s.SoilTest != nil {
		f.Sub("soilTest", s.SoilTest.Check())
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
