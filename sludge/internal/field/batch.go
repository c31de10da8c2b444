package field

import "math"

// lanes is the number of covariances that are worked out side by side: the sums of one do
// not wait for those of another.
const lanes = 4

// lane holds one number of each.
type lane [lanes]float64

// batch holds the Cholesky factors of a few covariances of the same number of sites, each
// Sigma = L L'. Row i of L has i+1 numbers, the last as its reciprocal.
type batch struct {
	head []lane // the first rows, packed: those of another batch, which are only read
	rows []lane // the rows after these
	ones []lane // L^-1 1
	o    lane   // 1'Si 1
	done [lanes]int
	// logDet is the logarithm of the determinant of Sigma, logO that of o.
	logDet, logO lane
}

// leastPivot is the square root of a pivot under which a matrix counts as singular.
const leastPivot = 1e-11

// row returns row i of L.
func (b *batch) row(i int) []lane {
	at, rows := i*(i+1)/2, b.head
	if at >= len(rows) {
		at, rows = at-len(rows), b.rows
	}
	return rows[at : at+i+1 : at+i+1]
}

// ok reports whether all rows under covariance k have a pivot.
func (b *batch) ok(k int) bool { return b.done[k] == len(b.ones) }

// set makes covariance k (1-q) r + q diag(1/readings), of which r holds the rows that are
// not those of another batch.
func (b *batch) set(k int, r []float64, q float64, readings []float64) {
	rows := b.rows[:len(r)]
	for i, v := range r {
		rows[i][k] = (1 - q) * v
	}
	at := -len(b.head) - 1
	for i, m := range readings {
		if at += i + 1; at >= 0 {
			b.rows[at][k] = 1 - q + q/m
		}
	}
}

// factor makes rows of L of those from the given one on, and works out what follows from
// them.
func (b *batch) factor(from int) {
	for i := from; i < len(b.ones); i++ {
		row := b.row(i)
		b.solve(row[:i])
		squares := product(row[:i], row[:i])
		for k := range lanes {
			if p := row[i][k] - squares[k]; p > leastPivot && b.done[k] == i {
				row[i][k] = 1 / math.Sqrt(p)
				b.done[k]++
			} else {
				row[i][k] = 0
			}
		}
	}
	for i := range b.ones {
		b.ones[i] = lane{1, 1, 1, 1}
	}
	b.solve(b.ones)
	b.o = product(b.ones, b.ones)
	for k := range lanes {
		if !b.ok(k) {
			continue
		}
		det := 1.0
		for i := range b.ones {
			if det *= b.row(i)[i][k]; det > 1e200 {
				b.logDet[k] -= 2 * math.Log(det)
				det = 1
			}
		}
		b.logDet[k] -= 2 * math.Log(det)
		b.logO[k] = math.Log(b.o[k])
	}
}

// product returns the products of a and b.
func product(a, b []lane) (p lane) {
	p[0], p[1], p[2], p[3] = products(a, b)
	return p
}

// solve replaces v by L^-1 v.
func (b *batch) solve(v []lane) {
	for i := range v {
		l := b.row(i)
		s0, s1, s2, s3 := products(v[:i], l)
		x, d := &v[i], &l[i]
		x[0] = (x[0] - s0) * d[0]
		x[1] = (x[1] - s1) * d[1]
		x[2] = (x[2] - s2) * d[2]
		x[3] = (x[3] - s3) * d[3]
	}
}

// products returns the products of a and the first numbers of b.
func products(a, b []lane) (s0, s1, s2, s3 float64) {
	b = b[:len(a)]
	for i := range a {
		x, y := &a[i], &b[i]
		s0 += x[0] * y[0]
		s1 += x[1] * y[1]
		s2 += x[2] * y[2]
		s3 += x[3] * y[3]
	}
	return s0, s1, s2, s3
}

// one returns covariance k by itself.
func (b *batch) one(k int) *factor {
	room := make([]float64, len(b.head)+len(b.rows)+len(b.ones))
	rows, ones := room[:len(b.head)+len(b.rows)], room[len(b.head)+len(b.rows):]
	pick(rows, b.head, k)
	pick(rows[len(b.head):], b.rows, k)
	pick(ones, b.ones, k)
	return &factor{rows: rows, ones: ones, o: b.o[k]}
}

// pick sets dst to the numbers of covariance k.
func pick(dst []float64, of []lane, k int) {
	for i := range of {
		dst[i] = of[i][k]
	}
}
