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

// What a site says reaches the keys of a rule in their units, and what is wrong with it is
// said of the place in the site from which it came.
func TestSitesReachTheirRules(t *testing.T) {
	state, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "unchecked": "invented",
		"keys": [{"name": "soilP", "label": "P", "unit": "ppm"}, {"name": "extractant", "label": "By", "values": ["olsen", "bray p1"]}, {"name": "distance", "label": "D", "unit": "ft"}, {"name": "filterStrip", "label": "F", "values": ["yes", "no"]},
			{"name": "soilLoss", "label": "L", "unit": "ton/acre"}, {"name": "soilLossOverT", "label": "L/T", "unit": "1"}, {"name": "riskIndex", "label": "R", "unit": "1"}, {"name": "saturation", "label": "S", "unit": "%"}, {"name": "season", "label": "When", "values": ["wet", "dry"]}],
		"tables": [{"place": "1", "gives": "allow", "as": "cap", "unit": "x removal", "notes": ["read this"], "by": ["soilP", "extractant", "distance", "filterStrip", "soilLoss", "soilLossOverT", "riskIndex", "saturation", "season"],
			"rows": [["from 30 to 40", "olsen", "from 100 to 200", "yes", "from 3 to 4", "from 0.5 to 1", "from 5 to 8", "from 20 to 30", "dry", 2], ["from 50", "olsen", "", "", "", "", "", "", "", 0], ["from 60", "olsen", "", "", "", "", "", "", "", "none"], ["to 5", "olsen", "", "", "", "", "", "", "", "n-based"]]}]}`))
	require.NoError(t, err)
	site := Site{SoilTest: &SoilTest{35, SoilPPM, Olsen}, Distance: ref(150 * units.Foot), FilterStrip: ref(true), SoilLoss: ref(3.5 * units.TonPerAcre), TolerableLoss: ref(5 * units.TonPerAcre), RiskIndex: ref(6.5), Saturation: ref(0.25)}
	dry := Query{"season": "dry"}
	l, err := state.SiteLimit(site, dry)
	require.NoError(t, err)
	require.Equal(t, SiteLimit{Rule: "x", Allow: PBasisRemoval, Times: 2, Note: "read this", Source: state.Source()}, l)
	for ppm, want := range map[float64]PBasis{50: PBasisNone, 60: PBasisNone, 5: PBasisNitrogen} {
		l, err := state.SiteLimit(Site{SoilTest: &SoilTest{ppm, SoilPPM, Olsen}}, nil)
		require.NoError(t, err)
		require.Equal(t, SiteLimit{Rule: "x", Allow: want, Note: "read this", Source: state.Source()}, l)
	}
	for name, c := range map[string]struct {
		change func(s *Site)
		q      Query
		want   []string
	}{
		"another test":      {func(s *Site) { s.SoilTest.Value = 29.9 }, dry, []string{"soilTest"}},
		"further":           {func(s *Site) { *s.Distance = 201 * units.Foot }, dry, []string{"soilTest"}}, // a site of which no line speaks, by the first key
		"no strip":          {func(s *Site) { *s.FilterStrip = false }, dry, []string{"soilTest"}},
		"more loss":         {func(s *Site) { *s.SoilLoss = 4.1 * units.TonPerAcre }, dry, []string{"soilTest"}},
		"over T":            {func(s *Site) { *s.TolerableLoss = 3.4 * units.TonPerAcre }, dry, []string{"soilTest"}},
		"another index":     {func(s *Site) { *s.RiskIndex = 8.1 }, dry, []string{"soilTest"}},
		"saturated":         {func(s *Site) { *s.Saturation = 0.301 }, dry, []string{"soilTest"}},
		"wet":               {func(*Site) {}, Query{"season": "wet"}, []string{"soilTest"}},
		"nothing":           {func(s *Site) { *s = Site{} }, nil, []string{"soilTest", "distance", "filterStrip", "soilLoss", "tolerableLoss", "riskIndex", "saturation", "season"}},
		"no T":              {func(s *Site) { s.TolerableLoss = nil }, dry, []string{"tolerableLoss"}},
		"T alone":           {func(s *Site) { s.SoilLoss = nil }, dry, []string{"soilLoss"}},
		"no test":           {func(s *Site) { s.SoilTest = nil }, dry, []string{"soilTest"}},
		"by another":        {func(s *Site) { s.SoilTest.Extractant = Mehlich1 }, dry, []string{"soilTest.extractant"}},
		"in another unit":   {func(s *Site) { s.SoilTest.Unit = SoilMilligramPerLitre }, dry, []string{"soilTest.unit"}},
		"said in the query": {func(s *Site) { s.RiskIndex = nil }, Query{"season": "dry", "riskIndex": "7"}, nil},
	} {
		s := site
		s.SoilTest, s.Distance, s.FilterStrip, s.SoilLoss, s.TolerableLoss, s.RiskIndex, s.Saturation = ref(*site.SoilTest), ref(*site.Distance), ref(*site.FilterStrip), ref(*site.SoilLoss), ref(*site.TolerableLoss), ref(*site.RiskIndex), ref(*site.Saturation)
		c.change(&s)
		_, err := state.SiteLimit(s, c.q)
		require.Equal(t, c.want, fields(err), "%s: %v", name, err)
	}
	// Of a ratio of which both parts are known, the loss is what can be mended.
	require.Equal(t, []string{"soilLoss"}, site.paths(&units.FieldError{Field: KeySoilLossOverT}))
	for kind, want := range map[units.FaultKind]string{units.FaultLacking: "soilTest", units.FaultConflict: "soilTest", units.FaultUnit: "soilTest.unit"} {
		require.Equal(t, []string{want}, site.paths(&units.FieldError{Field: KeySoilP, Kind: kind}))
	}
	p, ok := SiteLimit{Allow: PBasisRemoval, Times: 1.5}.Cap(10)
	require.True(t, ok && p == 15)
	p, ok = SiteLimit{Allow: PBasisNone}.Cap(10)
	require.True(t, ok && p == 0)
	_, ok = SiteLimit{Allow: PBasisNitrogen}.Cap(10)
	require.False(t, ok)
}

// A word that is almost an extractant of the package is a slip, unless the state declares
// it; digits tell extractants apart.
func TestSlipsOfExtractants(t *testing.T) {
	for word, meant := range map[Extractant]Extractant{
		"olson": Olsen, "bray p 1": BrayP1, "brays p1": BrayP1, "mehlic 3": Mehlich3, "morgen": Morgan, "modifed morgan": ModifiedMorgan, "ammonium acetat": AmmoniumAcetate, "amonium acetat": AmmoniumAcetate,
		"olsen": "", "mehlich 2": "", "bray p2": "", "double lactate": "", "": "", "ollsens": Olsen, "olsxyn": Olsen, "oxxen": "",
	} {
		got, slip := word.meant()
		require.Equal(t, meant, got, string(word))
		require.Equal(t, meant != "", slip, string(word))
		test := SoilTest{Value: 5, Unit: SoilPPM, Extractant: word}
		require.Equal(t, meant != "" || word == "", test.Check() != nil, string(word))
		require.Equal(t, word == "", test.check([]string{string(word)}) != nil, "declared: %s", word)
	}
	for unit, want := range map[SoilTestUnit]float64{SoilPPM: 12, SoilPoundPerAcre: 6} {
		ppm, ok := SoilTest{Value: 12, Unit: unit}.PPM()
		require.True(t, ok)
		require.InDelta(t, want, ppm, 1e-12)
	}
	for _, unit := range []SoilTestUnit{SoilMilligramPerLitre, SoilKilogramPerHectare, "index", ""} {
		_, ok := SoilTest{Value: 12, Unit: unit}.PPM()
		require.False(t, ok, string(unit))
	}
	for _, c := range []struct {
		test  SoilTest
		to    Extractant
		want  float64
		fault string
	}{
		{SoilTest{44, SoilPoundPerAcre, Mehlich3ICP}, BrayP1, -8.08 + 0.832*22, ""}, {SoilTest{20, SoilPoundPerAcre, BrayP1}, Mehlich3ICP, 18.08 / 0.832, ""}, {SoilTest{9.7, SoilPPM, Mehlich3ICP}, BrayP1, 0, ""}, {SoilTest{10, SoilPPM, Mehlich3ICP}, BrayP1, 0.24, ""},
		{SoilTest{10, SoilPoundPerAcre, Olsen}, Olsen, 5, ""}, {SoilTest{10, SoilPPM, Mehlich3}, BrayP1, 0, "extractant"}, {SoilTest{10, SoilPPM, BrayP1}, Mehlich3, 0, "extractant"}, {SoilTest{10, SoilMilligramPerLitre, Olsen}, Olsen, 0, "unit"},
	} {
		got, err := c.test.As(c.to)
		if c.fault != "" {
			require.Equal(t, []string{c.fault}, fields(err), "%v", c.test)
			continue
		}
		require.NoError(t, err)
		require.Equal(t, [2]any{SoilPPM, c.to}, [2]any{got.Unit, got.Extractant})
		require.InDelta(t, c.want, got.Value, 1e-9)
	}
}
