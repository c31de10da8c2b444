package nutrient

import "example.org/earthbasin/units"

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
	notNegative(&f, "need", s.Need)
	notNegative(&f, "ceiling", s.Ceiling)
	notNegative(&f, "legume", s.Legume)
	notNegative(&f, "irrigationNitrate", s.IrrigationNitrate)
	notNegative(&f, "irrigationDepth", s.IrrigationDepth)
	notNegative(&f, "soilNitrate", s.SoilNitrate)
	notNegative(&f, "soilNitrateCredit", s.SoilNitrateCredit)
	notNegative(&f, "starter", s.Starter)
	notNegative(&f, "earlierManure", s.EarlierManure)
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
	r.Room, r.Excess = max(0, r.Need-r.Credits), max(0, r.Credits-r.Need)
	r.working.Add("room for available N", r.Room, "need less credits, not below 0")
	return r, nil
}
