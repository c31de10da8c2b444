package nutrient

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
)

func FuzzParseState(f *testing.F) {
	f.Add([]byte(inventedState))
	f.Add([]byte(`{"tables": [{"gives": "p", "of": "remaining", "unit": "%", "by": ["year"], "rows": [["1-50", 1]]}]}`))
	for _, id := range PublishedStateIDs() {
		data, err := files.ReadFile("states/" + id + ".json")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ParseState(data)
		if err != nil {
			return
		}
		// A state without faults answers or refuses, and its shares are fractions.
		c, err := s.Schedule(Query{})
		require.NoError(t, err)
		for p := Pool(1); p < poolCount; p++ {
			sum := 0.0
			for _, x := range c.pools[p].shares {
				require.True(t, x.pool.Low >= 0 && x.pool.High <= 1 && x.pool.Low <= x.pool.High)
				sum += x.pool.Low
			}
			require.LessOrEqual(t, sum, 1+1e-6)
		}
		for _, gives := range s.Gives() {
			for _, as := range []As{AsCap, AsAtLeast} {
				_, _, _ = s.Limit(gives, as, nil)
			}
			r, err := s.Answer(gives, nil)
			require.True(t, err != nil || r.Figure.Low <= r.Figure.High)
		}
		_, _ = s.Bans(nil)
		text, err := json.Marshal(s)
		require.NoError(t, err)
		_, err = ParseState(text)
		require.NoError(t, err)
	})
}
