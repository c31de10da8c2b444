package earthwork_test

import (
	"testing"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
	"example.org/earthbasin/volume/internal/plantest"
)

// check is a row of evidence.Check.
func check(quantity string, got, want, tol float64, unit, source string, kind evidence.Kind) evidence.Check {
	return evidence.Check{Quantity: quantity, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind}
}

func TestPublishedEarthwork(t *testing.T) {
	ft, yd3, ft3 := units.Foot, units.CubicYard, units.CubicFoot
	const (
		estimating = "construction-estimating text, chapter 9"
		railroad   = "Handbook of Railroad Construction for the Use of American Engineers (19th century), art. 108; table values are cut to whole ft2"
		maryland   = "Md. Code Regs. 26.20.21.08 A(6), crest width (H + 35)/5"
		military   = "NAVEDTRA soil conversion table 10-1, rows recalled; the factors between loose and compacted follow from those of bank, both rounded to 0.01"
		geometry   = "geometry, "
		damSection = "University of Regina, Math Central question database, QQ.09.07, dam section"
		ditch      = "San Francisco Estuary Institute, sediment removal field sheet, node 3257"
	)
	convert := func(spec earthwork.SoilSpec, v units.Volume, from, to earthwork.State) units.Volume {
		s := plantest.Must[*earthwork.Soil](t)(earthwork.NewSoil(spec))
		return plantest.Must[units.Volume](t)(s.Convert(v, from, to))
	}
	sand := earthwork.SoilSpec{Class: earthwork.SoilClassSandOrGravel}
	mix := earthwork.SoilSpec{Class: earthwork.SoilClassSandGravelMix}
	clay := earthwork.SoilSpec{Class: earthwork.SoilClassDenseClay}
	loads := func(v units.Volume, state earthwork.State, soil earthwork.SoilSpec, truck units.Volume) float64 {
		r := plantest.Must[earthwork.LoadsResult](t)(earthwork.Loads(earthwork.LoadsSpec{Volume: v, State: state, Soil: soil, Truck: earthwork.TruckSpec{Volume: truck}}))
		return float64(r.Loads)
	}
	anySoil := earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.1)}
	trench := func(method volume.Method, bottom units.Length, slope, step float64, depths ...float64) units.Volume {
		spec := earthwork.TrenchSpec{BottomWidth: bottom, SideSlopes: [2]float64{slope, slope}, Method: method, Soil: anySoil}
		for i, d := range depths {
			spec.Points = append(spec.Points, earthwork.TrenchPoint{Station: units.Length(float64(i)*step) * ft, Depth: units.Length(d) * ft})
		}
		return plantest.Must[earthwork.TrenchResult](t)(earthwork.Trench(spec)).Excavation
	}
	// A trench of one foot has the volume of its section.
	section := func(bottom units.Length, slope, depth float64) float64 {
		return trench(volume.MethodPrismoidal, bottom, slope, 1, depth, depth).In(ft3)
	}
	basin := plantest.Must[*volume.Rectangular](t)(volume.NewRectangular(volume.RectangularSpec{Length: 425 * ft, Width: 100 * ft, At: volume.ReferenceFloor, Depth: 6.2 * ft, Slopes: []float64{3}}))
	liner := func(m volume.LinerMethod) float64 {
		return plantest.Must[volume.LinerResult](t)(volume.Liner(volume.LinerSpec{Basin: basin, Thickness: ft, Method: m})).Volume.In(ft3)
	}
	berm := plantest.Must[earthwork.BermResult](t)(earthwork.Berm(earthwork.BermSpec{Line: earthwork.BermLineInnerToe, Length: 300 * ft, Width: 200 * ft, Sides: []earthwork.BermSection{{Height: 4 * ft, CrestWidth: 10 * ft, InnerSlope: 3, OuterSlope: 3}}}))
	crown := func(shape earthwork.CrownShape, l, w units.Length, g float64) earthwork.CrownResult {
		return plantest.Must[earthwork.CrownResult](t)(earthwork.Crown(earthwork.CrownSpec{Shape: shape, Length: l, Width: w, Grade: g}))
	}
	built := func(rule earthwork.SettlementRule) units.Length {
		return plantest.Must[earthwork.OverbuildResult](t)(earthwork.Overbuild(earthwork.OverbuildSpec{Design: 100 * ft, Settlement: earthwork.SettlementSpec{Rule: rule, Share: 0.05}})).Built
	}
	recalled := func(loose, compacted float64) earthwork.SoilSpec {
		return earthwork.SoilSpec{Swell: new(loose - 1), Shrink: new(1 - compacted)}
	}

	cell := volume.LevelGrid{StepX: 50 * ft, StepY: 50 * ft, Levels: [][]units.Length{{1.4 * ft, 1.4 * ft}, {1.2 * ft, 1.3 * ft}}}
	cut := plantest.Must[earthwork.GradeResult](t)(earthwork.Grade(earthwork.GradeSpec{Ground: cell, Final: earthwork.Plane{}})).Cut

	sections := func(m volume.Method, step float64, areas ...float64) units.Volume {
		spec := earthwork.SectionsSpec{Method: m}
		for i, a := range areas {
			spec.Sections = append(spec.Sections, earthwork.Section{Station: units.Length(float64(i)*step) * ft, Cut: units.Area(a) * units.SquareFoot})
		}
		return plantest.Must[earthwork.SectionsResult](t)(earthwork.Sections(spec)).Cut
	}
	dam := plantest.Must[units.Area](t)(earthwork.BermSection{Height: 15 * ft, CrestWidth: 14 * ft, InnerSlope: 43.0 / 15, OuterSlope: 43.0 / 15}.Area())

	account := plantest.Must[earthwork.AccountResult](t)(earthwork.Account(earthwork.AccountSpec{Soils: []earthwork.AccountSoil{{Name: "mix", Soil: mix, BroughtIn: true}},
		Fills: []earthwork.AccountFill{{Name: "fill", Volume: 500 * yd3, State: earthwork.StateCompacted, Soils: []string{"mix"}}}}))
	checks := []evidence.Check{
		check("account of 500 yd3 of sand and gravel compacted, brought in, bank", account.Row("mix").Import.Bank.In(yd3), 526, 0.5, "yd3", estimating+", Example 9-3", evidence.Published),
		check("dam 100 ft base, 14 ft top, 15 ft high, section", dam.In(units.SquareFoot), 855, 1e-9, "ft2", damSection, evidence.Published),
		check("sections 0, 137, 350, 637, 0 ft2 at 50 ft, end areas", sections(volume.MethodEndArea, 50, 0, 137, 350, 637, 0).In(ft3), 56200, 1e-6, "ft3", railroad, evidence.Published),
		check("grid cell of 2,500 ft2, cuts 1.4, 1.4, 1.2, 1.3 ft", cut.In(ft3), 3313, 0.5, "ft3", estimating+", Example 9-8, p. 76", evidence.Published),
		check("the same cell in cubic yards", cut.In(yd3), 123, 0.5, "yd3", estimating+", Example 9-8, p. 76", evidence.Published),
		check("sand or gravel, 100 yd3 bank, loose", convert(sand, 100*yd3, earthwork.StateBank, earthwork.StateLoose).In(yd3), 111, 0.5, "yd3", "NAVEDTRA soil conversion table 10-1, as quoted in a text on mining equipment", evidence.Published),
		check("sand or gravel, 100 yd3 bank, compacted", convert(sand, 100*yd3, earthwork.StateBank, earthwork.StateCompacted).In(yd3), 95, 0.5, "yd3", "NAVEDTRA soil conversion table 10-1, as quoted in a text on mining equipment", evidence.Published),
		check("dense clay, 1,000 yd3 bank, loose", convert(clay, 1000*yd3, earthwork.StateBank, earthwork.StateLoose).In(yd3), 1300, 0.5, "yd3", estimating+", Example 9-2", evidence.Published),
		check("dense clay, 1,000 yd3 bank, loads of 7 yd3", loads(1000*yd3, earthwork.StateBank, clay, 7*yd3), 186, evidence.Exact, "loads", estimating+", Example 9-2; loads are rounded up", evidence.Published),
		check("sand and gravel, 500 yd3 compacted, bank", convert(mix, 500*yd3, earthwork.StateCompacted, earthwork.StateBank).In(yd3), 526, 0.5, "yd3", estimating+", Example 9-3", evidence.Published),
		check("settlement of 48 in under rollers, shrink 0.2", plantest.Must[units.Length](t)(earthwork.RolledSettlement(earthwork.RolledSettlementSpec{Depth: 48 * units.Inch, Shrink: 0.2})).In(units.Inch), 4.8, 1e-12, "in", "Moving the Earth: The Workbook of Excavation, p. 2.51", evidence.Published),
		check("cutting 100 ft base, 14 ft, 15 ft, 300 ft long", trench(volume.MethodPrismoidal, 14*ft, 43.0/15, 300, 15, 15).In(ft3), 256500, 1e-6, "ft3", damSection, evidence.Published),
		check("the same in cubic yards", trench(volume.MethodPrismoidal, 14*ft, 43.0/15, 300, 15, 15).In(yd3), 9500, 1e-6, "yd3", damSection, evidence.Published),
		check("cutting 20 ft wide, 1.5:1, 5 ft deep, section", section(20*ft, 1.5, 5), 137, 1, "ft2", railroad, evidence.Published),
		check("cutting 20 ft wide, 1.5:1, 10 ft deep, section", section(20*ft, 1.5, 10), 350, 1, "ft2", railroad, evidence.Published),
		check("cutting 20 ft wide, 1.5:1, 15 ft deep, section", section(20*ft, 1.5, 15), 637, 1, "ft2", railroad, evidence.Published),
		check("cuts 0, 5, 10, 15, 0 ft at 50 ft, end areas", trench(volume.MethodEndArea, 20*ft, 1.5, 50, 0, 5, 10, 15, 0).In(ft3), 56200, 50, "ft3", railroad, evidence.Published),
		// End area less prismoidal is X s dh^2/6 for each step: 3 x 312.5 + 2,812.5.
		check("cuts 0, 5, 10, 15, 0 ft at 50 ft, prismoidal", trench(volume.MethodPrismoidal, 20*ft, 1.5, 50, 0, 5, 10, 15, 0).In(ft3), 56250-3*312.5-2812.5, 1e-6, "ft3", geometry+"end area less X s dh^2/6", evidence.Identity),
		check("sediment 2 ft in a ditch 8 ft wide, 1.5:1", section(8*ft, 1.5, 2), (8+(8+2*1.5*2))*2/2.0, 1e-9, "ft2", ditch+": (8 + (8 + 2 x 1.5 d)) d/2", evidence.Published),
		check("cubic foot in cubic yards, as the sheet has it", ft3.In(yd3), 0.037, 0.0005, "yd3", ditch, evidence.Published),
		check("height per length along a bank of 1.5:1, as the sheet has it", plantest.Must[units.Length](t)(volume.SlopeDepth(volume.SlopeDepthSpec{Along: 1, Slope: 1.5})).SI(), 0.55, 0.005, "m/m", ditch, evidence.Published),
		check("crest width of an embankment of 10 ft", plantest.Must[units.Length](t)(earthwork.CrestWidth(10*ft)).In(ft), 9, 1e-12, "ft", maryland, evidence.Published),
		check("crest width of an embankment of 15 ft", plantest.Must[units.Length](t)(earthwork.CrestWidth(15*ft)).In(ft), 10, 1e-12, "ft", maryland, evidence.Published),
		check("crest width of an embankment of 20 ft", plantest.Must[units.Length](t)(earthwork.CrestWidth(20*ft)).In(ft), 11, 1e-12, "ft", maryland, evidence.Published),
		check("liner 1 ft, 425 x 100 x 6.2 ft, 3:1, offset solid", liner(volume.LinerMethodOffset), 66552.567, 0.0005, "ft3", geometry+"outer solid less inner, offset t sqrt(1 + z^2)", evidence.Identity),
		check("liner 1 ft, 425 x 100 x 6.2 ft, 3:1, area x thickness", liner(volume.LinerMethodArea), 64545.123, 0.0005, "ft3", geometry+"(A_top - A_floor) sqrt(1 + z^2)/z and the floor", evidence.Identity),
		check("berm ring 300 x 200 ft, 3:1, crest 10 ft, 4 ft high", berm.Volume.In(ft3), 99968, 1e-6, "ft3", geometry+"outer prismoid less inner prismoid", evidence.Identity),
		check("hip crown 300 x 200 ft at 3 %, peak", crown(earthwork.CrownShapeHip, 300*ft, 200*ft, 0.03).Peak.In(ft), 3, 1e-12, "ft", geometry+"hip roof", evidence.Identity),
		check("hip crown 300 x 200 ft at 3 %", crown(earthwork.CrownShapeHip, 300*ft, 200*ft, 0.03).Volume.In(ft3), 70000, 1e-6, "ft3", geometry+"hip roof", evidence.Identity),
		check("gable crown 300 x 200 ft at 3 %", crown(earthwork.CrownShapeGable, 300*ft, 200*ft, 0.03).Volume.In(ft3), 90000, 1e-6, "ft3", geometry+"gable roof", evidence.Identity),
		check("5 % of placed over 5 % of design, difference", (built(earthwork.SettlementRulePlaced) - built(earthwork.SettlementRuleDesign)).In(ft), 100*(1/0.95-1.05), 1e-9, "ft per 100 ft", "definitions of the two conventions, 0.26 % of the height", evidence.Identity),
		check("topsoil of 1 in from 1 acre", units.Acre.Times(units.Inch).In(yd3), 134.44, 0.005, "yd3", "definitions of acre, inch and cubic yard", evidence.Identity),
	}
	for _, row := range []struct {
		name                                           string
		loose, compacted                               float64
		looseBank, looseComp, compactedBank, compLoose float64
	}{
		{"sand or gravel", 1.11, 0.95, 0.90, 0.86, 1.05, 1.17},
		{"loam", 1.25, 0.90, 0.80, 0.72, 1.11, 1.39},
		{"clay", 1.43, 0.90, 0.70, 0.63, 1.11, 1.59},
		{"blasted rock", 1.50, 1.30, 0.67, 0.87, 0.77, 1.15},
	} {
		soil := recalled(row.loose, row.compacted)
		one := func(from, to earthwork.State) float64 { return convert(soil, 1, from, to).SI() }
		checks = append(checks,
			check(row.name+", loose to bank", one(earthwork.StateLoose, earthwork.StateBank), row.looseBank, 0.0051, "m3/m3", military, evidence.Memory),
			check(row.name+", loose to compacted", one(earthwork.StateLoose, earthwork.StateCompacted), row.looseComp, 0.0051, "m3/m3", military, evidence.Memory),
			check(row.name+", compacted to bank", one(earthwork.StateCompacted, earthwork.StateBank), row.compactedBank, 0.0051, "m3/m3", military, evidence.Memory),
			check(row.name+", compacted to loose", one(earthwork.StateCompacted, earthwork.StateLoose), row.compLoose, 0.0051, "m3/m3", military, evidence.Memory),
		)
	}
	evidence.Run(t, "volume/earthwork", checks)
}
