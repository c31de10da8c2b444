package nutrient

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// The metal tables cell by cell: 40 CFR 503.13, tables 1 to 4, and South Carolina
// R.61-43.400.60; ceiling, pollutant concentration, cumulative and annual load; 0 where
// the table has none.
func TestMetalTablesAreAsPrinted(t *testing.T) {
	for id, want := range map[string]map[Element][4]float64{
		"us-sludge": {
			Arsenic: {75, 41, 41, 2}, Cadmium: {85, 39, 39, 1.9}, Copper: {4300, 1500, 1500, 75}, Lead: {840, 300, 300, 15}, Mercury: {57, 17, 17, 0.85},
			Molybdenum: {75, 0, 0, 0}, Nickel: {420, 420, 420, 21}, Selenium: {100, 0, 100, 5}, Zinc: {7500, 2800, 2800, 140},
		},
		"south-carolina": {Arsenic: {0, 41, 41, 2}, Copper: {0, 1500, 1500, 75}, Zinc: {0, 2800, 2800, 140}},
	} {
		table, err := publishedState(t, id).MetalTable(nil)
		require.NoError(t, err)
		require.Len(t, table.Limits, len(want))
		for _, l := range table.Limits {
			got := [4]float64{l.Ceiling.In(units.MilligramPerKilogram), l.Low.In(units.MilligramPerKilogram), l.Cumulative.In(units.KilogramPerHectare), l.Annual.In(units.KilogramPerHectare)}
			for i, x := range want[l.Metal] {
				require.InDelta(t, x, got[i], 1e-9, "%s: %v", id, l.Metal)
			}
		}
	}
	// Cumulative loads by cation exchange capacity below 5, of 5 to 15 and above 15 meq/100 g
	// (EPA 1983, as printed in Organic Waste Recycling, Table 9.10).
	for metal, want := range map[Element][3]float64{Lead: {560, 1120, 2240}, Zinc: {280, 560, 1120}, Copper: {140, 280, 560}, Nickel: {140, 280, 560}, Cadmium: {5, 10, 20}} {
		for i, list := range [3][]float64{{0, 4.99}, {5, 15}, {15.01, 200}} {
			for _, cec := range list {
				table, err := publishedState(t, "us-epa-1983").MetalTable(Query{"cec": fmt.Sprint(cec, " meq/100 g"), "ph": "6.5"})
				require.NoError(t, err)
				require.Len(t, table.Limits, 5)
				limit, ok := table.of(metal)
				require.True(t, ok)
				require.InDelta(t, want[i], limit.Cumulative.In(units.KilogramPerHectare), 1e-9, "%v at %v", metal, cec)
			}
		}
	}
}

// The classes of salt at and beside their edges: FAO Irrigation and Drainage Paper 29
// rev. 1, Table 1. What stands at an edge is slight to moderate.
func TestSaltClassesAreAsPrinted(t *testing.T) {
	mgL := func(x float64) *units.Concentration { return new(units.Concentration(x) * units.MilligramPerLitre) }
	for _, c := range []struct {
		item             string
		moderate, severe float64
		spec             func(x float64) SaltRatingsSpec
	}{
		{"conductivity", 0.7, 3, func(x float64) SaltRatingsSpec { return SaltRatingsSpec{EC: &x} }},
		{"dissolved solids", 450, 2000, func(x float64) SaltRatingsSpec { return SaltRatingsSpec{Dissolved: mgL(x)} }},
		{"sodium by SAR", 3, 9, func(x float64) SaltRatingsSpec { return SaltRatingsSpec{SAR: &x} }},
		{"sodium on leaves", 3, 0, func(x float64) SaltRatingsSpec { return SaltRatingsSpec{Sodium: mgL(23 * x), Sprinkler: true} }},
		{"chloride", 4, 10, func(x float64) SaltRatingsSpec { return SaltRatingsSpec{Chloride: mgL(35.5 * x)} }},
		{"chloride on leaves", 3, 0, func(x float64) SaltRatingsSpec { return SaltRatingsSpec{Chloride: mgL(35.5 * x), Sprinkler: true} }},
		{"boron", 0.7, 3, func(x float64) SaltRatingsSpec { return SaltRatingsSpec{Boron: mgL(x)} }},
		{"nitrate-N", 5, 30, func(x float64) SaltRatingsSpec { return SaltRatingsSpec{Nitrate: mgL(x)} }},
	} {
		degree := func(x float64) Restriction {
			r, err := SaltRatings(c.spec(x))
			require.NoError(t, err)
			require.Equal(t, c.item, r.Ratings[0].Item)
			require.InDelta(t, c.moderate, r.Ratings[0].Moderate, 1e-12)
			require.InDelta(t, c.severe, r.Ratings[0].Severe, 1e-12)
			require.Equal(t, r.Ratings[0].Degree, r.Worst)
			return r.Worst
		}
		require.Equal(t, RestrictionNone, degree(c.moderate*0.999), c.item)
		require.Equal(t, RestrictionModerate, degree(c.moderate*1.0000001), c.item)
		if c.severe == 0 {
			require.Equal(t, RestrictionModerate, degree(1000*c.moderate), c.item)
			continue
		}
		require.Equal(t, RestrictionModerate, degree(c.severe*0.9999999), c.item)
		require.Equal(t, RestrictionSevere, degree(c.severe*1.001), c.item)
	}
	require.Equal(t, RestrictionModerate, salts(t, SaltRatingsSpec{EC: new(0.7)}).Worst, "at the edge of none")
	require.Equal(t, RestrictionModerate, salts(t, SaltRatingsSpec{EC: new(3.0)}).Worst, "at the edge of severe")
	// Infiltration: weak water closes the soil, the more the higher its SAR.
	for _, c := range []struct{ from, to, moderate, severe float64 }{{0, 3, 0.7, 0.2}, {3.01, 6, 1.2, 0.3}, {6.01, 12, 1.9, 0.5}, {12.01, 20, 2.9, 1.3}, {20.01, 40, 5, 2.9}} {
		for _, sar := range []float64{c.from, c.to} {
			for ec, want := range map[float64]Restriction{c.moderate * 1.001: RestrictionNone, c.moderate: RestrictionModerate, c.severe: RestrictionModerate, c.severe * 0.999: RestrictionSevere} {
				r := salts(t, SaltRatingsSpec{EC: &ec, SAR: &sar, Sprinkler: true})
				require.Equal(t, "infiltration", r.Ratings[1].Item)
				require.Equal(t, want, r.Ratings[1].Degree, "SAR %v, EC %v", sar, ec)
				require.InDelta(t, c.moderate, r.Ratings[1].Moderate, 1e-12)
				require.InDelta(t, c.severe, r.Ratings[1].Severe, 1e-12)
			}
		}
	}
}

func salts(t *testing.T, spec SaltRatingsSpec) SaltRatingsResult {
	t.Helper()
	r, err := SaltRatings(spec)
	require.NoError(t, err)
	return r
}

// What soils hold for plants, in/ft (University of California, drought management, soil
// characteristics), and the fastest precipitation, in/h, covered and bare, on slopes of
// 0 to 5, 5 to 8 and 8 to 12 percent (USDA, as tabled in a trade magazine).
func TestSoilTablesAreAsPrinted(t *testing.T) {
	for texture, want := range map[Texture][2]float64{
		TextureVeryCoarseSand: {0.40, 0.75}, TextureSand: {0.75, 1.25}, TextureSandyLoam: {1.25, 1.75}, TextureLoam: {1.50, 2.30}, TextureClayLoam: {1.75, 2.50}, TextureClay: {1.60, 2.50},
	} {
		r, err := AvailableWater(texture)
		require.NoError(t, err)
		require.InDelta(t, want[0], 12*r.Low, 1e-12, texture.String())
		require.InDelta(t, want[1], 12*r.High, 1e-12, texture.String())
	}
	for intake, want := range map[Intake][6]float64{
		IntakeCoarseSand: {2, 2, 2, 1.5, 1.5, 1}, IntakeSandyLoam: {1.75, 1, 1.25, 0.8, 1, 0.6}, IntakeSiltLoam: {1, 0.5, 0.8, 0.4, 0.6, 0.3}, IntakeClay: {0.2, 0.15, 0.15, 0.1, 0.12, 0.08},
	} {
		for i, slopes := range [3][]float64{{0, 0.0499}, {0.05, 0.0799}, {0.08, 0.12}} {
			for _, grade := range slopes {
				for j, covered := range []bool{true, false} {
					r, err := MaxPrecipitation(intake, grade, covered)
					require.NoError(t, err)
					require.InDelta(t, want[2*i+j], r.In(units.InchPerHour), 1e-12, "%s, %v, %v", intake, grade, covered)
				}
			}
		}
	}
}
