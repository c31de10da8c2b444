package main

import "fmt"

// output is one result of a draw.
type output struct {
	name, unit string
	share      bool // 1 or 0 in each draw, of which the mean says how often
}

// model is what the machinery of a study runs: uncertain inputs, and a function
// from their values to the outputs. It knows nothing of basins.
type model struct {
	inputs  []input
	outputs []output
	// start returns a function that works out one draw. It may keep memory of its
	// own, so that each worker gets one. An error refuses the draw.
	start func() func(x, y []float64) error
	// centre is the outputs with every input at its median. Sums are taken from
	// there, so that they lose no figures.
	centre []float64
}

// settle works out the centre.
func (m *model) settle() error {
	x, y := make([]float64, len(m.inputs)), make([]float64, len(m.outputs))
	for i, in := range m.inputs {
		x[i] = in.quantile(0.5)
	}
	if err := m.start()(x, y); err != nil {
		return fmt.Errorf("with every input at its median: %w", err)
	}
	m.centre = y
	return nil
}
