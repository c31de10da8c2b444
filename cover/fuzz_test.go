package cover_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
)

func seed(f *testing.F, path string, extra ...string) {
	f.Helper()
	data, err := os.ReadFile(path)
	require.NoError(f, err)
	f.Add(data)
	for _, s := range extra {
		f.Add([]byte(s))
	}
}

// What loads writes back to what loads the same.
func FuzzLoadSpecies(f *testing.F) {
	seed(f, "data/species.json", `{"sources":[{"id":"a","title":"t","url":""}],"species":[{"common":"a","botanical":"b","form":"forb","counts":[{"low":"1e5 seeds/lb","high":"2e5 seeds/lb","source":"a"}]}]}`,
		`{"species":[{"counts":[{"low":"NaN seeds/lb"}]}]}`, `null`, `[]`, `{"species":null}`)
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := cover.LoadSpecies(data)
		if err != nil {
			return
		}
		text, err := json.Marshal(table)
		require.NoError(t, err)
		back, err := cover.LoadSpecies(text)
		require.NoError(t, err)
		require.Equal(t, table, back)
		for _, s := range table.Species {
			found, ok := table.Find(s.Common)
			require.True(t, ok)
			require.Equal(t, s, found)
		}
	})
}

// Whatever loads judges any mix with one line per rule.
func FuzzLoadRules(f *testing.F) {
	seed(f, "data/rules.json", `[{"id":"x","jurisdiction":"x","title":"x","edition":"x","purpose":"x","rules":[{"name":"a","measure":"share of seeds","of":{},"in":{"forms":["grass"]},"min":"1e300 %"}]}]`,
		`[{"rules":[{"measure":"species","min":"-1"}]}]`, `[null]`, `{}`)
	m, err := cover.Mix(randomMix(random(), 12))
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, data []byte) {
		sets, err := cover.LoadRules(data)
		if err != nil {
			return
		}
		var specs []cover.RuleSetSpec
		for _, s := range sets {
			specs = append(specs, s.Spec())
			findings := s.Judge(m)
			require.Len(t, findings, len(s.Spec().Rules))
			for _, x := range findings {
				_, err := x.Verdict.MarshalText()
				require.NoError(t, err)
			}
		}
		text, err := json.Marshal(specs)
		require.NoError(t, err)
		_, err = cover.LoadRules(text)
		require.NoError(t, err)
	})
}

func FuzzLoadMulchRules(f *testing.F) {
	seed(f, "data/mulch.json", `[{"id":"a","jurisdiction":"a","material":"a","source":"a","rate":{"low":"1 ton/acre","high":"2 ton/acre"}}]`, `[]`)
	f.Fuzz(func(t *testing.T, data []byte) {
		rules, err := cover.LoadMulchRules(data)
		if err != nil {
			return
		}
		r, err := cover.Mulch(cover.MulchSpec{Area: 1, Rate: 1, Slope: 3, Anchoring: cover.AnchoringCrimped, Own: rules})
		require.NoError(t, err)
		for _, x := range r.Findings {
			_, err := x.Verdict.MarshalText()
			require.NoError(t, err)
		}
	})
}

func FuzzMonthDay(f *testing.F) {
	for _, s := range []string{"15 May", "May 15", "29 February", "31 Apr", "0 May", "1 13", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var d cover.MonthDay
		if d.UnmarshalText([]byte(s)) != nil {
			return
		}
		text, err := d.MarshalText()
		require.NoError(t, err)
		var back cover.MonthDay
		require.NoError(t, back.UnmarshalText(text))
		require.Equal(t, d, back)
	})
}
