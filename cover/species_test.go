package cover_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// A species is found by each of its names, however it is spaced, and a slip of the
// pen is told what is near.
func TestSpeciesNames(t *testing.T) {
	us, err := cover.PublishedState("united-states")
	require.NoError(t, err)
	for _, c := range [][2]string{
		{"Indian grass", "indiangrass"}, {"switch grass", "switchgrass"}, {"Side Oats Grama", "side-oats grama"}, {"PANICUM VIRGATUM", "switchgrass"},
		{"Solidago rigida", "stiff goldenrod"}, {"Aster laevis", "smooth blue aster"}, {"Festuca arundinacea", "tall fescue"}, {"kobe lespedeza", "Japanese lespedeza"},
		{"German millet", "foxtail millet"}, {"black eyed susan", "black-eyed Susan"}, {"Culvers root", "Culver's root"}, {"anise hyssop", "blue giant hyssop"},
	} {
		s, err := us.FindSpecies(c[0])
		require.NoError(t, err)
		require.Equal(t, c[1], s.Common)
		require.True(t, s.Is(c[0]))
	}
	for _, c := range [][2]string{
		{"swichgrass", "such as switchgrass"}, {"little blustem", "such as little bluestem"}, {"Panicum virgatim", "such as switchgrass"},
		{"blue gramma", "such as blue grama"}, {"milkweed", "such as whorled milkweed, common milkweed, swamp milkweed"}, {"sedge", "such as fox sedge"}, {"red cloverr", "such as red clover"}, {"oat", "such as oats"},
	} {
		_, err := us.FindSpecies(c[0])
		require.ErrorContains(t, err, c[1], c[0])
	}
	for _, name := range []string{"", "-", "xy", "palm tree", strings.Repeat("grass", 100_000)} {
		_, err := us.FindSpecies(name)
		require.Error(t, err)
		require.NotContains(t, err.Error(), "such as")
	}
	// Up to three, the nearest first.
	_, err = us.FindSpecies("sand bluesteem")
	require.ErrorContains(t, err, "such as sand bluestem")
	_, err = cover.Mix(cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
		Items: []cover.MixItemSpec{{Species: "swichgrass", Rate: 1, Lot: fullLot}}})
	require.ErrorContains(t, err, "items[0].species: got \"swichgrass\", want a species of the published table or of the spec's own species, such as switchgrass")
}

// A name is told what is near from three letters on and up to eighty, by one slip and one
// more for each six letters, or by what holds it from five letters on; three at most, the
// nearest first and of equals the first of the table.
func TestNearNames(t *testing.T) {
	table := func(names ...string) *cover.State {
		spec := cover.StateSpec{ID: "here", Jurisdiction: "here", Sources: []cover.Source{{ID: "s", Title: "t", Publisher: "p"}}}
		for _, n := range names {
			spec.Species = append(spec.Species, cover.Species{Common: n, Botanical: strings.Repeat("q", 100) + n, Form: cover.LifeFormGrass})
		}
		s, err := cover.NewState(spec)
		require.NoError(t, err)
		return s
	}
	one := table("abcdefghijkl")
	for name, near := range map[string]bool{
		"abcdefghijkl": true, "abcdefghijkx": true, "abcdefghixyz": true, "abcdefghwxyz": false, "cdefghijkl": true, "abcd": false, "abcde": true, "jklm": false, "ghijkl": true, "xbcdefghijk": true, "abcdefghijklmno": true, "abcdefghijklmnop": false,
	} {
		_, err := one.FindSpecies(name)
		if name == "abcdefghijkl" {
			require.NoError(t, err)
			continue
		}
		require.Equal(t, near, strings.Contains(err.Error(), "such as abcdefghijkl"), name)
	}
	_, err := table("abc").FindSpecies("abd")
	require.ErrorContains(t, err, "such as abc")
	_, err = table("ab").FindSpecies("ac")
	require.NotContains(t, err.Error(), "such as")
	for n, near := range map[int]bool{80: true, 81: false} {
		long := strings.Repeat("x", n-1)
		_, err := table(long + "y").FindSpecies(long + "z")
		require.Equal(t, near, strings.Contains(err.Error(), "such as"), n)
	}
	_, err = table("red fescuex", "red fescues", "red fescuexx", "red fescues2", "red fescue").FindSpecies("red fescus")
	require.ErrorContains(t, err, `want a species of here, such as red fescues, red fescue, red fescuex`)
}

// Each thing that a row of a species may not have, by itself.
func TestSpeciesFaults(t *testing.T) {
	lb, rate := units.SeedPerPound, units.PoundPerAcre
	for want, edit := range map[string]func(*cover.Species){
		"common": func(s *cover.Species) { s.Common = "" }, "botanical": func(s *cover.Species) { s.Botanical = "" }, "form": func(s *cover.Species) { s.Form = 0 }, "season": func(s *cover.Species) { s.Season = 9 }, "nativity": func(s *cover.Species) { s.Nativity = 9 },
		"bloom[0]": func(s *cover.Species) { s.Bloom = []cover.Bloom{cover.BloomUnknown} }, "bloom[1]": func(s *cover.Species) { s.Bloom = []cover.Bloom{cover.BloomMid, cover.BloomMid} }, "bloom[2]": func(s *cover.Species) { s.Bloom = []cover.Bloom{1, 2, 9} },
		"bloomSource": func(s *cover.Species) { s.BloomSource = "x" }, "height": func(s *cover.Species) { s.Height, s.HeightSource = -1, "s" }, "heightSource": func(s *cover.Species) { s.HeightSource = "" },
		"counts[0].low": func(s *cover.Species) { s.Counts[0].Low = 99 * lb }, "counts[1].high": func(s *cover.Species) {
			s.Counts = append(s.Counts, cover.SeedCount{Low: 200 * lb, High: 199 * lb, Source: "r"})
		}, "counts[0].high": func(s *cover.Species) { s.Counts[0].High = 100_000_001 * lb },
		"counts[1].source": func(s *cover.Species) { s.Counts = append(s.Counts, s.Counts[0]) }, "counts[0].source": func(s *cover.Species) { s.Counts[0].Source = "x" }, "rates[0].low": func(s *cover.Species) { s.Rates[0].Low = 0 }, "rates[0].high": func(s *cover.Species) { s.Rates[0].High = rate / 2 },
		"rates[0].source": func(s *cover.Species) { s.Rates[0].Source = "" }, "synonyms[0]": func(s *cover.Species) { s.Synonyms = []string{"Other"} }, "": func(s *cover.Species) { s.Synonyms = []string{"Own", "own-name"} },
	} {
		row := cover.Species{Common: "own", Botanical: "own name", Form: cover.LifeFormForb, Bloom: []cover.Bloom{cover.BloomEarly, cover.BloomLate}, BloomSource: "s", Height: 30 * units.Metre, HeightSource: "s",
			Counts: []cover.SeedCount{{Low: 100 * lb, High: 100_000_000 * lb, Source: "s"}}, Rates: []cover.StandRate{{Low: rate, High: rate, Source: "s"}}}
		edit(&row)
		_, err := cover.NewState(cover.StateSpec{ID: "here", Jurisdiction: "here", Sources: []cover.Source{{ID: "s", Title: "t", Publisher: "p"}, {ID: "r", Title: "t", Publisher: "p"}}, Species: []cover.Species{{Common: "other", Botanical: "another", Form: cover.LifeFormForb}, row}})
		if want == "" {
			require.NoError(t, err)
			continue
		}
		require.Equal(t, []string{"species[1]." + want}, fields(err))
	}
}

// With several published counts the choice is the caller's, and the result shows it
// beside the others.
func TestCountSources(t *testing.T) {
	work := func(preferred []string, item cover.MixItemSpec) cover.MixRow {
		item.Rate, item.Lot = units.PoundPerAcre, fullLot
		return mix(t, cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1.5, CountSources: preferred, Items: []cover.MixItemSpec{item}}).Rows[0]
	}
	count := func(r cover.MixRow) float64 { return r.SeedsPerMass.In(units.SeedPerPound) }
	row := work([]string{"S", "P"}, cover.MixItemSpec{Species: "purple prairie clover"})
	require.Equal(t, "S", row.CountSource)
	require.InDelta(t, 217_800, count(row), 1e-6)
	require.InDelta(t, 215_985, row.Counts.Low.In(units.SeedPerPound), 1e-6)
	require.InDelta(t, 317_000, row.Counts.High.In(units.SeedPerPound), 1e-6)
	require.Equal(t, "P", work([]string{"K", "P", "S"}, cover.MixItemSpec{Species: "purple prairie clover"}).CountSource)
	require.Equal(t, "T", work([]string{"P"}, cover.MixItemSpec{Species: "purple prairie clover", CountSource: "T"}).CountSource)
	require.Equal(t, "P", work(nil, cover.MixItemSpec{Species: "switchgrass"}).CountSource, "its only one")
	given := work(nil, cover.MixItemSpec{Species: "purple prairie clover", SeedsPerMass: 4e5 * units.SeedPerPound})
	require.Equal(t, "given", given.CountSource)
	require.InDelta(t, 400_000, given.Counts.High.In(units.SeedPerPound), 1e-6)

	_, err := cover.Mix(cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, CountSources: []string{"K"},
		Items: []cover.MixItemSpec{{Species: "purple prairie clover", Rate: 1, Lot: fullLot}}})
	require.ErrorContains(t, err, "S (217,800 seeds/lb), T (293,000 seeds/lb), P (317,000 seeds/lb), or countSources of the mix")
	_, err = cover.Mix(cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, Species: []cover.Species{{Common: "hedge nettle", Botanical: "Stachys tenuifolia", Form: cover.LifeFormForb}},
		Items: []cover.MixItemSpec{{Species: "hedge nettle", Rate: 1, Lot: fullLot}}})
	require.ErrorContains(t, err, "seedsPerMass, since the table has none for hedge nettle")

	// The critical-area factor of a species stands in place of the mix's.
	require.InDelta(t, 1.5, row.Rate.In(units.PoundPerAcre), 1e-12)
	own := work([]string{"S"}, cover.MixItemSpec{Species: "purple prairie clover", CriticalFactor: 2.3})
	require.InDelta(t, 2.3, own.Rate.In(units.PoundPerAcre), 1e-12)
	_, err = cover.Mix(cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
		Items: []cover.MixItemSpec{{Species: "switchgrass", CriticalFactor: 11, Rate: 1, Lot: fullLot}}})
	require.Equal(t, []string{"items[0].criticalFactor"}, fields(err))
}
