package cover_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func random() *rand.Rand { return rand.New(rand.NewPCG(1, 1)) }

// approx compares plain numbers and quantities within a relative difference.
func approx(rel float64) cmp.Option {
	return cmp.Options{
		cmpopts.EquateApprox(rel, 1e-12),
		cmp.Comparer(func(a, b units.Quantity) bool {
			return math.Abs(a.SI()-b.SI()) <= rel*max(math.Abs(a.SI()), math.Abs(b.SI()))
		}),
	}
}

// randomMix draws a mix of n species of the published table by seed shares.
func randomMix(r *rand.Rand, n int) cover.MixSpec {
	spec := cover.MixSpec{
		Area: units.Area(0.1+20*r.Float64()) * units.Acre, Basis: cover.MixSharesOfSeeds, Method: cover.SeedingBroadcast,
		MethodFactor: 0.5 + 2*r.Float64(), CriticalFactor: 1 + r.Float64(),
		SeedsPerArea: units.SeedsPerArea(10+50*r.Float64()) * units.SeedPerSquareFoot,
	}
	table := cover.PublishedSpecies()
	shares := make([]float64, n)
	sum := 0.0
	for i := range shares {
		shares[i] = 0.05 + r.Float64()
		sum += shares[i]
	}
	for i, j := range r.Perm(len(table))[:n] {
		spec.Items = append(spec.Items, cover.MixItemSpec{
			Species: table[j].Common, SeedsPerMass: units.SeedsPerMass(5e4*math.Exp(4*r.Float64())) * units.SeedPerPound,
			Share: shares[i] / sum, Lot: cover.LotSpec{Purity: 0.5 + 0.5*r.Float64(), Germination: 0.3 + 0.4*r.Float64(), Dormant: 0.3 * r.Float64()},
			Price: units.PricePer(20*r.Float64(), units.Pound), Bag: units.Mass(5+45*r.Float64()) * units.Pound,
		})
	}
	return spec
}

// The three other bases must give the order back when fed with what it says of
// itself.
func TestMixBasesAgree(t *testing.T) {
	r := random()
	for range 200 {
		spec := randomMix(r, 1+r.IntN(12))
		want := mix(t, spec)
		factor := spec.MethodFactor * spec.CriticalFactor

		rates, weight, bulk, pure := spec, spec, spec, spec
		rates.Basis, rates.SeedsPerArea = cover.MixRatesOfPLS, 0
		weight.Basis, weight.SeedsPerArea, weight.Rate = cover.MixSharesOfPLSWeight, 0, want.BaseRate
		bulk.Basis, bulk.SeedsPerArea, bulk.Rate = cover.MixSharesOfBulkWeight, 0, want.BulkRate/units.MassPerArea(factor)
		pure.Basis, pure.SeedsPerArea = cover.MixSharesOfPureStand, 0
		for _, s := range []*cover.MixSpec{&rates, &weight, &bulk, &pure} {
			s.Items = append([]cover.MixItemSpec(nil), spec.Items...)
		}
		for i, row := range want.Rows {
			rates.Items[i].Share, rates.Items[i].Rate = 0, row.BaseRate
			weight.Items[i].Share = row.ShareOfWeight
			bulk.Items[i].Share = row.BulkRate.SI() / want.BulkRate.SI()
			pure.Items[i].PureStand = row.BaseRate / units.MassPerArea(spec.Items[i].Share)
		}
		for _, s := range []cover.MixSpec{rates, weight, bulk, pure} {
			got := mix(t, s)
			for i, row := range got.Rows {
				require.Equal(t, want.Rows[i].Species, row.Species)
			}
			if d := cmp.Diff(want, got, cmpopts.IgnoreFields(cover.MixResult{}, "Spec"), cmpopts.IgnoreFields(cover.MixRow{}, "Species"), approx(1e-9)); d != "" {
				t.Fatalf("%s (-shares of seeds +this):\n%s", s.Basis, d)
			}
		}
		seeds, weights := 0.0, 0.0
		for i, row := range want.Rows {
			seeds += row.ShareOfSeeds
			weights += row.ShareOfWeight
			require.InEpsilon(t, row.PLSMass.SI(), row.PLS.Times(row.BulkMass).SI(), 1e-12)
			require.InEpsilon(t, spec.Items[i].Share, row.ShareOfSeeds, 1e-9)
			held := float64(row.Bags) * spec.Items[i].Bag.SI()
			require.GreaterOrEqual(t, held, row.BulkMass.SI()*(1-1e-8))
			require.Less(t, held-row.BulkMass.SI(), spec.Items[i].Bag.SI())
		}
		require.InDelta(t, 1, seeds, 1e-9)
		require.InDelta(t, 1, weights, 1e-9)
	}
}

func TestLotFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		spec cover.LotSpec
		want []string
	}{
		{"over purity", cover.LotSpec{Purity: 1.1, Germination: 0.9}, []string{"purity"}},
		{"sum above 1", cover.LotSpec{Purity: 0.9, Germination: 0.9, Hard: 0.2}, []string{"germination"}},
		{"both tests", cover.LotSpec{Purity: 0.9, Germination: 0.9, Viability: 0.9}, []string{"viability"}},
		{"nothing alive", cover.LotSpec{Purity: 0.9}, []string{"germination"}},
		{"not a number", cover.LotSpec{Purity: math.NaN(), Germination: math.Inf(1), Hard: -1}, []string{"purity", "germination", "hard", "germination"}},
	} {
		_, err := cover.NewLot(c.spec)
		require.Equal(t, c.want, fields(err), c.name)
	}
	// Percentages that add to 100 in decimals are no fault.
	l, err := cover.NewLot(cover.LotSpec{Purity: 1, Germination: 0.7, Dormant: 0.2, Hard: 0.1})
	require.NoError(t, err)
	require.LessOrEqual(t, l.Viable(), 1.0)
}

func TestMixFaults(t *testing.T) {
	good := func() cover.MixSpec {
		return cover.MixSpec{
			Area: units.Acre, Basis: cover.MixSharesOfSeeds, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
			SeedsPerArea: 40 * units.SeedPerSquareFoot,
			Items: []cover.MixItemSpec{
				{Species: "little bluestem", CountSource: "S", Share: 0.5, Lot: fullLot},
				{Species: "alfalfa", CountSource: "W", Share: 0.5, Lot: fullLot},
			},
		}
	}
	_, err := cover.Mix(good())
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		edit func(*cover.MixSpec)
		want []string
	}{
		{"same species by two names", func(s *cover.MixSpec) { s.Items[1].Species = "Schizachyrium scoparium"; s.Items[1].CountSource = "B" }, []string{"items[1].species"}},
		{"sources disagree", func(s *cover.MixSpec) { s.Items[0].CountSource = "" }, []string{"items[0].countSource"}},
		{"no count known", func(s *cover.MixSpec) {
			s.Species = []cover.Species{{Common: "rye", Botanical: "b", Form: cover.LifeFormGrass}}
			s.Items[1] = cover.MixItemSpec{Species: "rye", Share: 0.5, Lot: fullLot}
		}, []string{"items[1].countSource"}},
		{"shares of 90 %", func(s *cover.MixSpec) { s.Items[0].Share = 0.4 }, []string{"items"}},
		{"share not a number", func(s *cover.MixSpec) { s.Items[0].Share = math.NaN() }, []string{"items[0].share", "items"}},
		{"rate with shares of seeds", func(s *cover.MixSpec) { s.Rate = units.PoundPerAcre }, []string{"rate"}},
		{"no factors", func(s *cover.MixSpec) { s.MethodFactor, s.CriticalFactor = 0, math.Inf(1) }, []string{"methodFactor", "criticalFactor"}},
		{"rows broadcast", func(s *cover.MixSpec) { s.Method, s.RowSpacing = cover.SeedingBroadcast, units.Foot }, []string{"rowSpacing"}},
		{"tiny bags", func(s *cover.MixSpec) { s.Items[0].Bag = 1e-300 }, []string{"items[0].bag"}},
		{"endless price", func(s *cover.MixSpec) { s.Items[0].Price = 1e308; s.Area = 1e9 }, []string{"items[0].price"}},
		{"want upside down", func(s *cover.MixSpec) { s.Want = &units.Range[units.SeedsPerArea]{Low: 2, High: 1} }, []string{"want.high"}},
		{"own species without a form", func(s *cover.MixSpec) { s.Species = []cover.Species{{Common: "a", Botanical: "b"}} }, []string{"species[0].form"}},
	} {
		s := good()
		c.edit(&s)
		_, err := cover.Mix(s)
		require.Equal(t, c.want, fields(err), c.name)
	}
}

// A mix has 200 species at most, and a list of the caller's own 1,000.
func TestLongMixes(t *testing.T) {
	many := func(items, own int) error {
		spec := cover.MixSpec{Area: units.Acre, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1}
		for i := range max(items, own) {
			name := fmt.Sprint("plant ", i)
			if i < own {
				spec.Species = append(spec.Species, cover.Species{Common: name, Botanical: name + " b", Form: cover.LifeFormForb})
			}
			if i < items {
				spec.Items = append(spec.Items, cover.MixItemSpec{Species: name, SeedsPerMass: 1e6, Rate: units.PoundPerAcre, Lot: fullLot})
			}
		}
		r, err := cover.Mix(spec)
		if err == nil {
			require.InDelta(t, float64(items), r.Rate.In(units.PoundPerAcre), 1e-6)
		}
		return err
	}
	require.NoError(t, many(200, 200))
	require.NoError(t, many(3, 1000))
	require.Equal(t, []string{"items"}, fields(many(201, 201)))
	require.Equal(t, []string{"species"}, fields(many(3, 1001)))
	require.Equal(t, []string{"items"}, fields(many(0, 0)))
}

func TestOwnSpeciesGoFirst(t *testing.T) {
	m := mix(t, cover.MixSpec{
		Area: units.Acre, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
		Species: []cover.Species{{Common: "alfalfa", Botanical: "Medicago sativa", Form: cover.LifeFormLegume, Nativity: cover.NativityIntroduced,
			Counts: []cover.SeedCount{{Low: 2e5 * units.SeedPerPound, High: 2.4e5 * units.SeedPerPound, Source: "lot"}}}},
		Items: []cover.MixItemSpec{{Species: "ALFALFA", Rate: units.PoundPerAcre, Lot: fullLot}},
	})
	require.Equal(t, "lot", m.Rows[0].CountSource)
	require.InDelta(t, 2.2e5, m.Rows[0].SeedsPerMass.In(units.SeedPerPound), 1e-6)
	require.Equal(t, []string{"alfalfa"}, m.Unpriced)
}

func TestSpecJSON(t *testing.T) {
	var spec cover.MixSpec
	require.NoError(t, strict.Decode([]byte(`{
		"area": "2 acre", "basis": "shares of seeds", "method": "drilled", "methodFactor": 1, "criticalFactor": 1,
		"seedsPerArea": "40 seeds/ft2", "want": {"low": "30 seeds/ft2", "high": "50 seeds/ft2"}, "rowSpacing": "8 in",
		"items": [
			{"species": "little bluestem", "countSource": "S", "share": 0.5, "lot": {"purity": 0.9, "germination": 0.7, "dormant": 0.1}, "price": "14 per lb", "bag": "25 lb"},
			{"species": "Mexican hat", "countSource": "T", "share": 0.5, "lot": {"purity": 0.95, "viability": 0.9}}]}`), &spec))
	m := mix(t, spec)
	data, err := json.Marshal(m)
	require.NoError(t, err)
	var back cover.MixResult
	require.NoError(t, strict.Decode(data, &back))
	require.Equal(t, m, back)
}
