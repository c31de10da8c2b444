package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Any file is either refused or planned, and what is planned can be printed in
// every format.
func FuzzScenario(f *testing.F) {
	f.Add(demo)
	f.Add([]byte(`{}`))
	f.Add([]byte(`{"basin":{"length":"1e300 ft"},"land":{"fields":[{}]},"works":null}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		plan, err := readAndPlan(data)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		for _, render := range []func(*Plan) ([]byte, error){renderText, renderJSON, renderHTML} {
			text, err := render(plan)
			require.NoError(t, err)
			require.NotContains(t, string(text), "NaN")
		}
	})
}
