package geostat

import (
	"cmp"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// KrigingSystem is what the estimate at one place rests on, for a user to judge.
type KrigingSystem struct {
	Weights     []Weight       `json:"weights"`         // in the order of the samples of the spec; those of the neighbourhood
	Covariances [][]units.Area `json:"covariances"`     // C between these samples, without what was added
	ToTarget    []units.Area   `json:"toTarget"`        // c0
	Multiplier  units.Area     `json:"multiplier"`      // mu in C w + mu 1 = c0; negative where samples are few
	Corner      float64        `json:"corner"`          // -1/(1'C^-1 1), the corner of the inverse of [C 1; 1' 0], in m2
	Estimate    Estimate       `json:"estimate"`        // at the place
	Condition   float64        `json:"condition"`       // number of C, estimated in the 1-norm
	Added       units.Area     `json:"added"`           // to the diagonal of C so that it could be solved, 0 as a rule
	Notes       []units.Phrase `json:"notes,omitempty"` // what is doubtful in the equations
}

// nearlySingular is the condition number above which kriging warns. Weights
// still have 8 figures there, but they jump with the last digit of the data.
const nearlySingular = 1e7

// System returns what the estimate at p, which must be finite, rests on.
func (k *Kriging) System(p plane.Point) (KrigingSystem, error) {
	e, err := k.Estimate(p)
	if err != nil {
		return KrigingSystem{}, err
	}
	s := k.systemAt(p)
	n := len(s.index)
	r := KrigingSystem{Estimate: e, Condition: s.condition(), Added: units.Area(s.jitter), Corner: -1 / s.s}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(k.source[s.index[a]], k.source[s.index[b]]) })

	c0 := make([]float64, n)
	x, y := k.cov.place(p.Sub(k.origin))
	k.cov.row(c0, s.x, s.y, x, y)
	w, mu := s.weights(c0)
	if j, ok := k.exact[p]; ok { // the nugget makes the sample itself the answer
		mu = 0
		for i := range w {
			w[i] = 0
			if int(s.index[i]) == j {
				w[i], c0[i] = 1, k.cov.zero()
			}
		}
	}
	r.Weights, r.Multiplier = k.weightsOf(s, w), units.Area(mu)
	row := make([]float64, n)
	for _, i := range order {
		r.ToTarget = append(r.ToTarget, units.Area(c0[i]))
		k.cov.row(row, s.x, s.y, s.x[i], s.y[i])
		row[i] = k.cov.zero()
		line := make([]units.Area, n)
		for b, j := range order {
			line[b] = units.Area(row[j])
		}
		r.Covariances = append(r.Covariances, line)
	}
	r.Notes = s.notes()
	return r, nil
}

// Notes says in words what is doubtful in the equations of all samples; nil with
// neighbours and when nothing is.
func (k *Kriging) Notes() []units.Phrase {
	if k == nil || k.all == nil {
		return nil
	}
	return k.all.notes()
}

// notes says in words what is doubtful in the system.
func (s *system) notes() []units.Phrase {
	var notes []units.Phrase
	if c := s.condition(); c > nearlySingular {
		notes = append(notes, units.Words("the equations are nearly singular (condition number %.1e): give the model a nugget", c))
	}
	if s.jitter > 0 {
		notes = append(notes, units.Words("%v was added to the diagonal so that the equations could be solved", units.Area(s.jitter)))
	}
	return notes
}

func sortWeights(list []Weight) {
	slices.SortFunc(list, func(a, b Weight) int { return cmp.Compare(a.Sample, b.Sample) })
}
