package calibrate

import (
	"math"

	"example.org/earthbasin/units"
)

// AcceptRule says what has to lie within the tolerance for a rate to be accepted.
type AcceptRule = units.Enum[acceptWords]

const (
	// AcceptMean, "mean", accepts when the mean lies within the tolerance of the target.
	AcceptMean AcceptRule = iota
	// AcceptInterval, "interval", accepts when the whole interval does.
	AcceptInterval
)

var acceptNames = units.Names{"mean", "interval"}

type acceptWords struct{}

func (acceptWords) Names() units.Names { return acceptNames }

// Decision is what to do after a calibration.
type Decision = units.Enum[decisionWords]

const (
	// DecisionAccept: the rate is within the tolerance. "accept" in JSON.
	DecisionAccept Decision = iota + 1
	// DecisionAdjust: the rate is off, beyond what the spread of the measurements
	// explains where an interval is known; change the setting and calibrate again.
	// "adjust" in JSON.
	DecisionAdjust
	// DecisionMeasureMore: this calibration cannot tell. The target lies inside the
	// interval though the rate is not accepted, or the interval that the rule asks for
	// is missing or wider than the tolerance. "measure more" in JSON.
	DecisionMeasureMore
)

var decisionNames = units.Names{"", "accept", "adjust", "measure more"}

type decisionWords struct{}

func (decisionWords) Names() units.Names { return decisionNames }

// Control is a setting of the machine: where it stood during the calibration and
// how far it can go.
type Control[Q ~float64] struct {
	Now    Q               `json:"now"`              // more than 0
	Limits *units.Range[Q] `json:"limits,omitempty"` // nil means none; both more than 0
}

// CorrectSpec asks how to get from a measured to a target rate.
type CorrectSpec[R RateQuantity] struct {
	Measured  R               `json:"measured"`           // mean
	Interval  *units.Range[R] `json:"interval,omitempty"` // of the mean; nil when not available
	Target    R               `json:"target"`             // of 1e-6 to 1e6 of Measured
	Tolerance float64         `json:"tolerance"`          // allowed |rate/target - 1|, more than 0 and below 1
	Accept    AcceptRule      `json:"accept,omitempty"`   // what is held against the tolerance
	// The controls at hand. The rate falls as 1/speed, and rises in proportion to
	// the flow and to the gate opening, in any unit of opening. The last holds only
	// near the present opening of most gates: calibrate again.
	Speed *Control[units.Speed] `json:"speed,omitempty"`
	Flow  *Control[units.Flow]  `json:"flow,omitempty"` // of a liquid; nil when it cannot be changed
	Gate  *Control[float64]     `json:"gate,omitempty"` // opening, in any unit; nil when it cannot be changed
}

// Setting is the new place of one control, with the others left as they were.
type Setting[Q ~float64, R RateQuantity] struct {
	Wanted   Q               `json:"wanted"`             // that would bring the target
	New      Q               `json:"new"`                // Wanted, within the limits
	Limited  bool            `json:"limited"`            // New is not Wanted
	Rate     R               `json:"rate"`               // expected at New
	Interval *units.Range[R] `json:"interval,omitempty"` // expected, at the same relative width
	Off      float64         `json:"off"`                // Rate/target - 1
	// Within says that what is expected at New would be accepted by the rule of the
	// spec: the mean within the tolerance, or the whole interval.
	Within bool `json:"within"`
}

// CorrectResult is the decision and the new settings. Settings beside a decision
// other than to adjust are what would bring the target if the measured rate is true.
type CorrectResult[R RateQuantity] struct {
	Spec CorrectSpec[R] `json:"spec"` // what it was worked out from
	Off  float64        `json:"off"`  // measured/target - 1
	// Inside says that the target lies inside the interval: the measurements do not
	// show that the rate is off. False without an interval.
	Inside   bool                     `json:"inside"`
	Decision Decision                 `json:"decision"`        // what to do
	Speed    *Setting[units.Speed, R] `json:"speed,omitempty"` // nil without the control
	Flow     *Setting[units.Flow, R]  `json:"flow,omitempty"`  // nil without the control
	Gate     *Setting[float64, R]     `json:"gate,omitempty"`  // nil without the control
}

// Correct compares a measured rate with its target and returns the decision and,
// for each control given, the setting that brings the target: new speed = speed x
// measured / target, new flow = flow x target / measured, University of Illinois
// Extension, 60 Ways Farmers Can Protect Surface Water, number 37. A setting beyond
// the limits of the machine stops at the limit, and the result says what rate that
// gives. The expected interval is the measured one in proportion: the settings move
// the mean, not the evenness.
//
// The tolerance is the caller's; one magazine of the trade calls a rate within 10 %
// of the goal good (Properly Calibrate Equipment, National Hog Farmer). Quantities
// that are not above 0, an interval that does not hold the mean, and limits that
// are out of order are [units.FieldError].
func Correct[R RateQuantity](spec CorrectSpec[R]) (CorrectResult[R], error) {
	var f units.Faults
	f.Positive("measured", spec.Measured)
	f.Positive("target", spec.Target)
	if !(spec.Tolerance > 0 && spec.Tolerance < 1) {
		f.Add("tolerance", spec.Tolerance, "more than 0 and less than 1, such as 0.10")
	}
	if !acceptNames.Has(int(spec.Accept)) {
		f.Add("accept", spec.Accept, acceptNames.Want())
	}
	if i := spec.Interval; i != nil {
		f.Finite("interval.low", i.Low)
		f.Finite("interval.high", i.High)
		if !i.Has(spec.Measured) {
			f.Fault(units.FaultConflict, "interval", units.Words("%v to %v", i.Low, i.High), "an interval that holds the measured mean, %v", spec.Measured)
		}
	}
	spec.Speed.check(f.At("speed"))
	spec.Flow.check(f.At("flow"))
	spec.Gate.check(f.At("gate"))
	ratio := float64(spec.Target / spec.Measured)
	if !(ratio > 1e-6 && ratio < 1e6) {
		f.Add("target", spec.Target, "a rate of the same order as the measured %v", spec.Measured)
	}
	if err := f.Err(); err != nil {
		return CorrectResult[R]{}, err
	}
	r := CorrectResult[R]{Spec: spec, Off: 1/ratio - 1}
	r.Inside = spec.Interval != nil && spec.Interval.Has(spec.Target)
	r.Decision = spec.decide(r.Inside)
	r.Speed = setting(&f, "speed", spec, spec.Speed, 1/ratio, func(now, then units.Speed) float64 { return float64(now / then) })
	r.Flow = setting(&f, "flow", spec, spec.Flow, ratio, func(now, then units.Flow) float64 { return float64(then / now) })
	r.Gate = setting(&f, "gate", spec, spec.Gate, ratio, func(now, then float64) float64 { return then / now })
	if err := f.Err(); err != nil {
		return CorrectResult[R]{}, err
	}
	return r, nil
}

// check records what is wrong with c.
func (c *Control[Q]) check(f units.Faults) {
	if c == nil {
		return
	}
	positive(&f, "now", c.Now)
	if l := c.Limits; l != nil {
		positive(&f, "limits.low", l.Low)
		positive(&f, "limits.high", l.High)
		if l.Low > l.High {
			f.Add("limits.low", any(l.Low), "at most limits.high, %v", any(l.High))
		} else if c.Now > 0 && !l.Has(c.Now) {
			f.Add("now", any(c.Now), "within the limits of the machine, %v to %v", any(l.Low), any(l.High))
		}
	}
}

// positive records a fault unless q, a quantity or an opening in any unit, is above 0.
func positive[Q ~float64](f *units.Faults, field string, q Q) {
	if quantity, ok := any(q).(units.Quantity); ok {
		f.Positive(field, quantity)
		return
	}
	f.PositiveNumber(field, float64(q))
}

// decide says what the calibration allows to conclude.
func (spec CorrectSpec[R]) decide(inside bool) Decision {
	i := spec.Interval
	switch {
	case spec.accepts(spec.Measured, i):
		return DecisionAccept
	case inside:
		return DecisionMeasureMore
	case spec.Accept == AcceptMean:
		return DecisionAdjust
	case i == nil:
		return DecisionMeasureMore
	case !spec.near(i.Low) && !spec.near(i.High):
		return DecisionAdjust // off beyond doubt, however wide the interval
	case float64(i.Half()/spec.Measured) > spec.Tolerance:
		return DecisionMeasureMore
	}
	return DecisionAdjust
}

// near reports whether rate lies within the tolerance of the target.
func (spec CorrectSpec[R]) near(rate R) bool {
	return math.Abs(float64(rate/spec.Target)-1) <= spec.Tolerance+1e-12
}

// accepts reports whether a rate is accepted by the rule, as measured and as expected
// at another setting alike.
func (spec CorrectSpec[R]) accepts(rate R, interval *units.Range[R]) bool {
	if spec.Accept == AcceptMean {
		return spec.near(rate)
	}
	return interval != nil && spec.near(interval.Low) && spec.near(interval.High)
}

// setting returns the new place of a control whose wanted place is factor times the
// present one; change gives the ratio of the rates after and before.
func setting[Q ~float64, R RateQuantity](f *units.Faults, path string, spec CorrectSpec[R], c *Control[Q], factor float64, change func(now, then Q) float64) *Setting[Q, R] {
	if c == nil {
		return nil
	}
	s := &Setting[Q, R]{Wanted: Q(factor) * c.Now}
	s.New = s.Wanted
	if c.Limits != nil {
		s.New = min(max(s.Wanted, c.Limits.Low), c.Limits.High)
		s.Limited = s.New != s.Wanted
	}
	by := change(c.Now, s.New)
	s.Rate = R(by) * spec.Measured
	if s.Off = float64(s.Rate/spec.Target) - 1; math.Abs(s.Off) < 1e-12 {
		s.Off = 0 // met but for rounding
	}
	if i := spec.Interval; i != nil {
		s.Interval = &units.Range[R]{Low: R(by) * i.Low, High: R(by) * i.High}
		checkResult(f, "interval", s.Interval.High-s.Interval.Low)
	}
	s.Within = spec.accepts(s.Rate, s.Interval)
	checkResult(f, path+".limits", s.Rate)
	if !finite(float64(s.Wanted)) {
		f.Add(path+".now", c.Now, "a setting whose change is a finite number")
	}
	return s
}

// Working returns the decision and one line for each control.
func (r CorrectResult[R]) Working() units.Working {
	var w units.Working
	w.Add("target", r.Spec.Target, "")
	side := "above the target"
	if r.Off < 0 {
		side = "below the target"
	}
	w.Add("measured", units.Words("%.1f %%", 100*math.Abs(r.Off)), side)
	how := units.Words("tolerance %v, by the %v", units.Share(r.Spec.Tolerance), r.Spec.Accept)
	if r.Inside {
		how = how.And("; the target lies inside the interval, so the rate may be right")
	}
	w.Put(units.Words("decision"), r.Decision, how)
	addSetting(&w, "speed", r.Speed, "speed x measured / target")
	addSetting(&w, "flow", r.Flow, "flow x target / measured")
	addSetting(&w, "gate", r.Gate, "opening x target / measured")
	return w
}

func addSetting[Q ~float64, R RateQuantity](w *units.Working, name string, s *Setting[Q, R], how string) {
	if s == nil {
		return
	}
	all := units.Words(how)
	if s.Limited {
		all = all.And(", stopped at the limit of the machine")
	}
	all = all.And("; gives %v, %+.1f %%", s.Rate, 100*s.Off)
	if !s.Within {
		all = all.And(", still outside the tolerance")
	}
	if i := s.Interval; i != nil {
		all = all.And(", %v to %v", i.Low, i.High)
	}
	w.Put(units.Words("new %v", units.Word(name)), any(s.New), all)
}

// String returns the working as a table.
func (r CorrectResult[R]) String() string { return r.Working().String() }
