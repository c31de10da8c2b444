package closing_test

import (
	"testing"

	"example.org/earthbasin/examples/closure/closing"
)

// Nothing left out: the three alternatives side by side, and the figures of the chosen one,
// as a study draws them.
func BenchmarkPlan(b *testing.B) {
	for name, figures := range map[string]bool{"all": false, "figures": true} {
		b.Run(name, func(b *testing.B) {
			spec := whole(b)
			spec.Figures = figures
			b.ReportAllocs()
			for b.Loop() {
				if _, err := closing.Plan(spec); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
