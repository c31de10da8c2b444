package field

import (
	"math"
	"slices"
)

// Sites are places with values, and how many readings each is the mean of.
type Sites struct {
	X, Y, Readings []float64
}

// Factors holds the Cholesky factors of Sigma under each structure. It does not
// depend on the values.
type Factors struct {
	Structures []Structure
	Sites      Sites
	n          int
	places     []place // of each structure
}

// place is where the factor of a structure stands.
type place struct {
	batch *batch
	lane  int
}

// NewFactors factors Sigma under each structure. Structures that follow each other
// with the same family, range and metric share the work of the correlations.
func NewFactors(s Sites, structures []Structure) *Factors {
	fs := &Factors{Sites: s, n: len(s.X)}
	fs.Extend(structures)
	return fs
}

// Extend factors Sigma under more structures.
func (fs *Factors) Extend(structures []Structure) {
	fs.factor(structures, make([]place, len(structures)), 0)
}

// With returns the factors of other sites under the structures of fs, which does not come
// from With itself. The first sites, as many as common says, are those of fs, and so are
// the first rows of the factors.
func (fs *Factors) With(s Sites, common int) *Factors {
	more := &Factors{Sites: s, n: len(s.X)}
	more.factor(fs.Structures, fs.places, common)
	return more
}

// factor factors Sigma under more structures. The first rows, as many as common says, are
// those at the places of like, where a batch ends where one of like ends.
func (fs *Factors) factor(structures []Structure, like []place, common int) {
	n, skip := fs.n, common*(common+1)/2
	own := n*(n+1)/2 - skip
	c := pairwise{sites: fs.Sites, from: common, h: make([]float64, own), r: make([]float64, own)}
	fs.Structures = slices.Concat(fs.Structures, structures)
	for k := 0; k < len(structures); {
		b := &batch{}
		room := make([]lane, own+n)
		b.rows, b.ones = room[:own], room[own:]
		if before := like[k].batch; before != nil {
			b.head = before.rows[:skip]
			for i, done := range before.done {
				b.done[i] = min(common, done)
			}
		}
		for i, from := 0, k; i < lanes && k < len(structures) && like[k].batch == like[from].batch; i, k = i+1, k+1 {
			b.set(i, c.under(structures[k]), structures[k].Share, fs.Sites.Readings)
			fs.places = append(fs.places, place{b, i})
		}
		b.factor(common)
	}
}

// pairwise holds the correlations of each site from one on with itself and those before it.
type pairwise struct {
	sites Sites
	from  int
	h, r  []float64 // distances, correlations
	of    Structure // that they were made for; no range: none yet
}

// under returns the correlations under a structure.
func (c *pairwise) under(st Structure) []float64 {
	if c.of.Range == 0 || st.Metric != c.of.Metric {
		at := 0
		for i := c.from; i < len(c.sites.X); i++ {
			for j := range i + 1 {
				c.h[at] = st.Metric.length(c.sites.X[i]-c.sites.X[j], c.sites.Y[i]-c.sites.Y[j])
				at++
			}
		}
	}
	if st.Metric != c.of.Metric || st.Family != c.of.Family || st.Range != c.of.Range {
		st.Family.fill(c.r, c.h, st.Range)
	}
	c.of = st
	return c.r
}

// Fit is what the values say under one structure.
type Fit struct {
	Structure     int // index
	Beta, Sigma2  float64
	DF            float64 // nu
	LogLikelihood float64
	OK            bool
}

// leastS keeps a constant field from being certain beyond sense.
const leastS = 1e-12

// Values are those of the sites. With ReadingVariance above 0 the nugget of a reading is
// hardly smaller than that: r = ln(q sigma^2 / ReadingVariance) below 0 costs
// r^2/(2 0.35^2).
type Values struct {
	Y               []float64
	ReadingVariance float64
}

// Fits returns the marginal likelihood of each values under each structure from the given
// one on, in their order.
func (fs *Factors) Fits(from int, values ...Values) [][]Fit {
	lists := make([][]Fit, len(values))
	for i := range lists {
		lists[i] = make([]Fit, len(fs.places)-from)
	}
	v := make([]lane, fs.n)
	for k := from; k < len(fs.places); {
		b, end := fs.places[k].batch, k
		for end < len(fs.places) && fs.places[end].batch == b {
			end++
		}
		for i := range values {
			for j, y := range values[i].Y {
				v[j] = lane{y, y, y, y}
			}
			b.solve(v)
			sum, square := product(b.ones, v), product(v, v)
			for at := k; at < end; at++ {
				if lane := fs.places[at].lane; b.ok(lane) {
					lists[i][at-from] = fs.fit(at, sum[lane], square[lane], values[i].ReadingVariance)
				}
			}
		}
		k = end
	}
	return lists
}

// fit returns what values say under structure k: sum is 1'Si y and square y'Si y.
func (fs *Factors) fit(k int, sum, square, readingVariance float64) Fit {
	b, lane, nu := fs.places[k].batch, fs.places[k].lane, float64(fs.n-1)
	beta := sum / b.o[lane]
	s := max(leastS, square-beta*beta*b.o[lane])
	fit := Fit{Structure: k, Beta: beta, Sigma2: s / nu, DF: nu, OK: true,
		LogLikelihood: -0.5*b.logDet[lane] - 0.5*b.logO[lane] - nu/2*math.Log(s/2) + fs.Structures[k].LogPrior}
	if readingVariance > 0 {
		if r := math.Log(fs.Structures[k].Share * fit.Sigma2 / readingVariance); r < 0 {
			fit.LogLikelihood -= r * r / (2 * 0.35 * 0.35)
		}
	}
	return fit
}

// Best returns the fit of the largest likelihood, false when no structure could be
// factored.
func Best(fits []Fit) (best Fit, ok bool) {
	for _, f := range fits {
		if f.OK && (!ok || f.LogLikelihood > best.LogLikelihood) {
			best, ok = f, true
		}
	}
	return best, ok
}

// one returns the factor under structure k.
func (fs *Factors) one(k int) *factor { return fs.places[k].batch.one(fs.places[k].lane) }

// Predictor tells of the field under one fit.
type Predictor struct {
	Fit       Fit
	Structure Structure
	sites     Sites
	factor    *factor
	z         []float64 // L^-1 (y - beta)
}

// Predictor returns the predictor of a fit to the values y.
func (fs *Factors) Predictor(fit Fit, y []float64) *Predictor {
	p := &Predictor{Fit: fit, Structure: fs.Structures[fit.Structure], sites: fs.Sites, factor: fs.one(fit.Structure), z: make([]float64, fs.n)}
	for i := range p.z {
		p.z[i] = y[i] - fit.Beta
	}
	p.factor.solve(p.z)
	return p
}

// At returns the mean of the field at a place and the variance of a reading there.
func (p *Predictor) At(x, y float64) (mean, variance float64) {
	r := make([]float64, len(p.z))
	p.Structure.Correlations(r, p.sites, x, y)
	return p.Linear(r, 1)
}

// Linear returns the mean and the variance of a weighted mean of the field, the weights
// adding up to 1: r is its correlations with the sites, which Linear overwrites, and own
// that with itself.
func (p *Predictor) Linear(r []float64, own float64) (mean, variance float64) {
	f := p.factor
	f.solve(r)
	e := 1 - dot(f.ones, r)
	return p.Fit.Beta + dot(r, p.z), (own - dot(r, r) + e*e/f.o) * p.Fit.Sigma2
}

// Correlations sets r to the correlations of the sites with the field at a place, the
// nugget left out.
func (st Structure) Correlations(r []float64, s Sites, px, py float64) {
	for i := range r {
		r[i] = st.Between(s.X[i]-px, s.Y[i]-py)
	}
}

// Between returns the correlation of the field over a distance, the nugget left out.
func (st Structure) Between(dx, dy float64) float64 {
	return (1 - st.Share) * st.Family.At(st.Metric.length(dx, dy)/st.Range)
}
