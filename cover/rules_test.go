package cover_test

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// A verdict must hold for every way in which the unknown attributes could turn
// out, and CannotSay only stand where they matter.
func TestVerdictsAreSound(t *testing.T) {
	r := random()
	pick := func(n int) int { return r.IntN(n) }
	for range 300 {
		spec := randomMix(r, 4)
		spec.Species = nil
		for i := range spec.Items {
			name := string(rune('a' + i))
			spec.Items[i].Species = name
			spec.Species = append(spec.Species, cover.Species{
				Common: name, Botanical: "species " + name, Form: cover.LifeForm(1 + pick(3)),
				Nativity: cover.Nativity(pick(3)), Bloom: bloom(pick(4)), Height: units.Length(pick(3)) * units.Metre,
			})
		}
		set, err := cover.NewRuleSet(cover.RuleSetSpec{ID: "x", Purpose: "x", Source: "x", Rules: []cover.Rule{
			{Name: "count", Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Nativity: cover.NativityNative}, Min: "2"},
			{Name: "most", Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Bloom: cover.BloomMid}, Max: "1"},
			{Name: "share", Measure: cover.MeasureShareOfSeeds, Of: cover.SpeciesSelector{Nativity: cover.NativityIntroduced}, Max: "30 %"},
			{Name: "each", Measure: cover.MeasureEachShareOfSeeds, Of: cover.SpeciesSelector{Nativity: cover.NativityIntroduced, Forms: []cover.LifeForm{cover.LifeFormLegume}}, Max: "20 %"},
			{Name: "short", Measure: cover.MeasureShareOfSeeds, Of: cover.SpeciesSelector{MaxHeight: units.Metre, Forms: []cover.LifeForm{cover.LifeFormGrass}}, In: &cover.SpeciesSelector{Forms: []cover.LifeForm{cover.LifeFormGrass}}, Min: "60 %"},
			{Name: "seeds", Measure: cover.MeasureSeeds, Of: cover.SpeciesSelector{Bloom: cover.BloomEarly}, Min: "5 seeds/ft2", Max: "20 seeds/ft2"},
			{Name: "only", Measure: cover.MeasureOnly, Of: cover.SpeciesSelector{Nativity: cover.NativityIntroduced}, Allowed: []string{"a", "species b"}},
		}})
		require.NoError(t, err)
		got := set.Judge(mix(t, spec))
		seen := make([]map[cover.Verdict]bool, len(got))
		for i := range seen {
			seen[i] = map[cover.Verdict]bool{}
		}
		var resolve func(i int)
		resolve = func(i int) {
			if i == len(spec.Species) {
				for j, f := range set.Judge(mix(t, spec)) {
					seen[j][f.Verdict] = true
				}
				return
			}
			s := spec.Species[i]
			for _, n := range options(int(s.Nativity), 2) {
				for _, b := range options(period(s.Bloom), 3) {
					for _, h := range options(int(s.Height), 2) {
						spec.Species[i].Nativity, spec.Species[i].Bloom, spec.Species[i].Height = cover.Nativity(n), bloom(b), units.Length(h)*units.Metre
						resolve(i + 1)
					}
				}
			}
			spec.Species[i] = s
		}
		resolve(0)
		for j, f := range got {
			require.False(t, seen[j][cover.VerdictCannotSay], f.Rule)
			switch f.Verdict {
			case cover.VerdictMet, cover.VerdictNotMet:
				require.Equal(t, map[cover.Verdict]bool{f.Verdict: true}, seen[j], f.String())
			case cover.VerdictCannotSay:
				// A two-sided bound may be open though each resolution misses it, since
				// only the ends of the span are known.
				if f.Rule != "seeds" {
					require.Len(t, seen[j], 2, f.String())
				}
				require.NotEmpty(t, f.Why)
			}
		}
	}
}

// bloom is one period, none for 0.
func bloom(b int) []cover.Bloom {
	if b == 0 {
		return nil
	}
	return []cover.Bloom{cover.Bloom(b)}
}

// period is the number of that period.
func period(list []cover.Bloom) int {
	if len(list) == 0 {
		return 0
	}
	return int(list[0])
}

// options is the value itself, or all the values when it is unknown.
func options(v, n int) []int {
	if v != 0 {
		return []int{v}
	}
	var list []int
	for i := range n {
		list = append(list, i+1)
	}
	return list
}

// What loads writes back to what loads the same, and every shipped source is named
// once, has a publisher and is used.
func TestStatesRoundTrip(t *testing.T) {
	sources := map[string]string{}
	for _, s := range cover.PublishedStates() {
		spec := s.Spec()
		data, err := json.Marshal(spec)
		require.NoError(t, err)
		back, err := cover.ParseState(data)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(spec, back.Spec(), cmpopts.IgnoreUnexported(cover.Rule{})))
		again, err := cover.PublishedState(spec.ID)
		require.NoError(t, err)
		require.Same(t, s, again)
		rows, err := json.Marshal(cover.StateSpec{Windows: spec.Windows, Rules: spec.Rules, Mulch: spec.Mulch, Soil: spec.Soil, Species: spec.Species})
		require.NoError(t, err)
		for _, x := range spec.Sources {
			require.Empty(t, sources[x.ID], "%s of %s", x.ID, spec.ID)
			sources[x.ID] = spec.ID
			require.Contains(t, string(rows), `ource":"`+x.ID+`"`, spec.ID)
		}
	}
}

// All faults of a state come in one round with their lines.
func TestStatesReportEveryFault(t *testing.T) {
	_, err := cover.ParseState([]byte(`{"sources": [{"id": "A", "title": "t", "publisher": "p"}, {"id": "A", "title": ""}],
		"windows": [{"name": "w", "from": "1 May", "to": "1 June", "dormant": false}],
		"mulch": [{"id": "m", "material": "straw", "source": "B"}, {"id": "m", "material": "straw", "source": "A"}],
		"soil": [{"id": "", "source": "A"}],
		"species": [
			{"common": "a", "botanical": "b", "form": "grass", "height": "1 mi", "bloom": ["mid", "early"], "counts": [{"low": "5 seeds/lb", "high": "10 seeds/lb", "source": "Z"}]},
			{"common": "A", "botanical": "", "synonyms": ["c", "B"], "counts": [{"low": "2e5 seeds/lb", "high": "1e5 seeds/lb", "source": "A"}, {"low": "2e5 seeds/lb", "high": "2e5 seeds/lb", "source": "A"}]}]}`))
	require.ElementsMatch(t, []string{"id", "jurisdiction", "sources[1].id", "sources[1].title", "sources[1].publisher", "windows[0].source",
		"mulch[0].source", "mulch[1].id", "soil[0].id",
		"species[0].height", "species[0].heightSource", "species[0].bloom[1]", "species[0].bloomSource", "species[0].counts[0].low", "species[0].counts[0].high", "species[0].counts[0].source",
		"species[1].botanical", "species[1].form", "species[1].counts[0].high", "species[1].counts[1].source", "species[1].common", "species[1].synonyms[1]"}, fields(err))
	for _, e := range units.FieldErrors(err) {
		require.Positive(t, e.Line, e.Field)
	}
	_, err = cover.ParseState([]byte(`{"id": "x", "jurisdiction": "x", "sources": [], "species": [{"colour": "red"}]}`))
	require.Contains(t, fields(err), "species[0].colour")
	require.Contains(t, fields(err), "sources")

	const head = `{"id": "x", "jurisdiction": "x", "sources": [{"id": "s", "title": "t", "publisher": "p"}], "rules": [{"id": "x", "purpose": "x", "source": "s", "rules": [`
	for _, c := range []struct{ rule, want string }{
		{`{"name": "a", "measure": "species", "of": {}, "min": "3.5"}`, "min"},
		{`{"name": "a", "measure": "rate", "of": {}, "min": "3"}`, "min"},
		{`{"name": "a", "measure": "rate", "of": {}, "min": "-3 lb/acre"}`, "min"},
		{`{"name": "a", "measure": "share of seeds", "of": {}, "min": "30 %", "max": "20 %"}`, "max"},
		{`{"name": "a", "measure": "species", "of": {}}`, "min"},
		{`{"name": "a", "measure": "only", "of": {}}`, "allowed"},
		{`{"name": "a", "measure": "only", "of": {}, "allowed": ["x"], "min": "3"}`, "min"},
		{`{"name": "a", "measure": "bloom periods", "of": {}, "min": "2"}`, "each"},
		{`{"name": "a", "measure": "bloom periods", "of": {"bloom": "mid"}, "each": 2, "min": "2"}`, "of.bloom"},
		{`{"name": "a", "measure": "area", "of": {}, "each": 1, "min": "2 acre"}`, "each"},
		{`{"name": "a", "measure": "rate", "of": {}, "in": {"forms": ["grass"]}, "min": "2 lb/acre"}`, "in"},
		{`{"name": "a", "measure": "share of seeds", "of": {}, "in": {"bloom": "mid"}, "min": "2 %"}`, "in"},
		{`{"name": "a", "measure": "share of seeds", "of": {}, "in": {}, "min": "2 %"}`, "in"},
		{`{"name": "a", "measure": "share of seeds", "of": {}, "in": {"species": ["oats"], "season": "cool"}, "min": "2 %"}`, "in"},
		{`{"name": "a", "measure": "species", "of": {"maxHeight": "1 mi"}, "min": "2"}`, "of.maxHeight"},
		{`{"name": "a", "of": {}}`, "measure"},
		{`{"measure": "area", "of": {}, "min": "2 acre"}`, "name"},
		{`{"name": "a", "measure": "area", "of": {"season": "wet"}, "min": "2 acre"}`, "of.season"},
		{`{"name": "a", "measure": "area", "of": {}, "min": "2 acre", "min": "3 acre"}`, "min"},
	} {
		_, err := cover.ParseState([]byte(head + c.rule + `]}]}`))
		require.Equal(t, []string{"rules[0].rules[0]." + c.want}, fields(err), c.rule)
	}
	_, err = cover.PublishedRuleSet("none")
	require.ErrorContains(t, err, "indiana-pollinator-2012")
	_, err = cover.PublishedState("none")
	require.ErrorContains(t, err, "north-carolina")
}

// Shares within listed species: the two thirds of the milkweed of Missouri's sheet.
func TestShareWithinSpecies(t *testing.T) {
	set, err := cover.PublishedRuleSet("missouri-monarch-2017")
	require.NoError(t, err)
	judge := func(common, other float64) cover.Finding {
		m := mix(t, cover.MixSpec{Area: 1, Basis: cover.MixSharesOfSeeds, SeedsPerArea: 40 * units.SeedPerSquareFoot, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
			CountSources: []string{"P", "PV", "SID"}, Items: []cover.MixItemSpec{
				{Species: "common milkweed", Share: common, Lot: fullLot}, {Species: "butterfly milkweed", Share: other, Lot: fullLot}, {Species: "black-eyed Susan", Share: 1 - common - other, Lot: fullLot}}})
		list := set.Judge(m)
		return list[len(list)-1]
	}
	require.Equal(t, cover.VerdictMet, judge(0.04, 0.02).Verdict)
	require.Equal(t, cover.VerdictNotMet, judge(0.04, 0.021).Verdict)
}

// Every shipped rule set is met by some mix of shipped species: all that its rules ask
// of a species is known.
func TestRulesCanBeMet(t *testing.T) {
	even := func(names ...string) []cover.MixItemSpec {
		var items []cover.MixItemSpec
		for _, n := range names {
			items = append(items, cover.MixItemSpec{Species: n, Share: 1 / float64(len(names)), Lot: fullLot})
		}
		return items
	}
	shares := func(items []cover.MixItemSpec, share ...float64) []cover.MixItemSpec {
		for i, x := range share {
			items[i].Share = x
		}
		return items
	}
	grasses := []string{"little bluestem", "side-oats grama", "blue grama"}
	flowers := []string{"foxglove beardtongue", "plains coreopsis", "lemon mint", "wild bergamot", "black-eyed Susan", "purple prairie clover", "stiff goldenrod", "New England aster", "sneezeweed"}
	many := append(slices.Clone(flowers), "white prairie clover", "leadplant", "blue giant hyssop", "cutleaf coneflower", "Canada goldenrod", "sawtooth sunflower", "Indian blanket",
		"Mexican hat", "butterfly milkweed", "common milkweed", "partridge pea", "Illinois bundleflower", "roundhead lespedeza")
	mixes := map[string]struct {
		items []cover.MixItemSpec
		seeds float64
	}{
		"monarch-e327136z2-2017":     {even(append(many, grasses...)...), 40},
		"cp42-2011":                  {even(append(flowers, grasses...)...), 40},
		"iowa-pollinator-2016":       {even(append(flowers, grasses...)...), 40},
		"indiana-pollinator-2012":    {even(append(flowers, grasses...)...), 700},
		"new-mexico-pollinator-2011": {even(flowers...), 40},
		"missouri-monarch-2017":      {shares(even("common milkweed", "butterfly milkweed", "foxglove beardtongue", "lemon mint", "plains coreopsis", "wild bergamot", "black-eyed Susan", "stiff goldenrod", "sneezeweed", "New England aster", "cutleaf coneflower", "Canada goldenrod", "sawtooth sunflower", "Indian blanket", "Mexican hat", "blue giant hyssop", "purple prairie clover", "white prairie clover", "partridge pea", "roundhead lespedeza", "Illinois bundleflower"), 0.08, 0.04), 40},
		"ohio-native-grass-2010":     {shares(even("little bluestem", "side-oats grama", "big bluestem", "wild bergamot", "black-eyed Susan", "purple prairie clover", "stiff goldenrod", "partridge pea"), 7./34, 6./34, 7./34, 3./34, 3./34, 3./34, 3./34, 2./34), 34},
	}
	for _, state := range cover.PublishedStates() {
		for _, set := range state.RuleSets() {
			require.Contains(t, mixes, set.Spec().ID, "a mix that meets it")
		}
	}
	for id, c := range mixes {
		set, err := cover.PublishedRuleSet(id)
		require.NoError(t, err)
		spec := cover.MixSpec{Area: units.Acre, Width: 100 * units.Foot, Basis: cover.MixSharesOfSeeds, SeedsPerArea: units.SeedsPerArea(c.seeds) * units.SeedPerSquareFoot,
			Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, CountSources: []string{"P", "PV", "S", "T", "SID", "TR"}, Items: c.items}
		sum := 0.0
		for _, x := range c.items {
			sum += x.Share
		}
		for i := range spec.Items {
			spec.Items[i].Share /= sum
		}
		for _, f := range set.Judge(mix(t, spec)) {
			require.Equal(t, cover.VerdictMet, f.Verdict, "%s: %s", id, f)
		}
	}
}

// Every measure at the ends of its bounds: what lies on them is met, what lies a thousandth
// beyond is not. The mix has 10 and 30 seeds/ft2 of a grass and a legume, 10 and 30 lb/acre,
// since a pound holds 43,560 seeds, on 2 acres, 20 ft wide.
func TestRulesAtTheirEnds(t *testing.T) {
	count := 43560 * units.SeedPerPound
	spec := cover.MixSpec{Area: 2 * units.Acre, Width: 20 * units.Foot, Basis: cover.MixRatesOfPLS, Method: cover.SeedingBroadcast, MethodFactor: 2, CriticalFactor: 1,
		Species: []cover.Species{{Common: "a", Botanical: "x", Form: cover.LifeFormGrass, Season: cover.SeasonWarm, Nativity: cover.NativityNative, Bloom: []cover.Bloom{cover.BloomEarly, cover.BloomMid}, Height: 2 * units.Foot}, {Common: "b", Botanical: "y", Form: cover.LifeFormLegume, Bloom: []cover.Bloom{cover.BloomLate}}},
		Items:   []cover.MixItemSpec{{Species: "a", SeedsPerMass: count, Rate: 10 * lbAcre, Lot: fullLot}, {Species: "b", SeedsPerMass: count, Rate: 30 * lbAcre, Lot: fullLot}}}
	m := mix(t, spec)
	judged := func(r cover.Rule, m cover.MixResult) cover.Finding {
		r.Name = "r"
		set, err := cover.NewRuleSet(cover.RuleSetSpec{ID: "x", Purpose: "x", Source: "x", Rules: []cover.Rule{r}})
		require.NoError(t, err)
		return set.Judge(m)[0]
	}
	grass := cover.SpeciesSelector{Forms: []cover.LifeForm{cover.LifeFormGrass}}
	for _, c := range []struct {
		rule                    cover.Rule
		at, below, above, shown string
	}{
		{cover.Rule{Measure: cover.MeasureSpecies}, "2", "1", "3", "2"},
		{cover.Rule{Measure: cover.MeasureBloomPeriods, Each: 1}, "2", "1", "3", "2"},
		{cover.Rule{Measure: cover.MeasureSeeds}, "40 seeds/ft2", "39.9 seeds/ft2", "40.1 seeds/ft2", "40 seeds/ft2"},
		{cover.Rule{Measure: cover.MeasureSeeds, Of: grass}, "10 seeds/ft2", "9.9 seeds/ft2", "10.1 seeds/ft2", "10 seeds/ft2"},
		{cover.Rule{Measure: cover.MeasureShareOfSeeds, Of: grass}, "25 %", "24.9 %", "25.1 %", "25 %"},
		{cover.Rule{Measure: cover.MeasureShareOfSeeds, Of: grass, In: &grass}, "100 %", "99.9 %", "100.1 %", "100 %"},
		{cover.Rule{Measure: cover.MeasureShareOfSeeds, Of: grass, In: &cover.SpeciesSelector{Species: []string{"oats"}}}, "0 %", "0 %", "0.1 %", "0 %"},
		{cover.Rule{Measure: cover.MeasureEachShareOfSeeds, Of: grass}, "25 %", "24.9 %", "25.1 %", "a 25 %"},
		{cover.Rule{Measure: cover.MeasureRate}, "40 lb/acre", "39.9 lb/acre", "40.1 lb/acre", "40 lb/acre"},
		{cover.Rule{Measure: cover.MeasureRate, Of: grass}, "10 lb/acre", "9.9 lb/acre", "10.1 lb/acre", "10 lb/acre"},
		{cover.Rule{Measure: cover.MeasureEachRate, Of: grass}, "10 lb/acre", "9.9 lb/acre", "10.1 lb/acre", "a 10 lb/acre"},
		{cover.Rule{Measure: cover.MeasureArea}, "2 acre", "1.99 acre", "2.01 acre", "2 acre"},
		{cover.Rule{Measure: cover.MeasureWidth}, "20 ft", "19.9 ft", "20.1 ft", "20 ft"},
	} {
		for _, b := range []struct {
			least, most, want string
			verdict           cover.Verdict
		}{
			{c.at, "", "at least " + c.at, cover.VerdictMet}, {c.above, "", "at least " + c.above, cover.VerdictNotMet}, {"", c.at, "at most " + c.at, cover.VerdictMet},
			{"", c.below, "at most " + c.below, cover.VerdictNotMet}, {c.at, c.at, c.at, cover.VerdictMet}, {c.below, c.above, c.below + " to " + c.above, cover.VerdictMet},
		} {
			if c.below == c.at && b.most == c.below {
				continue
			}
			r := c.rule
			r.Min, r.Max = b.least, b.most
			f := judged(r, m)
			require.Equal(t, b.verdict, f.Verdict, "%s", f)
			require.Equal(t, c.shown+", "+b.want, f.Value.String()+", "+f.Want.String())
		}
	}
	// What is not known leaves a span, and the verdict open where it matters.
	warm := cover.SpeciesSelector{Season: cover.SeasonWarm}
	for _, c := range []struct {
		rule cover.Rule
		want string
	}{
		{cover.Rule{Measure: cover.MeasureSpecies, Of: warm, Min: "2"}, "r: 1 to 2, want at least 2: cannot say (not known of b)"}, {cover.Rule{Measure: cover.MeasureSpecies, Of: warm, Min: "1"}, "r: 1 to 2, want at least 1: met"},
		{cover.Rule{Measure: cover.MeasureSpecies, Of: warm, Min: "3"}, "r: 1 to 2, want at least 3: not met"}, {cover.Rule{Measure: cover.MeasureShareOfSeeds, Of: warm, Max: "50 %"}, "r: 25 % to 100 %, want at most 50 %: cannot say (not known of b)"},
		{cover.Rule{Measure: cover.MeasureRate, Of: warm, Max: "40 lb/acre"}, "r: 10 lb/acre to 40 lb/acre, want at most 40 lb/acre: met"}, {cover.Rule{Measure: cover.MeasureEachRate, Of: warm, Max: "20 lb/acre"}, "r: a 10 lb/acre, want at most 20 lb/acre: cannot say (not known of b)"},
		{cover.Rule{Measure: cover.MeasureEachRate, Of: warm, Max: "30 lb/acre"}, "r: a 10 lb/acre, want at most 30 lb/acre: met"}, {cover.Rule{Measure: cover.MeasureOnly, Of: warm, Allowed: []string{"a", "y"}}, "r: a, want only a, y: met"},
		{cover.Rule{Measure: cover.MeasureOnly, Of: warm, Allowed: []string{"a"}}, "r: a, want only a: cannot say (not known of b)"}, {cover.Rule{Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{MaxHeight: 2 * units.Foot}, Min: "1"}, "r: 1 to 2, want at least 1: met"},
		{cover.Rule{Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{MaxHeight: 1.99 * units.Foot}, Max: "0"}, "r: 0 to 1, want at most 0: cannot say (not known of b)"}, {cover.Rule{Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Bloom: cover.BloomMid}, Min: "1"}, "r: 1, want at least 1: met"},
		{cover.Rule{Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Species: []string{"X", "oats"}}, Max: "1"}, "r: 1, want at most 1: met"}, {cover.Rule{Measure: cover.MeasureBloomPeriods, Each: 2, Min: "1"}, "r: 0, want at least 1: not met"},
		{cover.Rule{Measure: cover.MeasureBloomPeriods, Of: warm, Each: 1, Min: "2"}, "r: 1 to 2, want at least 2: cannot say (not known of b)"}, {cover.Rule{Measure: cover.MeasureEachShareOfSeeds, Of: cover.SpeciesSelector{Nativity: cover.NativityIntroduced}, Max: "1 %"}, "r: none, want at most 1 %: cannot say (not known of b)"},
	} {
		require.Equal(t, c.want, judged(c.rule, m).String())
	}
	// Without a width nothing is said of it, and a bloom that is not known is any.
	spec.Width, spec.Species[1].Bloom = 0, nil
	m = mix(t, spec)
	require.Equal(t, "r: not given, want at least 20 ft: cannot say (the width of the stand is not given)", judged(cover.Rule{Measure: cover.MeasureWidth, Min: "20 ft"}, m).String())
	require.Equal(t, "r: 1 to 3, want at least 2: cannot say (not known of b)", judged(cover.Rule{Measure: cover.MeasureBloomPeriods, Each: 1, Min: "2"}, m).String())
	require.Equal(t, "r: 1 to 3, want at most 3: met", judged(cover.Rule{Measure: cover.MeasureBloomPeriods, Each: 1, Max: "3"}, m).String())
	require.Equal(t, "r: 0 to 1, want at least 1: cannot say (not known of b)", judged(cover.Rule{Measure: cover.MeasureBloomPeriods, Each: 2, Min: "1"}, m).String())
	// What a selector may not have, and what a rule may not say with its measure.
	for _, c := range []struct {
		rule cover.Rule
		want string
	}{
		{cover.Rule{Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Forms: []cover.LifeForm{cover.LifeFormGrass, 77}}, Min: "1"}, "of.forms[1]"}, {cover.Rule{Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Nativity: 77}, Min: "1"}, "of.nativity"},
		{cover.Rule{Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Bloom: -1}, Min: "1"}, "of.bloom"}, {cover.Rule{Measure: cover.MeasureSpecies, Allowed: []string{"a"}, Min: "1"}, "allowed"}, {cover.Rule{Measure: cover.MeasureOnly, Allowed: []string{"a"}, Max: "1"}, "min"},
		{cover.Rule{Measure: cover.MeasureEachShareOfSeeds, In: &cover.SpeciesSelector{Forms: []cover.LifeForm{1}, MaxHeight: units.Metre}, Max: "1 %"}, "in"}, {cover.Rule{Measure: cover.MeasureSpecies, Max: "1000000"}, "max"}, {cover.Rule{Measure: cover.MeasureWidth, Max: "3 lb"}, "max"},
	} {
		c.rule.Name = "r"
		_, err := cover.NewRuleSet(cover.RuleSetSpec{ID: "x", Purpose: "x", Source: "x", Rules: []cover.Rule{c.rule}})
		require.Equal(t, []string{"rules[0]." + c.want}, fields(err))
	}
}

// A rule on each of the species tells the figure of each, in the order of the mix.
func TestEachIsTold(t *testing.T) {
	set, err := cover.NewRuleSet(cover.RuleSetSpec{ID: "x", Purpose: "x", Source: "x", Rules: []cover.Rule{
		{Name: "each legume", Measure: cover.MeasureEachShareOfSeeds, Of: cover.SpeciesSelector{Forms: []cover.LifeForm{cover.LifeFormLegume}}, Max: "25 %"},
		{Name: "each grass", Measure: cover.MeasureEachRate, Of: cover.SpeciesSelector{Forms: []cover.LifeForm{cover.LifeFormGrass}}, Max: "5 lb/acre"},
		{Name: "legumes", Measure: cover.MeasureOnly, Of: cover.SpeciesSelector{Forms: []cover.LifeForm{cover.LifeFormLegume}}, Allowed: []string{"alfalfa"}},
		{Name: "shrubs", Measure: cover.MeasureEachRate, Of: cover.SpeciesSelector{Forms: []cover.LifeForm{cover.LifeFormShrub}}, Max: "5 lb/acre"},
	}})
	require.NoError(t, err)
	m := mix(t, cover.MixSpec{Area: 1, Basis: cover.MixSharesOfSeeds, SeedsPerArea: 40 * units.SeedPerSquareFoot, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, CountSources: []string{"W"},
		Items: []cover.MixItemSpec{{Species: "alfalfa", Share: 0.2, Lot: fullLot}, {Species: "timothy", Share: 0.4, Lot: fullLot}, {Species: "red clover", Share: 0.3, Lot: fullLot}, {Species: "alsike clover", Share: 0.1, Lot: fullLot}}})
	var got []string
	for _, f := range set.Judge(m) {
		got = append(got, f.String())
	}
	require.Equal(t, []string{
		"each legume: alfalfa 20 %, red clover 30 %, alsike clover 10 %, want at most 25 %: not met (red clover)",
		"each grass: timothy 0.5666 lb/acre, want at most 5 lb/acre: met",
		"legumes: alfalfa, red clover, alsike clover, want only alfalfa: not met (red clover, alsike clover)",
		"shrubs: none, want at most 5 lb/acre: met",
	}, got)
}
