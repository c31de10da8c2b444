package picture_test

import (
	"encoding/xml"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/scenarios/picture"
	"example.org/earthbasin/examples/scenarios/study"
	_ "example.org/earthbasin/units/evidence" // for -update, which all tests of the examples get
)

// result is that of outputs of which one varies, one does not, and one is a share.
func result(t testing.TB, d study.Design) study.Result {
	s, err := study.New(study.Model{ID: "test",
		Inputs:  []study.Input{{Path: "a <b>", Quantile: func(p float64) float64 { return p }, Levels: []float64{0, 1}}, {Path: "c", Quantile: func(p float64) float64 { return p * p }}},
		Outputs: []study.Output{{Name: "sum & more", Unit: "ft"}, {Name: "fixed", Unit: "ft"}, {Name: "often", Share: true}},
		Evaluator: func() study.Evaluator {
			return study.EvaluatorFunc(func(x, y []float64) error {
				y[0], y[1], y[2] = 3*x[0]-x[1], 4, 1
				return nil
			})
		}})
	require.NoError(t, err)
	j, err := s.Start(d, study.Part{})
	require.NoError(t, err)
	require.NoError(t, j.Run(t.Context(), study.Options{Workers: 1}))
	return j.Result()
}

// A picture is XML whatever the names are, and shows what varies.
func TestPicture(t *testing.T) {
	for _, sampling := range []study.Sampling{study.SamplingLatin, study.SamplingFactorial, study.SamplingIndices} {
		svg := string(picture.SVG("A & B", result(t, study.Design{Sampling: sampling, Draws: 500, Seed: 1}), nil))
		require.NoError(t, xml.Unmarshal([]byte(svg), new(struct{})))
		require.NotContains(t, svg, "NaN")
		require.Equal(t, 1, strings.Count(svg, ">sum &amp; more</text>"))
		require.NotContains(t, svg, ">fixed</text>")
		require.Equal(t, sampling != study.SamplingIndices, strings.Contains(svg, "What sum &amp; more hangs on"))
	}
	require.NotContains(t, string(picture.SVG("", result(t, study.Design{Draws: 50, Seed: 1}), []string{"fixed"})), "hangs on")
}

func ExampleSVG() {
	svg := picture.SVG("How sure is it", study.Result{}, nil)
	fmt.Println(strings.HasPrefix(string(svg), "<svg "))
	// Output:
	// true
}
