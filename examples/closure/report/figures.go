package report

import (
	"cmp"
	"math"

	"example.org/earthbasin/units"
)

// figures shows values in the style of one document.
type figures struct{ units.Style }

// measure is the unit in which a kind of thing is shown in each system.
type measure[Q ~float64] struct{ us, metric Q }

// The things of a closure.
var (
	liquid  = measure[units.Volume]{units.Gallon, units.CubicMetre}
	earth   = measure[units.Volume]{units.CubicYard, units.CubicMetre}
	acres   = measure[units.Area]{units.Acre, units.Hectare}
	site    = measure[units.Length]{units.Foot, units.Metre}
	road    = measure[units.Length]{units.Mile, units.Kilometre}
	perLand = measure[units.MassPerArea]{units.PoundPerAcre, units.KilogramPerHectare}
	mass    = measure[units.Mass]{units.Pound, units.Kilogram}
)

// in is the unit of the document's system.
func (m measure[Q]) in(f figures) Q {
	if f.System == units.SystemMetric {
		return m.metric
	}
	return m.us
}

// number is a quantity in the unit of the document's system, for a picture.
func number[Q ~float64](f figures, m measure[Q], q Q) float64 { return float64(q) / float64(m.in(f)) }

// shown is a quantity in the unit of the document's system with so many decimals.
func shown[Q interface {
	~float64
	units.Quantity
}](f figures, m measure[Q], q Q, decimals int) string {
	f.Round = 0 // the decimals are chosen
	return f.Text(units.As(q, m.in(f), decimals))
}

// about shows a quantity with no more digits than its interval bears: half the interval
// with two figures, the quantity to the same place. Without an interval it has three
// figures.
func about[Q interface {
	~float64
	units.Quantity
}](f figures, m measure[Q], best Q, interval *units.Range[Q]) string {
	unit := m.in(f)
	if interval == nil || !(interval.High > interval.Low) {
		step, decimals := place(float64(best)/float64(unit), 3)
		return shown(f, m, round(best, unit, step), decimals)
	}
	half := (interval.High - interval.Low) / 2
	step, decimals := place(float64(half)/float64(unit), 2)
	return shown(f, m, round(best, unit, step), decimals) + " (" + shown(f, m, round(interval.Low, unit, step), decimals) + " to " +
		shown(f, m, round(interval.High, unit, step), decimals) + ")"
}

// place is the step of the last of n figures of x, and its decimals.
func place(x float64, n int) (step float64, decimals int) {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, 0
	}
	at := int(math.Floor(math.Log10(math.Abs(x)))) - n + 1
	return math.Pow(10, float64(at)), max(0, -at)
}

// round rounds q to steps of so many units; 0 leaves it.
func round[Q ~float64](q, unit Q, step float64) Q {
	if step == 0 {
		return q
	}
	return Q(math.Round(float64(q)/float64(unit)/step) * step * float64(unit))
}

// cash is an amount of money without cents.
func (f figures) cash(x float64) string {
	f.Round = cmp.Or(f.Round, 15) // all figures that a number has
	return f.Text(units.Money(math.Round(x)))
}

// aboutCash is an amount with the digits that its low and high bear.
func (f figures) aboutCash(low, likely, high float64) string {
	if !(high > low) {
		return f.cash(likely)
	}
	step, _ := place((high-low)/2, 2)
	step = max(step, 1)
	f.Round = 0 // the step rounds
	at := func(x float64) string { return f.cash(math.Round(x/step) * step) }
	return at(likely) + " (" + at(low) + " to " + at(high) + ")"
}

// stageDecimals are those of the heights of a stage table: quarters of a metre, feet.
func (p *pages) stageDecimals() int {
	if p.System == units.SystemMetric {
		return 2
	}
	return 1
}
