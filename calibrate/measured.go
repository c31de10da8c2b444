package calibrate

import (
	"math"

	"example.org/earthbasin/units"
)

// Measured is a rate with what it rests on, as a [Record] keeps it. It comes from
// the method Measured of [SheetsResult], [LoadAreaResult], [GaugesResult] and
// [SolveResult], with the rate that the result reports; target and decision are
// for the caller to add.
type Measured[R RateQuantity] struct {
	Rate       R                `json:"rate"`                 // as reported by the method, more than 0
	N          int              `json:"n"`                    // measurements behind it, 1 or more
	SD         R                `json:"sd,omitempty"`         // of the readings, n - 1; 0 with one
	Interval   *units.Range[R]  `json:"interval,omitempty"`   // of Rate; nil when there is none
	Confidence float64          `json:"confidence,omitempty"` // of Interval, between 0 and 1; 0 without one
	Readings   []RateReading[R] `json:"readings,omitempty"`   // each measurement, N of them or none
	Target     R                `json:"target,omitempty"`     // 0 when none was set
	Decision   Decision         `json:"decision,omitempty"`   // 0 when none was made
}

// RateReading is one measurement of a rate: one sheet, one run of loads, one gauge.
type RateReading[R RateQuantity] struct {
	Rate   R       `json:"rate"`   // 0 or more
	Weight float64 `json:"weight"` // share of the area that it stands for, above 0 to 1
}

// Measured returns the mean rate of the sheets, each counting alike, for a [Record].
func (r SheetsResult) Measured() *Measured[units.MassPerArea] {
	s := r.Summary
	m := &Measured[units.MassPerArea]{Rate: s.Mean, N: s.N, SD: s.SD, Interval: s.Interval}
	for _, rate := range r.Rates {
		m.Readings = append(m.Readings, RateReading[units.MassPerArea]{rate, 1 / float64(s.N)})
	}
	return m.at(s.Confidence)
}

// Measured returns the rate of all loads over all ground, each run counting by its
// area, for a [Record].
func (r LoadAreaResult[M, R]) Measured() *Measured[R] {
	m := &Measured[R]{Rate: r.Rate, N: len(r.Readings), SD: r.Summary.SD, Interval: r.Interval, Readings: r.Readings}
	return m.at(r.Summary.Confidence)
}

// Measured returns the mean depth of [GaugesResult.Depth] as a rate, each gauge
// counting by the area that it stands for, for a [Record].
func (r GaugesResult) Measured() *Measured[units.VolumePerArea] {
	m := &Measured[units.VolumePerArea]{Rate: r.Depth().Applied(), N: len(r.Readings), SD: r.Summary.SD.Applied()}
	if i := r.Interval; i != nil {
		m.Interval = &units.Range[units.VolumePerArea]{Low: i.Low.Applied(), High: i.High.Applied()}
	}
	for _, g := range r.Readings {
		m.Readings = append(m.Readings, RateReading[units.VolumePerArea]{g.Depth.Applied(), g.Weight})
	}
	return m.at(r.Summary.Confidence)
}

// Measured returns the rate as one measurement without an interval, for a [Record].
func (r SolveResult) Measured() *Measured[units.VolumePerArea] {
	return &Measured[units.VolumePerArea]{Rate: r.Rate, N: 1, Readings: []RateReading[units.VolumePerArea]{{r.Rate, 1}}}
}

// at sets the confidence where there is an interval that it belongs to.
func (m *Measured[R]) at(confidence float64) *Measured[R] {
	if m.Interval != nil {
		m.Confidence = confidence
	}
	return m
}

// standardError returns that of the rate, 0 with one measurement: by the readings,
// or where a record has none as that of a mean.
func (m *Measured[R]) standardError() float64 {
	if len(m.Readings) == 0 {
		return float64(m.SD) / math.Sqrt(float64(m.N))
	}
	amount, area := make([]float64, len(m.Readings)), make([]float64, len(m.Readings))
	for i, x := range m.Readings {
		amount[i], area[i] = float64(x.Rate)*x.Weight, x.Weight
	}
	_, se := ratio(amount, area)
	return se
}

// sumSlack is how far stored weights may be from 1 in sum, and the rate from the
// weighted mean of the readings, as a fraction: room for files with rounded figures.
const sumSlack = 1e-3

// check records what is wrong with m.
func (m *Measured[R]) check(f units.Faults) {
	if m == nil {
		return
	}
	if m.N < 1 || m.N > maxGauges {
		f.Add("n", m.N, "1 to %v", maxGauges)
	}
	f.Positive("rate", m.Rate)
	f.NotNegative("sd", m.SD)
	if m.N == 1 && m.SD != 0 {
		f.Add("sd", m.SD, "0 with one measurement, which has no spread")
	}
	f.NotNegative("target", m.Target)
	if m.Decision != 0 && !decisionNames.Has(int(m.Decision)) {
		f.Add("decision", m.Decision, decisionNames.Want())
	}
	switch i := m.Interval; {
	case i == nil && m.Confidence != 0:
		f.Add("confidence", m.Confidence, "0 without an interval")
	case i != nil:
		f.Confidence("confidence", m.Confidence)
		f.Finite("interval.low", i.Low)
		f.Finite("interval.high", i.High)
		if !i.Has(m.Rate) {
			f.Fault(units.FaultConflict, "interval", units.Words("%v to %v", i.Low, i.High), "an interval that holds the rate, %v", m.Rate)
		}
	}
	if len(m.Readings) > 0 {
		m.checkReadings(&f)
	}
}

func (m *Measured[R]) checkReadings(f *units.Faults) {
	if len(m.Readings) != m.N {
		f.Count("readings", len(m.Readings), "readings", "%v, as n says, or none", m.N)
	}
	var amount, weight float64
	for i, x := range m.Readings {
		at := f.At("readings", i)
		at.NotNegative("rate", x.Rate)
		at.PositiveFraction("weight", x.Weight)
		amount += float64(x.Rate) * x.Weight
		weight += x.Weight
	}
	if !(math.Abs(weight-1) <= sumSlack) {
		f.Add("readings", weight, "weights that add to 1")
	} else if mean := amount / weight; !(math.Abs(mean-float64(m.Rate)) <= sumSlack*float64(m.Rate)) {
		f.Add("rate", m.Rate, "the weighted mean of the readings, %v", R(mean))
	}
}
