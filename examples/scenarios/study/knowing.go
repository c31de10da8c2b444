package study

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/units"
)

// KnowingSpec asks what knowing an input better would be worth to a decision.
type KnowingSpec struct {
	// Decisions are the names of what can be chosen, 2 to 100.
	Decisions []string `json:"decisions"`
	// Payoffs[j][d] is what decision d brings in draw j, such as money: more is
	// better. 100 to 1e6 draws, at random.
	Payoffs [][]float64 `json:"payoffs"`
	// Inputs are those that could be known better.
	Inputs []KnowingInput `json:"inputs"`
}

// KnowingInput is an input that could be known better.
type KnowingInput struct {
	Path   string    `json:"path"`
	Values []float64 `json:"values"` // in each draw, in the order of the payoffs
	// Price is what it costs to know it, in the unit of the payoffs, 0 or more; Measure
	// says how it would be measured.
	Price   float64 `json:"price"`
	Measure string  `json:"measure"`
}

// KnowingResult is what the best decision brings as things are known, and how much more
// it would bring with more known.
type KnowingResult struct {
	Decision int     `json:"decision"` // that is best on average, its place in the list
	Name     string  `json:"name"`
	Payoff   float64 `json:"payoff"` // of that decision, on average
	// Perfect is the gain from knowing everything before deciding, the bound of what any
	// measurement is worth (EVPI), and its standard error.
	Perfect      float64         `json:"perfect"`
	PerfectError float64         `json:"perfectError"`
	Inputs       []KnowingOfOne  `json:"inputs"` // in the order of the spec
	Shares       []DecisionShare `json:"shares"`
}

// DecisionShare is how often a decision is the best one.
type DecisionShare struct {
	Decision string  `json:"decision"`
	Payoff   float64 `json:"payoff"` // on average
	Best     float64 `json:"best"`   // part of the draws
}

// KnowingOfOne is what knowing one input exactly, and nothing else better, is worth
// before deciding (EVPPI). Measuring it less than exactly is worth less.
type KnowingOfOne struct {
	Path string `json:"path"`
	// Gain is in the unit of the payoffs: decisions chosen on one half of the draws and
	// judged on the other, so that what looks best by chance brings nothing. It is
	// somewhat too low when draws are few, and 0 where it came out below.
	Gain  float64 `json:"gain"`
	Error float64 `json:"error"` // standard error of Gain
	// Bias is how much more the same draws promise when they also judge what they chose:
	// the gain of all draws lies between Gain and Gain + Bias but for the error.
	Bias    float64 `json:"bias"`
	Price   float64 `json:"price"`
	Measure string  `json:"measure"`
	Worth   bool    `json:"worth"` // Gain is above Price
}

const (
	leastKnowing   = 100
	mostKnowing    = 1e6
	drawsPerBin    = 100
	mostBins       = 50
	mostDecisions  = 100
	mostPayoff     = 1e15
	leastBinsKnown = 4
	rounding       = 1e-12 // of sums of payoffs
)

// Knowing estimates the worth of knowing better from draws. Draws are parted by the
// value of an input into classes of one size, and in each class the decision is taken
// that is best there on average (the method of Strong and Oakley, An efficient method
// for computing single-parameter partial expected value of perfect information,
// Medical Decision Making 33, 2013, here cross-checked on halves of the draws).
func Knowing(s KnowingSpec) (KnowingResult, error) {
	if err := s.check(); err != nil {
		return KnowingResult{}, err
	}
	n := len(s.Payoffs)
	r := KnowingResult{Shares: make([]DecisionShare, len(s.Decisions))}
	total := make([]float64, len(s.Decisions))
	for _, payoff := range s.Payoffs {
		for d, v := range payoff {
			total[d] += v
		}
		r.Shares[best(payoff)].Best += 1 / float64(n)
	}
	for d, name := range s.Decisions {
		r.Shares[d].Decision, r.Shares[d].Payoff = name, total[d]/float64(n)
	}
	r.Decision = best(total)
	r.Name, r.Payoff = s.Decisions[r.Decision], r.Shares[r.Decision].Payoff
	var perfect moments
	for _, payoff := range s.Payoffs {
		perfect.add(payoff[best(payoff)] - payoff[r.Decision])
	}
	r.Perfect, r.PerfectError = perfect.mean()
	for _, in := range s.Inputs {
		r.Inputs = append(r.Inputs, s.one(in, r.Decision, r.Payoff))
	}
	return r, nil
}

// alike is how far payoffs may be apart, as a share, and still be one: decisions that come
// to the same differ by the rounding of their sums.
const alike = 1e-9

// best returns the place of the largest value, the first of several that are alike.
func best(v []float64) int {
	at := 0
	for i := range v {
		if v[i] > v[at]+alike*math.Abs(v[at]) {
			at = i
		}
	}
	return at
}

// moments adds up numbers for their mean and its standard error.
type moments struct{ n, one, two float64 }

func (m *moments) add(x float64) { m.n, m.one, m.two = m.n+1, m.one+x, m.two+x*x }

func (m *moments) mean() (mean, err float64) {
	mean = m.one / m.n
	return mean, math.Sqrt(max(0, m.two/m.n-mean*mean) / max(1, m.n-1))
}

// one works out the gain from one input.
func (s KnowingSpec) one(in KnowingInput, now int, payoff float64) KnowingOfOne {
	n := len(s.Payoffs)
	order := make([]int, n)
	for j := range order {
		order[j] = j
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(in.Values[a], in.Values[b]) })
	bins := min(max(n/drawsPerBin, leastBinsKnown), mostBins)
	var crossed, same moments
	for b := 0; b < bins; b++ {
		part := order[n*b/bins : n*(b+1)/bins]
		var sums [3][]float64 // of one half, of the other, of both
		for i := range sums {
			sums[i] = make([]float64, len(s.Decisions))
		}
		for i, j := range part {
			for d, v := range s.Payoffs[j] {
				v -= s.Payoffs[j][now]
				sums[i%2][d] += v
				sums[2][d] += v
			}
		}
		choice := [3]int{best(sums[0]), best(sums[1]), best(sums[2])}
		for i, j := range part {
			crossed.add(s.Payoffs[j][choice[1-i%2]] - s.Payoffs[j][now])
			same.add(s.Payoffs[j][choice[2]] - s.Payoffs[j][now])
		}
	}
	a := KnowingOfOne{Path: in.Path, Price: in.Price, Measure: in.Measure}
	a.Gain, a.Error = crossed.mean()
	all, _ := same.mean()
	least := rounding * math.Abs(payoff)
	if a.Gain < least {
		a.Gain = 0
	}
	if a.Bias = all - a.Gain; a.Bias < least {
		a.Bias = 0
	}
	a.Worth = a.Gain > a.Price
	return a
}

func (s KnowingSpec) check() error {
	var f units.Faults
	f.CountBetween("decisions", len(s.Decisions), "decisions", 2, mostDecisions)
	f.CountBetween("payoffs", len(s.Payoffs), "draws", leastKnowing, mostKnowing)
	for j, payoff := range s.Payoffs {
		if len(payoff) != len(s.Decisions) {
			at := f.At("payoffs", j)
			at.Count("", len(payoff), "payoffs", "%d, one for each decision", len(s.Decisions))
			return f.Err()
		}
		for d, v := range payoff {
			if !(math.Abs(v) <= mostPayoff) {
				at := f.At("payoffs", j, d)
				at.Add("", v, "a number from %v to %v", -mostPayoff, mostPayoff)
				return f.Err() // one is enough of up to a hundred million
			}
		}
	}
	for i, in := range s.Inputs {
		at := f.At("inputs", i)
		at.NotNegativeNumber("price", in.Price)
		if len(in.Values) != len(s.Payoffs) {
			at.Count("values", len(in.Values), "values", "%d, one for each draw", len(s.Payoffs))
		}
		if j := slices.IndexFunc(in.Values, func(v float64) bool { return v != v }); j >= 0 {
			of := at.At("values", j)
			of.Add("", in.Values[j], "a number")
		}
	}
	return f.Err()
}

// Working shows what the best decision brings and what knowing more would add.
func (r KnowingResult) Working() units.Working {
	var w units.Working
	w.Add("best as things are known", r.Name, "brings %v on average", r.Payoff)
	for _, s := range r.Shares {
		w.Add("  "+s.Decision, s.Payoff, "on average; the best one in %v of the draws", s.Best)
	}
	w.Add("knowing everything", r.Perfect, "more at most, ± %v", r.PerfectError)
	for _, in := range r.Inputs {
		line := units.Words("± %v, and at most %v more by the choice of classes", in.Error, in.Bias)
		if in.Gain == 0 {
			line = units.Words("no gain that shows in these draws, at most %v", in.Bias+2*in.Error)
		}
		switch {
		case in.Measure == "" && in.Gain == 0:
			continue
		case in.Worth && in.Measure != "":
			line = line.And("; %v costs %v and pays", in.Measure, in.Price)
		case in.Measure != "":
			line = line.And("; %v costs %v, more than that", in.Measure, in.Price)
		}
		w.Put(units.Words("knowing %v", in.Path), in.Gain, line)
	}
	return w
}

func (r KnowingResult) String() string { return r.Working().String() }
