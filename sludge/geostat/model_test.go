package geostat

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func TestModelConventions(t *testing.T) {
	p, q := pointAt(0, 0), pointAt(3, 4)
	for _, c := range []struct {
		name  string
		model Model
		want  float64
	}{
		{"spherical", Model{Nugget: 1, Sill: 2, Range: 10}, 1 + 2*(1.5*0.5-0.5*0.125)},
		{"beyond the range", Model{Nugget: 1, Sill: 2, Range: 4}, 3},
		{"exponential, plain", Model{Shape: Exponential, Sill: 2, Range: 10}, 2 * (1 - math.Exp(-0.5))},
		{"exponential, effective", Model{Shape: Exponential, Sill: 2, Range: 10, RangeAs: RangeEffective}, 2 * (1 - math.Exp(-1.5))},
		{"Gaussian, plain", Model{Shape: Gaussian, Sill: 2, Range: 10}, 2 * (1 - math.Exp(-0.25))},
		{"Gaussian, effective", Model{Shape: Gaussian, Sill: 2, Range: 10, RangeAs: RangeEffective}, 2 * (1 - math.Exp(-0.75))},
		{"major axis to the north-east along the pair", Model{Shape: Exponential, Sill: 2, Range: 10,
			Anisotropy: &Anisotropy{Ratio: 0.5, Azimuth: math.Atan2(3, 4) * 180 / math.Pi}}, 2 * (1 - math.Exp(-0.5))},
		{"across the major axis", Model{Shape: Exponential, Sill: 2, Range: 10,
			Anisotropy: &Anisotropy{Ratio: 0.5, Azimuth: math.Atan2(3, 4)*180/math.Pi + 90}}, 2 * (1 - math.Exp(-1))},
		{"the same ratio upside down", Model{Shape: Exponential, Sill: 2, Range: 10,
			Anisotropy: &Anisotropy{Ratio: 2, RatioAs: MajorOverMinor, Azimuth: math.Atan2(3, 4)*180/math.Pi + 90}}, 2 * (1 - math.Exp(-1))},
		{"the range along the minor axis", Model{Shape: Exponential, Sill: 2, Range: 5,
			Anisotropy: &Anisotropy{Ratio: 2, RatioAs: MajorOverMinor, RangeAlong: AlongMinor, Azimuth: math.Atan2(3, 4) * 180 / math.Pi}}, 2 * (1 - math.Exp(-0.5))},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.NoError(t, c.model.Check())
			require.InDelta(t, c.want, float64(c.model.Gamma(p, q)), 1e-12)
			require.Zero(t, c.model.Gamma(p, p))
		})
	}
	require.InDelta(t, 10, float64(Model{Shape: Gaussian, Range: 10 / units.Length(math.Sqrt(3))}.EffectiveRange()), 1e-12)
	require.Equal(t, []string{"shape", "rangeAs", "nugget", "range", "anisotropy.ratio", "anisotropy.rangeAlong", "anisotropy.azimuth"},
		fields(Model{Shape: 9, RangeAs: -1, Nugget: -1, Sill: 1, Anisotropy: &Anisotropy{RangeAlong: 3, Azimuth: math.NaN()}}.Check()))
	require.Equal(t, []string{"sill"}, fields(Model{}.Check()))
}

func TestModelJSON(t *testing.T) {
	var m Model
	require.NoError(t, strict.Decode([]byte(`{"shape":"exponential","nugget":"0.1 ft2","sill":"1 ft2","range":"60 ft","rangeAs":"effective",
		"anisotropy":{"ratio":0.5,"ratioAs":"minor/major","azimuth":30}}`), &m))
	require.NoError(t, m.Check())
	require.Equal(t, 60*units.Foot, m.Range)
}
