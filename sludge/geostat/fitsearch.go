package geostat

import (
	"cmp"
	"math"
	"slices"
)

// fitted is a candidate of a fit in plain SI numbers.
type fitted struct {
	nugget, sill, plain float64
	objective           float64
}

// gamma returns the model's semivariance at class i, whose structure is s[i].
func (f fitted) gamma(s []float64, i int) float64 { return f.nugget + f.sill*s[i] }

// structure returns the model of sill one and no nugget at the classes.
func (p *fitProblem) structure(plain float64) []float64 {
	for i, h := range p.h {
		q := h / plain
		p.s[i] = 1 - correlation(p.shape, q*q)
	}
	return p.s
}

// fine is the tolerance of searches: a minimum cannot be placed much closer in
// floating point.
const fine = 1e-9

// minimum returns the best model over all ranges: from a scan of the logarithm
// of the range the lowest valleys are followed down. The range is looked for from
// well below the first class, where only a nugget is left, to far beyond the last,
// where the model is a straight line.
func (p *fitProblem) minimum() fitted {
	const steps = 36
	low, high := math.Log(slices.Min(p.h)/4), math.Log(slices.Max(p.h)*100)
	at := func(i int) float64 { return low + (high-low)*float64(i)/steps }
	p.near = 1e-3 // a scan need not be fine
	var value [steps + 1]float64
	for i := range value {
		value[i] = p.best(math.Exp(at(i))).objective
	}
	p.near = fine
	var valleys []int
	for i := range value {
		if (i == 0 || value[i-1] > value[i]) && (i == steps || value[i+1] >= value[i]) {
			valleys = append(valleys, i)
		}
	}
	slices.SortStableFunc(valleys, func(i, j int) int { return cmp.Compare(value[i], value[j]) })
	best := fitted{objective: math.Inf(1)}
	for _, i := range valleys[:min(3, len(valleys))] {
		x := valley(func(x float64) float64 { return p.best(math.Exp(x)).objective }, at(max(0, i-1)), at(min(steps, i+1)), fine)
		if f := p.best(math.Exp(x)); f.objective < best.objective {
			best = f
		}
	}
	return best
}

// constant returns the best model that is all nugget.
func (p *fitProblem) constant() fitted {
	for i := range p.s {
		p.s[i] = 1
	}
	f := p.checkUsable(p.s, p.h[0])
	return fitted{nugget: f.nugget + f.sill, plain: f.plain, objective: f.objective}
}

// iterated repeats the fit with weights N/G^2 from the fit before until the
// parameters stand still.
func (p *fitProblem) iterated(f fitted) fitted {
	for range 500 {
		s := p.structure(f.plain)
		for i := range p.w {
			g := f.gamma(s, i)
			p.w[i] = p.pairs[i] / (g * g)
		}
		// The valley moves little from one round to the next.
		x := math.Log(f.plain)
		next := p.best(math.Exp(valley(func(x float64) float64 { return p.best(math.Exp(x)).objective }, x-0.3, x+0.3, fine)))
		still := math.Abs(next.plain-f.plain) <= 1e-9*f.plain && math.Abs(next.sill-f.sill) <= 1e-9*(f.sill+f.nugget)
		if f = next; still {
			break
		}
	}
	return f
}

// best returns the best nugget and sill, neither below zero, for a range.
func (p *fitProblem) best(plain float64) fitted { return p.checkUsable(p.structure(plain), plain) }

// given returns the best nugget and sill for a structure.
func (p *fitProblem) checkUsable(s []float64, plain float64) fitted {
	if p.weights == WeightsCressie {
		return p.cressie(s, plain)
	}
	var w, ws, wss, wg, wsg float64
	for i, si := range s {
		wi, gi := p.w[i], p.g[i]
		w, ws, wss = w+wi, ws+wi*si, wss+wi*si*si
		wg, wsg = wg+wi*gi, wsg+wi*si*gi
	}
	// Each pair is the minimum of its face of the region nugget, sill >= 0.
	candidates := [3][2]float64{{math.NaN(), math.NaN()}, {0, wsg / wss}, {wg / w, 0}}
	if det := w*wss - ws*ws; det > 1e-14*w*wss {
		candidates[0] = [2]float64{(wss*wg - ws*wsg) / det, (w*wsg - ws*wg) / det}
	}
	best := fitted{plain: plain, objective: math.Inf(1)}
	for i, c := range candidates {
		if i != 1 && p.noNugget || !(c[0] >= 0 && c[1] >= 0) {
			continue
		}
		var sum float64
		for k, si := range s {
			d := p.g[k] - c[0] - c[1]*si
			sum += p.w[k] * d * d
		}
		if sum < best.objective {
			best.nugget, best.sill, best.objective = c[0], c[1], sum
		}
	}
	return best
}

// cressie minimises the sum of N (g/G - 1)^2 for a structure s. With
// G = (r + (1-r) s)/q the best q is known for each share r of the nugget, and the
// share is searched.
func (p *fitProblem) cressie(s []float64, plain float64) fitted {
	at := func(r float64) (objective, q float64) {
		var n, y1, y2 float64
		for i, si := range s {
			y := p.g[i] / (r + (1-r)*si)
			n += p.pairs[i]
			y1 += p.pairs[i] * y
			y2 += p.pairs[i] * y * y
		}
		return n - y1*y1/y2, y1 / y2
	}
	r := 0.0
	if !p.noNugget {
		cost := func(r float64) float64 { o, _ := at(r); return o }
		shares := [...]float64{0, 0.03, 0.12, 0.3, 0.6, 1}
		low := math.Inf(1)
		k := 0
		for i, share := range shares {
			if o := cost(share); o < low {
				low, k = o, i
			}
		}
		switch {
		case k == 0 && cost(1e-6) >= low: // at the edge: nothing to search
		case k == len(shares)-1 && cost(1-1e-6) >= low:
			r = 1
		default:
			r = valley(cost, shares[max(0, k-1)], shares[min(len(shares)-1, k+1)], p.near)
		}
	}
	objective, q := at(r)
	return fitted{nugget: r / q, sill: (1 - r) / q, plain: plain, objective: objective}
}

// valley returns the place of the minimum of f between a and b, about to the
// relative tolerance near, by parabolas
// safeguarded with golden sections (Algorithms for Minimization Without
// Derivatives, Prentice-Hall, 1973, chapter 5); gonum has no minimiser of one
// variable without derivatives.
func valley(f func(float64) float64, a, b, near float64) float64 {
	const golden = 0.3819660112501051
	x := a + golden*(b-a)
	w, v := x, x // second best, and the one before it
	fx := f(x)
	fw, fv := fx, fx
	var step, before float64
	for range 100 {
		mid := (a + b) / 2
		tol := near * (math.Abs(x) + 1)
		if math.Abs(x-mid) <= 2*tol-(b-a)/2 {
			break
		}
		r, q := (x-w)*(fx-fv), (x-v)*(fx-fw)
		p := (x-v)*q - (x-w)*r
		if q = 2 * (q - r); q > 0 {
			p = -p
		}
		q = math.Abs(q)
		if math.Abs(p) < math.Abs(q*before/2) && p > q*(a-x) && p < q*(b-x) {
			before, step = step, p/q
			if u := x + step; u-a < 2*tol || b-u < 2*tol {
				step = math.Copysign(tol, mid-x)
			}
		} else {
			before = b - x
			if x >= mid {
				before = a - x
			}
			step = golden * before
		}
		u := x + step
		if math.Abs(step) < tol {
			u = x + math.Copysign(tol, step)
		}
		fu := f(u)
		switch {
		case fu <= fx:
			if u >= x {
				a = x
			} else {
				b = x
			}
			v, w, x, fv, fw, fx = w, x, u, fw, fx, fu
			continue
		case u < x:
			a = u
		default:
			b = u
		}
		if fu <= fw || w == x {
			v, w, fv, fw = w, u, fw, fu
		} else if fu <= fv || v == x || v == w {
			v, fv = u, fu
		}
	}
	return x
}
