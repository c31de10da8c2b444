package cover

import (
	"example.org/earthbasin/units"
)

// LimeBasis is what a lime recommendation is stated in.
type LimeBasis = units.Enum[limeBasesWords]

// Bases. The zero value is not one.
const (
	// LimeCCE, "CCE", is a weight of pure calcium carbonate; the material counts by its
	// calcium carbonate equivalent alone.
	LimeCCE LimeBasis = iota + 1
	// LimeECCE, "ECCE", is a weight of effective calcium carbonate: the material counts by
	// neutralizing value and fineness together (ECCE, ENV). A recommendation for a
	// material of another quality takes ReferenceECCE.
	LimeECCE
	// LimeENM, "ENM", is a weight of effective neutralizing material; the material counts
	// by its ENM per weight.
	LimeENM
	// LimeENP, "ENP", is tons by soil test for a material of 2,000 lb effective
	// neutralizing power per ton; the material counts by its ENP per ton.
	LimeENP
)

var limeBases = units.Names{"", "CCE", "ECCE", "ENM", "ENP"}

type limeBasesWords struct{}

func (limeBasesWords) Names() units.Names { return limeBases }

// Fineness is the fractions of a material that pass the sieves, coarse to fine.
type Fineness struct {
	Pass20  float64 `json:"pass20"`  // through 20 mesh, 0 to 1
	Pass60  float64 `json:"pass60"`  // through 60 mesh, at most Pass20
	Pass100 float64 `json:"pass100"` // through 100 mesh, at most Pass60
}

// Efficiency returns the effective fraction 0.40 (pass20 - pass60) + 0.80 (pass60 -
// pass100) + 1.00 pass100 (Cornell certified crop adviser course, soil fertility,
// CA5). Fractions out of 0 to 1 or not falling with the sieve are faults.
func (n Fineness) Efficiency() (float64, error) {
	var f units.Faults
	f.Fraction("pass20", n.Pass20)
	f.Fraction("pass60", n.Pass60)
	f.Fraction("pass100", n.Pass100)
	if n.Pass60 > n.Pass20 {
		f.Add("pass60", n.Pass60, "at most pass20")
	}
	if n.Pass100 > n.Pass60 {
		f.Add("pass100", n.Pass100, "at most pass60")
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return 0.40*(n.Pass20-n.Pass60) + 0.80*(n.Pass60-n.Pass100) + n.Pass100, nil
}

// LimeMaterial is a liming material by its analysis. The basis of the need says
// which fields are asked.
type LimeMaterial struct {
	Name string `json:"name"` // what it is sold as
	// CCE is the calcium carbonate equivalent as a fraction, more than 0 to
	// 2.5; burnt and magnesium limes go beyond 1.
	CCE float64 `json:"cce"`
	// Fineness with CCE gives ECCE when ECCE is not given.
	Fineness *Fineness `json:"fineness,omitempty"`
	ECCE     float64   `json:"ecce"` // effective fraction, neutralizing value x fineness
	// ENM and ENP are the guaranteed effective weight per weight, such as
	// "400 lb/ton".
	ENM units.MassFraction `json:"enm"`
	ENP units.MassFraction `json:"enp"` // effective neutralizing power, 0.001 to 2.5
	// Price is per weight of material, spread or not as the caller means it.
	Price units.Price[units.Mass] `json:"price"`
}

// LimeSpec is a lime recommendation and the material that shall meet it.
type LimeSpec struct {
	Basis LimeBasis         `json:"basis"` // that Need is stated in; required
	Need  units.MassPerArea `json:"need"`  // in the basis
	// ReferenceECCE is the quality that an ECCE recommendation is made for, as a
	// fraction: 1 for effective calcium carbonate itself. For LimeECCE only.
	ReferenceECCE float64      `json:"referenceECCE"`
	Material      LimeMaterial `json:"material"` // that shall meet the need
	Area          units.Area   `json:"area"`     // to lime, more than 0
}

// LimeResult is the material to spread.
type LimeResult struct {
	Spec      LimeSpec          `json:"spec"`      // what it was worked out from
	Effective float64           `json:"effective"` // weight in the basis per weight of material
	Pure      units.MassPerArea `json:"pure"`      // the need at full effect, after the reference
	Rate      units.MassPerArea `json:"rate"`      // of material
	Mass      units.Mass        `json:"mass"`      // of material on the whole area
	Cost      float64           `json:"cost"`      // 0 without a price
	Cautions  []string          `json:"cautions"`  // for the people who spread
}

// mostCCE is just above that of pure magnesium oxide, 100.09/40.30 by molar mass:
// no liming material has more.
const mostCCE = 2.5

// Lime turns a recommendation into material: rate = need / effective fraction,
// whatever the basis (Penn State soil laboratory for CCE; Ohio State Extension,
// Select a lime source based on ENP, 2014). An ECCE recommendation made for a
// reference quality is need x reference / ECCE of the material.
func Lime(spec LimeSpec) (LimeResult, error) {
	var f units.Faults
	f.NotNegative("need", spec.Need)
	f.Positive("area", spec.Area)
	f.NotNegativeNumber("material.price", spec.Material.Price.SI())
	if spec.Basis == LimeECCE {
		f.PositiveFraction("referenceECCE", spec.ReferenceECCE)
	} else if spec.ReferenceECCE != 0 {
		f.Add("referenceECCE", spec.ReferenceECCE, "no value unless ECCE")
	}
	if n := spec.Material.Fineness; n != nil {
		_, err := n.Efficiency()
		f.Sub("material.fineness", err)
	}
	if !limeBases.Has(int(spec.Basis)) {
		f.Add("basis", spec.Basis, limeBases.Want())
	}
	effective := spec.Material.effective(f.At("material"), spec.Basis)
	if err := f.Err(); err != nil {
		return LimeResult{}, err
	}
	r := LimeResult{Spec: spec, Effective: effective, Pure: spec.Need, Cautions: []string{cautionLime, cautionSlope}}
	if spec.Basis == LimeECCE {
		r.Pure *= units.MassPerArea(spec.ReferenceECCE)
	}
	r.Rate = r.Pure / units.MassPerArea(effective)
	r.Mass = r.Rate.Times(spec.Area)
	r.Cost = spec.Material.Price.Of(r.Mass)
	if !finite(r.Mass.SI(), r.Cost) {
		f.Add("need", spec.Need, "a need whose product with the area is a finite number")
		return LimeResult{}, f.Err()
	}
	return r, nil
}

// leastEffect is the least effective fraction of anything sold as lime.
const leastEffect = 0.001

// effective returns the effective fraction of the material in the basis, and
// records what is missing or out of range.
func (m LimeMaterial) effective(f units.Faults, basis LimeBasis) float64 {
	asked := map[string]bool{}
	switch {
	case basis == LimeCCE || basis == LimeECCE && m.Fineness != nil:
		asked["cce"] = true
	case basis == LimeECCE:
		asked["ecce"] = true
	case basis == LimeENM:
		asked["enm"] = true
	case basis == LimeENP:
		asked["enp"] = true
	}
	for _, c := range [...]struct {
		field string
		x     float64
	}{{"cce", m.CCE}, {"ecce", m.ECCE}, {"enm", float64(m.ENM)}, {"enp", float64(m.ENP)}} {
		switch {
		case c.x == 0 && asked[c.field]:
			f.Missing(c.field, "%v to %v, for %v", leastEffect, mostCCE, basis)
		case c.x != 0:
			f.NumberBetween(c.field, c.x, leastEffect, mostCCE)
		}
	}
	switch basis {
	case LimeCCE:
		return m.CCE
	case LimeECCE:
		if m.Fineness == nil {
			return m.ECCE
		}
		if m.ECCE != 0 {
			f.Add("ecce", m.ECCE, "no value beside fineness")
		}
		e, err := m.Fineness.Efficiency()
		if err == nil && e < leastEffect {
			f.Say("fineness", "almost nothing passes the sieves", "a material of which some passes the 20 mesh sieve")
		}
		return m.CCE * e
	case LimeENM:
		return float64(m.ENM)
	}
	return float64(m.ENP)
}

// Working shows the rate.
func (r LimeResult) Working() units.Working {
	var w units.Working
	s := r.Spec
	w.Add("need", s.Need, "as %v", s.Basis)
	if s.Basis == LimeECCE && s.ReferenceECCE != 1 {
		w.Add("need at full effect", r.Pure, "x reference ECCE %v", units.Share(s.ReferenceECCE))
	}
	how := s.Basis.String()
	if s.Basis == LimeECCE && s.Material.Fineness != nil {
		how = "CCE x (0.40 pass20-60 + 0.80 pass60-100 + pass100)"
	}
	w.Add("effective fraction", units.Share(r.Effective), how)
	w.Add("material", r.Rate, "need / effective fraction")
	w.Add("on the area", r.Mass, "%v", s.Area)
	if s.Material.Price > 0 {
		w.Add("cost", units.Money(r.Cost), "%v", s.Material.Price)
	}
	return w
}

// String prints the working.
func (r LimeResult) String() string { return r.Working().String() }
