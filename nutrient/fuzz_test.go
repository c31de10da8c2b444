package nutrient

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func FuzzParseSet(f *testing.F) {
	f.Add([]byte(inventedSet))
	f.Add([]byte(`{"rows": [{"pool": "p", "year": 1, "through": 50, "basis": "remaining", "value": 1}]}`))
	for _, id := range PublishedSetIDs() {
		data, err := files.ReadFile("sets/" + id + ".json")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ParseSet(data)
		if err != nil {
			return
		}
		// A set without faults answers or refuses, and its shares are fractions.
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
	})
}

func FuzzParseSiteRule(f *testing.F) {
	for _, id := range PublishedSiteRuleIDs() {
		data, err := files.ReadFile("tables/rule-" + id + ".json")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ParseSiteRule(data)
		if err != nil {
			return
		}
		l, err := r.Limit(Site{SoilTest: bray(50), Distance: ref(100 * units.Foot), FilterStrip: ref(false), SoilLoss: ref(units.TonPerAcre),
			TolerableLoss: ref(5 * units.TonPerAcre), RiskIndex: ref(1.0), Saturation: ref(0.5)})
		if err == nil {
			require.True(t, pBasisNames.Has(int(l.Allow)))
		}
	})
}

func FuzzParseCropTable(f *testing.F) {
	for _, id := range PublishedCropTableIDs() {
		data, err := files.ReadFile("tables/" + id + ".json")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := ParseCropTable(data)
		if err != nil {
			return
		}
		for _, c := range table.Crops() {
			n, err := table.For(c.Crop, Yield{PerAcre: 100, Unit: c.Unit})
			require.NoError(t, err)
			require.True(t, n.P2O5.Low >= 0 && n.P2O5.Low <= n.P2O5.High)
		}
	})
}
