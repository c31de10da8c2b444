package study_test

import (
	"context"
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/examples/scenarios/study"
)

// A truck carries more or less and takes more or less long: how much is hauled in a day?
func Example() {
	s, err := study.New(study.Model{
		ID: "hauling, first version",
		Inputs: []study.Input{
			{Path: "load", Quantile: distuv.NewTriangle(5, 7, 6.5, nil).Quantile},
			{Path: "trip", Quantile: distuv.Normal{Mu: 0.5, Sigma: 0.05}.Quantile},
		},
		Outputs: []study.Output{{Name: "hauled", Unit: "1000 gal"}},
		Evaluator: func() study.Evaluator {
			return study.EvaluatorFunc(func(x, y []float64) error {
				y[0] = 9 / x[1] * x[0]
				return nil
			})
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	job, err := s.Start(study.Design{Sampling: study.SamplingLatin, Draws: 20_000, Seed: 1}, study.Part{})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := job.Run(context.Background(), study.Options{Workers: 2}); err != nil {
		fmt.Println(err)
		return
	}
	o := job.Result().Outputs[0]
	fmt.Printf("5 in 100 days below %.0f, half below %.0f, 95 below %.0f thousand gallons\n", o.Quantile(0.05), o.Quantile(0.5), o.Quantile(0.95))
	for _, e := range o.Drivers(2) {
		fmt.Printf("%s explains %.0f %%\n", e.Input, 100*e.FirstOrder)
	}
	// Output:
	// 5 in 100 days below 91, half below 111, 95 below 136 thousand gallons
	// trip explains 68 %
	// load explains 30 %
}

// Whether to wait for a survey hangs on what it tells and what it costs.
func ExampleKnowing() {
	depth := distuv.Normal{Mu: 3, Sigma: 0.6}
	spec := study.KnowingSpec{Decisions: []string{"one crew", "two crews"}, Inputs: []study.KnowingInput{{Path: "depth", Price: 90, Measure: "more soundings"}}}
	for j := range 2000 {
		d := depth.Quantile((float64(j) + 0.5) / 2000)
		spec.Payoffs = append(spec.Payoffs, []float64{-5000 * d, -9000 - 2500*d})
		spec.Inputs[0].Values = append(spec.Inputs[0].Values, d)
	}
	r, err := study.Knowing(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s; knowing the depth brings %.0f more, for %.0f\n", r.Name, r.Inputs[0].Gain, r.Inputs[0].Price)
	// Output:
	// one crew; knowing the depth brings 125 more, for 90
}
