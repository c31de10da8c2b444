package units_test

import (
	"math"
	"testing"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

const (
	nist   = "U.S. Survey Foot: Revised Unit Conversion Factors, NIST, table"
	survey = "85 FR 62698 (5 Oct 2020), doc. 2020-21902; UCUM 2.2 (2024) [ft_us]"
	ucum   = "UCUM 2.2 (2024) [ft_i], [gal_us], [bu_us], [lb_av], [ston_av]"
	iupac  = "Standard atomic weights 2021, IUPAC CIAAW, middles of the intervals"
	scale  = "BIPM SI brochure and the Fahrenheit scale, from memory"
)

// The definitions of the units, worked out with exact fractions and printed to
// sixteen figures. A correctly rounded factor and one multiplication or division
// stay within 1e-15 of them, relatively.
func TestPublishedDefinitions(t *testing.T) {
	var checks []evidence.Check
	for _, c := range []struct {
		quantity  string
		got, want float64
		unit      string
		source    string
	}{
		{"1 ft in m", units.Foot.SI(), 0.3048, "m", nist},
		{"1 in in m", units.Inch.SI(), 0.0254, "m", nist},
		{"1 yd in m", units.Yard.SI(), 0.9144, "m", nist},
		{"1 mi in m", units.Mile.SI(), 1609.344, "m", nist},
		{"1 US survey ft in m", units.SurveyFoot.SI(), 0.3048006096012192, "m", survey},
		{"US survey ft / ft in ratio", units.SurveyFoot.In(units.Foot), 1.000002000004000, "ratio", survey},
		{"1 ft2 in m2", units.SquareFoot.SI(), 0.09290304, "m2", nist},
		{"1 in2 in m2", units.SquareInch.SI(), 0.00064516, "m2", nist},
		{"1 yd2 in m2", units.SquareYard.SI(), 0.83612736, "m2", nist},
		{"1 acre in m2", units.Acre.SI(), 4046.8564224, "m2", nist},
		{"1 US survey acre in m2", units.AcreSurvey.SI(), 4046.872609874252, "m2", survey},
		{"survey acre / acre in ratio", units.AcreSurvey.In(units.Acre), 1.000004000012000, "ratio", survey},
		{"1 acre in ha", units.Acre.In(units.Hectare), 0.40468564224, "ha", ucum},
		{"1 ha in acre", units.Hectare.In(units.Acre), 2.471053814671653, "acre", ucum},
		{"1 ha in survey acre", units.Hectare.In(units.AcreSurvey), 2.471043930466279, "survey acre", survey},
		{"1 mi2 in acre", units.SquareMile.In(units.Acre), 640, "acre", nist},
		{"1 ft3 in m3", units.CubicFoot.SI(), 0.028316846592, "m3", nist},
		{"1 yd3 in m3", units.CubicYard.SI(), 0.764554857984, "m3", nist},
		{"1 US gal in m3", units.Gallon.SI(), 0.003785411784, "m3", ucum},
		{"1 US gal in ft3", units.Gallon.In(units.CubicFoot), 0.1336805555555556, "ft3", ucum},
		{"1 ft3 in gal", units.CubicFoot.In(units.Gallon), 7.480519480519481, "gal", ucum},
		{"1 yd3 in gal", units.CubicYard.In(units.Gallon), 201.9740259740260, "gal", ucum},
		{"1 m3 in gal", units.CubicMetre.In(units.Gallon), 264.1720523581484, "gal", ucum},
		{"1 acre-ft in m3", units.AcreFoot.SI(), 1233.48183754752, "m3", nist},
		{"1 survey acre-ft in m3", units.AcreSurvey.Times(units.SurveyFoot).SI(), 1233.489238468149, "m3", survey},
		{"1 acre-in in m3", units.AcreInch.SI(), 102.79015312896, "m3", nist},
		{"1 acre-in in gal", units.AcreInch.In(units.Gallon), 27154.28571428571, "gal", ucum},
		{"1 acre-ft in gal", units.AcreFoot.In(units.Gallon), 325851.4285714286, "gal", ucum},
		{"1 survey acre-in in gal", units.AcreSurvey.Times(units.SurveyFoot / 12).In(units.Gallon), 27154.44864065171, "gal", survey},
		{"1,000,000 gal in acre-ft", (1e6 * units.Gallon).In(units.AcreFoot), 3.068883277216611, "acre-ft", ucum},
		{"1 hp in W", units.Horsepower.SI(), 745.6998715822702, "W", "550 ft lbf/s, by the definitions of foot, pound and standard gravity"},
		{"1 hp per 1000 gal in W/m3", units.HorsepowerPer1000Gallons.SI(), 196.99306551909604, "W/m3", "550 ft lbf/s, by the definitions of foot, pound and standard gravity"},
		{"1 US bushel in m3", units.Bushel.SI(), 0.03523907016688, "m3", ucum},
		{"1 US bushel in ft3", units.Bushel.In(units.CubicFoot), 1.244456018518519, "ft3", ucum},
		{"1 US bushel in gal", units.Bushel.In(units.Gallon), 9.309177489177489, "gal", ucum},
		{"1 lb in kg", units.Pound.SI(), 0.45359237, "kg", ucum},
		{"1 oz in kg", units.Ounce.SI(), 0.028349523125, "kg", ucum},
		{"1 short ton in kg", units.Ton.SI(), 907.18474, "kg", ucum},
		{"1 tonne in short ton", units.Tonne.In(units.Ton), 1.102311310924388, "short ton", ucum},
		{"1 kg in lb", units.Kilogram.In(units.Pound), 2.204622621848776, "lb", ucum},
		{"1 mph in m/s", units.MilePerHour.SI(), 0.44704, "m/s", nist},
		{"1 mph in ft/min", units.MilePerHour.In(units.FootPerMinute), 88, "ft/min", nist},
		{"1 gpm in m3/s", units.GallonPerMinute.SI(), 0.0000630901964, "m3/s", ucum},
		{"1 ft3/s in gpm", units.CubicFootPerSecond.In(units.GallonPerMinute), 448.8311688311688, "gpm", ucum},
		{"1 acre-in/h in gpm", units.AcreInchPerHour.In(units.GallonPerMinute), 452.5714285714286, "gpm", ucum},
		{"1 mgd in gpm", units.MillionGallonPerDay.In(units.GallonPerMinute), 694.4444444444444, "gpm", ucum},
		{"1 in/h in m/s", units.InchPerHour.SI(), 0.000007055555555555556, "m/s", nist},
		{"1 in/h in mm/h", units.InchPerHour.In(units.MillimetrePerHour), 25.4, "mm/h", nist},
		{"1 lb/1000 gal in kg/m3", units.PoundPer1000Gallon.SI(), 0.1198264273168966, "kg/m3", ucum},
		{"1 mg/L in lb/1000 gal", units.MilligramPerLitre.In(units.PoundPer1000Gallon), 0.008345404452019332, "lb/1000 gal", ucum},
		{"1 lb/1000 gal in mg/L", units.PoundPer1000Gallon.In(units.MilligramPerLitre), 119.8264273168966, "mg/L", ucum},
		{"1 lb/acre-in in mg/L", units.PoundPerAcreInch.In(units.MilligramPerLitre), 4.412799827537229, "mg/L", ucum},
		{"1 mg/L in lb/acre-in", units.MilligramPerLitre.In(units.PoundPerAcreInch), 0.2266134968914049, "lb/acre-in", ucum},
		{"1 mg/L in lb/acre-ft", units.MilligramPerLitre.In(units.PoundPerAcreFoot), 2.719361962696859, "lb/acre-ft", ucum},
		{"1 lb/1000 gal in lb/acre-in", units.PoundPer1000Gallon.In(units.PoundPerAcreInch), 27.15428571428571, "lb/acre-in", ucum},
		{"1 lb/gal in kg/m3", units.PoundPerGallon.SI(), 119.8264273168966, "kg/m3", ucum},
		{"1 lb/ft3 in kg/m3", units.PoundPerCubicFoot.SI(), 16.01846337396014, "kg/m3", ucum},
		{"1 lb/ton in mg/kg", units.PoundPerTon.In(units.MilligramPerKilogram), 500, "mg/kg", ucum},
		{"1 mg/kg in lb/ton", units.MilligramPerKilogram.In(units.PoundPerTon), 0.002, "lb/ton", ucum},
		{"1 % in lb/ton", units.Percent.In(units.PoundPerTon), 20, "lb/ton", ucum},
		{"1 lb/ton in kg/tonne", units.PoundPerTon.In(units.KilogramPerTonne), 0.5, "kg/tonne", ucum},
		{"1 lb/acre in kg/m2", units.PoundPerAcre.SI(), 0.0001120851156194456, "kg/m2", ucum},
		{"1 lb/acre in kg/ha", units.PoundPerAcre.In(units.KilogramPerHectare), 1.120851156194456, "kg/ha", ucum},
		{"1 kg/ha in lb/acre", units.KilogramPerHectare.In(units.PoundPerAcre), 0.8921791216197045, "lb/acre", ucum},
		{"1 ton/acre in tonne/ha", units.TonPerAcre.In(units.TonnePerHectare), 2.241702312388912, "tonne/ha", ucum},
		{"1 ton/acre in lb/1000 ft2", units.TonPerAcre.In(units.PoundPer1000SquareFeet), 45.91368227731864, "lb/1000 ft2", ucum},
		{"1 gal/acre in L/ha", units.GallonPerAcre.In(units.LitrePerHectare), 9.353956228956229, "L/ha", ucum},
		{"1 gal/acre in in", units.GallonPerAcre.Depth().In(units.Inch), 0.00003682659932659933, "in", ucum},
		{"8000 gal/acre in in", (8000 * units.GallonPerAcre).Depth().In(units.Inch), 0.2946127946127946, "in", ucum},
		{"1 m3/ha in gal/acre", units.CubicMetrePerHectare.In(units.GallonPerAcre), 106.9066366704162, "gal/acre", ucum},
		{"31 lb/1000 gal in kg/m3", (31 * units.PoundPer1000Gallon).SI(), 3.714619246823795, "kg/m3", ucum},
		{"31 lb/1000 gal at 8000 gal/acre in lb/acre", (8000 * units.GallonPerAcre).Carrying(31 * units.PoundPer1000Gallon).In(units.PoundPerAcre), 248, "lb/acre", ucum},
		{"1 gpm/(mph ft) in gal/acre", units.GallonPerMinute.OverSwath(units.MilePerHour, units.Foot).In(units.GallonPerAcre), 495, "gal/acre", nist},
		{"1 gpm/(mph in) in gal/acre", units.GallonPerMinute.OverSwath(units.MilePerHour, units.Inch).In(units.GallonPerAcre), 5940, "gal/acre", nist},
		{"1 mph x 1 ft in acre/h", units.MilePerHour.Times(units.Hour).Times(units.Foot).In(units.Acre), 0.1212121212121212, "acre/h", nist},
		{"1 gal spread over 1 ft2 in in", units.Gallon.Over(units.SquareFoot).Depth().In(units.Inch), 1.604166666666667, "in", ucum},
		{"12.5 ft in m", (12.5 * units.Foot).SI(), 3.81, "m", nist},
		{"1.2 acre-ft in m3", (1.2 * units.AcreFoot).SI(), 1480.178205057024, "m3", nist},
		{"10 chain x chain in acre", (10 * units.Chain).Times(units.Chain).In(units.Acre), 1, "acre", nist},
		{"160 rod x rod in acre", (160 * units.Rod).Times(units.Rod).In(units.Acre), 1, "acre", nist},
		{"1 grain in mg", units.Grain.In(units.Milligram), 64.79891, "mg", ucum},
		{"0 F in degC", units.Fahrenheit(0).Celsius(), -17.77777777777778, "degC", scale},
		{"68 F in K", units.Fahrenheit(68).SI(), 293.15, "K", scale},
		{"1 degF difference in K", (units.Fahrenheit(1) - units.Fahrenheit(0)).SI(), 0.5555555555555556, "K", scale},
		{"P2O5/P in kg/kg", units.P2O5PerP, 2.291367190158649, "kg/kg", iupac},
		{"P/P2O5 in kg/kg", 1 / units.P2O5PerP, 0.4364206681037282, "kg/kg", iupac},
		{"K2O/K in kg/kg", units.K2OPerK, 1.204604803789423, "kg/kg", iupac},
		{"K/K2O in kg/kg", 1 / units.K2OPerK, 0.8301477769756678, "kg/kg", iupac},
		{"N/NH4 in kg/kg", units.NPerNH4, 0.7764867919099738, "kg/kg", iupac},
		{"NH4/N in kg/kg", 1 / units.NPerNH4, 1.287851912509982, "kg/kg", iupac},
		{"N/NH3 in kg/kg", units.NPerNH3, 0.8224435404602725, "kg/kg", iupac},
		{"N/NO3 in kg/kg", units.NPerNO3, 0.2258985981062350, "kg/kg", iupac},
		{"NO3/N in kg/kg", 1 / units.NPerNO3, 4.426764966154072, "kg/kg", iupac},
		{"S/SO4 in kg/kg", units.SPerSO4, 0.33381009336377104, "kg/kg", iupac},
		{"Ca/CaO in kg/kg", units.CaPerCaO, 0.7146907666903245, "kg/kg", iupac},
		{"Ca/CaCO3 in kg/kg", units.CaPerCaCO3, 0.40043242465539913, "kg/kg", iupac},
		{"Mg/MgO in kg/kg", units.MgPerMgO, 0.6030408213393409, "kg/kg", iupac},
		{"Mg/MgCO3 in kg/kg", units.MgPerMgCO3, 0.28827257060783285, "kg/kg", iupac},
		{"N/urea in kg/kg", units.NPerUrea, 0.46646283336394384, "kg/kg", iupac},
		{"P/PO4 in kg/kg", units.PPerPO4, 0.3261379151185836, "kg/kg", iupac},
	} {
		tol := 1e-15 * math.Abs(c.want)
		if c.source == scale {
			tol = 1e-13 // a difference of two numbers near 300
		}
		kind := evidence.Identity
		if c.source == scale {
			kind = evidence.Memory
		}
		checks = append(checks, evidence.Check{Quantity: c.quantity, Got: c.got, Want: c.want, Tol: tol, Unit: c.unit, Source: c.source, Kind: kind})
	}
	evidence.Run(t, "units", checks)
}

const (
	sp811  = "NIST SP 811 Appendix B.8, conversion factors"
	bae    = "Volume Units, Oklahoma State University BAE-1501"
	wq420  = "University of Missouri WQ420 (rev. April 1995)"
	ifa    = "IFA conversion table of nutrients"
	spes   = "Virginia Cooperative Extension SPES-201NP"
	lpe    = "Manure Testing, LPE Learning Center, conversions, example A"
	mesa   = "Stationary calibration of a boom sprayer, Mesa County"
	ncmanu = "North Carolina operator manual type B, conversions"
)

// Printed roundings; the tolerance is half a unit of the last printed digit.
func TestPublishedRoundings(t *testing.T) {
	evidence.Run(t, "units", evidence.Rights([]evidence.Check{
		{Quantity: "survey mile, revised table", Got: 5280 * units.SurveyFoot.SI(), Want: 1609.347218694, Tol: 5e-10, Unit: "m", Source: nist, Kind: evidence.Published},
		// Half of the last digit is what a float64 of that size can tell apart.
		{Quantity: "square survey mile, revised table", Got: 640 * units.AcreSurvey.SI(), Want: 2589998.470319521, Tol: 1e-9, Unit: "m2", Source: nist, Kind: evidence.Published},
		{Quantity: "square mile, revised table", Got: units.SquareMile.SI(), Want: 2589988.110336, Tol: 5e-7, Unit: "m2", Source: nist, Kind: evidence.Published},
		{Quantity: "survey acre, SP 811", Got: units.AcreSurvey.SI(), Want: 4046.873, Tol: 0.0005, Unit: "m2", Source: sp811, Kind: evidence.Published},
		{Quantity: "survey acre-foot, SP 811", Got: units.AcreSurvey.Times(units.SurveyFoot).SI(), Want: 1233.489, Tol: 0.0005, Unit: "m3", Source: sp811, Kind: evidence.Published},
		{Quantity: "bushel, SP 811", Got: units.Bushel.SI(), Want: 0.03523907, Tol: 5e-9, Unit: "m3", Source: sp811, Kind: evidence.Published},
		{Quantity: "cubic foot, SP 811", Got: units.CubicFoot.SI(), Want: 0.02831685, Tol: 5e-9, Unit: "m3", Source: sp811, Kind: evidence.Published},
		{Quantity: "cubic yard, SP 811", Got: units.CubicYard.SI(), Want: 0.7645549, Tol: 5e-8, Unit: "m3", Source: sp811, Kind: evidence.Published},
		{Quantity: "gallon, SP 811", Got: units.Gallon.SI(), Want: 0.003785412, Tol: 5e-10, Unit: "m3", Source: sp811, Kind: evidence.Published},
		{Quantity: "gallon per minute, SP 811", Got: units.GallonPerMinute.SI(), Want: 6.30902e-5, Tol: 5e-11, Unit: "m3/s", Source: sp811, Kind: evidence.Published},
		{Quantity: "pound, SP 811", Got: units.Pound.SI(), Want: 0.4535924, Tol: 5e-8, Unit: "kg", Source: sp811, Kind: evidence.Published},
		{Quantity: "short ton, SP 811", Got: units.Ton.SI(), Want: 907.1847, Tol: 5e-5, Unit: "kg", Source: sp811, Kind: evidence.Published},
		{Quantity: "pound per cubic foot, SP 811", Got: units.PoundPerCubicFoot.SI(), Want: 16.01846, Tol: 5e-6, Unit: "kg/m3", Source: sp811, Kind: evidence.Published},
		{Quantity: "pound per gallon, SP 811", Got: units.PoundPerGallon.SI(), Want: 119.8264, Tol: 5e-5, Unit: "kg/m3", Source: sp811, Kind: evidence.Published},
		{Quantity: "mile per hour, SP 811", Got: units.MilePerHour.SI(), Want: 0.44704, Tol: 5e-8, Unit: "m/s", Source: sp811, Kind: evidence.Published},
		{Quantity: "square mile, SP 811", Got: units.SquareMile.SI(), Want: 2589988, Tol: 0.5, Unit: "m2", Source: sp811, Kind: evidence.Published},
		{Quantity: "gallon in cubic feet, BAE-1501", Got: units.Gallon.In(units.CubicFoot), Want: 0.13368, Tol: 5e-6, Unit: "ft3", Source: bae, Kind: evidence.Published},
		{Quantity: "cubic foot in gallons, BAE-1501", Got: units.CubicFoot.In(units.Gallon), Want: 7.481, Tol: 0.0005, Unit: "gal", Source: bae, Kind: evidence.Published},
		{Quantity: "acre-inch in cubic feet, BAE-1501", Got: units.AcreInch.In(units.CubicFoot), Want: 3630, Tol: 0.5, Unit: "ft3", Source: bae, Kind: evidence.Published},
		{Quantity: "acre-inch in gallons, BAE-1501", Got: units.AcreInch.In(units.Gallon), Want: 27154, Tol: 0.5, Unit: "gal", Source: bae, Kind: evidence.Published},
		// Follows only with 8.33 lb/gal.
		{Quantity: "acre-inch of water in tons, BAE-1501", Got: (8.33 * units.PoundPerGallon).Times(units.AcreInch).In(units.Ton), Want: 113.1, Tol: 0.05, Unit: "ton", Source: bae, Kind: evidence.Published},
		{Quantity: "mg/kg in lb/ton, WQ420", Got: units.MilligramPerKilogram.In(units.PoundPerTon), Want: 0.002, Tol: 1e-9, Unit: "lb/ton", Source: wq420, Kind: evidence.Published},
		// Of the 1 % of solids; 0.0417 to three figures at the sheet's 8.34 lb/gal.
		{Quantity: "lb/1000 gal per lb/dry ton and % solids, WQ420", Got: (0.01 * units.PoundPerTon).At(8.34 * units.PoundPerGallon).In(units.PoundPer1000Gallon), Want: 0.04167, Tol: 0.00005, Unit: "lb/1000 gal", Source: wq420, Kind: evidence.Published},
		// Follows only with 8.33 lb/gal.
		{Quantity: "lb/1000 gal per mg/kg dry and % solids, WQ420", Got: (0.01 * units.MilligramPerKilogram).At(8.33 * units.PoundPerGallon).In(units.PoundPer1000Gallon), Want: 0.0000833, Tol: 5e-8, Unit: "lb/1000 gal", Source: wq420, Kind: evidence.Published},
		// Printed to three figures at most.
		{Quantity: "gallons per dry ton at 1 % solids, WQ420", Got: (100 * units.Ton).OverDensity(8.34 * units.PoundPerGallon).In(units.Gallon), Want: 24000, Tol: 50, Unit: "gal", Source: wq420, Kind: evidence.Published},
		{Quantity: "cubic yards per dry ton at 1 % solids, WQ420", Got: (100 * units.Ton).OverVolume(units.CubicYard).In(1685 * units.Pound.OverVolume(units.CubicYard)), Want: 118.7, Tol: 0.05, Unit: "yd3", Source: wq420, Kind: evidence.Published},
		{Quantity: "kg/ha in lb/acre, WQ420 prints 0.8907", Got: units.KilogramPerHectare.In(units.PoundPerAcre), Want: 0.8907, Tol: 0.00005, Unit: "lb/acre", Source: wq420, Kind: evidence.Slip},
		{Quantity: "P in P2O5, IFA", Got: units.P2O5PerP, Want: 2.2914, Tol: 0.00005, Unit: "kg/kg", Source: ifa, Kind: evidence.Published},
		{Quantity: "P2O5 in P, IFA", Got: 1 / units.P2O5PerP, Want: 0.4364, Tol: 0.00005, Unit: "kg/kg", Source: ifa, Kind: evidence.Published},
		{Quantity: "K in K2O, IFA", Got: units.K2OPerK, Want: 1.2046, Tol: 0.00005, Unit: "kg/kg", Source: ifa, Kind: evidence.Published},
		// Needs an oxygen weight of 15.999; the exact factor rounds to 0.8301.
		{Quantity: "K2O in K, IFA prints 0.8302", Got: 1 / units.K2OPerK, Want: 0.8302, Tol: 0.00005, Unit: "kg/kg", Source: ifa, Kind: evidence.Slip},
		{Quantity: "kg/ha in lb/acre, IFA prints 0.9822", Got: units.KilogramPerHectare.In(units.PoundPerAcre), Want: 0.9822, Tol: 0.00005, Unit: "lb/acre", Source: ifa, Kind: evidence.Slip},
		{Quantity: "acre in square yards, IFA prints 4480", Got: units.Acre.In(units.SquareYard), Want: 4480, Tol: 0.5, Unit: "yd2", Source: ifa, Kind: evidence.Slip},
		// The inverse of a rounded 0.4365.
		{Quantity: "P in P2O5, SPES-201NP prints 2.2910", Got: units.P2O5PerP, Want: 2.2910, Tol: 0.00005, Unit: "kg/kg", Source: spes, Kind: evidence.Slip},
		{Quantity: "P2O5 in P, SPES-201NP prints 0.4365", Got: 1 / units.P2O5PerP, Want: 0.4365, Tol: 0.00005, Unit: "kg/kg", Source: spes, Kind: evidence.Slip},
		{Quantity: "N in NH3, SPES-201NP prints 0.8225", Got: units.NPerNH3, Want: 0.8225, Tol: 0.00005, Unit: "kg/kg", Source: spes, Kind: evidence.Slip},
		{Quantity: "K in K2O, SPES-201NP prints 1.2051", Got: units.K2OPerK, Want: 1.2051, Tol: 0.00005, Unit: "kg/kg", Source: spes, Kind: evidence.Slip},
		{Quantity: "K2O in K, SPES-201NP", Got: 1 / units.K2OPerK, Want: 0.8301, Tol: 0.00005, Unit: "kg/kg", Source: spes, Kind: evidence.Published},
		// 10.5 % solids with 1.4 % P in the dry matter, at 8.3 lb/gal.
		{Quantity: "P per ton as is, LPE", Got: (0.105 * 1.4 * units.Percent).In(units.PoundPerTon), Want: 2.9, Tol: 0.05, Unit: "lb/ton", Source: lpe, Kind: evidence.Published},
		// Printed from the rounded 2.9; at full precision 6.76.
		{Quantity: "P2O5 per ton by the coarse factor, LPE", Got: units.OxidesCoarse.P2O5PerP() * (0.105 * 1.4 * units.Percent).In(units.PoundPerTon), Want: 6.7, Tol: 0.1, Unit: "lb/ton", Source: lpe, Kind: evidence.Published},
		{Quantity: "P per 1000 gal, LPE", Got: (0.105 * 1.4 * units.Percent).At(8.3 * units.PoundPerGallon).In(units.PoundPer1000Gallon), Want: 12.2, Tol: 0.05, Unit: "lb/1000 gal", Source: lpe, Kind: evidence.Published},
		{Quantity: "P2O5 per 1000 gal by the coarse factor, LPE", Got: units.OxidesCoarse.P2O5PerP() * (0.105 * 1.4 * units.Percent).At(8.3*units.PoundPerGallon).In(units.PoundPer1000Gallon), Want: 28.1, Tol: 0.05, Unit: "lb/1000 gal", Source: lpe, Kind: evidence.Published},
		{Quantity: "gal/acre from gpm, mph and inches", Got: units.GallonPerMinute.OverSwath(units.MilePerHour, units.Inch).In(units.GallonPerAcre), Want: 5940, Tol: 0.5, Unit: "gal/acre", Source: mesa, Kind: evidence.Published},
		{Quantity: "bushel in cubic feet, the manual prints 1.25", Got: units.Bushel.In(units.CubicFoot), Want: 1.25, Tol: 0.005, Unit: "ft3", Source: ncmanu, Kind: evidence.Slip},
	}, map[string][2]float64{
		"kg/ha in lb/acre, WQ420 prints 0.8907":        {0.89218, 5e-06},
		"K2O in K, IFA prints 0.8302":                  {0.83015, 5e-06},
		"kg/ha in lb/acre, IFA prints 0.9822":          {0.89218, 5e-06},
		"acre in square yards, IFA prints 4480":        {4840, evidence.Exact},
		"P in P2O5, SPES-201NP prints 2.2910":          {2.29137, 5e-06},
		"P2O5 in P, SPES-201NP prints 0.4365":          {0.43642, 5e-06},
		"N in NH3, SPES-201NP prints 0.8225":           {0.82244, 5e-06},
		"K in K2O, SPES-201NP prints 1.2051":           {1.2046, 5e-05},
		"bushel in cubic feet, the manual prints 1.25": {1.244456, 5e-07},
	}))
}
