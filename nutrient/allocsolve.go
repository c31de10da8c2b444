package nutrient

import "math"

// The highest price of a unit times one of these is the cost of leaving a unit
// behind where the caller gives none. The first is enough in nearly all cases
// and leaves more digits for the prices; when something stays behind at it, the
// second makes sure that no detour was too dear.
const leaveFactor, leaveFactorHigh = 10, 1e4

func (m *allocation) setLeave(factor float64) {
	var most float64
	for _, b := range m.blocks {
		for _, f := range b.flows {
			most = max(most, math.Abs(f.cost))
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
