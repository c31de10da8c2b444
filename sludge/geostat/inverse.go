package geostat

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/sludge/internal/parallel"
	"example.org/earthbasin/units/plane"
)

// inverse holds entries of C^-1, where the model has a finite range and the samples reach
// over several of it. A target is then correlated with few samples, and c0'C^-1 c0 needs
// no other entries than those between them: for many targets that is less work than
// L^-1 c0, which has entries on to the middle of the samples.
type inverse struct {
	k    *Kriging
	n    int
	data []float64 // C^-1; 0 or of no meaning between samples more than two ranges apart
}

// cluster is the number of targets, close to each other, that share the samples they are
// correlated with.
const cluster = 64

// manyTargets is the number of targets per sample from which the inverse pays, and
// longReach what the samples reach over, in ranges.
const (
	manyTargets = 2
	longReach   = 3
)

// wellApart is the least share of C(0) that the samples before it may leave of the variance
// of a sample: below it the inverse would lose more digits than L^-1 c0 does.
const wellApart = 1e-5

// usesInverse reports whether the inverse serves for so many targets.
func (k *Kriging) usesInverse(targets int) bool {
	n := len(k.samples)
	if k.all == nil || k.cov.shape != Spherical || n < 2*panel || targets < manyTargets*n {
		return false
	}
	for i := range n {
		if d := k.all.factor.Data[i*n+i]; d*d < wellApart*k.cov.zero() {
			return false
		}
	}
	along := k.along()
	return slices.Max(along)-slices.Min(along) > longReach
}

// along returns the coordinates of the samples on the longer axis, in ranges.
func (k *Kriging) along() []float64 {
	if k.long {
		return k.x
	}
	return k.y
}

// inverse works out C^-1 from its last rows to its first, a panel J at a time. With the
// rows K behind it that have entries of L in these columns, C^-1 L = L'^-1 says for a
// row i that the part in J times L_JJ is that of L'^-1, 0 behind J, less the part in K
// times L_KJ (Takahashi, Fagan and Chen, Formation of a Sparse Bus Impedance Matrix and
// Its Application to Short Circuit Study, Power Industry Computer Applications
// Conference, 1973; from memory). In the order of the samples, K lies within a range of J
// and on the same side as all that come behind it. So entries between samples within two
// ranges ask for no others.
func (k *Kriging) inverse(ctx context.Context, workers int) *inverse {
	n, l, along := len(k.samples), k.all.factor, k.along()
	a := make([]float64, n*n)
	var behind, asked []int
	var entries []float64
	for top := (n - 1) / panel * panel; top >= 0 && ctx.Err() == nil; top -= panel {
		end := min(top+panel, n)
		w := end - top
		low, high := slices.Min(along[top:end])-2, slices.Max(along[top:end])+2
		behind, entries, asked = behind[:0], entries[:0], asked[:0]
		for i := end; i < n; i++ {
			row := l.Data[i*n+top : i*n+end]
			if slices.ContainsFunc(row, func(v float64) bool { return v != 0 }) {
				behind, entries = append(behind, i), append(entries, row...)
			}
			if low <= along[i] && along[i] <= high {
				asked = append(asked, i)
			}
		}
		corner := blas64.Triangular{N: w, Stride: n, Data: l.Data[top*n+top:], Uplo: blas.Lower, Diag: blas.NonUnit}
		below := blas64.General{Rows: len(behind), Cols: w, Stride: w, Data: entries}
		solve := func(i int, part, x blas64.Vector) { // part holds that of L'^-1
			for q, r := range behind {
				x.Data[q] = a[i*n+r]
			}
			blas64.Gemv(blas.Trans, -1, below, x, 1, part)
			blas64.Trsv(blas.Trans, corner, part)
			for j, v := range part.Data {
				a[(top+j)*n+i] = v
			}
		}
		part := func(i int) blas64.Vector { return blas64.Vector{N: w, Inc: 1, Data: a[i*n+top : i*n+end]} }
		room := func() blas64.Vector {
			return blas64.Vector{N: len(behind), Inc: 1, Data: make([]float64, len(behind))}
		}
		parallel.Bands(len(asked), workers, func(from, to int) {
			x := room()
			for _, i := range asked[from:to] {
				solve(i, part(i), x)
			}
		})
		x := room()
		for i := top; i < end; i++ {
			p := part(i)
			clear(p.Data)
			p.Data[i-top] = 1
			blas64.Trsv(blas.NoTrans, corner, p)
			solve(i, p, x)
		}
	}
	return &inverse{k, n, a}
}

// inClusters returns the numbers of the points in an order in which each cluster of them
// lies close together: in strips along the longer axis of the samples of as many points
// each, from one end of each to the other.
func (k *Kriging) inClusters(points []plane.Point) []int {
	order := make([]int, len(points))
	along, across := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		order[i] = i
		across[i], along[i] = k.cov.place(p.Sub(k.origin))
		if k.long {
			along[i], across[i] = across[i], along[i]
		}
	}
	by := func(u []float64) func(a, b int) int {
		return func(a, b int) int { return cmp.Or(cmp.Compare(u[a], u[b]), cmp.Compare(a, b)) }
	}
	slices.SortFunc(order, by(along))
	wide, long := slices.Max(k.x)-slices.Min(k.x), slices.Max(k.y)-slices.Min(k.y)
	if k.long {
		wide, long = long, wide
	}
	// The clusters across a strip, about as wide as they are long.
	count := max(1, int(math.Sqrt(float64(len(points))/cluster*wide/long)))
	for strip := range slices.Chunk(order, count*cluster) {
		slices.SortFunc(strip, by(across))
	}
	return order
}

// batch returns a function that estimates the listed points, which go in clusters.
func (c *inverse) batch(points []plane.Point, out []Estimate) func(list []int) {
	k := c.k
	rows := make([]float64, c.n*cluster)
	live, entries := make([]int, 0, c.n), make([]float64, c.n)
	var x, y, value, miss, square, sum [cluster]float64
	return func(all []int) {
		for list := range slices.Chunk(all, cluster) {
			for i := range cluster {
				at := list[min(i, len(list)-1)]
				x[i], y[i] = k.cov.place(points[at].Sub(k.origin))
				value[i], miss[i], square[i] = k.all.m, 1, 0
			}
			live = live[:0]
			for i := range c.n {
				m := len(live)
				row := rows[m*cluster : (m+1)*cluster]
				if !k.cov.row(row, x[:], y[:], k.x[i], k.y[i]) {
					continue
				}
				floats.AddScaled(value[:], k.all.beta[i], row)
				floats.AddScaled(miss[:], -k.all.u[i], row)
				clear(sum[:])
				if m > 0 {
					for q, j := range live {
						entries[q] = c.data[i*c.n+j]
					}
					blas64.Gemv(blas.Trans, 2, blas64.General{Rows: m, Cols: cluster, Stride: cluster, Data: rows[:m*cluster]},
						blas64.Vector{N: m, Inc: 1, Data: entries}, 1, blas64.Vector{N: cluster, Inc: 1, Data: sum[:]})
				}
				own := c.data[i*c.n+i]
				for t, v := range row {
					square[t] += v * (sum[t] + own*v)
				}
				live = append(live, i)
			}
			for i, at := range list {
				out[at] = estimateAt(value[i], k.cov.zero()-square[i]+miss[i]*miss[i]/k.all.s)
			}
		}
	}
}
