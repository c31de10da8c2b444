package field

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
)

// Lattice is a grid of equal cells over a box, a node in the middle of each. Nodes
// are numbered along rows, the row of the least y first.
type Lattice struct {
	X0, Y0, DX, DY float64 // corner and size of the first cell
	Cols, Rows     int
}

// Node returns the middle of a cell.
func (l Lattice) Node(i int) (x, y float64) {
	return l.X0 + (float64(i%l.Cols)+0.5)*l.DX, l.Y0 + (float64(i/l.Cols)+0.5)*l.DY
}

// Len returns the number of nodes.
func (l Lattice) Len() int { return l.Cols * l.Rows }

// side is the size of a cell for what asks how coarse the lattice is.
func (l Lattice) side() float64 { return math.Sqrt(l.DX * l.DY) }

// Where a range is shorter than coarse cells, a cell is more than its middle: the
// correlations that are near are means over fine by fine points of it. Longer ranges
// take the middles alone: a mixture would spoil the variance of the volume, a small
// difference of large numbers.
const (
	coarse = 8
	fine   = 4
	near   = 1.5 // cells from node to site
)

// points sets the 16 steps from the middle of a cell to the points that stand for it.
func (l Lattice) points() (steps [fine * fine][2]float64) {
	for i := range steps {
		steps[i] = [2]float64{((float64(i%fine)+0.5)/fine - 0.5) * l.DX, ((float64(i/fine)+0.5)/fine - 0.5) * l.DY}
	}
	return steps
}

// Targets is a lattice of which some nodes are used, those that lie beside each.
type Targets struct {
	Lattice
	Used   []int       // nodes, in ascending order
	beside [][2]beside // each used node along its row and along its column
}

// beside is what the difference of a node is taken between: used nodes by their place
// among these, and one over the distance from the first to the second. Both are the node
// where there is none on either side.
type beside struct {
	low, high int32
	per       float64
}

// NewTargets returns the targets of the nodes that used names.
func NewTargets(l Lattice, used []bool) *Targets {
	t := &Targets{Lattice: l}
	place := make([]int32, l.Len()) // of each node among those used
	for i, u := range used {
		if u {
			place[i] = int32(len(t.Used))
			t.Used = append(t.Used, i)
		}
	}
	t.beside = make([][2]beside, len(t.Used))
	for k, i := range t.Used {
		along := func(before, after bool, step int, size float64) beside {
			b := beside{low: int32(k), high: int32(k)}
			n := 0.0
			if before && used[i-step] {
				b.low, n = place[i-step], n+1
			}
			if after && used[i+step] {
				b.high, n = place[i+step], n+1
			}
			if n > 0 {
				b.per = 1 / (n * size)
			}
			return b
		}
		c, r := i%l.Cols, i/l.Cols
		t.beside[k] = [2]beside{along(c > 0, c < l.Cols-1, 1, l.DX), along(r > 0, r < l.Rows-1, l.Cols, l.DY)}
	}
	return t
}

// Slope returns the gradient at the used node k of the values at the used nodes:
// central differences, one-sided where there is no node to one side, 0 where there
// is none on either.
func (t *Targets) Slope(values []float64, k int) (gx, gy float64) {
	x, y := &t.beside[k][0], &t.beside[k][1]
	return (values[x.high] - values[x.low]) * x.per, (values[y.high] - values[y.low]) * y.per
}

// Correlations holds the mean correlations between the cells of a lattice by
// the columns and rows between them.
type Correlations struct {
	cols, rows int
	at         []float64 // row by row from 0 up, each from -(cols-1) to cols-1 columns
}

// Correlations returns the correlations between cells under a structure.
func (l Lattice) Correlations(st Structure) *Correlations {
	c := &Correlations{cols: l.Cols, rows: l.Rows, at: make([]float64, (2*l.Cols-1)*l.Rows)}
	width := 2*l.Cols - 1
	even := st.Metric == Isotropic
	for j := range l.Rows {
		row := c.at[j*width : (j+1)*width]
		for i := 1 - l.Cols; i < l.Cols; i++ {
			if even && i < 0 {
				continue
			}
			row[i+l.Cols-1] = st.Metric.length(float64(i)*l.DX, float64(j)*l.DY)
		}
		st.Family.fill(row, row, st.Range)
		if even {
			for i := 1; i < l.Cols; i++ {
				row[l.Cols-1-i] = row[l.Cols-1+i]
			}
		}
	}
	if st.Range >= coarse*l.side() {
		return c
	}
	for j := range min(2, l.Rows) {
		for i := -1; i <= 1; i++ {
			if i > -l.Cols && i < l.Cols {
				c.at[j*width+i+l.Cols-1] = l.meanBetween(st, float64(i), float64(j))
			}
		}
	}
	return c
}

// meanBetween returns the mean correlation between the points of two cells that are
// i columns and j rows apart.
func (l Lattice) meanBetween(st Structure, i, j float64) float64 {
	var sum float64
	for a := 1 - fine; a < fine; a++ {
		for b := 1 - fine; b < fine; b++ {
			times := float64((fine - max(a, -a)) * (fine - max(b, -b)))
			h := st.Metric.length((i+float64(a)/fine)*l.DX, (j+float64(b)/fine)*l.DY)
			sum += times * st.Family.At(h/st.Range)
		}
	}
	return sum / (fine * fine * fine * fine)
}

// Quadratic returns w'Fw for weights w on all nodes of the lattice: for each number of
// rows between, the products of the weights summed by the columns between, of four
// columns with a row at a time.
func (c *Correlations) Quadratic(w []float64) float64 {
	const four = 4
	width := 2*c.cols - 1
	products := make([]float64, width+four-1) // the first for columns past the last, which weigh nothing
	var v [four]float64
	var sum float64
	for j := range c.rows {
		clear(products)
		for r := range c.rows - j {
			row := w[(r+j)*c.cols : (r+j+1)*c.cols]
			for i := 0; i < c.cols; i += four {
				v = [four]float64{}
				copy(v[:], w[r*c.cols+i:(r+1)*c.cols])
				addProducts(products[c.cols-1-i:], &v, row)
			}
		}
		s := floats.Dot(products[four-1:], c.at[j*width:(j+1)*width])
		if j > 0 {
			s *= 2 // each pair of rows once
		}
		sum += s
	}
	return sum
}

// addProducts adds the product of v[i] and row[k] to sums[3-i+k].
func addProducts(sums []float64, v *[4]float64, row []float64) {
	a, b, c, d := v[0], v[1], v[2], v[3]
	n := len(row)
	sums = sums[:n+3]
	var x, y, z float64 // of the row: the last, the one before it, the one before that
	for k, w := range row {
		sums[k] += (d*w + c*x) + (b*y + a*z)
		x, y, z = w, x, y
	}
	sums[n] += c*x + b*y + a*z
	sums[n+1] += b*x + a*y
	sums[n+2] += a * x
}

// Field is what the sites say of the field at the used nodes under one structure,
// before any values: with U = L^-1 r for the correlations r of sites and nodes.
type Field struct {
	Structure Structure
	factor    *factor
	n, m      int
	u         []float64 // n rows of m
	Miss      []float64 // e = 1 - 1'Si r
	Variance  []float64 // of the field, in units of sigma^2
	between   *Correlations
}

// Room is what fields under several structures share.
type Room struct {
	targets  *Targets
	sites    Sites
	metric   Metric
	h        []float64
	r        []float64
	of       Structure // r and between were made for it
	between  *Correlations
	pairs    []int32 // site x m + node that are near each other
	distance []float64
}

// Room returns a room for fields from the sites of the factors on the targets.
func (fs *Factors) Room(t *Targets) *Room { return &Room{targets: t, sites: fs.Sites} }

func (w *Room) set(st Structure) {
	n, m := len(w.sites.X), len(w.targets.Used)
	if w.h == nil || w.metric != st.Metric {
		w.metric, w.of, w.pairs, w.distance = st.Metric, Structure{}, nil, nil
		if w.h == nil {
			w.h, w.r = make([]float64, n*m), make([]float64, n*m)
		}
		for k, node := range w.targets.Used {
			x, y := w.targets.Node(node)
			for i := range n {
				w.h[i*m+k] = st.Metric.length(w.sites.X[i]-x, w.sites.Y[i]-y)
			}
		}
	}
	if w.of.Family == st.Family && w.of.Range == st.Range {
		return
	}
	w.of = st
	w.between = w.targets.Correlations(st)
	st.Family.fill(w.r, w.h, st.Range)
	if st.Range >= coarse*w.targets.side() {
		return
	}
	const each = fine * fine
	if w.distance == nil {
		w.findPairs(n, m)
	}
	var mean [each]float64
	for p, at := range w.pairs {
		st.Family.fill(mean[:], w.distance[p*each:(p+1)*each], st.Range)
		w.r[at] = floats.Sum(mean[:]) / each
	}
}

// findPairs lists the sites and nodes that are near each other with the distances
// from the site to the points of the cell.
func (w *Room) findPairs(n, m int) {
	steps := w.targets.points()
	within := near * w.targets.side()
	expected := n * int(math.Ceil(math.Pi*near*near))
	w.pairs = make([]int32, 0, expected)
	w.distance = make([]float64, 0, expected*len(steps))
	for k, node := range w.targets.Used {
		x, y := w.targets.Node(node)
		for i := range n {
			dx, dy := x-w.sites.X[i], y-w.sites.Y[i]
			if dx*dx+dy*dy >= within*within {
				continue
			}
			w.pairs = append(w.pairs, int32(i*m+k))
			for _, s := range steps {
				w.distance = append(w.distance, w.metric.length(dx+s[0], dy+s[1]))
			}
		}
	}
}

// Field works out what the sites say under structure k of the factors, which were
// made of the same sites. It takes the place of the field instead, nil for one of its own.
func (fs *Factors) Field(k int, w *Room, instead *Field) *Field {
	st := fs.Structures[k]
	w.set(st)
	n, m := fs.n, len(w.targets.Used)
	if instead == nil {
		instead = &Field{}
	}
	room := slices.Grow(instead.u[:0], n*m+2*m)[:n*m+2*m]
	f := instead
	*f = Field{Structure: st, factor: fs.one(k), n: n, m: m, between: w.between,
		u: room[:n*m], Miss: room[n*m : n*m+m], Variance: room[n*m+m:]}
	for j := range m {
		f.Miss[j], f.Variance[j] = 1, 1-st.Share
	}
	for i := range n {
		row := f.u[i*m : (i+1)*m]
		l := f.factor.row(i)
		floats.ScaleTo(row, (1-st.Share)*l[i], w.r[i*m:(i+1)*m])
		blas64.Gemv(blas.Trans, -l[i], f.rows(i), blas64.Vector{N: i, Inc: 1, Data: l}, 1, blas64.Vector{N: m, Inc: 1, Data: row})
		floats.AddScaled(f.Miss, -f.factor.ones[i], row)
		for j, v := range row {
			f.Variance[j] -= v * v
		}
	}
	for j, e := range f.Miss {
		f.Variance[j] = max(leastVariance, f.Variance[j]+e*e/f.factor.o)
	}
	return f
}

// rows returns the first rows of U.
func (f *Field) rows(n int) blas64.General {
	return blas64.General{Rows: n, Cols: f.m, Stride: f.m, Data: f.u}
}

// leastVariance keeps the field at a site from being certain.
const leastVariance = 1e-9

// Mean sets mean to the field at the used nodes for the values y of the sites.
func (f *Field) Mean(mean, y []float64, beta float64) {
	z := make([]float64, f.n)
	for i, v := range y {
		z[i] = v - beta
	}
	f.factor.solve(z)
	for j := range mean {
		mean[j] = beta
	}
	blas64.Gemv(blas.Trans, 1, f.rows(f.n), blas64.Vector{N: f.n, Inc: 1, Data: z}, 1, blas64.Vector{N: f.m, Inc: 1, Data: mean})
}

// Linear returns the variance, in units of sigma^2, of the sum of the field with the
// weights w at the used nodes, given on all nodes of the lattice too, and the
// weight of each site in that sum.
func (f *Field) Linear(w, onLattice []float64) (variance float64, weights []float64) {
	weights = make([]float64, f.n)
	blas64.Gemv(blas.NoTrans, 1, f.rows(f.n), blas64.Vector{N: f.m, Inc: 1, Data: w}, 0, blas64.Vector{N: f.n, Inc: 1, Data: weights})
	miss := floats.Dot(w, f.Miss)
	variance = (1-f.Structure.Share)*f.between.Quadratic(onLattice) - floats.Dot(weights, weights) + miss*miss/f.factor.o
	floats.AddScaled(weights, miss/f.factor.o, f.factor.ones)
	f.factor.solveTransposed(weights)
	return variance, weights
}

// Covariance sets c, m by m for the used nodes, to the covariances of the field given
// the sites, in units of sigma^2.
func (f *Field) Covariance(t *Targets, c []float64) {
	width := 2*f.between.cols - 1
	for i, a := range t.Used {
		for j, b := range t.Used[:i+1] {
			dc, dr := a%t.Cols-b%t.Cols, a/t.Cols-b/t.Cols // nodes ascend: dr is 0 or more
			c[i*f.m+j] = (1-f.Structure.Share)*f.between.at[dr*width+dc+t.Cols-1] + f.Miss[i]*f.Miss[j]/f.factor.o
		}
	}
	blas64.Syrk(blas.Trans, -1, f.rows(f.n), 1, blas64.Symmetric{N: f.m, Stride: f.m, Data: c, Uplo: blas.Lower})
	for i := range f.m {
		for j := range i {
			c[j*f.m+i] = c[i*f.m+j]
		}
		c[i*f.m+i] = max(leastVariance, c[i*f.m+i])
	}
}
