package nutrient

import (
	"math"
	"slices"
)

// The highest price of a unit times one of these is the cost of leaving a unit
// behind where the caller gives none. The first is enough in nearly all cases
// and leaves more digits for the prices; when something stays behind at it, the
// second makes sure that no detour was too dear.
const leaveFactor, leaveFactorHigh = 10, 1e4

func (m *allocation) setLeave(factor float64) {
	var most float64
	for k := range m.blocks {
		for j, f := range m.blocks[k].flows {
			// Above the need the price is without credit.
			most = max(most, math.Abs(f.cost), m.ways[k][j].price)
		}
	}
	if most == 0 {
		most = 1
	}
	m.leave = m.leave[:0]
	for i, a := range m.spec.Materials {
		l := factor * most
		if a.Leave.form != 0 {
			l = a.Leave.value * m.unit[i]
		}
		m.leave = append(m.leave, l)
	}
}

// imagined returns the part of the cost of what is left that no one pays.
func (m *allocation) imagined(left []float64) (cost float64) {
	for i, a := range m.spec.Materials {
		if a.Leave.form == 0 {
			cost += m.leave[i] * left[i]
		}
	}
	return cost
}

// solve finds the plan of amounts that need not be whole loads.
func (m *allocation) solve() (s solution, ok bool) {
	for _, factor := range []float64{leaveFactor, leaveFactorHigh} {
		m.setLeave(factor)
		if s, ok = colgen(&m.transport, m.rounds); !ok || !m.short(&s) {
			break
		}
	}
	return s, ok
}

// bound returns what no plan costs less than that leaves the same as p of the
// materials without a price for leaving, s being the program without loads.
func (m *allocation) bound(s *solution, p *plan) (bound float64, ok bool) {
	placed := m.transport
	placed.stock = slices.Clone(m.stock)
	more := false
	for i, a := range m.spec.Materials {
		if rest := p.left[i] - s.left[i]; a.Leave.form == 0 && math.Abs(rest) > loadSlack*m.stock[i] {
			more = true
			// A stock of nothing is no program.
			placed.stock[i] = max(m.stock[i]-p.left[i], loadSlack*m.stock[i])
		}
	}
	if !more {
		return s.bound - m.imagined(s.left), true
	}
	same, ok := colgen(&placed, m.rounds)
	return same.bound - m.imagined(same.left), ok
}
