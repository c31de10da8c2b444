package nutrient

import (
	"math"

	"example.org/earthbasin/units"
)

// LimitKind is the reason of a [Limit]. The zero value is no kind and is
// refused.
type LimitKind int

// Kinds of limits.
const (
	LimitNitrogen   LimitKind = 1 + iota // available N the crop needs
	LimitPhosphorus                      // P2O5 of the budget or the rule of the site
	LimitPotassium                       // K2O, mostly for the health of animals on the forage
	LimitMetal                           // a metal, of one year or of all years
	LimitSalt                            // sodium or salt
	LimitWater                           // what the soil can hold and take in
	LimitPass                            // what one pass of the machine may or can put down
	LimitNamed                           // another one, which the caller names
)

var limitKindNames = units.Names{"", "nitrogen", "phosphorus", "potassium", "metal", "salt", "water", "pass", "named"}

// String returns the name that MarshalText writes.
func (k LimitKind) String() string { return limitKindNames.String(int(k)) }

// MarshalText writes the name.
func (k LimitKind) MarshalText() ([]byte, error) { return limitKindNames.Marshal(int(k)) }

// UnmarshalText reads a name; the error lists the names.
func (k *LimitKind) UnmarshalText(text []byte) error {
	return units.UnmarshalName(limitKindNames, text, k)
}

// Limit is the most that one application may put on a field: of a constituent,
// by Holds and Room, or of the material itself, by Rate.
type Limit struct {
	Kind   LimitKind         `json:"kind"`
	Name   string            `json:"name,omitempty"`   // such as "zinc, all years"; needed for LimitNamed
	Holds  Content           `json:"holds,omitzero"`   // what the material holds of the constituent: available N, P2O5, K2O, the metal
	Room   units.MassPerArea `json:"room,omitempty"`   // what the field may still take of it, 0 or more
	Rate   Rate              `json:"rate,omitzero"`    // the most of the material, instead of Holds and Room
	Source string            `json:"source,omitempty"` // rule or permit
}

// label returns the name of a limit, else its kind.
func (k LimitKind) label(name string) string {
	if name != "" {
		return name
	}
	return k.String()
}

// allows returns the rate in SI units that l alone would allow; infinite when
// the material holds nothing of the constituent.
func (l *Limit) allows() float64 {
	switch {
	case l.Rate.form != 0:
		return l.Rate.value
	case l.Holds.value == 0:
		return math.Inf(1)
	}
	return float64(l.Room) / l.Holds.value
}

// sound is check without the list of faults: it costs no allocation.
func (l *Limit) sound(form Form) bool {
	if !(l.Kind >= LimitNitrogen && l.Kind <= LimitNamed) || l.Kind == LimitNamed && l.Name == "" {
		return false
	}
	if l.Rate.form != 0 {
		return l.Rate.form == form && modest(l.Rate.value) && l.Holds.form == 0 && l.Room == 0
	}
	return l.Holds.form == form && modest(l.Holds.value) && modest(float64(l.Room))
}

// huge is above every number of the trade in SI units, and its inverse below;
// quotients of two numbers between them are finite.
const huge = 1e150

func modest(x float64) bool { return x == 0 || x > 1/huge && x < huge }

// checkModest records a fault unless q is 0 or a number that can be worked with.
func checkModest(f *units.Faults, field string, q units.Quantity) {
	if !modest(q.SI()) {
		f.Add(field, q, "0 or more")
	}
}

// check records the faults of l, which belongs to a material of the given form.
func (l *Limit) check(f *units.Faults, form Form) {
	if !limitKindNames.Has(int(l.Kind)) {
		f.Add("kind", l.Kind, limitKindNames.Want())
	}
	if l.Kind == LimitNamed && l.Name == "" {
		f.Missing("name", "the name of the limit")
	}
	if !l.Rate.IsZero() {
		checkForm(f, "rate", l.Rate.measure, form)
		checkModest(f, "rate", l.Rate.quantity())
		if !l.Holds.IsZero() || l.Room != 0 {
			f.Add("holds", l.Holds.String(), "either holds and room, or rate")
		}
		return
	}
	if l.Holds.IsZero() {
		f.Missing("holds", "the content of the constituent and the room for it, or else a rate")
		return
	}
	checkContent(f, "holds", l.Holds, form)
	checkModest(f, "room", l.Room)
}

// checkForm records a fault when the form of m is not the one wanted.
func checkForm(f *units.Faults, field string, m measure, form Form) {
	if m.form != form {
		f.Say(field, m.form.String(), "the form of the material: "+form.String())
	}
}

// checkContent records the faults of the content c of a material.
func checkContent(f *units.Faults, field string, c Content, form Form) {
	checkForm(f, field, c.measure, form)
	checkModest(f, field, c.quantity())
}

// NitrogenSpec is what [NitrogenRoom] works from. Every credit is 0 or more;
// what does not apply stays zero.
type NitrogenSpec struct {
	Need              units.MassPerArea   `json:"need"`                        // available N for the yield expected
	Ceiling           units.MassPerArea   `json:"ceiling,omitempty"`           // most available N from all sources that a rule allows; 0: no such rule
	Legume            units.MassPerArea   `json:"legume,omitempty"`            // credit of the legume before
	IrrigationNitrate units.Concentration `json:"irrigationNitrate,omitempty"` // nitrate as N in the irrigation water
	IrrigationDepth   units.Length        `json:"irrigationDepth,omitempty"`   // water put on in the season
	SoilNitrate       units.MassFraction  `json:"soilNitrate,omitempty"`       // nitrate as N in the soil
	SoilNitrateCredit units.MassPerArea   `json:"soilNitrateCredit,omitempty"` // credit for each mg/kg of it; [NebraskaSoilNitrate] is one
	Starter           units.MassPerArea   `json:"starter,omitempty"`           // N of starter and other fertilizer
	EarlierManure     units.MassPerArea   `json:"earlierManure,omitempty"`     // N that earlier applications make available this season
}

// NebraskaSoilNitrate is the credit of 8 lb N/acre for each mg/kg nitrate-N in
// soil sampled at least 3 ft deep, for corn: University of Nebraska, as printed
// by the North Platte Natural Resources District, Nitrogen Credits for Soil and
// Water.
const NebraskaSoilNitrate = 8 * units.PoundPerAcre

// NitrogenResult is the N that a field may still take.
type NitrogenResult struct {
	Need    units.MassPerArea `json:"need"`    // the need, or the ceiling where it is less
	Capped  bool              `json:"capped"`  // whether the ceiling is less than the need
	Credits units.MassPerArea `json:"credits"` // of all sources
	Room    units.MassPerArea `json:"room"`    // need less credits, not below 0
	Excess  units.MassPerArea `json:"excess"`  // credits above the need
	working units.Working
}

// Working shows each credit.
func (r NitrogenResult) Working() units.Working { return r.working }

// String is the table of the working.
func (r NitrogenResult) String() string { return r.working.String() }

// NitrogenRoom returns the available N that an application may bring: the need
// of the crop less the credits of all other sources (25 Pa. Code 83.293(b)(1);
// irrigation water carries its nitrate-N at 100 %). Values below zero and
// non-finite ones are a [units.FieldError].
func NitrogenRoom(s NitrogenSpec) (NitrogenResult, error) {
	var f units.Faults
	f.NotNegative("need", s.Need)
	f.NotNegative("ceiling", s.Ceiling)
	f.NotNegative("legume", s.Legume)
	f.NotNegative("irrigationNitrate", s.IrrigationNitrate)
	f.NotNegative("irrigationDepth", s.IrrigationDepth)
	f.Between("soilNitrate", s.SoilNitrate, units.MassFraction(0), units.MassFraction(1))
	f.NotNegative("soilNitrateCredit", s.SoilNitrateCredit)
	f.NotNegative("starter", s.Starter)
	f.NotNegative("earlierManure", s.EarlierManure)
	if s.SoilNitrate > 0 && s.SoilNitrateCredit == 0 {
		f.Missing("soilNitrateCredit", "the credit for each mg/kg of soil nitrate-N")
	}
	if err := f.Err(); err != nil {
		return NitrogenResult{}, err
	}
	irrigation := s.IrrigationDepth.Applied().Carrying(s.IrrigationNitrate)
	soil := units.MassPerArea(s.SoilNitrate.In(units.MilligramPerKilogram)) * s.SoilNitrateCredit
	r := NitrogenResult{Need: s.Need, Credits: s.Legume + irrigation + soil + s.Starter + s.EarlierManure}
	r.working.Add("need", s.Need, "")
	if s.Ceiling > 0 && s.Ceiling < s.Need {
		r.Need, r.Capped = s.Ceiling, true
		r.working.Add("ceiling", s.Ceiling, "less than the need")
	}
	for _, c := range []struct {
		item   string
		credit units.MassPerArea
		how    string
	}{
		{"legume", s.Legume, ""},
		{"irrigation nitrate", irrigation, "nitrate-N x depth"},
		{"soil nitrate", soil, "mg/kg x credit per mg/kg"},
		{"starter", s.Starter, ""},
		{"earlier manure", s.EarlierManure, ""},
	} {
		if c.credit > 0 {
			r.working.Add("less "+c.item, c.credit, c.how)
		}
	}
	f.Finite("credits", r.Credits)
	r.Room, r.Excess = max(0, r.Need-r.Credits), max(0, r.Credits-r.Need)
	r.working.Add("room for available N", r.Room, "need less credits, not below 0")
	return r, f.Err()
}

// ForageSpec is what [ForageRoom] works from.
type ForageSpec struct {
	K        units.MassFraction `json:"k"`        // potassium in the dry forage, above 0
	Ca       units.MassFraction `json:"ca"`       // calcium
	Mg       units.MassFraction `json:"mg"`       // magnesium; Ca + Mg above 0
	MaxRatio float64            `json:"maxRatio"` // highest K/(Ca+Mg) the herd's adviser accepts, by equivalents, above 0
	Removal  units.MassPerArea  `json:"removal"`  // K2O that the forage takes off
	Over     float64            `json:"over"`     // share of the removal that may go on when the ratio is too high; 0: none
	Below    float64            `json:"below"`    // multiple of the removal that may go on when it is not, above 0
}

// ForageResult is the K2O that a forage field may take.
type ForageResult struct {
	Ratio float64           `json:"ratio"` // K/(Ca+Mg) by equivalents
	High  bool              `json:"high"`  // whether it is above the greatest
	Room  units.MassPerArea `json:"room"`  // K2O
}

// Grams per equivalent: the standard atomic weights of 2021 (CIAAW,
// https://www.ciaaw.org/atomic-weights.htm; Mg is the middle of its interval)
// over the charge.
const (
	gramPerEquivalentK  = 39.0983 / 1
	gramPerEquivalentCa = 40.078 / 2
	gramPerEquivalentMg = 24.3055 / 2
)

// ForageRoom returns how much K2O a forage field may take, given the ratio
// K/(Ca+Mg) of its forage in equivalents: a multiple of the removal, less when
// the ratio is above the one the caller accepts for the animals that eat it.
// Fractions outside 0 to 1, a ratio that is not above zero and negative numbers
// are a [units.FieldError].
func ForageRoom(s ForageSpec) (ForageResult, error) {
	var f units.Faults
	f.Between("k", s.K, units.MassFraction(1e-9), units.MassFraction(1))
	f.Between("ca", s.Ca, units.MassFraction(0), units.MassFraction(1))
	f.Between("mg", s.Mg, units.MassFraction(0), units.MassFraction(1))
	if s.Ca+s.Mg < 1e-9 {
		f.Add("mg", s.Ca+s.Mg, "calcium and magnesium together above 0")
	}
	f.PositiveNumber("maxRatio", s.MaxRatio)
	f.NotNegative("removal", s.Removal)
	f.Fraction("over", s.Over)
	if f.PositiveNumber("below", s.Below); s.Below > 0 {
		f.NumberBetween("below", s.Below, s.Over, 100)
	}
	if err := f.Err(); err != nil {
		return ForageResult{}, err
	}
	r := ForageResult{Ratio: float64(s.K) / gramPerEquivalentK / (float64(s.Ca)/gramPerEquivalentCa + float64(s.Mg)/gramPerEquivalentMg)}
	r.High = r.Ratio > s.MaxRatio
	share := s.Below
	if r.High {
		share = s.Over
	}
	r.Room = s.Removal * units.MassPerArea(share)
	return r, nil
}

// checkPositive records a fault unless q is above 0 and can be worked with.
func checkPositive(f *units.Faults, field string, q units.Quantity) {
	if q.SI() == 0 || !modest(q.SI()) {
		f.Add(field, q, "more than 0")
	}
}
