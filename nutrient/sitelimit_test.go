package nutrient

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func ref[T any](x T) *T { return &x }

func bray(ppm float64) *SoilTest { return &SoilTest{ppm, SoilPPM, BrayP1} }

func TestPublishedSiteRules(t *testing.T) {
	near, far := ref(100*units.Foot), ref(300*units.Foot)
	for _, c := range []struct {
		rule  string
		site  Site
		allow PBasis
	}{
		{"minnesota", Site{SoilTest: bray(21), Distance: near, FilterStrip: ref(false), SoilLoss: ref(5.9 * units.TonPerAcre)}, PBasisNitrogen},
		{"minnesota", Site{SoilTest: bray(22), Distance: near, FilterStrip: ref(false), SoilLoss: ref(5.9 * units.TonPerAcre)}, PBasisRemoval},
		{"minnesota", Site{SoilTest: bray(75.5), Distance: near, FilterStrip: ref(false), SoilLoss: ref(3 * units.TonPerAcre)}, PBasisRemoval},
		// Above 6 ton/acre nothing is spread, at any distance, test or strip.
		{"minnesota", Site{SoilTest: bray(22), Distance: near, FilterStrip: ref(false), SoilLoss: ref(9 * units.TonPerAcre)}, PBasisNone},
		{"minnesota", Site{SoilTest: bray(50), Distance: near, FilterStrip: ref(true), SoilLoss: ref(8 * units.TonPerAcre)}, PBasisNone},
		{"minnesota", Site{SoilTest: bray(5), Distance: far, SoilLoss: ref(8 * units.TonPerAcre)}, PBasisNone},
		{"minnesota", Site{SoilLoss: ref(6.1 * units.TonPerAcre)}, PBasisNone},
		{"minnesota", Site{SoilTest: bray(150), Distance: near, FilterStrip: ref(false), SoilLoss: ref(5.9 * units.TonPerAcre)}, PBasisRemoval},
		{"minnesota", Site{SoilTest: bray(151), Distance: near, FilterStrip: ref(false), SoilLoss: ref(2 * units.TonPerAcre)}, PBasisNone},
		{"minnesota", Site{SoilTest: &SoilTest{121, SoilPPM, Olsen}, Distance: near, FilterStrip: ref(false), SoilLoss: ref(1 * units.TonPerAcre)}, PBasisNone},
		{"minnesota", Site{SoilTest: bray(75), Distance: far, SoilLoss: ref(5 * units.TonPerAcre)}, PBasisNitrogen},
		{"nebraska", Site{RiskIndex: ref(5.0)}, PBasisNitrogen},
		{"nebraska", Site{RiskIndex: ref(5.1)}, PBasisRemoval},
		{"nebraska", Site{RiskIndex: ref(15.1)}, PBasisNone},
		{"utah", Site{SoilTest: &SoilTest{100, SoilPPM, Olsen}}, PBasisRemoval},
		{"utah", Site{SoilTest: &SoilTest{201, SoilPoundPerAcre, Olsen}}, PBasisNone},
		{"illinois", Site{SoilTest: bray(150), SoilLoss: ref(4 * units.TonPerAcre), TolerableLoss: ref(5 * units.TonPerAcre)}, PBasisNitrogen},
		{"virginia", Site{Saturation: ref(0.66)}, PBasisNone},
		{"virginia", Site{Saturation: ref(0.65)}, PBasisNitrogen},
	} {
		l, err := publishedState(t, c.rule).SiteLimit(c.site, nil)
		require.NoError(t, err, "%s %+v", c.rule, c.site)
		require.Equal(t, c.allow, l.Allow, "%s %+v", c.rule, c.site)
	}
}

func TestSiteRuleRefusals(t *testing.T) {
	mn := publishedState(t, "minnesota")
	_, err := mn.SiteLimit(Site{}, nil)
	require.Equal(t, []string{"soilTest", "distance", "filterStrip", "soilLoss"}, fields(err))
	_, err = mn.SiteLimit(Site{SoilTest: bray(100), Distance: ref(100 * units.Foot), FilterStrip: ref(false)}, nil)
	require.Equal(t, []string{"soilLoss"}, fields(err), "nothing is spread above 6 ton/acre")
	_, err = mn.SiteLimit(Site{SoilTest: &SoilTest{30, SoilPPM, Mehlich3ICP}, Distance: ref(400 * units.Foot), SoilLoss: ref(units.TonPerAcre)}, nil)
	require.Equal(t, []string{"soilTest.extractant"}, fields(err))
	_, err = mn.SiteLimit(Site{SoilTest: bray(100), Distance: ref(100 * units.Foot), FilterStrip: ref(false), SoilLoss: ref(6 * units.TonPerAcre)}, nil)
	require.ErrorContains(t, err, "does not speak of")
	il := publishedState(t, "illinois")
	_, err = il.SiteLimit(Site{SoilTest: bray(100)}, nil)
	require.Equal(t, []string{"soilLoss", "tolerableLoss"}, fields(err))
	_, err = il.SiteLimit(Site{SoilTest: &SoilTest{Value: -1}, Distance: ref(units.Length(-1)), SoilLoss: ref(units.MassPerArea(-1)), TolerableLoss: ref(units.MassPerArea(0)), RiskIndex: ref(-1.0), Saturation: ref(2.0)}, nil)
	require.Equal(t, []string{"soilTest.value", "soilTest.unit", "soilTest.extractant", "distance", "soilLoss", "tolerableLoss", "riskIndex", "saturation"}, fields(err))
	_, err = publishedState(t, "michigan").SiteLimit(Site{}, nil)
	require.ErrorContains(t, err, "no rule on phosphorus")
}

// ruleOf is a state with a rule on phosphorus by riskIndex and saturation.
func ruleOf(t *testing.T, by string, rows string) *State {
	t.Helper()
	s, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "riskIndex", "label": "Index", "unit": "1"}, {"name": "saturation", "label": "Saturation", "unit": "%"}],
		"tables": [{"place": "1", "gives": "allow", "as": "cap", "unit": "x removal", "by": [` + by + `], "rows": [` + rows + `]}, {"place": "2", "gives": "other", "unit": "1", "as": "plus", "when": {"saturation": "from 0", "riskIndex": "from 0"}, "rows": [[1]]}]}`))
	require.NoError(t, err)
	return s
}

func TestStrictestLineHolds(t *testing.T) {
	r := ruleOf(t, `"riskIndex"`, `["to 10", "n-based"], ["from 2", 1], ["from 3", 0.5], ["from 4", "none"]`)
	removal := 50 * units.PoundPerAcre
	for index, want := range map[float64]float64{2: 50, 3: 25, 4: 0} {
		l, err := r.SiteLimit(Site{RiskIndex: &index}, nil)
		require.NoError(t, err)
		p, ok := l.Cap(removal)
		require.True(t, ok)
		require.InDelta(t, want, p.In(units.PoundPerAcre), 1e-9)
	}
	_, err := r.SiteLimit(Site{}, nil)
	require.Equal(t, []string{"riskIndex"}, fields(err))
	l, err := r.SiteLimit(Site{RiskIndex: ref(1.0)}, nil)
	require.NoError(t, err)
	_, ok := l.Cap(removal)
	require.False(t, ok)
}

func TestKeysThatCannotMatterAreNotAskedFor(t *testing.T) {
	r := ruleOf(t, `"saturation", "riskIndex"`, `["over 65 %", "", "none"], ["to 65 %", "", "n-based"], ["", "from 2", 1]`)
	l, err := r.SiteLimit(Site{Saturation: ref(0.7)}, nil)
	require.NoError(t, err, "no index makes it less strict")
	require.Equal(t, PBasisNone, l.Allow)
	_, err = r.SiteLimit(Site{Saturation: ref(0.5)}, nil)
	require.Equal(t, []string{"riskIndex"}, fields(err))
}

func TestSoilTestConversion(t *testing.T) {
	b, err := SoilTest{22, SoilPPM, Mehlich3ICP}.As(BrayP1)
	require.NoError(t, err)
	back, err := b.As(Mehlich3ICP)
	require.NoError(t, err)
	require.InDelta(t, 22, back.Value, 1e-9)
	low, err := SoilTest{5, SoilPPM, Mehlich3ICP}.As(BrayP1)
	require.NoError(t, err)
	require.Zero(t, low.Value, "the line runs below zero there")
	_, err = SoilTest{22, SoilPPM, Olsen}.As(BrayP1)
	require.Equal(t, []string{"extractant"}, fields(err))
	_, err = SoilTest{}.As(BrayP1)
	require.Equal(t, []string{"unit", "extractant"}, fields(err))
}

// A state's rule has extractants and units of its own; a test in another unit is
// compared where the state gives a factor.
func TestSiteRuleWithWordsOfItsOwn(t *testing.T) {
	state, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "extractant", "label": "By", "values": ["modified morgan", "kelowna"]}, {"name": "soilP", "label": "P", "unit": "index", "also": {"pecks": 2}}],
		"tables": [{"place": "1", "gives": "allow", "as": "cap", "unit": "x removal", "by": ["soilP (modified morgan)", "soilP (kelowna)"],
			"rows": [["below 3", "to 25", "n-based"], ["from 3", "over 25", "none"]]}]}`))
	require.NoError(t, err)
	for _, c := range []struct {
		test  SoilTest
		allow PBasis
		fault string
	}{
		{SoilTest{2, "index", "modified morgan"}, PBasisNitrogen, ""},
		{SoilTest{3, "index", "modified morgan"}, PBasisNone, ""},
		{SoilTest{26, "index", "kelowna"}, PBasisNone, ""},
		{SoilTest{12.5, "pecks", "kelowna"}, PBasisNitrogen, ""},
		{SoilTest{12.6, "pecks", "kelowna"}, PBasisNone, ""},
		{SoilTest{26, SoilPPM, "kelowna"}, 0, "soilTest.unit"},
		{SoilTest{26, "index", "morgan"}, 0, "soilTest.extractant"},
	} {
		var site Site
		require.NoError(t, strict.Decode([]byte(must(json.Marshal(Site{SoilTest: &c.test}))), &site))
		l, err := state.SiteLimit(site, nil)
		if c.fault != "" {
			require.Equal(t, []string{c.fault}, fields(err), "%v", c.test)
			continue
		}
		require.NoError(t, err, "%v", c.test)
		require.Equal(t, c.allow, l.Allow, "%v", c.test)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
