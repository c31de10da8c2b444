package nutrient

import (
	"encoding/json"
	"strings"
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
		{"minnesota-590", Site{SoilTest: bray(21), Distance: near, FilterStrip: ref(false), SoilLoss: ref(5.9 * units.TonPerAcre)}, PBasisNitrogen},
		{"minnesota-590", Site{SoilTest: bray(22), Distance: near, FilterStrip: ref(false), SoilLoss: ref(5.9 * units.TonPerAcre)}, PBasisRemoval},
		{"minnesota-590", Site{SoilTest: bray(75.5), Distance: near, FilterStrip: ref(false), SoilLoss: ref(3 * units.TonPerAcre)}, PBasisRemoval},
		// Above 6 ton/acre nothing is spread, at any distance, test or strip.
		{"minnesota-590", Site{SoilTest: bray(22), Distance: near, FilterStrip: ref(false), SoilLoss: ref(9 * units.TonPerAcre)}, PBasisNone},
		{"minnesota-590", Site{SoilTest: bray(50), Distance: near, FilterStrip: ref(true), SoilLoss: ref(8 * units.TonPerAcre)}, PBasisNone},
		{"minnesota-590", Site{SoilTest: bray(5), Distance: far, SoilLoss: ref(8 * units.TonPerAcre)}, PBasisNone},
		{"minnesota-590", Site{SoilLoss: ref(6.1 * units.TonPerAcre)}, PBasisNone},
		{"minnesota-590", Site{SoilTest: bray(150), Distance: near, FilterStrip: ref(false), SoilLoss: ref(5.9 * units.TonPerAcre)}, PBasisRemoval},
		{"minnesota-590", Site{SoilTest: bray(151), Distance: near, FilterStrip: ref(false)}, PBasisNone},
		{"minnesota-590", Site{SoilTest: &SoilTest{121, SoilPPM, Olsen}, Distance: near, FilterStrip: ref(false)}, PBasisNone},
		{"minnesota-590", Site{SoilTest: bray(75), Distance: far, SoilLoss: ref(5 * units.TonPerAcre)}, PBasisNitrogen},
		{"nebraska-index", Site{RiskIndex: ref(5.0)}, PBasisNitrogen},
		{"nebraska-index", Site{RiskIndex: ref(5.1)}, PBasisRemoval},
		{"nebraska-index", Site{RiskIndex: ref(15.1)}, PBasisNone},
		{"utah", Site{SoilTest: &SoilTest{100, SoilPPM, Olsen}}, PBasisRemoval},
		{"utah", Site{SoilTest: &SoilTest{201, SoilPoundPerAcre, Olsen}}, PBasisNone},
		{"illinois-502", Site{SoilTest: bray(150), SoilLoss: ref(4 * units.TonPerAcre), TolerableLoss: ref(5 * units.TonPerAcre)}, PBasisNitrogen},
		{"virginia-saturation", Site{Saturation: ref(0.66)}, PBasisNone},
		{"virginia-saturation", Site{Saturation: ref(0.65)}, PBasisNitrogen},
	} {
		r, err := PublishedSiteRule(c.rule)
		require.NoError(t, err, c.rule)
		l, err := r.Limit(c.site)
		require.NoError(t, err, "%s %+v", c.rule, c.site)
		require.Equal(t, c.allow, l.Allow, "%s %+v", c.rule, c.site)
	}
}

func TestSiteRuleRefusals(t *testing.T) {
	mn, err := PublishedSiteRule("minnesota-590")
	require.NoError(t, err)
	_, err = mn.Limit(Site{})
	require.Equal(t, []string{"soilTest", "distance", "filterStrip", "soilLoss"}, fields(err))
	_, err = mn.Limit(Site{SoilTest: bray(100), Distance: ref(100 * units.Foot), FilterStrip: ref(false)})
	require.Equal(t, []string{"soilLoss"}, fields(err), "nothing is spread above 6 ton/acre")
	_, err = mn.Limit(Site{SoilTest: &SoilTest{30, SoilPPM, Mehlich3ICP}, Distance: ref(400 * units.Foot), SoilLoss: ref(units.TonPerAcre)})
	require.Equal(t, []string{"soilTest.extractant"}, fields(err))
	_, err = mn.Limit(Site{SoilTest: bray(100), Distance: ref(100 * units.Foot), FilterStrip: ref(false), SoilLoss: ref(6 * units.TonPerAcre)})
	require.ErrorContains(t, err, "does not speak of")
	il, err := PublishedSiteRule("illinois-502")
	require.NoError(t, err)
	_, err = il.Limit(Site{SoilTest: bray(100)})
	require.Equal(t, []string{"soilLoss", "tolerableLoss"}, fields(err))
	_, err = il.Limit(Site{SoilTest: &SoilTest{Value: -1}, Distance: ref(units.Length(-1)), SoilLoss: ref(units.MassPerArea(-1)), TolerableLoss: ref(units.MassPerArea(0)), RiskIndex: ref(-1.0), Saturation: ref(2.0)})
	require.Equal(t, []string{"soilTest.value", "soilTest.unit", "soilTest.extractant", "distance", "soilLoss", "tolerableLoss", "riskIndex", "saturation"}, fields(err))
	_, err = PublishedSiteRule("atlantis")
	require.Equal(t, []string{"rule"}, fields(err))
}

func TestStrictestRowHolds(t *testing.T) {
	r, err := ParseSiteRule([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "rows": [
		{"allow": "n-based", "when": {"riskIndex": {"to": 10}}},
		{"allow": "removal", "times": 1, "when": {"riskIndex": {"from": 2}}},
		{"allow": "removal", "times": 0.5, "when": {"riskIndex": {"from": 3}}},
		{"allow": "none", "when": {"riskIndex": {"from": 4}}}]}`))
	require.NoError(t, err)
	removal := 50 * units.PoundPerAcre
	for index, want := range map[float64]float64{2: 50, 3: 25, 4: 0} {
		l, err := r.Limit(Site{RiskIndex: &index})
		require.NoError(t, err)
		p, ok := l.Cap(removal)
		require.True(t, ok)
		require.InDelta(t, want, p.In(units.PoundPerAcre), 1e-9)
	}
	_, err = r.Limit(Site{})
	require.Equal(t, []string{"riskIndex"}, fields(err))
	l, err := r.Limit(Site{RiskIndex: ref(1.0)})
	require.NoError(t, err)
	_, ok := l.Cap(removal)
	require.False(t, ok)
}

func TestKeysThatCannotMatterAreNotAskedFor(t *testing.T) {
	r, err := ParseSiteRule([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "rows": [
		{"allow": "none", "when": {"saturation": {"over": 0.65}}},
		{"allow": "n-based", "when": {"saturation": {"to": 0.65}}},
		{"allow": "removal", "times": 1, "when": {"riskIndex": {"from": 2}}}]}`))
	require.NoError(t, err)
	l, err := r.Limit(Site{Saturation: ref(0.7)})
	require.NoError(t, err, "no index makes it less strict")
	require.Equal(t, PBasisNone, l.Allow)
	_, err = r.Limit(Site{Saturation: ref(0.5)})
	require.Equal(t, []string{"riskIndex"}, fields(err))
}

func TestSiteRuleFaults(t *testing.T) {
	_, err := ParseSiteRule([]byte(`{"id": "", "source": {}, "rows": [
		{"allow": "removal", "when": {"riskIndex": {"from": 5, "below": 5}}},
		{"allow": "none", "times": 1, "when": {"soilTest": [{"from": 1, "over": 2}, {"unit": "ppm"}]}},
		{"when": {"distance": {"to": "1 ft"}}},
		{"allow": "none", "when": {"distance": {"to": "1 ft"}}},
		{"allow": "none"}]}`))
	require.Equal(t, []string{"id", "jurisdiction", "source.title", "source.edition", "source.publisher",
		"rows[0].times", "rows[0].when.riskIndex",
		"rows[1].times", "rows[1].when.soilTest[0].unit", "rows[1].when.soilTest[0]",
		"rows[1].when.soilTest[1].extractant", "rows[1].when.soilTest[1]",
		"rows[2].allow", "rows[3].when", "rows[4].when"}, fields(err), "%v", err)
	_, err = ParseSiteRule([]byte(`{"id": "x", "colour": "red"}`))
	require.Equal(t, []string{"colour", "jurisdiction", "source.title", "source.edition", "source.publisher", "rows"}, fields(err))
}

func TestPublishedCaps(t *testing.T) {
	caps, err := PublishedCaps()
	require.NoError(t, err)
	for _, c := range caps {
		require.True(t, c.AvailableN > 0 || c.TotalN > 0 || c.Material.SI() > 0, c.Name)
		require.NotEmpty(t, c.Source.Title)
	}
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

// A state's rule has extractants and units of its own, declared in its file and
// checked there; a test in another unit is compared where a factor is known.
func TestSiteRuleWithWordsOfItsOwn(t *testing.T) {
	const text = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"extractants": ["modified morgan"], "units": [{"name": "index"}, {"name": "pecks", "ppm": 2}], "rows": [
		{"allow": "n-based", "when": {"soilTest": [{"extractant": "modified morgan", "unit": "index", "below": 3}, {"extractant": "olsen", "unit": "mg/L", "to": 25}, {"extractant": "bray p1", "unit": "pecks", "below": 10}]}},
		{"allow": "none", "when": {"soilTest": [{"extractant": "modified morgan", "unit": "index", "from": 3}, {"extractant": "olsen", "unit": "mg/L", "over": 25}, {"extractant": "bray p1", "unit": "pecks", "from": 10}]}}]}`
	rule, err := ParseSiteRule([]byte(text))
	require.NoError(t, err)
	for _, c := range []struct {
		test  SoilTest
		allow PBasis
		fault string
	}{
		{SoilTest{2, "index", "modified morgan"}, PBasisNitrogen, ""},
		{SoilTest{3, "index", "modified morgan"}, PBasisNone, ""},
		{SoilTest{26, SoilMilligramPerLitre, Olsen}, PBasisNone, ""},
		{SoilTest{19.9, SoilPPM, BrayP1}, PBasisNitrogen, ""},
		{SoilTest{40, SoilPoundPerAcre, BrayP1}, PBasisNone, ""},
		{SoilTest{26, SoilPPM, Olsen}, 0, "soilTest.unit"}, // a litre of soil has no known mass
		{SoilTest{26, "index", BrayP1}, 0, "soilTest.unit"},
		{SoilTest{26, SoilPPM, "morgan"}, 0, "soilTest.extractant"},
	} {
		var site Site
		require.NoError(t, strict.Decode([]byte(must(json.Marshal(Site{SoilTest: &c.test}))), &site))
		l, err := rule.Limit(site)
		if c.fault != "" {
			require.Equal(t, []string{c.fault}, fields(err), "%v", c.test)
			continue
		}
		require.NoError(t, err, "%v", c.test)
		require.Equal(t, c.allow, l.Allow, "%v", c.test)
	}
	for name, c := range map[string]struct{ old, new, want string }{
		"extractant not declared": {`["modified morgan"]`, `[]`, "rows[0].when.soilTest[0].extractant"},
		"extractant known":        {`["modified morgan"]`, `["modified morgan", "Olsen"]`, "extractants[1]"},
		"unit not declared":       {`{"name": "index"}, `, ``, "rows[0].when.soilTest[0].unit"},
		"unit known":              {`{"name": "index"}`, `{"name": "index"}, {"name": "PPM"}`, "units[1].name"},
		"no factor":               {`"ppm": 2`, `"ppm": -2`, "units[1].ppm"},
	} {
		_, err := ParseSiteRule([]byte(strings.Replace(text, c.old, c.new, 1)))
		require.Contains(t, fields(err), c.want, "%s: %v", name, err)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
