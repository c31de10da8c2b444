package study

import (
	"math"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/earthbasin/units"
)

// Result is the figures of a study.
type Result struct {
	Sampling Sampling       `json:"sampling"`
	Draws    int64          `json:"draws"`           // that gave outputs
	Refused  int64          `json:"refused"`         // by the model
	Fault    string         `json:"fault,omitempty"` // of the first draw that was refused
	Outputs  []OutputResult `json:"outputs"`
}

// OutputResult is one output. Without draws all figures are 0.
type OutputResult struct {
	Name     string  `json:"name"`
	Unit     string  `json:"unit"`
	Share    bool    `json:"share"` // 1 or 0 in each draw: Mean says how often
	Mean     float64 `json:"mean"`
	Variance float64 `json:"variance"` // of a sample
	Skewness float64 `json:"skewness"`
	Min      float64 `json:"min"`
	Max      float64 `json:"max"`
	// Effects are what each input does, for draws that do not come in groups.
	Effects []Effect `json:"effects,omitempty"`
	// Indices are those of each input, with the sampling of that name.
	Indices []Index `json:"indices,omitempty"`
	// Screen is what a change of each input does, with the sampling of that name.
	Screen []Screening `json:"screen,omitempty"`

	spread *spread
}

// Quantile returns the value that a part p of the draws, 0 to 1, does not exceed,
// within a five-hundredth of it.
func (o OutputResult) Quantile(p float64) float64 {
	if o.spread == nil || o.spread.n == 0 {
		return 0
	}
	return o.spread.sketch.quantile(p, o.Min, o.Max)
}

// Bars parts the values from low to high into n classes of one width, and returns the
// part of all draws that lies in each.
func (o OutputResult) Bars(low, high float64, n int) []float64 {
	share := make([]float64, n)
	if o.spread == nil || o.spread.n == 0 || !(high > low) {
		return share
	}
	step := (high - low) / float64(n)
	for class, count := range o.spread.sketch.each {
		// A class goes to the bars that it covers, in proportion.
		a, b := edges(class)
		a, b = max(a, o.Min), min(b, o.Max)
		for i := range share {
			x0, x1 := low+float64(i)*step, low+float64(i+1)*step
			part := 0.0
			switch {
			case b > a:
				part = max(0, min(b, x1)-max(a, x0)) / (b - a)
			case a >= x0 && (a < x1 || i == n-1 && a == high):
				part = 1
			}
			share[i] += part * float64(count) / float64(o.spread.n)
		}
	}
	return share
}

// Effect is what one input does to one output, from the classes of the input.
type Effect struct {
	Input string `json:"input"`
	// FirstOrder is the part of the variance of the output that is that of its mean
	// given the input: Var(E(Y|X)) / Var(Y). Noise may carry it a little below 0.
	FirstOrder float64 `json:"firstOrder"`
	// Error is the standard error of FirstOrder of an input that does nothing: what chance
	// makes of it. 0 for a factorial.
	Error float64 `json:"error"`
	// AtLow and AtHigh are the mean of the output where the input is in its lowest
	// and in its highest class.
	AtLow  float64 `json:"atLow"`
	AtHigh float64 `json:"atHigh"`
}

// Index is the part of the variance of an output that one input explains.
//
// FirstOrder, alone, is estimated as in Saltelli and others 2010, Variance based
// sensitivity analysis of model output, Computer Physics Communications 181, table 2
// (b); Total, with all it does together with others, as in Jansen 1999, Analysis of
// variance designs for model output, Computer Physics Communications 117. The errors
// are standard errors, from the spread over 16 parts of the draws.
type Index struct {
	Input      string  `json:"input"`
	FirstOrder float64 `json:"firstOrder"`
	FirstError float64 `json:"firstError"`
	Total      float64 `json:"total"`
	TotalError float64 `json:"totalError"`
}

// Screening is what a change of one input by its whole probability would do to an
// output if its effect were the same everywhere: the elementary effects of Morris
// 1991, Factorial sampling plans for preliminary computational experiments,
// Technometrics 33, taken over half of the probability.
type Screening struct {
	Input   string  `json:"input"`
	Mean    float64 `json:"mean"`    // up or down
	MeanAbs float64 `json:"meanAbs"` // however it goes: how much the input matters
	SD      float64 `json:"sd"`      // how much it hangs on where, and on the other inputs
	Error   float64 `json:"error"`   // standard error of MeanAbs
}

// Result returns the figures of what is done.
func (j *Job) Result() Result {
	j.mutex.Lock()
	defer j.mutex.Unlock()
	t := newTally(j.design)
	t.merge(j.tally)
	return t.result(j.design)
}

func (t *tally) result(d *design) Result {
	r := Result{Sampling: d.Sampling, Draws: t.draws, Refused: t.refused, Fault: t.fault}
	for k, o := range d.model.Outputs {
		s := &t.outputs[k]
		out := OutputResult{Name: o.Name, Unit: o.Unit, Share: o.Share, spread: s}
		if s.n > 0 {
			scale := 1 / d.inverse[k]
			out.Mean = d.centre[k] + s.mean()*scale
			out.Variance, out.Skewness = s.variance()*scale*scale, s.skew()
			out.Min, out.Max = s.min, s.max
		}
		for i, in := range d.model.Inputs {
			switch {
			case t.draws == 0:
			case d.Sampling == SamplingIndices:
				out.Indices = append(out.Indices, t.index(d, in.Path, i, k))
			case d.Sampling == SamplingScreen:
				out.Screen = append(out.Screen, t.screen(d, in.Path, i, k))
			case d.Sampling != SamplingFactorial || len(d.levels[i]) > 1:
				out.Effects = append(out.Effects, t.effect(d, in.Path, i, k))
			}
		}
		r.Outputs = append(r.Outputs, out)
	}
	return r
}

// leastPerClass is the number of draws in a class below which classes are put
// together.
const leastPerClass = 16

// effect compares the classes of an input by analysis of variance. Random draws leave
// a mean of each class that is uncertain by itself; what this adds to the variance
// between classes is taken off. A factorial has no such noise: exact.
func (t *tally) effect(d *design, path string, i, k int) Effect {
	e, outs := &t.effects[i], len(t.outputs)
	n, sum := e.n[:], make([]float64, mostLevels)
	for c := range sum {
		sum[c] = e.sum[c*outs+k].float()
	}
	exact := d.Sampling == SamplingFactorial
	if !exact {
		n, sum = coarser(n, sum, t.draws)
	}
	var used, total, between float64
	a := Effect{Input: path, AtLow: math.NaN()}
	for c := range sum {
		if n[c] == 0 {
			continue
		}
		mean := sum[c] / float64(n[c])
		a.AtHigh = d.centre[k] + mean/d.inverse[k]
		if used == 0 {
			a.AtLow = a.AtHigh
		}
		used++
		total += sum[c]
		between += sum[c] * mean
	}
	all := float64(t.draws)
	between -= total * total / all
	square, _ := t.outputs[k].about()
	square *= all
	within := square - between
	if !exact && all > used {
		between -= (used - 1) * within / (all - used)
		a.Error = math.Sqrt(2*(used-1)) / all
	}
	if square > 0 {
		a.FirstOrder = between / square
	}
	return a
}

// coarser puts neighbouring classes together until each holds enough draws.
func coarser(n []int64, sum []float64, draws int64) ([]int64, []float64) {
	for len(n) > 4 && draws/int64(len(n)) < leastPerClass {
		half, halfSum := make([]int64, len(n)/2), make([]float64, len(n)/2)
		for c := range half {
			half[c], halfSum[c] = n[2*c]+n[2*c+1], sum[2*c]+sum[2*c+1]
		}
		n, sum = half, halfSum
	}
	return n, sum
}

// over works out a figure of all batches together, and its standard error from the
// figures of each.
func (t *tally) over(figure func(list []batch) float64) (all, err float64) {
	all = figure(t.groups)
	var n, one, two float64
	for b := range t.groups {
		if t.groups[b].n == 0 {
			continue
		}
		d := figure(t.groups[b:b+1]) - all
		n, one, two = n+1, one+d, two+d*d
	}
	if n < 2 {
		return all, 0
	}
	return all, math.Sqrt(max(0, two-one*one/n) / (n - 1) / n)
}

// sums adds up sum j of input i and output k, and the variance of the output times
// the number of groups.
func sums(list []batch, j, i, k, outs, rows int) (sum, variance, n float64) {
	var total, one, two wide
	for _, b := range list {
		n += float64(b.n)
		total.add(b.sums[j][i*outs+k])
		one.add(b.powers[2*k])
		two.add(b.powers[2*k+1])
	}
	mean := one.float() / (n * float64(rows))
	return total.float(), two.float()/float64(rows) - n*mean*mean, n
}

func (t *tally) index(d *design, path string, i, k int) Index {
	a, outs := Index{Input: path}, len(t.outputs)
	if s := &t.outputs[k]; s.min == s.max {
		return a
	}
	part := func(j int, of float64) func([]batch) float64 {
		return func(list []batch) float64 {
			sum, variance, _ := sums(list, j, i, k, outs, 2)
			if !(variance > 0) {
				return 0
			}
			return sum / of / variance
		}
	}
	a.FirstOrder, a.FirstError = t.over(part(0, 1))
	a.Total, a.TotalError = t.over(part(1, 2))
	return a
}

func (t *tally) screen(d *design, path string, i, k int) Screening {
	a, outs, scale := Screening{Input: path}, len(t.outputs), 1/d.inverse[k]
	mean := func(j int) func([]batch) float64 {
		return func(list []batch) float64 {
			sum, _, n := sums(list, j, i, k, outs, 1)
			return sum / n * scale
		}
	}
	a.Mean, _ = t.over(mean(0))
	a.MeanAbs, a.Error = t.over(mean(1))
	square, _ := t.over(mean(2))
	n := float64(t.draws)
	a.SD = math.Sqrt(max(0, square*scale-a.Mean*a.Mean) * n / max(1, n-1))
	return a
}

// figures rounds a quantile to the figures that its error leaves.
func figures(x float64) float64 {
	if x == 0 {
		return 0
	}
	return scalar.Round(x, 2-int(math.Floor(math.Log10(math.Abs(x)))))
}

// Working shows the result: of each output the range of 90 of 100 draws and what
// drives it most, by the effects, the indices or the screening of the sampling.
func (r Result) Working() units.Working {
	var w units.Working
	w.Add("draws", float64(r.Draws), "%v, %v refused", r.Sampling, float64(r.Refused))
	for _, o := range r.Outputs {
		if o.Share {
			w.Add(o.Name, o.Mean, "part of the draws")
			continue
		}
		w.Add(o.Name+", "+o.Unit, o.Mean, "mean; 5 in 100 draws are below %v, half below %v, 95 below %v",
			figures(o.Quantile(0.05)), figures(o.Quantile(0.5)), figures(o.Quantile(0.95)))
		for _, e := range o.Drivers(3) {
			w.Add("  hangs on "+e.Input, e.FirstOrder, "part of the variance by itself; mean %v where the input is lowest, %v where it is highest", e.AtLow, e.AtHigh)
		}
		for _, x := range largest(o.Indices, func(x Index) (float64, float64) { return x.Total, max(x.TotalError, leastShown/chance) }) {
			w.Put(units.Words("  hangs on %s", units.Word(x.Input)), figures(x.Total),
				units.Words("± %v, part of the variance with all that it does together with others; by itself %v ± %v", figures(x.TotalError), figures(x.FirstOrder), figures(x.FirstError)))
		}
		for _, x := range largest(o.Screen, func(x Screening) (float64, float64) { return x.MeanAbs, x.Error }) {
			w.Put(units.Words("  moved by %s", units.Word(x.Input)), figures(x.MeanAbs),
				units.Words("± %v, over the whole of the input, however it goes; up or down %v, and by %v more or less by where the others are", figures(x.Error), figures(x.Mean), figures(x.SD)))
		}
	}
	return w
}

func (r Result) String() string { return r.Working().String() }
