package field

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Pair is Sigma under one structure for two fields that share it: the basin at two
// times. Their correlation at one place is Rho, over a distance Rho times that within
// either; each has a mean of its own, sigma^2 is one.
type Pair struct {
	Structure Structure
	Rho       float64
	sites     [2]Sites
	factor    *factor
	logDet    float64      // of Sigma
	x         [2][]float64 // L^-1 of the indicator of each field
	inverse   [3]float64   // of X'Si X: 11, 12, 22
	logDetX   float64
}

// NewPairs factors Sigma under each of the correlations rho, at most four; nil where it is
// singular.
func NewPairs(a, b Sites, st Structure, rho []float64) []*Pair {
	na := len(a.X)
	both := Sites{slices.Concat(a.X, b.X), slices.Concat(a.Y, b.Y), slices.Concat(a.Readings, b.Readings)}
	n := len(both.X)
	size := n * (n + 1) / 2
	c := pairwise{sites: both, h: make([]float64, size), r: make([]float64, size)}
	f := batch{rows: make([]lane, size), ones: make([]lane, n)}
	r := c.under(st)
	for k, v := range rho {
		f.set(k, r, st.Share, both.Readings)
		for i := na; i < n; i++ {
			for j := range f.row(i)[:na] {
				f.row(i)[j][k] *= v
			}
		}
	}
	f.factor(0)
	var x [2][]lane
	for g := range x {
		x[g] = make([]lane, n)
		for i := range n {
			if (i >= na) == (g == 1) {
				x[g][i] = lane{1, 1, 1, 1}
			}
		}
		f.solve(x[g])
	}
	m11, m12, m22 := product(x[0], x[0]), product(x[0], x[1]), product(x[1], x[1])
	list := make([]*Pair, len(rho))
	for k, v := range rho {
		det := m11[k]*m22[k] - m12[k]*m12[k]
		if !f.ok(k) || !(det > 0) {
			continue
		}
		p := &Pair{Structure: st, Rho: v, sites: [2]Sites{a, b}, factor: f.one(k), logDet: f.logDet[k], logDetX: math.Log(det)}
		p.inverse = [3]float64{m22[k] / det, -m12[k] / det, m11[k] / det}
		for g := range x {
			p.x[g] = make([]float64, n)
			pick(p.x[g], x[g], k)
		}
		list[k] = p
	}
	return list
}

// PairFit is what the values of both fields say.
type PairFit struct {
	Beta          [2]float64
	Sigma2, DF    float64
	LogLikelihood float64
	z             []float64 // L^-1 (y - X beta)
}

// Fit returns the marginal likelihood of the values of both, as [Factors.Fits] does
// for one: nu = n - 2, and ln|X'Si X| in place of ln(o).
func (p *Pair) Fit(ya, yb []float64) PairFit {
	z := append(append(make([]float64, 0, len(ya)+len(yb)), ya...), yb...)
	p.factor.solve(z)
	u, v := floats.Dot(p.x[0], z), floats.Dot(p.x[1], z)
	f := PairFit{Beta: [2]float64{p.inverse[0]*u + p.inverse[1]*v, p.inverse[1]*u + p.inverse[2]*v}, DF: float64(len(z) - 2), z: z}
	for g, x := range p.x {
		floats.AddScaled(z, -f.Beta[g], x)
	}
	s := max(leastS, floats.Dot(z, z))
	f.Sigma2 = s / f.DF
	f.LogLikelihood = -p.logDet/2 - p.logDetX/2 - f.DF/2*math.Log(s/2) + p.Structure.LogPrior
	return f
}

// PairField is what the sites of both say of both fields at the used nodes.
type PairField struct {
	pair     *Pair
	m        int
	u        [2][]float64    // by field, n rows of m
	miss     [2][2][]float64 // by field, by mean
	Variance [2][]float64
	between  *Correlations
}

// Field works out what the sites say of both fields. The rooms are those of the sites
// of each.
func (p *Pair) Field(rooms [2]*Room) *PairField {
	rooms[0].set(p.Structure)
	rooms[1].set(p.Structure)
	m := len(rooms[0].targets.Used)
	f := &PairField{pair: p, m: m, between: rooms[0].between}
	n, na := len(p.factor.ones), len(p.sites[0].X)
	for g := range 2 {
		f.u[g], f.Variance[g] = make([]float64, n*m), make([]float64, m)
		for h := range 2 {
			f.miss[g][h] = make([]float64, m)
		}
		for k := range m {
			f.miss[g][g][k], f.Variance[g][k] = 1, 1-p.Structure.Share
		}
		for i := range n {
			from, k := 0, i
			if i >= na {
				from, k = 1, i-na
			}
			scale := 1 - p.Structure.Share
			if from != g {
				scale *= p.Rho
			}
			row, l := f.u[g][i*m:(i+1)*m], p.factor.row(i)
			floats.ScaleTo(row, scale*l[i], rooms[from].r[k*m:(k+1)*m])
			for j := range i {
				floats.AddScaled(row, -l[j]*l[i], f.u[g][j*m:(j+1)*m])
			}
			for h := range 2 {
				floats.AddScaled(f.miss[g][h], -p.x[h][i], row)
			}
			for k, v := range row {
				f.Variance[g][k] -= v * v
			}
		}
		for k := range m {
			e1, e2 := f.miss[g][0][k], f.miss[g][1][k]
			f.Variance[g][k] = max(leastVariance, f.Variance[g][k]+p.square(e1, e2))
		}
	}
	return f
}

// square returns e'(X'Si X)^-1 e.
func (p *Pair) square(e1, e2 float64) float64 {
	return p.inverse[0]*e1*e1 + 2*p.inverse[1]*e1*e2 + p.inverse[2]*e2*e2
}

// Mean sets mean to field g at the used nodes.
func (f *PairField) Mean(mean []float64, g int, fit PairFit) {
	for k := range mean {
		mean[k] = fit.Beta[g]
	}
	for i, z := range fit.z {
		floats.AddScaled(mean, z, f.u[g][i*f.m:(i+1)*f.m])
	}
}

// Linear returns the variance, in units of sigma^2, of the sum of both fields with the
// weights w at the used nodes, given on all nodes of the lattice too.
func (f *PairField) Linear(w, onLattice [2][]float64) float64 {
	p := f.pair
	both := make([]float64, len(onLattice[0]))
	floats.AddTo(both, onLattice[0], onLattice[1])
	// w1'Fw1 + w2'Fw2 + 2 rho w1'Fw2 by three squares.
	q1, q2, q12 := f.between.Quadratic(onLattice[0]), f.between.Quadratic(onLattice[1]), f.between.Quadratic(both)
	variance := (1 - p.Structure.Share) * ((1-p.Rho)*(q1+q2) + p.Rho*q12)
	var e [2]float64
	for h := range e {
		e[h] = floats.Dot(w[0], f.miss[0][h]) + floats.Dot(w[1], f.miss[1][h])
	}
	for i := range p.factor.ones {
		c := floats.Dot(f.u[0][i*f.m:(i+1)*f.m], w[0]) + floats.Dot(f.u[1][i*f.m:(i+1)*f.m], w[1])
		variance -= c * c
	}
	return max(0, variance) + p.square(e[0], e[1])
}
