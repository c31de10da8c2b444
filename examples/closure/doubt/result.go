package doubt

import (
	"context"
	"errors"
	"strings"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Result is how sure a plan is, for its readers.
type Result struct {
	Draws   int64   `json:"draws"`   // whole plans that were worked out
	Refused int64   `json:"refused"` // draws that no plan can have
	Placed  float64 `json:"placed"`  // share of the draws in which everything finds its field
	Rows    []Row   `json:"rows"`
	// Knowing is what knowing a figure better is worth to the decisions; nil where there is
	// one way only, or too few draws allow any.
	Knowing *Knowing `json:"knowing,omitempty"`
	// Safe is the allocation that keeps every limit in nearly all draws, and what that
	// costs; nil where nothing is spread.
	Safe *allocation.RobustResult `json:"safe,omitempty"`
}

// Row is one figure of the plan with its doubt. Its values are units.Money in the currency
// of the scenario, areas, volumes or counts.
type Row struct {
	Figure  string   `json:"figure"` // such as "cost" or "land"
	Low     any      `json:"low"`    // 5 of 100 draws are below it
	Middle  any      `json:"middle"` // half of the draws are below it
	High    any      `json:"high"`   // 95 of 100 draws are below it
	Drivers []Driver `json:"drivers,omitempty"`
}

// Driver is an input on which a figure hangs, at most three of each figure, those that
// explain most first.
type Driver struct {
	Path   string  `json:"path"`   // of the input
	Name   string  `json:"name"`   // for people
	Share  float64 `json:"share"`  // of the variance of the figure that the input explains by itself
	AtLow  any     `json:"atLow"`  // mean of the figure where the input is lowest
	AtHigh any     `json:"atHigh"` // and where it is highest
}

// Knowing is the decisions and what knowing better is worth to them, in the currency of
// the scenario.
type Knowing struct {
	Decisions []Decision   `json:"decisions"`
	Best      string       `json:"best"`    // decision that is best as things are known
	Perfect   units.Money  `json:"perfect"` // what knowing every figure before deciding would gain, the most that measuring can be worth
	Error     units.Money  `json:"error"`   // standard error of Perfect
	Inputs    []KnownInput `json:"inputs"`  // those that can be measured, and others whose worth shows
}

// Decision is one way to do the job.
type Decision struct {
	Name string      `json:"name"`
	Net  units.Money `json:"net"`  // cost less payments and worth, on average
	Best float64     `json:"best"` // share of the draws in which it is best
}

// KnownInput is what knowing one figure exactly before deciding is worth.
type KnownInput struct {
	Path    string      `json:"path"`
	Name    string      `json:"name"`              // for people
	Worth   units.Money `json:"worth"`             // 0 where none shows in the draws
	Error   units.Money `json:"error"`             // standard error of Worth
	Measure string      `json:"measure,omitempty"` // how it is measured; empty: the study names no way
	Price   units.Money `json:"price"`             // of measuring it
	Pays    bool        `json:"pays"`              // Worth is above Price
}

const (
	usualDraws  = 300
	usualKeep   = 0.95
	mostDrivers = 3
	seed        = 1 // a plan says the same each time
)

// Of works out how sure a plan is by the part doubt of its scenario; nil where it has none,
// and where the plan has no route, on which all of it hangs and of which its open points
// tell. The answer is the same for any number of workers, 1 to 1024. Faults have their
// paths in the scenario.
func Of(ctx context.Context, p *plan.Plan, workers int) (*Result, error) {
	d := p.Scenario.Doubt
	if d == nil || p.Results.Taken() == nil {
		return nil, nil
	}
	r, err := result(ctx, p.Scenario, d, workers)
	var list []error
	for _, f := range units.FieldErrors(err) {
		if own, of := strings.CutPrefix(f.Field, "scenario."); of {
			list = append(list, f.At(own))
		} else {
			list = append(list, f.At("doubt."+f.Field))
		}
	}
	if list != nil {
		err = errors.Join(list...)
	}
	return r, err
}

func result(ctx context.Context, scenario plan.Scenario, d *plan.Doubt, workers int) (*Result, error) {
	s, err := New(ctx, scenario, d.Spec, "plan")
	if err != nil {
		return nil, err
	}
	draws := d.Draws
	if draws == 0 {
		draws = usualDraws
	}
	j, err := s.Start(study.Design{Sampling: study.SamplingLatin, Draws: draws, Seed: seed}, study.Part{})
	if err == nil {
		err = j.Run(ctx, study.Options{Workers: workers})
	}
	if err != nil {
		return nil, err
	}
	r := s.rows(j.Result())
	known, err := s.Knowing(ctx, draws, seed, workers)
	switch {
	case err == nil:
		r.Knowing = s.known(&known)
	case err != ErrOneWay && err != ErrFew:
		return nil, err
	}
	keep := d.Keep
	if keep == 0 {
		keep = usualKeep
	}
	r.Safe, err = s.Safe(ctx, draws, seed, keep, workers)
	return r, err
}

// name is that of an input for people.
func (s *Study) name(path string) string {
	for _, in := range s.Spec.Inputs {
		if in.Path == path && in.Name != "" {
			return in.Name
		}
	}
	return path
}

// rows are the figures of a study for readers.
func (s *Study) rows(of study.Result) *Result {
	r := &Result{Draws: of.Draws, Refused: of.Refused}
	for i, o := range of.Outputs {
		if o.Share {
			r.Placed = o.Mean
			continue
		}
		show := s.outputs.figures[i].of
		row := Row{Figure: o.Name, Low: show(o.Quantile(0.05)), Middle: show(o.Quantile(0.5)), High: show(o.Quantile(0.95))}
		for _, e := range o.Drivers(mostDrivers) {
			row.Drivers = append(row.Drivers, Driver{e.Input, s.name(e.Input), e.FirstOrder, show(e.AtLow), show(e.AtHigh)})
		}
		r.Rows = append(r.Rows, row)
	}
	return r
}

// shows is how many standard errors a worth lies above 0 where it is no chance.
const shows = 2

// known is the worth of knowing for readers.
func (s *Study) known(of *study.KnowingResult) *Knowing {
	k := &Knowing{Best: of.Name, Perfect: units.Money(of.Perfect), Error: units.Money(of.PerfectError)}
	for _, x := range of.Shares {
		k.Decisions = append(k.Decisions, Decision{x.Decision, units.Money(-x.Payoff), x.Best})
	}
	for _, x := range of.Inputs {
		in := KnownInput{Path: x.Path, Name: s.name(x.Path), Error: units.Money(x.Error), Measure: x.Measure, Price: units.Money(x.Price)}
		if x.Gain > shows*x.Error {
			in.Worth, in.Pays = units.Money(x.Gain), x.Measure != "" && x.Gain > x.Price
		}
		if in.Measure != "" || in.Worth > 0 {
			k.Inputs = append(k.Inputs, in)
		}
	}
	return k
}
