package nutrient

import "example.org/earthbasin/units"

// NebraskaCornSpec is what [NebraskaCornNitrogen] works from.
type NebraskaCornSpec struct {
	Yield         float64            `json:"yield"`             // bu/acre expected: about 105 % of the mean of five years; above 0
	SoilNitrate   units.MassFraction `json:"soilNitrate"`       // nitrate as N, weighted by depth over the root zone of 2 to 4 ft
	OrganicMatter units.MassFraction `json:"organicMatter"`     // of the soil; counts within 0.5 to 3 %
	Credits       units.MassPerArea  `json:"credits,omitempty"` // of legumes, irrigation water and manure
	PriceFactor   float64            `json:"priceFactor"`       // by the price of corn over that of N; 1: none
	TimingFactor  float64            `json:"timingFactor"`      // by the season of the application; 1: none
}

// NebraskaCornNitrogen returns the N that corn for grain needs, lb/acre,
//
//	(35 + 1.2 EY - 8 NO3 - 0.14 EY OM - credits) x price factor x timing factor
//
// with the yield EY in bu/acre, NO3 in ppm and OM in percent (University of
// Nebraska N equation for corn), not below 0. Wrong values are a
// [units.FieldError].
func NebraskaCornNitrogen(s NebraskaCornSpec) (units.MassPerArea, error) {
	var f units.Faults
	f.NumberBetween("yield", s.Yield, 1, 1000)
	f.Between("soilNitrate", s.SoilNitrate, units.MassFraction(0), 1000*units.PartPerMillion)
	f.Between("organicMatter", s.OrganicMatter, units.MassFraction(0), units.MassFraction(1))
	checkModest(&f, "credits", s.Credits)
	f.NumberBetween("priceFactor", s.PriceFactor, 0.1, 10)
	f.NumberBetween("timingFactor", s.TimingFactor, 0.1, 10)
	if err := f.Err(); err != nil {
		return 0, err
	}
	om := min(max(s.OrganicMatter.In(units.Percent), 0.5), 3)
	n := 35 + 1.2*s.Yield - 8*s.SoilNitrate.In(units.PartPerMillion) - 0.14*s.Yield*om - s.Credits.In(units.PoundPerAcre)
	return units.MassPerArea(max(0, n*s.PriceFactor*s.TimingFactor)) * units.PoundPerAcre, nil
}
