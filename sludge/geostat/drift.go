package geostat

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// DriftSpec says what kriging with a drift works with: the mean of the values is not
// one constant but a constant plus a sum over covariates, such as the depth of the
// floor or the distance from an inlet, whose coefficients are estimated.
type DriftSpec struct {
	Samples    []Sample    `json:"samples"`    // at places of their own, more than there are coefficients, at most MaxGlobal
	Covariates [][]float64 `json:"covariates"` // by sample: 1 to 10 numbers, as many for each, within 1e12 of 0
	Model      Model       `json:"model"`      // of what is left once the drift is taken off
}

// maxCovariates keeps a drift from following every sample.
const maxCovariates = 10

// Drift estimates values by kriging with an external drift. It is safe for
// concurrent use.
//
// With C the covariances of the samples, F a column of ones and the covariates, and
// c0 and f0 those of the target, the coefficients are b = (F'C^-1 F)^-1 F'C^-1 z, the
// estimate f0'b + c0'C^-1(z - F b), and its variance C(0) - c0'C^-1 c0 + d'(F'C^-1
// F)^-1 d with d = f0 - F'C^-1 c0 (Statistics for Spatial Data, Wiley, 1993, section
// 3.4, from memory; the tests hold it against the equations solved whole).
type Drift struct {
	cov        covariance
	origin     plane.Point
	x, y       []float64 // on the turned plane, in ranges
	exact      map[plane.Point]units.Length
	centre     []float64 // of each column of F, and its size: columns of one size
	size       []float64
	factor     *mat.TriDense // L, C = L L'
	whitened   *mat.Dense    // A = L^-1 F
	upper      *mat.TriDense // R of A = Q R
	beta       []float64     // by column, centred and scaled
	residual   []float64     // C^-1 (z - F b)
	covariates int
}

// NewDrift checks the spec and solves what all estimates share. Faults are on
// samples, covariates and model; covariates that are not linearly independent are one of them.
// It ends with the error of ctx when that is done, though not in the middle of solving.
func NewDrift(ctx context.Context, spec DriftSpec) (*Drift, error) {
	var f units.Faults
	checkSamples(&f, spec.Samples, 3)
	if len(spec.Samples) > MaxGlobal {
		f.Count("samples", len(spec.Samples), "samples", "at most %v", MaxGlobal)
	}
	f.Sub("model", spec.Model.Check())
	m := 0
	if len(spec.Covariates) > 0 {
		m = len(spec.Covariates[0])
	}
	if len(spec.Covariates) != len(spec.Samples) {
		f.Count("covariates", len(spec.Covariates), "rows", "one for each of %v samples", len(spec.Samples))
	} else if m < 1 || m > maxCovariates || m+2 > len(spec.Samples) {
		f.Count("covariates[0]", m, "covariates", "1 to %v, and at least 2 fewer than the samples", maxCovariates)
	}
	checkCovariates(&f, spec.Covariates, m)
	if err := f.Err(); err != nil {
		return nil, err
	}
	d := &Drift{cov: newCovariance(spec.Model), origin: spec.Samples[0].At, exact: map[plane.Point]units.Length{}, covariates: m}
	n := len(spec.Samples)
	for i, s := range spec.Samples {
		if _, again := d.exact[s.At]; again {
			at := f.At("samples", i)
			at.Say("at", "the place of another sample", "a place of its own")
		}
		d.exact[s.At] = s.Value
		x, y := d.cov.place(s.At.Sub(d.origin))
		d.x, d.y = append(d.x, x), append(d.y, y)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	d.scale(spec.Covariates)
	trend := mat.NewDense(n, m+1, nil)
	for i, row := range spec.Covariates {
		trend.SetRow(i, d.row(row))
	}
	if d.factor = d.cholesky(); d.factor == nil {
		f.Say("model", "a nugget too small for samples this close together", "a larger nugget")
		return nil, f.Err()
	}
	z := mat.NewVecDense(n, nil)
	for i, s := range spec.Samples {
		z.SetVec(i, float64(s.Value))
	}
	d.whitened = new(mat.Dense)
	d.whitened.Solve(d.factor, trend)
	var white mat.VecDense
	white.SolveVec(d.factor, z)
	var qr mat.QR
	qr.Factorize(d.whitened)
	var r mat.Dense
	qr.RTo(&r)
	d.upper = mat.NewTriDense(m+1, mat.Upper, nil)
	for i := range m + 1 {
		for j := i; j <= m; j++ {
			d.upper.SetTri(i, j, r.At(i, j))
		}
		if !(math.Abs(r.At(i, i)) > 1e-9*math.Abs(r.At(0, 0))) {
			f.Fault(units.FaultConflict, "covariates", units.Words("number %v, a linear combination of the others", i), "covariates that are linearly independent")
			return nil, f.Err()
		}
	}
	var beta mat.VecDense
	if err := qr.SolveVecTo(&beta, false, &white); err != nil {
		f.Say("covariates", "nearly linear combinations of each other", "covariates that are linearly independent")
		return nil, f.Err()
	}
	d.beta = beta.RawVector().Data
	white.MulVec(d.whitened, &beta)
	var rest mat.VecDense
	rest.SolveVec(d.factor, z)
	rest.SubVec(&rest, &white)
	rest.SolveVec(d.factor.T(), &rest)
	d.residual = slices.Clone(rest.RawVector().Data)
	return d, nil
}

func checkCovariates(f *units.Faults, rows [][]float64, m int) {
	for i, row := range rows {
		if len(row) != m {
			at := f.At("covariates", i)
			at.Count("", len(row), "covariates", "%v, as in the first row", m)
			continue
		}
		for _, v := range row {
			if !(math.Abs(v) <= 1e12) {
				at := f.At("covariates", i)
				at.NumberBetween("", v, -1e12, 1e12)
			}
		}
	}
}

// scale finds centre and size of each covariate.
func (d *Drift) scale(rows [][]float64) {
	for j := range rows[0] {
		low, high := math.Inf(1), math.Inf(-1)
		for _, row := range rows {
			low, high = min(low, row[j]), max(high, row[j])
		}
		d.centre, d.size = append(d.centre, low/2+high/2), append(d.size, cmp.Or(high-low, 1))
	}
}

// row returns 1 and the scaled covariates.
func (d *Drift) row(covariates []float64) []float64 {
	f := []float64{1}
	for j, v := range covariates {
		f = append(f, (v-d.centre[j])/d.size[j])
	}
	return f
}

// cholesky returns L, nil when C is not positive definite in floating point.
func (d *Drift) cholesky() *mat.TriDense {
	n := len(d.x)
	c := mat.NewSymDense(n, nil)
	row := make([]float64, n)
	for i := range n {
		d.cov.row(row[:i+1], d.x[:i+1], d.y[:i+1], d.x[i], d.y[i])
		for j := range i {
			c.SetSym(i, j, row[j])
		}
		c.SetSym(i, i, d.cov.zero())
	}
	var chol mat.Cholesky
	if !chol.Factorize(c) || chol.Cond() > 1e14 {
		return nil
	}
	l := new(mat.TriDense)
	chol.LTo(l)
	return l
}

// Estimates returns the estimates at the points, each with its covariates. Faults are
// on drift, points and covariates; it ends with the error of ctx when that is done.
func (d *Drift) Estimates(ctx context.Context, points []plane.Point, covariates [][]float64) ([]Estimate, error) {
	var f units.Faults
	if d == nil || d.factor == nil {
		f.Missing("drift", "a drift made by NewDrift")
		return nil, f.Err()
	}
	outline.CheckPlaces(&f, "points", points)
	if len(covariates) != len(points) {
		f.Count("covariates", len(covariates), "rows", "one for each of %v points", len(points))
	}
	checkCovariates(&f, covariates, d.covariates)
	if err := f.Err(); err != nil {
		return nil, err
	}
	n := len(d.x)
	list := make([]Estimate, len(points))
	c0 := mat.NewVecDense(n, nil)
	var white, miss mat.VecDense
	for i, p := range points {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if v, ok := d.exact[p]; ok {
			list[i] = Estimate{Value: v}
			continue
		}
		x, y := d.cov.place(p.Sub(d.origin))
		d.cov.row(c0.RawVector().Data, d.x, d.y, x, y)
		f0 := d.row(covariates[i])
		value := floats.Dot(f0, d.beta) + floats.Dot(c0.RawVector().Data, d.residual)
		white.SolveVec(d.factor, c0)
		miss.MulVec(d.whitened.T(), &white)
		miss.SubVec(mat.NewVecDense(len(f0), f0), &miss)
		miss.SolveVec(d.upper.T(), &miss)
		list[i] = estimateAt(value, d.cov.zero()-mat.Dot(&white, &white)+mat.Dot(&miss, &miss))
	}
	return list, nil
}

// Coefficients returns the constant of the drift, which is that where every covariate
// is 0, and the change with each covariate, in metres per unit of it.
func (d *Drift) Coefficients() (constant units.Length, slopes []float64) {
	if d == nil || d.factor == nil {
		return 0, nil
	}
	c := d.beta[0]
	for j, size := range d.size {
		slopes = append(slopes, d.beta[j+1]/size)
		c -= d.beta[j+1] * d.centre[j] / size
	}
	return units.Length(c), slopes
}
