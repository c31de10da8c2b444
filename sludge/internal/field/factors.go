package field

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Sites are places with values, and how many readings each is the mean of.
type Sites struct {
	X, Y, Readings []float64
}

// leastPivot is the square root of a pivot under which a matrix counts as singular.
const leastPivot = 1e-11

// Factors holds the Cholesky factors of Sigma under each structure. It does not
// depend on the values.
type Factors struct {
	Structures []Structure
	Sites      Sites
	n          int
	factors    []factor
}

// factor is Sigma = L L' under one structure. Row i of L has i+1 numbers, the last as its
// reciprocal.
type factor struct {
	head   []float64 // the first rows, packed: those of another factor, which are only read
	rows   []float64 // the rows after these
	ones   []float64 // L^-1 1
	o      float64   // 1'Si 1
	logDet float64   // of Sigma
	logO   float64
	done   int  // rows, up to one that has no pivot
	ok     bool // all rows are done
}

func (f *factor) row(i int) []float64 {
	at, rows := i*(i+1)/2, f.head
	if at >= len(rows) {
		at, rows = at-len(rows), f.rows
	}
	return rows[at : at+i+1 : at+i+1]
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
	first := len(fs.Structures)
	fs.Structures = slices.Concat(fs.Structures, structures)
	fs.factor(first, &Factors{}, 0)
}

// With returns the factors of other sites under the structures of fs, which does not come
// from With itself. The first sites, as many as common says, are those of fs, and so are
// the first rows of the factors.
func (fs *Factors) With(s Sites, common int) *Factors {
	more := &Factors{Structures: fs.Structures, Sites: s, n: len(s.X)}
	more.factor(0, fs, common)
	return more
}

// factor factors Sigma under the structures from the first one on. The first rows, as
// many as common says, are those of like.
func (fs *Factors) factor(first int, like *Factors, common int) {
	n, s := fs.n, fs.Sites
	size, skip := n*(n+1)/2, common*(common+1)/2
	structures := fs.Structures[first:]
	room := make([]float64, (size-skip+n)*len(structures))
	h, r := make([]float64, size-skip), make([]float64, size-skip)
	var before Structure
	for k, st := range structures {
		if k == 0 || st.Metric != before.Metric {
			at := 0
			for i := common; i < n; i++ {
				for j := range i + 1 {
					h[at] = st.Metric.length(s.X[i]-s.X[j], s.Y[i]-s.Y[j])
					at++
				}
			}
		}
		if k == 0 || st.Metric != before.Metric || st.Family != before.Family || st.Range != before.Range {
			st.Family.fill(r, h, st.Range)
		}
		before = st
		own := size - skip
		f := factor{rows: room[:own:own], ones: room[own : own+n : own+n]}
		room = room[own+n:]
		if common > 0 {
			f.head = like.factors[k].rows[:skip]
			f.done = min(common, like.factors[k].done)
		}
		if f.done == common {
			f.set(r, st.Share, s.Readings)
		}
		fs.factors = append(fs.factors, f)
	}
}

// set factors (1-q) r + q diag(1/readings), of which r holds the rows that are not done.
func (f *factor) set(r []float64, q float64, readings []float64) {
	n := len(readings)
	for i, v := range r {
		f.rows[i] = (1 - q) * v
	}
	for i := f.done; i < n; i += 2 { // two rows at a time share what they read
		a := f.row(i)
		a[i] = 1 - q + q/readings[i]
		if i+1 == n {
			f.eliminate(a, 0, i)
		} else {
			b := f.row(i + 1)
			b[i+1] = 1 - q + q/readings[i+1]
			f.eliminateTwo(a, b, i)
		}
		for k := i; k < min(i+2, n); k++ {
			row := f.row(k)
			if k > i {
				row[i] = (row[i] - dot(row[:i], a)) * a[i]
			}
			p := row[k] - dot(row[:k], row)
			if !(p > leastPivot) {
				return
			}
			row[k] = 1 / math.Sqrt(p)
			f.done++
		}
	}
	f.ok = true
	det := 1.0
	for i := range n {
		p := f.row(i)[i]
		if det *= p; det > 1e200 {
			f.logDet -= 2 * math.Log(det)
			det = 1
		}
	}
	f.logDet -= 2 * math.Log(det)
	for i := range f.ones {
		f.ones[i] = 1
	}
	f.solve(f.ones)
	f.o = floats.Dot(f.ones, f.ones)
	f.logO = math.Log(f.o)
}

// eliminate works out the numbers of row a in the columns from to to.
func (f *factor) eliminate(a []float64, from, to int) {
	for j := from; j < to; j++ {
		l := f.row(j)
		a[j] = (a[j] - dot(a[:j], l)) * l[j]
	}
}

// longRow is the length from which a product of rows is worth a call.
const longRow = 32

// eliminateTwo works out the first columns of two rows, two columns at a time.
func (f *factor) eliminateTwo(a, b []float64, columns int) {
	j := 0
	for ; j+1 < columns; j += 2 {
		l, m := f.row(j), f.row(j+1)
		var al, am, bl, bm float64
		if j >= longRow {
			al, am = floats.Dot(a[:j], l[:j]), floats.Dot(a[:j], m[:j])
			bl, bm = floats.Dot(b[:j], l[:j]), floats.Dot(b[:j], m[:j])
		} else {
			al, am, bl, bm = fourDots(a[:j], b, l, m)
		}
		x, y := l[j], m[j+1]
		a[j], b[j] = (a[j]-al)*x, (b[j]-bl)*x
		a[j+1], b[j+1] = (a[j+1]-am-a[j]*m[j])*y, (b[j+1]-bm-b[j]*m[j])*y
	}
	if j < columns {
		f.eliminate(a, j, columns)
		f.eliminate(b, j, columns)
	}
}

// fourDots returns the products of a and b with l and m over the length of a.
func fourDots(a, b, l, m []float64) (al, am, bl, bm float64) {
	n := len(a)
	b, l, m = b[:n], l[:n], m[:n]
	for k, x := range a {
		y, u, v := b[k], l[k], m[k]
		al += x * u
		am += x * v
		bl += y * u
		bm += y * v
	}
	return al, am, bl, bm
}

// dot returns the product of a and the first numbers of b.
func dot(a, b []float64) float64 {
	if len(a) >= longRow {
		return floats.Dot(a, b[:len(a)])
	}
	b = b[:len(a)]
	var s, t float64
	k := 0
	for ; k+1 < len(a); k += 2 {
		s += a[k] * b[k]
		t += a[k+1] * b[k+1]
	}
	if k < len(a) {
		s += a[k] * b[k]
	}
	return s + t
}

// solve replaces b by L^-1 b.
func (f *factor) solve(b []float64) {
	n := len(b)
	i := 0
	for ; i+1 < n && i < longRow; i += 2 { // two rows at a time share what they read
		l, m := f.row(i), f.row(i+1)
		x, y := twoDots(b[:i], l, m)
		b[i] = (b[i] - x) * l[i]
		b[i+1] = (b[i+1] - y - m[i]*b[i]) * m[i+1]
	}
	for ; i < n; i++ {
		row := f.row(i)
		b[i] = (b[i] - dot(row[:i], b)) * row[i]
	}
}

// twoDots returns the products of b with l and m over the length of b.
func twoDots(b, l, m []float64) (x, y float64) {
	n := len(b)
	l, m = l[:n], m[:n]
	var x2, y2 float64
	k := 0
	for ; k+1 < n; k += 2 {
		u, v := b[k], b[k+1]
		x += u * l[k]
		y += u * m[k]
		x2 += v * l[k+1]
		y2 += v * m[k+1]
	}
	if k < n {
		x += b[k] * l[k]
		y += b[k] * m[k]
	}
	return x + x2, y + y2
}

// solveTwo replaces both vectors b by L^-1 b, two rows at a time.
func (f *factor) solveTwo(b [][2]float64) {
	i := 0
	for ; i+1 < len(b); i += 2 {
		l, m := f.row(i), f.row(i+1)
		var l0, l1, m0, m1 float64
		before := m[:i]
		for k, x := range l[:i] {
			y, v := before[k], &b[k]
			l0 += v[0] * x
			m0 += v[0] * y
			l1 += v[1] * x
			m1 += v[1] * y
		}
		x, y, z := l[i], m[i], m[i+1]
		v0, v1 := (b[i][0]-l0)*x, (b[i][1]-l1)*x
		b[i] = [2]float64{v0, v1}
		b[i+1] = [2]float64{(b[i+1][0] - m0 - v0*y) * z, (b[i+1][1] - m1 - v1*y) * z}
	}
	if i < len(b) {
		l := f.row(i)
		v := b[i]
		for k, x := range l[:i] {
			v[0] -= b[k][0] * x
			v[1] -= b[k][1] * x
		}
		b[i] = [2]float64{v[0] * l[i], v[1] * l[i]}
	}
}

// solveTransposed replaces b by L'^-1 b.
func (f *factor) solveTransposed(b []float64) {
	for i := len(b) - 1; i >= 0; i-- {
		row := f.row(i)
		b[i] *= row[i]
		floats.AddScaled(b[:i], -b[i], row[:i])
	}
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
		lists[i] = make([]Fit, len(fs.factors)-from)
	}
	one, two := make([]float64, fs.n), make([][2]float64, fs.n)
	for k := from; k < len(fs.factors); k++ {
		f := &fs.factors[k]
		if !f.ok {
			continue
		}
		i := 0
		for ; i+1 < len(values); i += 2 { // two at a time share what they read
			u, v := &values[i], &values[i+1]
			for j, y := range u.Y {
				two[j] = [2]float64{y, v.Y[j]}
			}
			f.solveTwo(two)
			var su, sv, uu, vv float64
			for j, o := range f.ones {
				y, z := two[j][0], two[j][1]
				su += o * y
				sv += o * z
				uu += y * y
				vv += z * z
			}
			lists[i][k-from] = fs.fit(k, su, uu, u.ReadingVariance)
			lists[i+1][k-from] = fs.fit(k, sv, vv, v.ReadingVariance)
		}
		if i < len(values) {
			copy(one, values[i].Y)
			f.solve(one)
			lists[i][k-from] = fs.fit(k, dot(f.ones, one), dot(one, one), values[i].ReadingVariance)
		}
	}
	return lists
}

// fit returns what values say under structure k: sum is 1'Si y and square y'Si y.
func (fs *Factors) fit(k int, sum, square, readingVariance float64) Fit {
	f, nu := &fs.factors[k], float64(fs.n-1)
	beta := sum / f.o
	s := max(leastS, square-beta*beta*f.o)
	fit := Fit{Structure: k, Beta: beta, Sigma2: s / nu, DF: nu, OK: true,
		LogLikelihood: -0.5*f.logDet - 0.5*f.logO - nu/2*math.Log(s/2) + fs.Structures[k].LogPrior}
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

// Predict returns the mean of the field at a place and the variance of a reading
// there, both under one fit to the values y.
func (fs *Factors) Predict(fit Fit, y []float64, px, py float64) (mean, variance float64) {
	r := make([]float64, fs.n)
	fs.Structures[fit.Structure].Correlations(r, fs.Sites, px, py)
	return fs.Linear(fit, y, r, 1)
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

// Linear returns the mean and the variance under one fit to the values y of a weighted
// mean of the field, the weights adding up to 1: r is its correlations with the sites,
// which Linear overwrites, and own that with itself.
func (fs *Factors) Linear(fit Fit, y, r []float64, own float64) (mean, variance float64) {
	f := &fs.factors[fit.Structure]
	z := make([]float64, fs.n)
	for i := range z {
		z[i] = y[i] - fit.Beta
	}
	f.solve(r)
	f.solve(z)
	e := 1 - dot(f.ones, r)
	return fit.Beta + dot(r, z), (own - dot(r, r) + e*e/f.o) * fit.Sigma2
}
