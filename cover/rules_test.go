package cover_test

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
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
				Nativity: cover.Nativity(pick(3)), Bloom: cover.Bloom(pick(4)), Stature: cover.Stature(pick(3)),
			})
		}
		set, err := cover.NewRuleSet(cover.RuleSetSpec{ID: "x", Jurisdiction: "x", Title: "x", Edition: "x", Purpose: "x", Rules: []cover.Rule{
			{Name: "count", Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Nativity: cover.NativityNative}, Min: "2"},
			{Name: "most", Measure: cover.MeasureSpecies, Of: cover.SpeciesSelector{Bloom: cover.BloomMid}, Max: "1"},
			{Name: "share", Measure: cover.MeasureShareOfSeeds, Of: cover.SpeciesSelector{Nativity: cover.NativityIntroduced}, Max: "30 %"},
			{Name: "each", Measure: cover.MeasureEachShareOfSeeds, Of: cover.SpeciesSelector{Nativity: cover.NativityIntroduced, Forms: []cover.LifeForm{cover.LifeFormLegume}}, Max: "20 %"},
			{Name: "short", Measure: cover.MeasureShareOfSeeds, Of: cover.SpeciesSelector{Stature: cover.StatureShort, Forms: []cover.LifeForm{cover.LifeFormGrass}}, In: &cover.SpeciesSelector{Forms: []cover.LifeForm{cover.LifeFormGrass}}, Min: "60 %"},
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
				for _, b := range options(int(s.Bloom), 3) {
					for _, h := range options(int(s.Stature), 2) {
						spec.Species[i].Nativity, spec.Species[i].Bloom, spec.Species[i].Stature = cover.Nativity(n), cover.Bloom(b), cover.Stature(h)
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

func TestTablesRoundTrip(t *testing.T) {
	table := cover.PublishedSpecies()
	data, err := json.Marshal(table)
	require.NoError(t, err)
	back, err := cover.ParseSpecies(data)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(table, back))

	var specs []cover.RuleSetSpec
	for _, s := range cover.PublishedRules() {
		specs = append(specs, s.Spec())
	}
	data, err = json.Marshal(specs)
	require.NoError(t, err)
	sets, err := cover.ParseRules(data)
	require.NoError(t, err)
	for i, s := range sets {
		require.Empty(t, cmp.Diff(specs[i], s.Spec(), cmpopts.IgnoreUnexported(cover.Rule{})))
	}

	mulch := cover.PublishedMulchRules()
	data, err = json.Marshal(mulch)
	require.NoError(t, err)
	rules, err := cover.ParseMulchRules(data)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(mulch, rules))
}

func TestLoadersReportEveryFault(t *testing.T) {
	_, err := cover.ParseSpecies([]byte(`{"sources": [{"id": "A", "title": "t"}, {"id": "A", "title": ""}],
		"species": [
			{"common": "a", "botanical": "b", "form": "grass", "counts": [{"low": "5 seeds/lb", "high": "10 seeds/lb", "source": "Z"}]},
			{"common": "A", "botanical": "", "counts": [{"low": "2e5 seeds/lb", "high": "1e5 seeds/lb", "source": "A"}]}]}`))
	require.Equal(t, []string{"sources[1].id", "sources[1].title", "species[0].counts[0].low", "species[0].counts[0].high",
		"species[0].counts[0].source", "species[1].botanical", "species[1].form", "species[1].counts[0].high", "species[1].common"}, fields(err))
	_, err = cover.ParseSpecies([]byte(`{"sources": [], "species": [{"colour": "red"}]}`))
	require.Equal(t, []string{"species[0].colour"}, fields(err))

	const head = `[{"id": "x", "jurisdiction": "x", "title": "x", "edition": "x", "purpose": "x", "rules": [`
	for _, c := range []struct{ rule, want string }{
		{`{"name": "a", "measure": "species", "of": {}, "min": "3.5"}`, "[0].rules[0].min"},
		{`{"name": "a", "measure": "rate", "of": {}, "min": "3"}`, "[0].rules[0].min"},
		{`{"name": "a", "measure": "rate", "of": {}, "min": "-3 lb/acre"}`, "[0].rules[0].min"},
		{`{"name": "a", "measure": "share of seeds", "of": {}, "min": "30 %", "max": "20 %"}`, "[0].rules[0].max"},
		{`{"name": "a", "measure": "species", "of": {}}`, "[0].rules[0].min"},
		{`{"name": "a", "measure": "only", "of": {}}`, "[0].rules[0].allowed"},
		{`{"name": "a", "measure": "only", "of": {}, "allowed": ["x"], "min": "3"}`, "[0].rules[0].min"},
		{`{"name": "a", "measure": "bloom periods", "of": {}, "min": "2"}`, "[0].rules[0].each"},
		{`{"name": "a", "measure": "bloom periods", "of": {"bloom": "mid"}, "each": 2, "min": "2"}`, "[0].rules[0].of.bloom"},
		{`{"name": "a", "measure": "area", "of": {}, "each": 1, "min": "2 acre"}`, "[0].rules[0].each"},
		{`{"name": "a", "measure": "rate", "of": {}, "in": {"forms": ["grass"]}, "min": "2 lb/acre"}`, "[0].rules[0].in"},
		{`{"name": "a", "measure": "share of seeds", "of": {}, "in": {"bloom": "mid"}, "min": "2 %"}`, "[0].rules[0].in"},
		{`{"name": "a", "of": {}}`, "[0].rules[0].measure"},
		{`{"measure": "area", "of": {}, "min": "2 acre"}`, "[0].rules[0].name"},
		{`{"name": "a", "measure": "area", "of": {"season": "wet"}, "min": "2 acre"}`, "[0].rules[0].of.season"},
		{`{"name": "a", "measure": "area", "of": {}, "min": "2 acre", "min": "3 acre"}`, "[0].rules[0].min"},
	} {
		_, err := cover.ParseRules([]byte(head + c.rule + `]}]`))
		require.Equal(t, []string{c.want}, fields(err), c.rule)
	}
	_, err = cover.PublishedRuleSet("none")
	require.ErrorContains(t, err, "indiana-pollinator-2012")
	_, err = cover.ParseMulchRules([]byte(`[{"id": "a", "jurisdiction": "a", "material": "a", "source": "a", "minCover": 2, "anchoring": ["glued"]}]`))
	require.Equal(t, []string{"[0].anchoring[0]"}, fields(err))
}
