package geostat

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/sludge/internal/parallel"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// MaxGlobal is the largest number of samples that kriging takes all at once.
// Beyond it set Neighbours, or [Thin] the samples.
const MaxGlobal = 3000

// KrigingSpec says what ordinary kriging works with.
type KrigingSpec struct {
	Samples    []Sample `json:"samples"`    // 1 or more places
	Model      Model    `json:"model"`      // see [Fit]
	Neighbours int      `json:"neighbours"` // nearest samples that an estimate uses, by distance on the ground; 0: all, at most MaxGlobal
	Average    bool     `json:"average"`    // samples at exactly one place are averaged; false: refused
}

// Kriging estimates values by ordinary kriging: the weighted mean of the samples
// without bias and with the least variance under the model. It is safe for
// concurrent use.
//
// The equations are C w + mu 1 = c0 and 1'w = 1, the estimate w'z and its
// variance C(0) - w'c0 - mu, C(0) with the nugget: the variance of a measurement
// at the place, not of a smoothed value (An Introduction to Applied Geostatistics,
// Oxford University Press, 1989, chapter 12). At a sample the estimate is the
// sample and the standard deviation 0.
type Kriging struct {
	cov     covariance
	samples []Sample            // one a place, see sort
	source  []int               // index of the first sample of the spec at each place
	origin  plane.Point         // of x, y
	x, y, z []float64           // x, y on the turned plane, in ranges
	long    bool                // the samples reach farther along x than along y
	exact   map[plane.Point]int // the sample at a place
	all     *system             // of every sample; nil when neighbours are used
	near    *mesh.Neighbours
	k       int
}

// Estimate is a kriged value. Its variance is SD squared.
type Estimate struct {
	Value units.Length `json:"value"` // may lie below 0 where soundings fall off steeply
	SD    units.Length `json:"sd"`    // of a measurement at the place; 0 at a sample
}

// NewKriging checks the spec and solves what all estimates share. A covariance
// matrix that is not positive definite in floating point, as a Gaussian model
// without nugget makes it, gets the smallest addition to its diagonal that lets
// it be solved; [Kriging.System] tells how much. It ends with the error of ctx when that
// is done, though not in the middle of solving for all samples at once.
func NewKriging(ctx context.Context, spec KrigingSpec) (*Kriging, error) {
	var f units.Faults
	checkSamples(&f, spec.Samples, 1)
	f.Sub("model", spec.Model.Check())
	f.NumberBetween("neighbours", float64(spec.Neighbours), 0, mesh.MaxNeighbours)
	if err := f.Err(); err != nil {
		return nil, err
	}
	k := &Kriging{cov: newCovariance(spec.Model), k: spec.Neighbours}
	k.sort(spec, &f)
	n := len(k.samples)
	if k.k >= n {
		k.k = 0
	}
	if k.k == 0 && n > MaxGlobal {
		f.Add("neighbours", spec.Neighbours, "1 or more with over %v samples", MaxGlobal)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if k.k > 0 {
		k.near = mesh.NewNeighbours(placesOf(k.samples))
		return k, nil
	}
	k.all = newSystem(n)
	for i := range n {
		k.all.index[i] = int32(i)
	}
	k.all.solve(k)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return k, nil
}

// sort merges the samples at one place and puts them in order: from both ends of the
// turned plane, along its longer axis, to the middle. What lies out of range of each
// other so stays apart in the equations, and a target needs only the samples between
// itself and the middle.
func (k *Kriging) sort(spec KrigingSpec, f *units.Faults) {
	n := len(spec.Samples)
	order := make([]int, n)
	k.origin, k.exact = spec.Samples[0].At, make(map[plane.Point]int, n)
	type turned struct{ x, y float64 }
	at := make([]turned, n)
	low, high := turned{math.Inf(1), math.Inf(1)}, turned{math.Inf(-1), math.Inf(-1)}
	for i, s := range spec.Samples {
		order[i] = i
		at[i].x, at[i].y = k.cov.place(s.At.Sub(k.origin))
		low = turned{min(low.x, at[i].x), min(low.y, at[i].y)}
		high = turned{max(high.x, at[i].x), max(high.y, at[i].y)}
	}
	k.long = high.x-low.x > high.y-low.y
	slices.SortFunc(order, func(a, b int) int {
		p, q := at[a], at[b]
		if k.long {
			p, q = turned{p.y, p.x}, turned{q.y, q.x}
		}
		return cmp.Or(cmp.Compare(p.y, q.y), cmp.Compare(p.x, q.x), cmp.Compare(a, b))
	})
	var groups [][]int // of samples at one place
	for len(order) > 0 {
		n := 1
		for n < len(order) && at[order[n]] == at[order[0]] {
			n++
		}
		if n > 1 && !spec.Average {
			at := f.At("samples", order[1])
			at.Fault(units.FaultConflict, "at", units.Words("the place of samples[%v]", order[0]), "a place of its own, or average")
		}
		groups = append(groups, order[:n])
		order = order[n:]
	}
	slices.Reverse(groups[len(groups)/2:])
	n = len(groups)
	k.samples, k.source = make([]Sample, n), make([]int, n)
	k.x, k.y, k.z = make([]float64, n), make([]float64, n), make([]float64, n)
	for j, group := range groups {
		k.samples[j], k.source[j] = meanSample(spec.Samples, group), group[0]
		k.x[j], k.y[j], k.z[j] = at[group[0]].x, at[group[0]].y, float64(k.samples[j].Value)
		for _, i := range group {
			k.exact[spec.Samples[i].At] = j
		}
	}
}

// order returns the numbers of the points in the order in which they are estimated.
// With many samples at once it goes strip by strip along the longer axis, a batch or so
// in each, so that most samples are out of range of a whole batch.
func (k *Kriging) order(points []plane.Point) []int {
	order := make([]int, len(points))
	strips := len(points) / batch
	if k.all == nil || len(k.samples) < batch || strips < 2 {
		for i := range order {
			order[i] = i
		}
		return order
	}
	along := make([]float64, len(points))
	for i, p := range points {
		x, y := k.cov.place(p.Sub(k.origin))
		along[i] = y
		if k.long {
			along[i] = x
		}
	}
	low, high := slices.Min(along), slices.Max(along)
	start := make([]int, strips+1)
	strip := func(u float64) int { return int((u - low) / (high - low) * float64(strips-1)) }
	if !(high-low > 0) {
		strip = func(float64) int { return 0 }
	}
	for _, u := range along {
		start[strip(u)+1]++
	}
	for i := range strips {
		start[i+1] += start[i]
	}
	for i, u := range along {
		s := strip(u)
		order[start[s]] = i
		start[s]++
	}
	return order
}

// checkUsable records a fault when k was not made by [NewKriging].
func (k *Kriging) checkUsable(f *units.Faults) {
	if k == nil || len(k.samples) == 0 {
		f.Missing("kriging", "kriging made by NewKriging")
	}
}

// At returns the estimate at p, and false when p is not finite or farther than
// any plane reaches.
func (k *Kriging) At(p plane.Point) (units.Length, bool) {
	e, err := k.Estimate(p)
	return e.Value, err == nil
}

// Estimate returns the estimate at p, which must be finite.
func (k *Kriging) Estimate(p plane.Point) (Estimate, error) {
	e, err := k.Estimates(context.Background(), []plane.Point{p}, 1)
	if err != nil {
		return Estimate{}, err
	}
	return e[0], nil
}

// Estimates returns the estimates at the points, worked out by the given number
// of goroutines at once, 0 or 1 for none besides the caller's, whose number changes no
// bit of the answer. Of many points with a model of finite range they differ in the last
// digits from those of each alone, since another way to them is shorter then. It ends with
// the error of ctx when that is done.
func (k *Kriging) Estimates(ctx context.Context, points []plane.Point, workers int) ([]Estimate, error) {
	if err := k.checkPoints(points, workers); err != nil {
		return nil, err
	}
	out := make([]Estimate, len(points))
	estimate, order, unit := k.globalBatch, k.order, 1
	switch {
	case k.all == nil:
		estimate = k.localBatch
	case k.usesInverse(len(points)):
		estimate, order, unit = k.inverse(ctx, workers).batch, k.inClusters, cluster // the same for any workers
	}
	list := order(points)
	inBatches(ctx, len(points), unit, workers, func() func(from, to int) {
		part := estimate(points, out)
		return func(from, to int) {
			part(list[from:to])
			for _, i := range list[from:to] {
				if j, ok := k.exact[points[i]]; ok {
					out[i] = Estimate{Value: k.samples[j].Value}
				}
			}
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return out, nil
}

// Values returns the estimates at the points without their standard deviations,
// which takes a fraction of the time, worked out by the given number of goroutines
// at once, 0 or 1 for none besides the caller's, whose number changes no bit of the
// answer. It ends with the error of ctx when that is done.
func (k *Kriging) Values(ctx context.Context, points []plane.Point, workers int) ([]units.Length, error) {
	if k != nil && k.all == nil {
		list, err := k.Estimates(ctx, points, workers)
		if err != nil {
			return nil, err
		}
		values := make([]units.Length, len(list))
		for i, e := range list {
			values[i] = e.Value
		}
		return values, nil
	}
	if err := k.checkPoints(points, workers); err != nil {
		return nil, err
	}
	values := make([]units.Length, len(points))
	inBatches(ctx, len(points), 1, workers, func() func(from, to int) {
		c0 := make([]float64, len(k.samples))
		return func(from, to int) {
			for i, p := range points[from:to] {
				if j, ok := k.exact[p]; ok {
					values[from+i] = k.samples[j].Value
					continue
				}
				x, y := k.cov.place(p.Sub(k.origin))
				k.cov.row(c0, k.x, k.y, x, y)
				values[from+i] = units.Length(k.all.m + floats.Dot(k.all.beta, c0))
			}
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return values, nil
}

func (k *Kriging) checkPoints(points []plane.Point, workers int) error {
	var f units.Faults
	k.checkUsable(&f)
	outline.CheckPlaces(&f, "points", points)
	parallel.CheckWorkers(&f, workers)
	return f.Err()
}

// estimateAt turns a value and a variance into an Estimate. Rounding can leave a
// variance just below zero.
func estimateAt(value, variance float64) Estimate {
	return Estimate{units.Length(value), units.Length(math.Sqrt(max(0, variance)))}
}
