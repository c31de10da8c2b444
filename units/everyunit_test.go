package units_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Every unit in SI, to sixteen figures, worked out with exact fractions apart from this
// library, from the inch of 0.0254 m, the pound of 0.45359237 kg, the gallon of 231 and the
// bushel of 2150.42 cubic inches (NIST Special Publication 811 (2008), appendix B), the
// survey foot of 1200/3937 m (85 FR 62698), the imperial gallon of 4.54609 L (UK Units of
// Measurement Regulations 1995), the standard gravity of 9.80665 m/s2 and the definitions
// that the names tell.
func TestEveryUnitInSI(t *testing.T) {
	want := map[string][2]float64{
		"Foot": {units.Foot.SI(), 0.3048}, "Inch": {units.Inch.SI(), 0.0254}, "Yard": {units.Yard.SI(), 0.9144},
		"Mile": {units.Mile.SI(), 1609.344}, "Metre": {units.Metre.SI(), 1}, "Centimetre": {units.Centimetre.SI(), 0.01},
		"Millimetre": {units.Millimetre.SI(), 0.001}, "Kilometre": {units.Kilometre.SI(), 1000}, "Rod": {units.Rod.SI(), 5.0292},
		"Chain": {units.Chain.SI(), 20.1168}, "SurveyFoot": {units.SurveyFoot.SI(), 0.3048006096012192},
		"Acre": {units.Acre.SI(), 4046.8564224}, "SquareFoot": {units.SquareFoot.SI(), 0.09290304}, "SquareYard": {units.SquareYard.SI(), 0.83612736},
		"Hectare": {units.Hectare.SI(), 10000}, "SquareMetre": {units.SquareMetre.SI(), 1}, "SquareMile": {units.SquareMile.SI(), 2589988.110336},
		"SquareInch": {units.SquareInch.SI(), 0.00064516}, "SquareCentimetre": {units.SquareCentimetre.SI(), 0.0001}, "AcreSurvey": {units.AcreSurvey.SI(), 4046.872609874252},
		"Gallon": {units.Gallon.SI(), 0.003785411784}, "CubicFoot": {units.CubicFoot.SI(), 0.028316846592}, "CubicYard": {units.CubicYard.SI(), 0.764554857984},
		"AcreInch": {units.AcreInch.SI(), 102.79015312896}, "AcreFoot": {units.AcreFoot.SI(), 1233.48183754752}, "Bushel": {units.Bushel.SI(), 0.03523907016688},
		"Pint": {units.Pint.SI(), 0.000473176473}, "Quart": {units.Quart.SI(), 0.000946352946}, "FluidOunce": {units.FluidOunce.SI(), 2.95735295625e-05},
		"Litre": {units.Litre.SI(), 0.001}, "Millilitre": {units.Millilitre.SI(), 1e-06}, "CubicMetre": {units.CubicMetre.SI(), 1},
		"CubicInch": {units.CubicInch.SI(), 1.6387064e-05}, "ImperialGallon": {units.ImperialGallon.SI(), 0.00454609},
		"Pound": {units.Pound.SI(), 0.45359237}, "Ton": {units.Ton.SI(), 907.18474}, "Ounce": {units.Ounce.SI(), 0.028349523125},
		"LongTon": {units.LongTon.SI(), 1016.0469088}, "Grain": {units.Grain.SI(), 6.479891e-05}, "Kilogram": {units.Kilogram.SI(), 1},
		"Gram": {units.Gram.SI(), 0.001}, "Milligram": {units.Milligram.SI(), 1e-06}, "Tonne": {units.Tonne.SI(), 1000},
		"Percent": {units.Percent.SI(), 0.01}, "PoundPerTon": {units.PoundPerTon.SI(), 0.0005}, "MilligramPerKilogram": {units.MilligramPerKilogram.SI(), 1e-06},
		"PartPerMillion": {units.PartPerMillion.SI(), 1e-06}, "GramPerKilogram": {units.GramPerKilogram.SI(), 0.001}, "KilogramPerTonne": {units.KilogramPerTonne.SI(), 0.001},
		"KilogramPerKilogram": {units.KilogramPerKilogram.SI(), 1},
		"PoundPerAcre":        {units.PoundPerAcre.SI(), 0.0001120851156194456}, "TonPerAcre": {units.TonPerAcre.SI(), 0.2241702312388912}, "KilogramPerHectare": {units.KilogramPerHectare.SI(), 0.0001},
		"TonnePerHectare": {units.TonnePerHectare.SI(), 0.1}, "PoundPer1000SquareFeet": {units.PoundPer1000SquareFeet.SI(), 0.00488242763638305}, "OuncePerSquareFoot": {units.OuncePerSquareFoot.SI(), 0.30515172727394063},
		"PoundPerSquareFoot": {units.PoundPerSquareFoot.SI(), 4.88242763638305}, "KilogramPerSquareMetre": {units.KilogramPerSquareMetre.SI(), 1},
		"PoundPer1000Gallon": {units.PoundPer1000Gallon.SI(), 0.11982642731689663}, "MilligramPerLitre": {units.MilligramPerLitre.SI(), 0.001}, "PoundPerAcreInch": {units.PoundPerAcreInch.SI(), 0.004412799827537228},
		"PoundPerAcreFoot": {units.PoundPerAcreFoot.SI(), 0.0003677333189614357}, "GramPerLitre": {units.GramPerLitre.SI(), 1},
		"PoundPerGallon": {units.PoundPerGallon.SI(), 119.82642731689663}, "PoundPerCubicFoot": {units.PoundPerCubicFoot.SI(), 16.018463373960138}, "PoundPerCubicYard": {units.PoundPerCubicYard.SI(), 0.5932764212577829},
		"TonPerCubicYard": {units.TonPerCubicYard.SI(), 1186.552842515566}, "KilogramPerCubicMetre": {units.KilogramPerCubicMetre.SI(), 1}, "GramPerMillilitre": {units.GramPerMillilitre.SI(), 1000},
		"InchPerHour": {units.InchPerHour.SI(), 7.055555555555556e-06}, "MillimetrePerHour": {units.MillimetrePerHour.SI(), 2.7777777777777776e-07}, "InchPerDay": {units.InchPerDay.SI(), 2.939814814814815e-07},
		"CentimetrePerSecond": {units.CentimetrePerSecond.SI(), 0.01},
		"Hour":                {units.Hour.SI(), 3600}, "Minute": {units.Minute.SI(), 60}, "Second": {units.Second.SI(), 1},
		"Day":             {units.Day.SI(), 86400},
		"GallonPerMinute": {units.GallonPerMinute.SI(), 6.30901964e-05}, "CubicFootPerSecond": {units.CubicFootPerSecond.SI(), 0.028316846592}, "MillionGallonPerDay": {units.MillionGallonPerDay.SI(), 0.04381263638888889},
		"AcreInchPerHour": {units.AcreInchPerHour.SI(), 0.0285528203136}, "LitrePerSecond": {units.LitrePerSecond.SI(), 0.001}, "LitrePerMinute": {units.LitrePerMinute.SI(), 1.6666666666666667e-05},
		"CubicMetrePerHour": {units.CubicMetrePerHour.SI(), 0.0002777777777777778}, "GallonPerHour": {units.GallonPerHour.SI(), 1.0515032733333334e-06}, "GallonPerDay": {units.GallonPerDay.SI(), 4.3812636388888886e-08},
		"CubicYardPerHour": {units.CubicYardPerHour.SI(), 0.00021237634944}, "CubicMetrePerSecond": {units.CubicMetrePerSecond.SI(), 1},
		"Watt": {units.Watt.SI(), 1}, "Kilowatt": {units.Kilowatt.SI(), 1000}, "Horsepower": {units.Horsepower.SI(), 745.6998715822702},
		"WattPerCubicMetre": {units.WattPerCubicMetre.SI(), 1}, "HorsepowerPer1000Gallons": {units.HorsepowerPer1000Gallons.SI(), 196.99306551909604}, "HorsepowerPer1000Cubic": {units.HorsepowerPer1000Cubic.SI(), 26.334142439184713},
		"SeedPerSquareFoot": {units.SeedPerSquareFoot.SI(), 10.763910416709722}, "SeedPerSquareMetre": {units.SeedPerSquareMetre.SI(), 1}, "SeedPerAcre": {units.SeedPerAcre.SI(), 0.0002471053814671653},
		"SeedPerPound": {units.SeedPerPound.SI(), 2.2046226218487757}, "SeedPerOunce": {units.SeedPerOunce.SI(), 35.27396194958041}, "SeedPerKilogram": {units.SeedPerKilogram.SI(), 1},
		"SeedPerGram": {units.SeedPerGram.SI(), 1000},
		"MilePerHour": {units.MilePerHour.SI(), 0.44704}, "FootPerMinute": {units.FootPerMinute.SI(), 0.00508}, "FootPerSecond": {units.FootPerSecond.SI(), 0.3048},
		"KilometrePerHour": {units.KilometrePerHour.SI(), 0.2777777777777778}, "MetrePerSecond": {units.MetrePerSecond.SI(), 1}, "MetrePerHour": {units.MetrePerHour.SI(), 0.0002777777777777778},
		"GallonPerAcre": {units.GallonPerAcre.SI(), 9.353956228956229e-07}, "AcreInchPerAcre": {units.AcreInchPerAcre.SI(), 0.0254}, "LitrePerHectare": {units.LitrePerHectare.SI(), 1e-07},
		"CubicMetrePerHectare": {units.CubicMetrePerHectare.SI(), 0.0001}, "CubicYardPerAcre": {units.CubicYardPerAcre.SI(), 0.00018892561983471074}, "BushelPerAcre": {units.BushelPerAcre.SI(), 8.707763876135089e-06},
	}
	for name, c := range want {
		require.InEpsilon(t, c[1], c[0], 1e-15, name)
	}
	for _, name := range unitNames(t) {
		require.Contains(t, want, name, "a unit that is not held here")
		delete(want, name)
	}
	require.Empty(t, want)
}

// unitNames lists the exported constants of quantities that are units.
func unitNames(t *testing.T) (list []string) {
	files, err := os.ReadDir(".")
	require.NoError(t, err)
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		tree, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, parser.ParseComments)
		require.NoError(t, err)
		for _, d := range tree.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.CONST || !strings.HasPrefix(g.Doc.Text(), "Units of ") {
				continue
			}
			for _, s := range g.Specs {
				for _, n := range s.(*ast.ValueSpec).Names {
					list = append(list, n.Name)
				}
			}
		}
	}
	return list
}
