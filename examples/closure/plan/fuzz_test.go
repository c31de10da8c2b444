package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
)

// Any file is either refused or planned, and what is planned can be printed in
// every format.
func FuzzScenario(f *testing.F) {
	f.Add(plan.Demo())
	f.Add([]byte(`{}`))
	f.Add([]byte(`{"basin":{"length":"1e300 ft"},"land":{"fields":[{}]},"works":null}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := plan.Read(t.Context(), data)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		for _, render := range []func(*report.Document) ([]byte, error){(*report.Document).Text, (*report.Document).JSON, (*report.Document).HTML} {
			text, err := render(report.New(p, report.Options{}))
			require.NoError(t, err)
			require.NotContains(t, string(text), "NaN")
		}
	})
}
