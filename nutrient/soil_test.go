package nutrient

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestHydraulic(t *testing.T) {
	s := HydraulicSpec{
		Layers: []SoilLayer{{Depth: 4 * units.Foot, Texture: TextureLoam}}, Depleted: 0.25, Target: 4 * units.Inch,
		Evapotranspiration: 0.2 * units.InchPerDay, Application: 0.3 * units.InchPerHour, Intake: 0.5 * units.InchPerHour,
	}
	r, err := Hydraulic(s)
	require.NoError(t, err)
	// 4 ft x 1.5 in/ft, a quarter of it: 1.5 in; three passes of 4/3 in.
	require.InDelta(t, 6, r.Available.Low.In(units.Inch), 1e-9)
	require.InDelta(t, 9.2, r.Available.High.In(units.Inch), 1e-9)
	require.InDelta(t, 1.5, r.Pass.In(units.Inch), 1e-9)
	require.Equal(t, 3, r.Passes)
	require.InDelta(t, 4.0/3/0.2, r.Between.In(units.Day), 1e-9)
	require.InDelta(t, 4.0/3/0.3, r.Hours.In(units.Hour), 1e-9)
	require.Empty(t, r.Cautions)
	v, _ := r.Limit.Rate.VolumePerArea()
	require.InDelta(t, 1.5*27154.29, v.In(units.GallonPerAcre), 0.1)

	// Exactly three passes stay three.
	s.Target = 4.5 * units.Inch
	r, err = Hydraulic(s)
	require.NoError(t, err)
	require.Equal(t, 3, r.Passes)

	s.Application = units.InchPerHour
	r, err = Hydraulic(s)
	require.NoError(t, err)
	require.True(t, r.TooFast)
	require.Zero(t, r.Limit.Rate.SI())
	require.Len(t, r.Cautions, 1)

	s.Depleted = 0
	r, err = Hydraulic(s)
	require.NoError(t, err)
	require.Zero(t, r.Passes)
	require.Len(t, r.Cautions, 2)

	_, err = Hydraulic(HydraulicSpec{Layers: []SoilLayer{{0, 0, units.Range[float64]{Low: 0.5, High: 0.1}}, {Depth: 1}, {1, 9, units.Range[float64]{}}, {1, TextureClay, units.Point(0.1)}}, Depleted: 2, Target: units.Length(math.NaN()), Application: 1})
	require.Equal(t, []string{"layers[0].depth", "layers[0].holds.high", "layers[1].texture", "layers[2].texture", "layers[3].holds", "depleted", "target", "evapotranspiration", "intake"}, faultFields(err))
	_, err = Hydraulic(HydraulicSpec{})
	require.Equal(t, []string{"layers", "target", "evapotranspiration"}, faultFields(err))
}

func TestMaxPrecipitation(t *testing.T) {
	for _, c := range []struct {
		soil    Intake
		grade   float64
		covered bool
		want    float64
	}{
		{IntakeCoarseSand, 0, true, 2}, {IntakeCoarseSand, 0.12, false, 1},
		{IntakeSandyLoam, 0.05, true, 1.25}, {IntakeSiltLoam, 0.049, false, 0.5}, {IntakeClay, 0.08, false, 0.08},
	} {
		r, err := MaxPrecipitation(c.soil, c.grade, c.covered)
		require.NoError(t, err)
		require.InDelta(t, c.want, r.In(units.InchPerHour), 1e-12)
	}
	_, err := MaxPrecipitation(0, 0.2, true)
	require.Equal(t, []string{"intake", "grade"}, faultFields(err))
	_, err = AvailableWater(0)
	require.Equal(t, []string{"texture"}, faultFields(err))
}

func TestSaltRatings(t *testing.T) {
	degrees := func(s SaltRatingsSpec) map[string]Restriction {
		r, err := SaltRatings(s)
		require.NoError(t, err)
		m := map[string]Restriction{}
		for _, x := range r.Ratings {
			m[x.Item] = x.Degree
		}
		return m
	}
	mgL := func(x float64) *units.Concentration { return new(units.Concentration(x) * units.MilligramPerLitre) }
	require.Equal(t, map[string]Restriction{
		"conductivity": RestrictionSevere, "dissolved solids": RestrictionModerate, "sodium by SAR": RestrictionModerate,
		"infiltration": RestrictionNone, "chloride": RestrictionModerate, "boron": RestrictionNone, "nitrate-N": RestrictionSevere,
	}, degrees(SaltRatingsSpec{EC: new(4.0), Dissolved: mgL(2000), SAR: new(5.0), Sodium: mgL(100), Chloride: mgL(150), Boron: mgL(0.5), Nitrate: mgL(31)}))
	// On leaves: 3 meq/L of Na are 69 mg/L.
	require.Equal(t, map[string]Restriction{"sodium on leaves": RestrictionNone, "chloride on leaves": RestrictionModerate},
		degrees(SaltRatingsSpec{Sprinkler: true, Sodium: mgL(68), Chloride: mgL(107)}))
	// Little salt at a high SAR closes the soil.
	require.Equal(t, RestrictionSevere, degrees(SaltRatingsSpec{EC: new(0.4), SAR: new(8.0)})["infiltration"])
	require.Equal(t, RestrictionModerate, degrees(SaltRatingsSpec{EC: new(0.5), SAR: new(8.0)})["infiltration"])

	r, err := SaltRatings(SaltRatingsSpec{EC: new(1.0)})
	require.NoError(t, err)
	require.Equal(t, RestrictionModerate, r.Worst)
	_, err = SaltRatings(SaltRatingsSpec{})
	require.Equal(t, []string{"ec"}, faultFields(err))
	_, err = SaltRatings(SaltRatingsSpec{EC: new(math.NaN()), SAR: new(math.NaN()), Nitrate: mgL(-1)})
	require.Equal(t, []string{"ec", "sar", "nitrate"}, faultFields(err))
	_, err = SaltRatings(SaltRatingsSpec{EC: new(1.0), SAR: new(41.0)})
	require.Equal(t, []string{"sar"}, faultFields(err))
}

// What a root zone takes of random layers, and the passes that bring a target depth, a
// second time in inches and hours.
func TestHydraulicReckonedAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	fast := 0
	for range 500 {
		s := HydraulicSpec{Depleted: float64(r.IntN(6)) / 5, Target: units.Length(0.5+8*r.Float64()) * units.Inch, Evapotranspiration: units.DepthRate(0.05+0.3*r.Float64()) * units.InchPerDay}
		if r.IntN(3) > 0 {
			s.Application, s.Intake = units.DepthRate(r.IntN(4))*0.3*units.InchPerHour, units.DepthRate(1+r.IntN(3))*0.3*units.InchPerHour
		}
		low, high := 0.0, 0.0
		for range 1 + r.IntN(4) {
			l := SoilLayer{Depth: units.Length(1+20*r.Float64()) * units.Inch}
			if r.IntN(2) == 0 {
				l.Texture = TextureSandyLoam // 1.25 to 1.75 in/ft
				low, high = low+l.Depth.In(units.Foot)*1.25, high+l.Depth.In(units.Foot)*1.75
			} else {
				l.Holds = units.Range[float64]{Low: 0.1, High: 0.25}
				low, high = low+l.Depth.In(units.Inch)*0.1, high+l.Depth.In(units.Inch)*0.25
			}
			s.Layers = append(s.Layers, l)
		}
		got, err := Hydraulic(s)
		require.NoError(t, err)
		require.InDelta(t, low, got.Available.Low.In(units.Inch), 1e-9)
		require.InDelta(t, high, got.Available.High.In(units.Inch), 1e-9)
		pass := low * s.Depleted
		require.InDelta(t, pass, got.Pass.In(units.Inch), 1e-9)
		cautions := 0
		passes := 0
		for pass > 0 && float64(passes)*pass < s.Target.In(units.Inch)-1e-9 {
			passes++
		}
		require.Equal(t, passes, got.Passes)
		if pass == 0 {
			cautions++
			require.Zero(t, got.Each+units.Length(got.Between)+units.Length(got.Hours))
		} else {
			each := s.Target.In(units.Inch) / float64(passes)
			require.InDelta(t, each, got.Each.In(units.Inch), 1e-9)
			require.InDelta(t, each/s.Evapotranspiration.In(units.InchPerDay), got.Between.In(units.Day), 1e-9)
			hours := 0.0
			if s.Application > 0 {
				hours = each / s.Application.In(units.InchPerHour)
			}
			require.InDelta(t, hours, got.Hours.In(units.Hour), 1e-9)
		}
		require.Equal(t, s.Application > s.Intake, got.TooFast)
		want := pass
		if got.TooFast {
			want = 0
			cautions++
			fast++
		}
		depth, liquid := got.Limit.Rate.VolumePerArea()
		require.True(t, liquid)
		require.Equal(t, LimitWater, got.Limit.Kind)
		require.InDelta(t, want*0.0254, float64(depth), 1e-12)
		require.Len(t, got.Cautions, cautions)
		require.Equal(t, []any{s.Depleted, s.Target, s.Application, s.Intake}, []any{got.Depleted, got.Target, got.Application, got.Intake})
	}
	require.Greater(t, fast, 30)
	r2, err := Hydraulic(HydraulicSpec{Layers: []SoilLayer{{Depth: units.Foot, Texture: TextureLoam}}, Depleted: 1e-9, Target: 100 * units.Metre, Evapotranspiration: 1e-7})
	require.NoError(t, err)
	require.Zero(t, r2.Passes, "more than anybody makes")
}
