package cover_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

func BenchmarkMix(b *testing.B) {
	spec := randomMix(random(), 12)
	for b.Loop() {
		if _, err := cover.Mix(spec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkJudge(b *testing.B) {
	m, err := cover.Mix(randomMix(random(), 12))
	require.NoError(b, err)
	set, err := cover.PublishedRuleSet("indiana-pollinator-2012")
	require.NoError(b, err)
	for b.Loop() {
		set.Judge(m)
	}
}

func BenchmarkParseState(b *testing.B) {
	data, err := os.ReadFile("data/states/united-states.json")
	require.NoError(b, err)
	for b.Loop() {
		if _, err := cover.ParseState(data); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLS(b *testing.B) {
	spec := cover.LSSpec{Version: cover.LSAH703, Length: 60 * units.Foot, Grade: 0.1, Rill: cover.RillModerate}
	for b.Loop() {
		if _, err := cover.LS(spec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBlend(b *testing.B) {
	lb := units.PoundPerAcre
	spec := cover.FertilizerSpec{Need: cover.Nutrients{N: 40 * lb, P2O5: 60 * lb, K2O: 80 * lb}, Rule: cover.FertilizerBlendLeastWeight, Area: units.Acre,
		Grades: []cover.FertilizerGrade{{Name: "urea", N: 0.46}, {Name: "phosphate", N: 0.18, P2O5: 0.46}, {Name: "potash", K2O: 0.6}, {Name: "12-12-12", N: 0.12, P2O5: 0.12, K2O: 0.12}}}
	for b.Loop() {
		if _, err := cover.Fertilizer(spec); err != nil {
			b.Fatal(err)
		}
	}
}
