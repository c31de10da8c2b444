package nutrient

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func nebraskaBanking(t *testing.T) BankingGrant {
	t.Helper()
	grants := publishedState(t, "nebraska").BankingGrants()
	require.Len(t, grants, 1)
	return grants[0]
}

// Banking stands in the files of the states, with its conditions.
func TestBankingOfStates(t *testing.T) {
	g := nebraskaBanking(t)
	require.Equal(t, [3]float64{5, 4, 1}, [3]float64{float64(g.Years), float64(g.Rest), g.Available})
	require.Equal(t, "University of Nebraska-Lincoln", g.Source.Publisher)
	text, err := files.ReadFile("states/nebraska.json")
	require.NoError(t, err)
	half, err := ParseState([]byte(strings.Replace(strings.Replace(string(text), `"bankingShare", "unit": "%"`, `"bankingShare", "unit": "fraction"`, 1), `[[5, 4, 100]]`, `[[5, 4, "0.8"]]`, 1)))
	require.NoError(t, err)
	require.Equal(t, 0.8, half.BankingGrants()[0].Available)
	_, err = ParseState([]byte(strings.Replace(string(text), `[[5, 4, 100]]`, `[[50, 4, 100]]`, 1)))
	require.ErrorContains(t, err, "years: got 50")
	rule := publishedState(t, "manitoba")
	for ppm, want := range map[float64]int{90: 5, 150: 5, 50: 1} {
		site := Site{SoilTest: &SoilTest{Value: ppm, Unit: SoilPPM, Extractant: Olsen}}
		limit, err := rule.SiteLimit(site, nil)
		require.NoError(t, err)
		r, err := PhosphorusRoom(PhosphorusRoomSpec{Jurisdiction: rule.Jurisdiction(), Limit: limit, Site: site, Removal: lbAcre(40), Grants: rule.BankingGrants()})
		require.NoError(t, err)
		require.Equal(t, want, r.Years, ppm)
		require.Equal(t, want-1, r.Rest, "no rest named: the seasons whose removal is on the field")
	}
	require.Empty(t, publishedState(t, "utah").BankingGrants())
	_, err = rule.SiteLimit(Site{SoilTest: &SoilTest{Value: 90, Unit: SoilPPM, Extractant: BrayP1}}, nil)
	require.Equal(t, []string{"soilTest.extractant"}, faultFields(err), "a rule by Olsen does not take another test")
}

// Several years' removal at once only where a grant of the jurisdiction in force names
// the field's class; one year else.
func TestBankingNeedsAGrant(t *testing.T) {
	rule := publishedState(t, "nebraska")
	grant := nebraskaBanking(t)
	risky := grant
	risky.When = map[string]Cell{"riskIndex": "over 5 to 15"}
	for _, c := range []struct {
		name         string
		index        float64
		jurisdiction string
		grants       []BankingGrant
		room         float64 // lb/acre of removal 55
		limited      bool
		years        int
		refused      string
	}{
		{"no grant", 8, "Nebraska", nil, 55, true, 1, ""},
		{"granted", 8, "Nebraska", []BankingGrant{grant}, 275, true, 5, ""},
		{"of another state", 8, "Minnesota", []BankingGrant{grant}, 55, true, 1, "a rule of Nebraska, and that of the site is of Minnesota"},
		{"not where the rule stops manure", 16, "Nebraska", []BankingGrant{grant}, 0, true, 1, "not where the rule of the site says none"},
		{"of the class", 8, "Nebraska", []BankingGrant{risky}, 275, true, 5, ""},
		{"of another class", 3, "Nebraska", []BankingGrant{risky}, 0, false, 1, "riskIndex of the field is not in a class that the grant names"},
		{"the second of two", 8, "Nebraska", []BankingGrant{{Banking: grant.Banking, Jurisdiction: "Utah", Allow: grant.Allow}, grant}, 275, true, 5, "a rule of Utah"},
	} {
		t.Run(c.name, func(t *testing.T) {
			site := Site{RiskIndex: &c.index}
			limit, err := rule.SiteLimit(site, nil)
			require.NoError(t, err)
			r, err := PhosphorusRoom(PhosphorusRoomSpec{Jurisdiction: c.jurisdiction, Limit: limit, Site: site, Removal: lbAcre(55), Grants: c.grants})
			require.NoError(t, err)
			require.Equal(t, c.limited, r.Limited)
			require.Equal(t, c.years, r.Years)
			if c.limited {
				require.InDelta(t, c.room, r.Room.In(units.PoundPerAcre), 1e-9)
			}
			if c.refused == "" {
				require.Empty(t, r.Refused)
			} else {
				require.Contains(t, r.Refused[0].String(), c.refused)
				require.Contains(t, r.String(), map[bool]string{true: c.refused, false: "N-based"}[c.limited])
			}
		})
	}
	// A field whose test nobody took has no class.
	tested := grant
	tested.When = map[string]Cell{"soilP": "from 60 to 180", "extractant": "olsen"}
	r, err := PhosphorusRoom(PhosphorusRoomSpec{Jurisdiction: "Nebraska", Limit: SiteLimit{Allow: PBasisRemoval, Times: 1}, Removal: lbAcre(55), Grants: []BankingGrant{tested}})
	require.NoError(t, err)
	require.Contains(t, r.Refused[0].String(), "soilTest of the field is missing")
	require.InDelta(t, 55, r.Room.In(units.PoundPerAcre), 1e-9)
}

func TestPhosphorusRoomFaults(t *testing.T) {
	_, err := PhosphorusRoom(PhosphorusRoomSpec{Removal: -1, Site: Site{RiskIndex: new(-1.0)}, Grants: []BankingGrant{{}, {Jurisdiction: "x", Allow: []PBasis{9},
		Banking: Banking{Years: 1, Available: 1}, When: map[string]Cell{"riskIndex": "high"}}}})
	require.Equal(t, []string{"jurisdiction", "limit.allow", "site.riskIndex", "removal", "grants[0].years", "grants[0].available", "grants[0].jurisdiction", "grants[0].allow",
		"grants[1].allow[0]", "grants[1].when.riskIndex"}, faultFields(err))
}

func TestJurisdictions(t *testing.T) {
	spec := JurisdictionsSpec{Rules: []RuleInUse{
		{What: "limits on metals", ID: "us-sludge", Jurisdiction: "United States", Federal: true},
		{What: "phosphorus", ID: "nebraska", Jurisdiction: "Nebraska"},
		{What: "availability of N", ID: "nebraska", Jurisdiction: "Nebraska"},
	}}
	r, err := Jurisdictions(spec)
	require.NoError(t, err)
	require.False(t, r.Mixed())
	require.Equal(t, "Nebraska", r.In)
	spec.Rules[2] = RuleInUse{What: "availability of N", ID: "minnesota", Jurisdiction: "Minnesota", Reason: "the state prints none for lagoons"}
	r, err = Jurisdictions(spec)
	require.NoError(t, err)
	require.True(t, r.Mixed())
	require.Contains(t, r.String(), "of another jurisdiction: the state prints none for lagoons")
	_, err = Jurisdictions(JurisdictionsSpec{Rules: []RuleInUse{{}}})
	require.Equal(t, []string{"rules[0].what", "rules[0].jurisdiction"}, faultFields(err))
	_, err = Jurisdictions(JurisdictionsSpec{})
	require.Equal(t, []string{"rules"}, faultFields(err))
}

// P of a soil that has enough of it is worth nothing, unless the caller says otherwise.
func TestWorthAboveTheCriticalLevel(t *testing.T) {
	for _, c := range []struct {
		test  SoilTest
		above bool
		worth float64 // of P2O5, of 16 an acre
	}{
		{SoilTest{15, SoilPPM, BrayP1}, false, 16},
		{SoilTest{15.1, SoilPPM, BrayP1}, false, 0},
		{SoilTest{40, SoilPPM, BrayP1}, true, 16},
		{SoilTest{31, SoilPoundPerAcre, BrayP1}, false, 0}, // 15.5 ppm
		{SoilTest{30, SoilPPM, Mehlich3ICP}, false, 0},     // 16.9 by Bray
		{SoilTest{27, SoilPPM, Mehlich3ICP}, false, 16},    // 14.4 by Bray
	} {
		s := slurryWorth()
		s.Nutrients[1].Test, s.Nutrients[1].Critical = &c.test, &CriticalLevel{Level: SoilTest{15, SoilPPM, BrayP1}, CountAbove: c.above}
		r, err := Worth(s)
		require.NoError(t, err)
		require.InDelta(t, c.worth, r.Parts[1].Value.Of(units.Acre), 1e-9, c.test)
		require.Equal(t, c.worth == 0, r.Parts[1].Enough)
		require.InDelta(t, 40+c.worth, r.Gross.Of(units.Acre), 1e-9)
	}
	s := slurryWorth()
	s.Nutrients[0].Test = &SoilTest{15, SoilPPM, BrayP1}
	s.Nutrients[1].Critical = &CriticalLevel{}
	_, err := Worth(s)
	require.Equal(t, []string{"nutrients[0].critical", "nutrients[1].test"}, faultFields(err))
	s.Nutrients[0].Critical = &CriticalLevel{Level: SoilTest{10, SoilPPM, Olsen}}
	_, err = Worth(s)
	require.Equal(t, []string{"nutrients[0].test.extractant", "nutrients[1].test"}, faultFields(err))
}

// Grants of a table: the years, the rest and the share that stand beside each, under the
// heads of its own line.
func TestGrantsOfATable(t *testing.T) {
	keys := `{"name": "riskIndex", "label": "R", "unit": "1"}, {"name": "filterStrip", "label": "F", "values": ["yes", "no"]}`
	s, err := ruled(keys, `{"title": "grants", "place": "1", "as": "cap", "unit": "1", "when": {"filterStrip": "yes"}, "by": ["riskIndex"], "cols": [{"gives": "bankingYears"}, {"gives": "bankingRest"}, {"gives": "bankingShare", "unit": "%", "title": "share"}], "rows": [["to 5", 4, 2, 80], ["over 5 to 10", 3, "n/a", "?"], ["over 10", 1, 0, 100]]}`)
	require.NoError(t, err)
	strip := func(index Cell) map[string]Cell { return map[string]Cell{"riskIndex": index, "filterStrip": "yes"} }
	allow := []PBasis{PBasisNitrogen, PBasisRemoval}
	require.Equal(t, []BankingGrant{
		{Banking{4, 2, 0.8, s.Source()}, "Atlantis", allow, strip("to 5")}, {Banking{3, 2, 1, s.Source()}, "Atlantis", allow, strip("over 5 to 10")}, {Banking{1, 0, 1, s.Source()}, "Atlantis", allow, strip("over 10")},
	}, s.BankingGrants())
	s, err = ruled(cropKey, `{"place": "1", "gives": "bankingYears", "as": "cap", "unit": "1", "rows": [[1]]}, {"place": "2", "gives": "salt", "as": "plus", "unit": "t", "by": ["crop"], "rows": [["corn", 1]]}`)
	require.NoError(t, err)
	require.Equal(t, []BankingGrant{{Banking{1, 0, 1, s.Source()}, "Atlantis", allow, nil}}, s.BankingGrants(), "no season rests after one crop's removal")
	for table, want := range map[string]string{
		`{"place": "1", "gives": "bankingYears", "as": "cap", "unit": "1", "by": ["crop"], "rows": [["corn", 2]]}`: "a grant of banking by crop", `{"place": "1", "gives": "bankingYears", "unit": "1", "by": ["riskIndex"], "rows": [["from 0", 2]]}`: "banking as value",
		`{"place": "1", "gives": "bankingYears", "as": "cap", "unit": "1", "rows": [[21]]}`: "years: got 21", `{"place": "1", "as": "cap", "unit": "1", "cols": [{"gives": "bankingYears"}, {"gives": "bankingRest"}], "rows": [[5, 21]]}`: "rest: got 21", `{"place": "1", "as": "cap", "unit": "1", "cols": [{"gives": "bankingYears"}, {"gives": "bankingShare", "unit": "%"}], "rows": [[5, 0.5]]}`: "available: got 0.005",
	} {
		_, err := ruled(keys+", "+cropKey, table)
		require.ErrorContains(t, err, want, table)
	}
	onTop, err := NewState(StateSpec{ID: "on-top", Jurisdiction: "Atlantis", Source: Source{Title: "T", Publisher: "P", Edition: "1"}, Base: "nebraska", Unchecked: "invented", Tables: []Table{{Place: "1", Gives: "salt", As: AsPlus, Unit: "t", Rows: [][]Cell{{"1"}}}}})
	require.NoError(t, err)
	base := nebraskaBanking(t)
	base.Jurisdiction = "Atlantis"
	require.Equal(t, []BankingGrant{base}, onTop.BankingGrants())
	for _, c := range []struct {
		b    Banking
		want float64
	}{{Banking{Years: 4, Available: 0.8}, 200}, {Banking{Years: 4, Available: 1}, 160}, {Banking{Years: 1, Available: 0.5}, 80}, {Banking{Years: 4}, 0}} {
		require.InDelta(t, c.want, c.b.Room(lbAcre(40)).In(units.PoundPerAcre), 1e-9)
	}
	// A soil test in lb/acre is half as many ppm.
	grant := BankingGrant{Banking: Banking{Years: 2, Available: 1}, Jurisdiction: "A", Allow: allow, When: map[string]Cell{"soilP": "to 50", "extractant": "olsen; bray p1"}}
	for test, want := range map[SoilTest]int{{100, SoilPoundPerAcre, Olsen}: 2, {101, SoilPoundPerAcre, BrayP1}: 1, {50, SoilPPM, BrayP1}: 2, {50, SoilPPM, Mehlich1}: 1} {
		r, err := PhosphorusRoom(PhosphorusRoomSpec{Jurisdiction: "A", Limit: SiteLimit{Allow: PBasisRemoval, Times: 1.5}, Site: Site{SoilTest: &test}, Removal: lbAcre(40), Grants: []BankingGrant{grant}})
		require.NoError(t, err)
		require.Equal(t, want, r.Years, "%v", test)
		require.InDelta(t, float64(want)*40*1.5, r.Room.In(units.PoundPerAcre), 1e-9)
		require.Equal(t, lbAcre(40), r.Removal)
	}
}

// Whose rules are foreign: those of another jurisdiction than the fields, or than the first
// that is not federal.
func TestForeignRules(t *testing.T) {
	federal, a, b := RuleInUse{What: "w", Jurisdiction: "US", Federal: true}, RuleInUse{What: "w", Jurisdiction: "A"}, RuleInUse{What: "w", Jurisdiction: "B"}
	for _, c := range []struct {
		in      string
		rules   []RuleInUse
		want    string
		foreign []RuleInUse
	}{{"", []RuleInUse{federal, a, b}, "A", []RuleInUse{b}}, {"", []RuleInUse{b, a, b}, "B", []RuleInUse{a}}, {"A", []RuleInUse{b, federal}, "A", []RuleInUse{b}}, {"", []RuleInUse{federal}, "", []RuleInUse{}}, {"B", []RuleInUse{b}, "B", []RuleInUse{}}} {
		r, err := Jurisdictions(JurisdictionsSpec{In: c.in, Rules: c.rules})
		require.NoError(t, err)
		require.Equal(t, JurisdictionsResult{In: c.want, Rules: c.rules, Foreign: c.foreign}, r)
		require.Equal(t, len(c.foreign) > 0, r.Mixed())
	}
}
