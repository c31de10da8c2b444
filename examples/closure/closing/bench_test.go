package closing_test

import (
	"testing"

	"example.org/earthbasin/examples/closure/closing"
)

// Nothing left out: the three alternatives side by side, and the chosen one alone, as a
// study draws it.
func BenchmarkPlan(b *testing.B) {
	for name, alone := range map[string]bool{"all": false, "alone": true} {
		b.Run(name, func(b *testing.B) {
			spec := whole(b)
			spec.Alone = alone
			b.ReportAllocs()
			for b.Loop() {
				if _, err := closing.Plan(spec); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
