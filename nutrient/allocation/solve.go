package allocation

import (
	"context"
	"math"
	"slices"

	"example.org/earthbasin/nutrient/internal/lp"
)

// The highest price of a unit times one of these is the cost of leaving a unit
// behind where the caller gives none. The first is enough in nearly all cases
// and leaves more digits for the prices; when something stays behind at it, the
// second makes sure that no detour cost too much.
const leaveFactor, leaveFactorHigh = 10, 1e4

func (m *model) setLeave(factor float64) {
	var most float64
	for k := range m.Blocks {
		for j, f := range m.Blocks[k].Flows {
			// Above the need the price is without credit.
			most = max(most, math.Abs(f.Cost), m.ways[k][j].price)
		}
	}
	if most == 0 {
		most = 1
	}
	m.Leave = m.Leave[:0]
	for i, a := range m.spec.Materials {
		l := factor * most
		if !a.Leave.IsZero() {
			l = a.Leave.SI() * m.unit[i]
		}
		m.Leave = append(m.Leave, l)
	}
}

// imagined returns the part of the cost of what is left that no one pays.
func (m *model) imagined(left []float64) (cost float64) {
	for i, a := range m.spec.Materials {
		if a.Leave.IsZero() {
			cost += m.Leave[i] * left[i]
		}
	}
	return cost
}

// solve finds the plan of amounts that need not be whole loads.
func (m *model) solve(ctx context.Context) (s lp.Solution, err error) {
	for _, factor := range []float64{leaveFactor, leaveFactorHigh} {
		m.setLeave(factor)
		if s, err = m.Solve(ctx, m.rounds); err != nil || !m.short(&s) {
			break
		}
	}
	return s, err
}

// bound returns what no plan costs less than that leaves the same as p of the
// materials without a price for leaving, s being the program without loads.
func (m *model) bound(ctx context.Context, s *lp.Solution, p *plan) (float64, error) {
	placed := m.Transport
	placed.Stock = slices.Clone(m.Stock)
	more := false
	for i, a := range m.spec.Materials {
		if rest := p.left[i] - s.Left[i]; a.Leave.IsZero() && math.Abs(rest) > loadSlack*m.Stock[i] {
			more = true
			// A stock of nothing is no program.
			placed.Stock[i] = max(m.Stock[i]-p.left[i], loadSlack*m.Stock[i])
		}
	}
	if !more {
		return s.Bound - m.imagined(s.Left), nil
	}
	same, err := placed.Solve(ctx, m.rounds)
	if err != nil {
		return 0, err
	}
	return same.Bound - m.imagined(same.Left), nil
}
