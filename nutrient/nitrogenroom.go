package nutrient

import "example.org/earthbasin/units"

// NitrogenRoomSpec is what [NitrogenRoom] works from. Every credit is 0 or more;
// what does not apply stays zero.
type NitrogenRoomSpec struct {
	Need              units.MassPerArea   `json:"need"`                       // available N for the yield expected
	Ceiling           units.MassPerArea   `json:"ceiling,omitzero"`           // most available N from all sources that a rule allows; 0: no such rule
	Legume            units.MassPerArea   `json:"legume,omitzero"`            // credit of the legume before
	IrrigationNitrate units.Concentration `json:"irrigationNitrate,omitzero"` // nitrate as N in the irrigation water
	IrrigationDepth   units.Length        `json:"irrigationDepth,omitzero"`   // water put on in the season
	SoilNitrate       units.MassFraction  `json:"soilNitrate,omitzero"`       // nitrate as N in the soil
	SoilNitrateCredit units.MassPerArea   `json:"soilNitrateCredit,omitzero"` // credit for each mg/kg of it; [NebraskaSoilNitrate] is one
	Starter           units.MassPerArea   `json:"starter,omitzero"`           // N of starter and other fertilizer
	EarlierManure     units.MassPerArea   `json:"earlierManure,omitzero"`     // N that earlier applications make available this season
}

// NebraskaSoilNitrate is the credit of 8 lb N/acre for each mg/kg nitrate-N in
// soil sampled at least 3 ft deep, for corn: University of Nebraska, as printed
// by the North Platte Natural Resources District, Nitrogen Credits for Soil and
// Water.
const NebraskaSoilNitrate = 8 * units.PoundPerAcre

// NitrogenRoomResult is the N that a field may still take, lb/acre and the like,
// each 0 or more.
type NitrogenRoomResult struct {
	CropNeed      units.MassPerArea `json:"cropNeed"`      // as the spec gave it
	Need          units.MassPerArea `json:"need"`          // the need, or the ceiling where it is less
	Capped        bool              `json:"capped"`        // whether the ceiling is less than the need
	Legume        units.MassPerArea `json:"legume"`        // credit of the legume before
	Irrigation    units.MassPerArea `json:"irrigation"`    // credit of the nitrate in the irrigation water: concentration x depth
	Soil          units.MassPerArea `json:"soil"`          // credit of the nitrate in the soil: mg/kg x credit per mg/kg
	Starter       units.MassPerArea `json:"starter"`       // credit of starter and other fertilizer
	EarlierManure units.MassPerArea `json:"earlierManure"` // credit of earlier applications
	Credits       units.MassPerArea `json:"credits"`       // of all sources
	Room          units.MassPerArea `json:"room"`          // need less credits, not below 0
	Excess        units.MassPerArea `json:"excess"`        // credits above the need
}

// NitrogenRoom returns the available N that an application may bring: the need
// of the crop less the credits of all other sources (25 Pa. Code 83.293(b)(1);
// irrigation water carries its nitrate-N at 100 %). Values below 0 and
// what no job reaches are a [units.FieldError].
func NitrogenRoom(spec NitrogenRoomSpec) (NitrogenRoomResult, error) {
	var f units.Faults
	notNegative(&f, "need", spec.Need)
	notNegative(&f, "ceiling", spec.Ceiling)
	notNegative(&f, "legume", spec.Legume)
	notNegative(&f, "irrigationNitrate", spec.IrrigationNitrate)
	notNegative(&f, "irrigationDepth", spec.IrrigationDepth)
	notNegative(&f, "soilNitrate", spec.SoilNitrate)
	notNegative(&f, "soilNitrateCredit", spec.SoilNitrateCredit)
	notNegative(&f, "starter", spec.Starter)
	notNegative(&f, "earlierManure", spec.EarlierManure)
	if spec.SoilNitrate > 0 && spec.SoilNitrateCredit == 0 {
		f.Missing("soilNitrateCredit", "the credit for each mg/kg of soil nitrate-N")
	}
	if err := f.Err(); err != nil {
		return NitrogenRoomResult{}, err
	}
	r := NitrogenRoomResult{ // + 0: -0 is 0
		CropNeed: spec.Need + 0, Need: spec.Need + 0, Legume: spec.Legume + 0,
		Irrigation: spec.IrrigationDepth.Applied().Carrying(spec.IrrigationNitrate) + 0,
		Soil:       units.MassPerArea(spec.SoilNitrate.In(units.MilligramPerKilogram))*spec.SoilNitrateCredit + 0,
		Starter:    spec.Starter + 0, EarlierManure: spec.EarlierManure + 0,
	}
	r.Credits = r.Legume + r.Irrigation + r.Soil + r.Starter + r.EarlierManure
	if spec.Ceiling > 0 && spec.Ceiling < spec.Need {
		r.Need, r.Capped = spec.Ceiling, true
	}
	r.Room, r.Excess = max(0, r.Need-r.Credits), max(0, r.Credits-r.Need)
	return r, nil
}

// Working shows each credit.
func (r NitrogenRoomResult) Working() units.Working {
	var w units.Working
	w.Add("need", r.CropNeed, "")
	if r.Capped {
		w.Add("ceiling", r.Need, "less than the need")
	}
	for _, c := range []struct {
		item   string
		credit units.MassPerArea
		how    string
	}{
		{"legume", r.Legume, ""},
		{"irrigation nitrate", r.Irrigation, "nitrate-N x depth"},
		{"soil nitrate", r.Soil, "mg/kg x credit per mg/kg"},
		{"starter", r.Starter, ""},
		{"earlier manure", r.EarlierManure, ""},
	} {
		if c.credit > 0 {
			w.Put(units.Words("less %v", units.Word(c.item)), c.credit, units.Words(c.how))
		}
	}
	w.Add("room for available N", r.Room, "need less credits, not below 0")
	return w
}

// String is the table of the working.
func (r NitrogenRoomResult) String() string { return r.Working().String() }
