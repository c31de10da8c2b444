package field

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// Slopes are exact for a plane wherever there is a neighbour, and central differences of
// anything else.
func TestSlope(t *testing.T) {
	l := Lattice{X0: 3, Y0: -2, DX: 2, DY: 5, Cols: 5, Rows: 4}
	x, y := l.Node(7)
	require.Equal(t, [2]float64{3 + 2.5*2, -2 + 1.5*5}, [2]float64{x, y})
	used := make([]bool, l.Len())
	for _, i := range []int{0, 1, 2, 4, 6, 7, 8, 11, 14, 16, 17} {
		used[i] = true
	}
	targets := NewTargets(l, used)
	plain, curved := make([]float64, len(targets.Used)), make([]float64, len(targets.Used))
	for k, node := range targets.Used {
		x, y := l.Node(node)
		plain[k], curved[k] = 1+0.5*x-0.25*y, x*x+3*y*y
	}
	for k, node := range targets.Used {
		c, r := node%5, node/5
		at := func(c, r int) (v float64, ok bool) {
			if c < 0 || c > 4 || r < 0 || r > 3 || !used[r*5+c] {
				return 0, false
			}
			x, y := l.Node(r*5 + c)
			return x*x + 3*y*y, true
		}
		along := func(dc, dr int, size float64) (slope float64, any bool) {
			middle, _ := at(c, r)
			before, hasBefore := at(c-dc, r-dr)
			after, hasAfter := at(c+dc, r+dr)
			switch {
			case hasBefore && hasAfter:
				return (after - before) / (2 * size), true
			case hasBefore:
				return (middle - before) / size, true
			case hasAfter:
				return (after - middle) / size, true
			}
			return 0, false
		}
		wantX, anyX := along(1, 0, 2)
		wantY, anyY := along(0, 1, 5)
		gx, gy := targets.Slope(curved, k)
		require.InDelta(t, wantX, gx, 1e-12, "node %d", node)
		require.InDelta(t, wantY, gy, 1e-12, "node %d", node)
		gx, gy = targets.Slope(plain, k)
		require.InDelta(t, map[bool]float64{true: 0.5}[anyX], gx, 1e-12)
		require.InDelta(t, map[bool]float64{true: -0.25}[anyY], gy, 1e-12)
	}
}

// latticeCase is sites, nodes and a structure with everything worked out by definition.
type latticeCase struct {
	name    string
	sites   Sites
	y       []float64
	targets *Targets
	st      Structure
}

// latticeCases has ranges of more and of fewer cells than 8, cells that are not square and
// stretched fields.
func latticeCases() (list []latticeCase) {
	r := rand.New(rand.NewPCG(1, 1))
	const n = 9
	c := latticeCase{}
	for i := range n {
		c.sites.X, c.sites.Y = append(c.sites.X, 40*r.Float64()), append(c.sites.Y, 30*r.Float64())
		c.sites.Readings = append(c.sites.Readings, float64(1+i%3))
		c.y = append(c.y, 1+r.NormFloat64())
	}
	over := func(cols, rows int) *Targets {
		l := Lattice{X0: -1, Y0: 2, DX: 8, DY: 5, Cols: cols, Rows: rows}
		used := make([]bool, l.Len())
		for i := range used {
			used[i] = i%7 != 3
		}
		return NewTargets(l, used)
	}
	c.st = Structure{Family: Matern15, Range: 12, Share: 0.07, Metric: Isotropic}
	for _, size := range [][2]int{{5, 1}, {1, 6}, {1, 1}} {
		c.targets = over(size[0], size[1])
		c.name = fmt.Sprintf("%d by %d", size[0], size[1])
		list = append(list, c)
	}
	c.targets = over(5, 6)
	for _, reach := range []float64{9, 30, 60} {
		for f := range families {
			for _, m := range []Metric{Isotropic, Stretched(0.6, 2.2)} {
				c.st = Structure{Family: f, Range: reach, Share: 0.07, Metric: m}
				c.name = fmt.Sprintf("family %d, range %v, stretched %v", f, reach, m != Isotropic)
				list = append(list, c)
			}
		}
	}
	return list
}

// length is that of a step once the plane is turned and stretched.
func (c *latticeCase) length(dx, dy float64) float64 {
	if c.st.Metric == Isotropic {
		return math.Hypot(dx, dy)
	}
	along, across := dx*math.Cos(0.6)+dy*math.Sin(0.6), dy*math.Cos(0.6)-dx*math.Sin(0.6)
	return math.Hypot(along/math.Sqrt(2.2), across*math.Sqrt(2.2))
}

func (c *latticeCase) correlation(dx, dy float64) float64 {
	return c.st.Family.At(c.length(dx, dy) / c.st.Range)
}

// short reports whether cells that are near count by their points.
func (c *latticeCase) short() bool { return c.st.Range < 8*math.Sqrt(8*5) }

// points yields the steps from the middle of a cell to its 4 by 4 points.
func (c *latticeCase) points(yield func(dx, dy float64) bool) {
	for i := range 4 {
		for j := range 4 {
			if !yield((float64(i)-1.5)/4*8, (float64(j)-1.5)/4*5) {
				return
			}
		}
	}
}

// between is the correlation between two nodes: mean over the points of cells that touch.
func (c *latticeCase) between(a, b int) float64 {
	ax, ay := c.targets.Node(a)
	bx, by := c.targets.Node(b)
	dc, dr := a%c.targets.Cols-b%c.targets.Cols, a/c.targets.Cols-b/c.targets.Cols
	touch := max(dc, -dc) <= 1 && max(dr, -dr) <= 1
	if !c.short() || !touch {
		return c.correlation(ax-bx, ay-by)
	}
	var sum float64
	for px, py := range c.points {
		for qx, qy := range c.points {
			sum += c.correlation(ax+px-bx-qx, ay+py-by-qy)
		}
	}
	return sum / 256
}

// toSite is the correlation of a node and a site: mean over the points of a cell that is near.
func (c *latticeCase) toSite(node, i int) float64 {
	x, y := c.targets.Node(node)
	dx, dy := x-c.sites.X[i], y-c.sites.Y[i]
	if !c.short() || math.Hypot(dx, dy) >= 1.5*math.Sqrt(8*5) {
		return c.correlation(dx, dy)
	}
	var sum float64
	for px, py := range c.points {
		sum += c.correlation(dx+px, dy+py)
	}
	return sum / 16
}

// sigma is the covariance of the sites of one field.
func (c *latticeCase) sigma(i, j int) float64 {
	v := (1 - c.st.Share) * c.correlation(c.sites.X[i]-c.sites.X[j], c.sites.Y[i]-c.sites.Y[j])
	if i == j {
		v += c.st.Share / c.sites.Readings[i]
	}
	return v
}

// The field at the nodes, its variance and its covariances, by the equations of kriging
// solved whole.
func TestFieldByDefinition(t *testing.T) {
	for _, c := range latticeCases() {
		n, m := len(c.y), len(c.targets.Used)
		fs := NewFactors(c.sites, []Structure{{Family: c.st.Family, Range: 100, Share: 0.5, Metric: Isotropic}, c.st})
		room := fs.Room(c.targets)
		other := fs.Field(0, room, nil) // what another structure left in the room does not count
		f := fs.Field(1, room, other)
		fit := fs.Fits(0, Values{Y: c.y})[0][1]
		mean, covariance := make([]float64, m), make([]float64, m*m)
		f.Mean(mean, c.y, fit.Beta)
		f.Covariance(c.targets, covariance)
		require.Len(t, c.targets.Correlations(c.st).at, (2*c.targets.Cols-1)*c.targets.Rows, "columns before and after, for each number of rows")

		whole := mat.NewDense(n+1, n+1, nil)
		for i := range n {
			for j := range n {
				whole.Set(i, j, c.sigma(i, j))
			}
			whole.Set(i, n, 1)
			whole.Set(n, i, 1)
		}
		right := mat.NewDense(n+1, m, nil)
		for k, node := range c.targets.Used {
			for i := range n {
				right.Set(i, k, (1-c.st.Share)*c.toSite(node, i))
			}
			right.Set(n, k, 1)
		}
		var w, within mat.Dense
		require.NoError(t, w.Solve(whole, right))
		within.Mul(w.T(), right)
		weights, onLattice := make([]float64, m), make([]float64, c.targets.Len())
		var sum float64
		for k, a := range c.targets.Used {
			var value float64
			for i := range n {
				value += w.At(i, k) * c.y[i]
			}
			require.InDelta(t, value, mean[k], 1e-9, c.name)
			require.InDelta(t, 1-c.st.Share-within.At(k, k), f.Variance[k], 1e-9, c.name)
			weights[k] = float64(1 + k%4)
			onLattice[a] = weights[k]
			for l, b := range c.targets.Used {
				want := (1-c.st.Share)*c.between(a, b) - within.At(k, l)
				require.InDelta(t, max(want, map[bool]float64{true: leastVariance, false: math.Inf(-1)}[k == l]), covariance[k*m+l], 1e-9, "%s: %d, %d", c.name, a, b)
				sum += float64(1+k%4) * float64(1+l%4) * want
			}
		}
		variance, bySite := f.Linear(weights, onLattice)
		require.InDelta(t, sum, variance, 1e-7, c.name)
		for i, v := range bySite {
			var want float64
			for k := range m {
				want += weights[k] * w.At(i, k)
			}
			require.InDelta(t, want, v, 1e-8, c.name)
		}
	}
}

// Two fields that share a covariance, by the equations of cokriging solved whole: means,
// variances, the likelihood and the variance of a difference.
func TestPairByDefinition(t *testing.T) {
	for _, c := range latticeCases() {
		const na, nb = 5, 7
		a := Sites{c.sites.X[:na], c.sites.Y[:na], c.sites.Readings[:na]}
		b := Sites{c.sites.X[2 : 2+nb], c.sites.Y[2 : 2+nb], c.sites.Readings[2 : 2+nb]} // three places are the same
		number := func(i int) (site, field int) {
			if i < na {
				return i, 0
			}
			return i - na + 2, 1
		}
		const n, rho = na + nb, 0.7
		m := len(c.targets.Used)
		p := NewPairs(a, b, c.st, []float64{0.1, rho})[1]
		require.NotNil(t, p)
		var ya, yb []float64
		for i := range n {
			if _, g := number(i); g == 0 {
				ya = append(ya, c.y[i])
			} else {
				yb = append(yb, 0.5-c.y[i%9]*c.y[i%9])
			}
		}
		fit := p.Fit(ya, yb)
		fs := NewFactors(a, []Structure{c.st})
		ofB := NewFactors(b, []Structure{c.st})
		f := p.Field([2]*Room{fs.Room(c.targets), ofB.Room(c.targets)})

		whole := mat.NewDense(n+2, n+2, nil)
		sigma := mat.NewSymDense(n, nil)
		for i := range n {
			si, gi := number(i)
			for j := range n {
				sj, gj := number(j)
				v := c.sigma(si, sj)
				if gi != gj {
					v = rho * (1 - c.st.Share) * c.correlation(c.sites.X[si]-c.sites.X[sj], c.sites.Y[si]-c.sites.Y[sj])
				}
				whole.Set(i, j, v)
				if j >= i {
					sigma.SetSym(i, j, v)
				}
			}
			whole.Set(i, n+gi, 1)
			whole.Set(n+gi, i, 1)
		}
		z := mat.NewVecDense(n+2, append(append(append([]float64{}, ya...), yb...), 0, 0))
		var solved mat.VecDense // C^-1 (z - X beta), beta
		require.NoError(t, solved.SolveVec(whole, z))
		ss := mat.Dot(&solved, z)
		require.InDelta(t, solved.AtVec(n), fit.Beta[0], 1e-8, c.name)
		require.InDelta(t, solved.AtVec(n+1), fit.Beta[1], 1e-8, c.name)
		require.InEpsilon(t, ss/(n-2), fit.Sigma2, 1e-8, c.name)
		require.Equal(t, float64(n-2), fit.DF)
		var chol mat.Cholesky
		require.True(t, chol.Factorize(sigma))
		// |whole| is |Sigma| times |-X'Si X|.
		logWhole, _ := mat.LogDet(whole)
		require.InDelta(t, -chol.LogDet()/2-(logWhole-chol.LogDet())/2-float64(n-2)/2*math.Log(ss/2), fit.LogLikelihood, 1e-7, c.name)

		right := mat.NewDense(n+2, 2*m, nil) // by field, by node
		for g := range 2 {
			for k, node := range c.targets.Used {
				for i := range n {
					si, gi := number(i)
					v := (1 - c.st.Share) * c.toSite(node, si)
					if gi != g {
						v *= rho
					}
					right.Set(i, g*m+k, v)
				}
				right.Set(n+g, g*m+k, 1)
			}
		}
		var w, within mat.Dense
		require.NoError(t, w.Solve(whole, right))
		within.Mul(w.T(), right)
		var weights, onLattice [2][]float64
		var sum float64
		for g := range 2 {
			mean := make([]float64, m)
			f.Mean(mean, g, fit)
			weights[g], onLattice[g] = make([]float64, m), make([]float64, c.targets.Len())
			for k, node := range c.targets.Used {
				var value float64
				for i := range n {
					value += w.At(i, g*m+k) * z.AtVec(i)
				}
				require.InDelta(t, value, mean[k], 1e-8, c.name)
				require.InDelta(t, 1-c.st.Share-within.At(g*m+k, g*m+k), f.Variance[g][k], 1e-8, c.name)
				weights[g][k] = float64(2*g-1) * float64(1+(k+g)%4)
				onLattice[g][node] = weights[g][k]
			}
		}
		for g := range 2 {
			for h := range 2 {
				for k, a := range c.targets.Used {
					for l, b := range c.targets.Used {
						v := (1 - c.st.Share) * c.between(a, b)
						if g != h {
							v *= rho
						}
						sum += weights[g][k] * weights[h][l] * (v - within.At(g*m+k, h*m+l))
					}
				}
			}
		}
		require.InDelta(t, sum, f.Linear(weights, onLattice), 1e-7, c.name)
	}
	// Places that stand twice, without a nugget, have no factor.
	c := latticeCases()[0]
	c.st.Share = 0
	c.sites.X[1], c.sites.Y[1] = c.sites.X[0], c.sites.Y[0]
	require.Equal(t, []*Pair{nil}, NewPairs(c.sites, c.sites, c.st, []float64{0.5}))
}
