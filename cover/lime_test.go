package cover_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

func TestLimeFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		spec cover.LimeSpec
		want []string
	}{
		{"no CCE", cover.LimeSpec{Basis: cover.LimeCCE, Need: 1, Area: 1}, []string{"material.cce"}},
		{"reference without ECCE", cover.LimeSpec{Basis: cover.LimeENP, Need: 1, Area: 1, ReferenceECCE: 1, Material: cover.LimeMaterial{ENP: 0.8}}, []string{"referenceECCE"}},
		{"ECCE twice", cover.LimeSpec{Basis: cover.LimeECCE, Need: 1, Area: 1, ReferenceECCE: 1, Material: cover.LimeMaterial{CCE: 1, ECCE: 1, Fineness: &cover.Fineness{Pass20: 1}}}, []string{"material.ecce"}},
		{"sieves out of order", cover.LimeSpec{Basis: cover.LimeECCE, Need: 1, Area: 1, ReferenceECCE: 1, Material: cover.LimeMaterial{CCE: 1, Fineness: &cover.Fineness{Pass20: 0.5, Pass60: 0.6, Pass100: 0.7}}}, []string{"material.fineness.pass60", "material.fineness.pass100"}},
		{"sieves of another basis", cover.LimeSpec{Basis: cover.LimeCCE, Need: 1, Area: 1, Material: cover.LimeMaterial{CCE: 1, Fineness: &cover.Fineness{Pass20: -3}}}, []string{"material.fineness.pass20", "material.fineness.pass60"}},
		{"nothing fine", cover.LimeSpec{Basis: cover.LimeECCE, Need: 1, Area: 1, ReferenceECCE: 1, Material: cover.LimeMaterial{CCE: 1, Fineness: &cover.Fineness{}}}, []string{"material.fineness"}},
		{"no ENM", cover.LimeSpec{Basis: cover.LimeENM, Need: 1, Area: 1}, []string{"material.enm"}},
	} {
		_, err := cover.Lime(c.spec)
		require.Equal(t, c.want, fields(err), c.name)
	}
	// All bases are need over effective fraction.
	for _, s := range []cover.LimeSpec{
		{Basis: cover.LimeCCE, Material: cover.LimeMaterial{CCE: 0.8}},
		{Basis: cover.LimeECCE, ReferenceECCE: 1, Material: cover.LimeMaterial{ECCE: 0.8}},
		{Basis: cover.LimeECCE, ReferenceECCE: 1, Material: cover.LimeMaterial{CCE: 1, Fineness: &cover.Fineness{Pass20: 1, Pass60: 1}}},
		{Basis: cover.LimeENM, Material: cover.LimeMaterial{ENM: 1600 * units.PoundPerTon}},
		{Basis: cover.LimeENP, Material: cover.LimeMaterial{ENP: 1600 * units.PoundPerTon}},
	} {
		s.Need, s.Area = 2*units.TonPerAcre, units.Acre
		r, err := cover.Lime(s)
		require.NoError(t, err)
		require.InDelta(t, 2.5, r.Rate.In(units.TonPerAcre), 1e-12, s.Basis)
	}
	for _, c := range []struct {
		spec cover.LimeNeedSpec
		want float64 // lb/acre
	}{
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 5.5, Goal: 6.5, Acidity: new(5.0)}, 4200},
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 6.2, Goal: 6.5, Acidity: new(4.0)}, 2000},
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 6.5, Goal: 6.5, Acidity: new(4.0)}, 0},
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 7.2, Goal: 7, Acidity: new(4.0)}, 0},
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 6.2, Goal: 6.5, Acidity: new(4.01)}, 3368.4},
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 6.49, Goal: 6.5, Acidity: new(0.0)}, 2000},
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 6.51, Goal: 6.5, Acidity: new(8.0)}, 0},
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 6.99, Goal: 7, Acidity: new(2.5)}, 2500},
		{cover.LimeNeedSpec{Method: cover.LimePennState, PH: 7, Goal: 7, Acidity: new(2.5)}, 0},
		{cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 6, Goal: 6, Acidity: new(1.0)}, 0},
		{cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 6.1, Goal: 6.5, Acidity: new(1.0), Credit: units.PoundPerAcre}, 1599},
		{cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 5, Goal: 6, BufferPH: new(6.3)}, 1500},
		{cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 5, Goal: 6, BufferPH: new(6.3), Credit: units.TonPerAcre}, 0},
		{cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 6.6, Goal: 6.5, Acidity: new(1.0)}, 0},
	} {
		r, err := cover.LimeNeed(c.spec)
		require.NoError(t, err)
		require.InDelta(t, c.want, r.Need.In(units.PoundPerAcre), 1e-6, "%+v", c.spec)
	}
	_, err := cover.LimeNeed(cover.LimeNeedSpec{Method: cover.LimePennState, PH: 2, Goal: 6, Acidity: new(-1.0), BufferPH: new(6.0), Credit: 1})
	require.Equal(t, []string{"ph", "acidity", "goal", "credit", "bufferPH"}, fields(err))
	// One figure of the acidity, and not both; what Penn State has no use for is no fault elsewhere.
	_, err = cover.LimeNeed(cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 5, Goal: 6, Acidity: new(1.0), BufferPH: new(6.7)})
	require.Equal(t, []string{"acidity", "bufferPH"}, fields(err))
	for _, goal := range []float64{6.4, 6.6, 6.9, 7.1} {
		_, err = cover.LimeNeed(cover.LimeNeedSpec{Method: cover.LimePennState, PH: 5, Goal: goal, Acidity: new(1.0)})
		require.Equal(t, []string{"goal"}, fields(err))
	}
	// Each class of the sieves counts by itself: 0.4 of what stays on the 60, 0.8 on the 100.
	for n, want := range map[cover.Fineness]float64{{Pass20: 1}: 0.4, {Pass20: 1, Pass60: 1}: 0.8, {Pass20: 1, Pass60: 1, Pass100: 1}: 1, {Pass20: 0.9, Pass60: 0.6, Pass100: 0.4}: 0.12 + 0.16 + 0.4, {}: 0} {
		e, err := n.Efficiency()
		require.NoError(t, err)
		require.InDelta(t, want, e, 1e-12)
	}
	// What hardly passes a sieve, or works hardly at all, is a fault, at a thousandth not.
	fine := func(pass float64) cover.LimeSpec {
		return cover.LimeSpec{Basis: cover.LimeECCE, ReferenceECCE: 1, Need: units.TonPerAcre, Area: units.Acre, Material: cover.LimeMaterial{CCE: 1, Fineness: &cover.Fineness{Pass20: pass, Pass60: pass, Pass100: pass}}}
	}
	_, err = cover.Lime(fine(0.0009))
	require.Equal(t, []string{"material.fineness"}, fields(err))
	require.InDelta(t, 1000, evidence.Done(t, cover.Lime, fine(0.001)).Rate.In(units.TonPerAcre), 1e-9)
	_, err = cover.Lime(cover.LimeSpec{Basis: cover.LimeENM, Need: -1, Area: -1, Material: cover.LimeMaterial{CCE: 3, ECCE: 3, ENM: 3, ENP: 3, Price: -1}})
	require.Equal(t, []string{"need", "area", "material.price", "material.cce", "material.ecce", "material.enm", "material.enp"}, fields(err))
	// An acidity that was left out is no acidity of 0.
	for _, m := range []cover.LimeNeedSpec{{Method: cover.LimePennState, PH: 5, Goal: 7}, {Method: cover.LimeNorthCarolina, PH: 5, Goal: 6}} {
		_, err := cover.LimeNeed(m)
		require.Equal(t, []string{"acidity"}, fields(err), m.Method)
	}
	r, err := cover.LimeNeed(cover.LimeNeedSpec{Method: cover.LimePennState, PH: 5, Goal: 7, Acidity: new(0.0)})
	require.NoError(t, err)
	require.Zero(t, r.Need)
}
