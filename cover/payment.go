package cover

import (
	"math"

	"example.org/earthbasin/units"
)

// PartialAcres is how a program counts an area that is no whole number of acres.
type PartialAcres = units.Enum[partialAcresWords]

// Countings. The usual case is the area as measured.
const (
	PartialAcresExact     PartialAcres = iota // "exact": as measured
	PartialAcresTenth                         // "nearest tenth": to the nearest tenth
	PartialAcresTenthUp                       // "tenth up": up to the next tenth
	PartialAcresTenthDown                     // "tenth down"
	PartialAcresWholeDown                     // "whole down": full acres only
)

var partialAcres = units.Names{"exact", "nearest tenth", "tenth up", "tenth down", "whole down"}

type partialAcresWords struct{}

func (partialAcresWords) Names() units.Names { return partialAcres }

// countBy returns the area that is paid for. A rounding error of the conversion to
// acres does not move a figure such as 2.3 over the edge.
func countBy(p PartialAcres, a units.Area) units.Area {
	const eps = 1e-9
	acres := a.In(units.Acre)
	switch p {
	case PartialAcresTenth:
		acres = math.Floor(10*acres+0.5+eps) / 10
	case PartialAcresTenthUp:
		acres = math.Ceil(10*acres-eps) / 10
	case PartialAcresTenthDown:
		acres = math.Floor(10*acres+eps) / 10
	case PartialAcresWholeDown:
		acres = math.Floor(acres + eps)
	default:
		return a
	}
	return units.Area(acres) * units.Acre
}

// PaymentScenario is one line of a payment schedule, the caller's data: a rate on
// an area, or a share of what a part of the work costs.
type PaymentScenario struct {
	Name string                  `json:"name"` // of the line of the schedule
	Rate units.Price[units.Area] `json:"rate"` // such as "129 per acre"
	Area units.Area              `json:"area"` // worked on, more than 0 with Rate
	// Cost of the part, instead of Rate and Area.
	Cost float64 `json:"cost"`
	// Share of the rate or the cost that is paid, more than 0 to 1; 1 where the
	// rate is the payment itself.
	Share float64 `json:"share"`
	Cap   float64 `json:"cap"` // most that the scenario pays, 0 for none
}

// PaymentSpec is what a program pays towards work that costs Cost.
type PaymentSpec struct {
	Scenarios []PaymentScenario `json:"scenarios"` // 1 to 1000
	Acres     PartialAcres      `json:"acres"`     // how partial acres count; zero value: exact
	Cap       float64           `json:"cap"`       // most of all scenarios together, 0 for none
	Cost      float64           `json:"cost"`      // of the work, 0 or more
	// WithinCost limits the payment to the cost, where the program does.
	WithinCost bool `json:"withinCost"`
}

// PaymentRow is one scenario worked out.
type PaymentRow struct {
	Name    string     `json:"name"`    // of the scenario
	Counted units.Area `json:"counted"` // area that is paid for, 0 for a share of cost
	Full    float64    `json:"full"`    // rate x area x share, or cost x share
	Paid    float64    `json:"paid"`    // after the cap
	Capped  bool       `json:"capped"`  // Paid is the cap
}

// PaymentResult is the payment and what is left to pay.
type PaymentResult struct {
	Spec    PaymentSpec  `json:"spec"`    // what it was worked out from
	Rows    []PaymentRow `json:"rows"`    // in the order of the scenarios
	Sum     float64      `json:"sum"`     // of the rows
	Payment float64      `json:"payment"` // after Cap and WithinCost
	Limit   string       `json:"limit"`   // what bounds the payment: "none", "scenario cap", "cap" or "cost"
	Net     float64      `json:"net"`     // cost less payment; below 0 when paid more than it costs
	// ShareOfCost is payment over cost, 0 without cost.
	ShareOfCost float64  `json:"shareOfCost"`
	Cautions    []string `json:"cautions"` // about contract and order of work
}

// Payment works out rate x area x share, or cost x share, over the scenarios, each
// and all within their caps.
func Payment(spec PaymentSpec) (PaymentResult, error) {
	var f units.Faults
	if !partialAcres.Has(int(spec.Acres)) {
		f.Add("acres", spec.Acres, partialAcres.Want())
	}
	f.NotNegativeNumber("cap", spec.Cap)
	f.NotNegativeNumber("cost", spec.Cost)
	f.CountBetween("scenarios", len(spec.Scenarios), "scenarios", 1, mostLines)
	r := PaymentResult{Spec: spec, Limit: "none", Cautions: []string{cautionPayment}}
	for i, s := range spec.Scenarios {
		at := f.At("scenarios", i)
		required(&at, "name", s.Name)
		switch {
		case s.Cost == 0:
			at.PositiveNumber("rate", s.Rate.SI())
			at.Positive("area", s.Area)
		case s.Rate != 0 || s.Area != 0:
			at.Add("cost", s.Cost, "no value beside rate and area")
		default:
			at.PositiveNumber("cost", s.Cost)
		}
		at.PositiveFraction("share", s.Share)
		at.NotNegativeNumber("cap", s.Cap)
		row := PaymentRow{Name: s.Name, Counted: countBy(spec.Acres, s.Area)}
		row.Full = (s.Rate.Of(row.Counted) + s.Cost) * s.Share // one of the two is 0
		row.Paid = row.Full
		if s.Cap > 0 && row.Full > s.Cap {
			row.Paid, row.Capped = s.Cap, true
			r.Limit = "scenario cap"
		}
		r.Rows = append(r.Rows, row)
		r.Sum += row.Paid
	}
	if f.Err() == nil && !finite(r.Sum) {
		f.Add("scenarios", r.Sum, "rates and areas whose sum is a finite number")
	}
	if err := f.Err(); err != nil {
		return PaymentResult{}, err
	}
	r.Payment = r.Sum
	if spec.Cap > 0 && r.Payment > spec.Cap {
		r.Payment, r.Limit = spec.Cap, "cap"
	}
	if spec.WithinCost && r.Payment > spec.Cost {
		r.Payment, r.Limit = spec.Cost, "cost"
	}
	r.Net = spec.Cost - r.Payment
	if spec.Cost > 0 {
		r.ShareOfCost = r.Payment / spec.Cost
	}
	if !finite(r.ShareOfCost) {
		f.Add("cost", spec.Cost, "a cost of which the payment is a finite share")
		return PaymentResult{}, f.Err()
	}
	return r, nil
}

// Working shows the payment.
func (r PaymentResult) Working() units.Working {
	var w units.Working
	for i, row := range r.Rows {
		s := r.Spec.Scenarios[i]
		how := units.Words("%v x %v", s.Rate, units.As(row.Counted, units.Acre, 2))
		if s.Cost > 0 {
			how = units.Words("cost %v", units.Money(s.Cost))
		}
		if s.Share != 1 {
			how = how.And(" x %v", units.Share(s.Share))
		}
		if row.Capped {
			how = how.And(", capped")
		}
		w.Put(units.Words(row.Name), units.Money(row.Paid), how)
	}
	w.Add("payment", units.Money(r.Payment), "limit: %v", units.Word(r.Limit))
	w.Add("cost", units.Money(r.Spec.Cost), "")
	w.Add("left to pay", units.Money(r.Net), "cost - payment")
	return w
}

// String prints the working.
func (r PaymentResult) String() string { return r.Working().String() }
