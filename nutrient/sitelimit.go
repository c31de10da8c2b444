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
	// PByNitrogen allows the N-based rate.
	PByNitrogen PBasis = 1 + iota
	// PByRemoval allows a multiple of the P that the crops take off.
	PByRemoval
	// PNone allows no P.
	PNone
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
	SoilTest      *SoilTest          `json:"soilTest,omitzero"`
	Distance      *units.Length      `json:"distance,omitzero"`      // to surface water
	FilterStrip   *bool              `json:"filterStrip,omitzero"`   // between field and water
	SoilLoss      *units.MassPerArea `json:"soilLoss,omitzero"`      // in a year
	TolerableLoss *units.MassPerArea `json:"tolerableLoss,omitzero"` // T of the soil, in a year
	RiskIndex     *float64           `json:"riskIndex,omitzero"`     // of the index that the rule names
	Saturation    *float64           `json:"saturation,omitzero"`    // degree of P saturation, a fraction
}

// SiteLimit is what a rule allows on a site.
type SiteLimit struct {
	Rule   string  `json:"rule"`
	Allow  PBasis  `json:"allow"`
	Times  float64 `json:"times,omitzero"` // of the removal
	Note   string  `json:"note,omitzero"`
	Source Source  `json:"source"`
}

// Cap returns the P2O5 that the rule allows where the crops take off removal;
// ok is false when it allows the N-based rate and caps no P.
func (l SiteLimit) Cap(removal units.MassPerArea) (p2o5 units.MassPerArea, ok bool) {
	return units.MassPerArea(l.Times) * removal, l.Allow != PByNitrogen
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
	missing := map[string]string{}
	for i := range r.rows {
		row := &r.rows[i]
		fits, lacking := row.takes(s)
		if !fits {
			continue
		}
		for key, want := range lacking {
			missing[key] = want
		}
		if len(lacking) == 0 && (best == nil || row.strictness() > best.strictness()) {
			best = row
		}
	}
	if len(missing) > 0 {
		if want, ok := missing["soilTest.extractant"]; ok {
			f.Add("soilTest.extractant", s.SoilTest.Extractant.String(), want)
		}
		for _, key := range []string{"soilTest", "distance", "filterStrip", "soilLoss", "tolerableLoss", "riskIndex", "saturation"} {
			if want, ok := missing[key]; ok {
				f.Missing(key, want)
			}
		}
		return SiteLimit{}, f.Err()
	}
	if best == nil {
		return SiteLimit{}, &units.FieldError{Field: "", Value: "a site that the rule " + r.spec.ID + " does not speak of", Want: "a site within its rows, or another rule"}
	}
	return SiteLimit{Rule: r.spec.ID, Allow: best.allow, Times: best.times, Note: best.note, Source: r.spec.Source}, nil
}

// strictness rises with how little P the row allows.
func (r *siteRow) strictness() float64 {
	switch r.allow {
	case PNone:
		return math.Inf(1)
	case PByRemoval:
		return 1 / r.times
	}
	return 0
}

// takes reports whether nothing that is known of the site speaks against the
// row, and what is not known.
func (r *siteRow) takes(s Site) (fits bool, lacking map[string]string) {
	lacking = map[string]string{}
	if r.tests != nil {
		if s.SoilTest == nil {
			lacking["soilTest"] = "a soil test by " + r.extractants()
		} else {
			i := slices.IndexFunc(r.tests, func(t SoilTestClass) bool {
				return t.Extractant == 0 || t.Extractant == s.SoilTest.Extractant
			})
			if i < 0 {
				lacking["soilTest.extractant"] = r.extractants()
			} else if !r.testIn[i].has(s.SoilTest.PPM()) {
				return false, nil
			}
		}
	}
	if r.asksStrip {
		if s.FilterStrip == nil {
			lacking["filterStrip"] = "true or false"
		} else if *s.FilterStrip != r.strip {
			return false, nil
		}
	}
	for _, c := range r.conditions {
		x, want := s.number(c.key)
		if want != nil {
			for key, w := range want {
				lacking[key] = w
			}
		} else if !c.in.has(x) {
			return false, nil
		}
	}
	return true, lacking
}

func (r *siteRow) extractants() string {
	var names []string
	for _, t := range r.tests {
		if t.Extractant == 0 {
			return "the extractant of the state"
		}
		names = append(names, t.Extractant.String())
	}
	return strings.Join(names, " or ")
}

// number returns what the site says to a condition, or what is missing.
func (s Site) number(key string) (x float64, missing map[string]string) {
	lacks := map[string]string{}
	length := func(name string, q *units.MassPerArea, want string) float64 {
		if q == nil {
			lacks[name] = want
			return 0
		}
		return float64(*q)
	}
	plain := func(q *float64, want string) float64 {
		if q == nil {
			lacks[key] = want
			return 0
		}
		return *q
	}
	switch key {
	case "distance":
		if s.Distance == nil {
			lacks[key] = "the distance to surface water"
		} else {
			x = float64(*s.Distance)
		}
	case "soilLoss":
		x = length(key, s.SoilLoss, "the soil loss in a year")
	case "tolerableLoss":
		x = length("soilLoss", s.SoilLoss, "the soil loss in a year")
		if t := length(key, s.TolerableLoss, "the tolerable soil loss in a year"); t > 0 {
			x /= t
		}
	case "riskIndex":
		x = plain(s.RiskIndex, "the index that the rule names")
	case "saturation":
		x = plain(s.Saturation, "the degree of P saturation")
	}
	if len(lacks) > 0 {
		return 0, lacks
	}
	return x, nil
}

func (s Site) check(f *units.Faults) {
	if s.SoilTest != nil {
		f.Sub("soilTest", s.SoilTest.Check())
	}
	if s.Distance != nil {
		f.NotNegative("distance", *s.Distance)
	}
	if s.SoilLoss != nil {
		f.NotNegative("soilLoss", *s.SoilLoss)
	}
	if s.TolerableLoss != nil {
		f.Positive("tolerableLoss", *s.TolerableLoss)
	}
	if s.RiskIndex != nil {
		f.NotNegativeNumber("riskIndex", *s.RiskIndex)
	}
	if s.Saturation != nil {
		f.Fraction("saturation", *s.Saturation)
	}
}
