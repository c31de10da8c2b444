package calibrate

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"example.org/earthbasin/units"
)

// LowQuarterRule says which gauges make the lowest quarter when the number of
// gauges, or the area they stand for, does not divide by four.
type LowQuarterRule = units.Enum[lowQuarterWords]

const (
	// LowQuarterFractional, "fractional", counts exactly a quarter, the last gauge in part.
	LowQuarterFractional LowQuarterRule = iota
	// LowQuarterFloor, "floor", counts whole gauges that do not exceed a quarter, at least one.
	LowQuarterFloor
	// LowQuarterCeil, "ceil", counts whole gauges until a quarter is reached.
	LowQuarterCeil
)

var lowQuarterNames = units.Names{"fractional", "floor", "ceil"}

type lowQuarterWords struct{}

func (lowQuarterWords) Names() units.Names { return lowQuarterNames }

// SpreadRule says how a standard deviation divides.
type SpreadRule = units.Enum[spreadWords]

const (
	// SpreadSample, "sample", divides by n - 1.
	SpreadSample SpreadRule = iota
	// SpreadPopulation, "population", divides by n. At 6 trays it is 9 % lower.
	SpreadPopulation
)

var spreadNames = units.Names{"sample", "population"}

type spreadWords struct{}

func (spreadWords) Names() units.Names { return spreadNames }

// spreadBy returns the standard deviation of x by the rule, 0 for one value.
func spreadBy(r SpreadRule, x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	if r == SpreadPopulation {
		return stat.PopStdDev(x, nil)
	}
	return stat.StdDev(x, nil)
}

// GaugeWeighting says what a gauge stands for.
type GaugeWeighting = units.Enum[weightingWords]

const (
	// GaugeWeightingAlike, "gauges alike", gives every gauge the same area.
	GaugeWeightingAlike GaugeWeighting = iota
	// GaugeWeightingRadius, "weighted by radius", gives a gauge an area in proportion to its distance from the pivot
	// point.
	GaugeWeightingRadius
)

var weightingNames = units.Names{"gauges alike", "weighted by radius"}

type weightingWords struct{}

func (weightingWords) Names() units.Names { return weightingNames }

// Uniformity describes the depths of one test. The uniformities are fractions of
// at most 1; Christiansen and Statistical may fall below 0 in a very uneven field.
type Uniformity struct {
	Weighting GaugeWeighting `json:"weighting"` // what a gauge stands for
	N         int            `json:"n"`         // gauges with a value
	Mean      units.Length   `json:"mean"`      // depth, by the weighting
	Lowest    units.Length   `json:"lowest"`    // depth of a gauge
	Highest   units.Length   `json:"highest"`   // depth of a gauge
	// Christiansen is 1 - sum w |x - m| / sum w x. With gauges alike it is
	// Christiansen's coefficient (University of Georgia, Circular 911); weighted by
	// radius it is that of Heermann and Hein, which the same circular says
	// ANSI/ASAE S436.1 adopted.
	Christiansen float64 `json:"christiansen"`
	// LowQuarter is the mean of the lowest quarter over the mean, a quarter of the
	// gauges or, by radius, of the area.
	LowQuarter     float64        `json:"lowQuarter"`
	LowQuarterRule LowQuarterRule `json:"lowQuarterRule"` // as asked for
	// Scheduling is the mean over the lowest mean of Window gauges in a row (New
	// Mexico State University, Soils 456, chapter 5), 1 or more. It is nil when
	// nothing fell in that window: no time of running is long enough.
	Scheduling *float64 `json:"scheduling,omitempty"`
	Window     int      `json:"window"` // gauges averaged for Scheduling, 1 or more
	// Statistical is 1 - s/m, gauges alike (the same notes print s/m x 100, a
	// misprint). It is 1 for one gauge.
	Statistical float64    `json:"statistical"`
	SpreadRule  SpreadRule `json:"spreadRule"` // as asked for
}

func (u Uniformity) christiansenName() string {
	if u.Weighting == GaugeWeightingRadius {
		return "Heermann-Hein: 1 - sum r|x - m| / sum r x"
	}
	return "Christiansen: 1 - sum|x - m| / (n m)"
}

type uniformOptions struct {
	quarter LowQuarterRule
	spread  SpreadRule
	window  int
}

// uniformity returns the figures of the depths x, each with its weight. A mean of
// 0 is a fault on gauges, which divides nothing.
func (o uniformOptions) uniformity(f *units.Faults, x, w []float64, weighting GaugeWeighting) Uniformity {
	m := stat.Mean(x, w)
	if !(m > 0) || math.IsInf(m, 0) {
		f.Add("gauges", units.Length(m), "a mean depth of more than 0")
		return Uniformity{}
	}
	u := Uniformity{
		Weighting: weighting, N: len(x), Mean: units.Length(m),
		Lowest: units.Length(slices.Min(x)), Highest: units.Length(slices.Max(x)),
		LowQuarterRule: o.quarter, SpreadRule: o.spread, Window: min(o.window, len(x)),
		Christiansen: christiansen(x, w, m),
		LowQuarter:   lowestBy(o.quarter, x, w) / m,
		Statistical:  1 - spreadBy(o.spread, x)/stat.Mean(x, nil),
	}
	if low := lowestWindow(x, u.Window); low > m*1e-12 {
		u.Scheduling = new(m / low)
	}
	return u
}

func christiansen(x, w []float64, m float64) float64 {
	var off, all float64
	for i, v := range x {
		off += w[i] * math.Abs(v-m)
		all += w[i] * v
	}
	return 1 - off/all
}

// lowestBy returns the weighted mean of the lowest quarter of x.
func lowestBy(r LowQuarterRule, x, w []float64) float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	quarter := floats.Sum(w) / 4
	const slack = 1e-12 // of the quarter, so that 4 gauges of 16 are exactly a quarter
	var depth, taken float64
	for k, i := range order {
		next := w[i]
		if over := taken + next - quarter; over > slack*quarter {
			switch r {
			case LowQuarterFractional:
				next -= over
			case LowQuarterFloor:
				if k > 0 {
					return depth / taken
				}
			}
		}
		depth += next * x[i]
		taken += next
		if taken >= quarter*(1-slack) {
			break
		}
	}
	return depth / taken
}

// lowestWindow returns the lowest mean of k values in a row.
func lowestWindow(x []float64, k int) float64 {
	low := math.Inf(1)
	for i := 0; i+k <= len(x); i++ {
		low = min(low, floats.Sum(x[i:i+k])/float64(k))
	}
	return low
}

// ones returns n equal weights.
func ones(n int) []float64 {
	w := make([]float64, n)
	floats.AddConst(1, w)
	return w
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
