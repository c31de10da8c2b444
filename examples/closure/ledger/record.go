package ledger

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Book is what was written down on the way.
type Book struct {
	Records []Record `json:"records,omitempty"` // up to 20,000
	Reports []Report `json:"reports,omitempty"` // fresh laboratory reports, up to 1,000
	Steps   []Step   `json:"steps,omitempty"`   // of the work order that were begun or done, up to 2,000
}

// Step is a step of the work order that was begun or done. What is spread is known from
// the records.
type Step struct {
	Key  string     `json:"key"`         // of the step, such as "closing.fill"
	From stage.Date `json:"from"`        // first day
	To   stage.Date `json:"to,omitzero"` // last day; none while it goes on
}

// Record is a material that was put on a field on a day. How much it was is told in one
// way: the amount itself (a scale, the tank's volume), loads of one size, two readings of
// a meter, or, where nothing better is at hand, a rate on an area.
type Record struct {
	Day      stage.Date `json:"day"`
	Field    string     `json:"field"`
	Material string     `json:"material"`
	Machine  string     `json:"machine,omitempty"`
	Operator string     `json:"operator,omitempty"` // who applied it
	// Amount is what was put on, a volume or a mass.
	Amount nutrient.Amount `json:"amount,omitzero"`
	// Loads is how many loads, in tenths where one was not full, and Load one of them.
	Loads float64         `json:"loads,omitempty"`
	Load  nutrient.Amount `json:"load,omitzero"`
	// MeterStart and MeterEnd are the readings of a meter before and after.
	MeterStart *units.Volume `json:"meterStart,omitempty"`
	MeterEnd   *units.Volume `json:"meterEnd,omitempty"`
	// Area is what it was spread on. Left out: the whole field.
	Area units.Area `json:"area,omitempty"`
	// Rate is that of the machine. It is compared with the amount on the area.
	Rate    nutrient.Rate `json:"rate,omitzero"`
	Weather string        `json:"weather,omitempty"` // in words: rain, wind, soil
	Note    string        `json:"note,omitempty"`

	at string // where it stands in its file
}

// Report is a laboratory report of a material.
type Report struct {
	Day      stage.Date           `json:"day"` // of the sample
	Material string               `json:"material"`
	Report   nutrient.AnalyzeSpec `json:"report"`
}

// At is the part of the input where record i of a book stands, as faults name it: the line
// of its file in all, or its place in the list of the book.
func (r *Record) At(all, book *units.Faults, i int) units.Faults {
	if r.at != "" {
		return all.At(r.at)
	}
	return book.At("records", i)
}

// check records what is wrong with a record by itself.
func (r *Record) check(f *units.Faults) {
	r.Day.Check(f, "day")
	text := func(field, s string, needed bool, most int) {
		switch {
		case s == "" && needed:
			f.Missing(field, "a name")
		case len(s) > most || !utf8.ValidString(s) || strings.TrimSpace(s) != s || strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) }):
			f.Fault(units.FaultMalformed, field, s, "up to %v letters, digits and signs on one line, without spaces at the ends", most)
		}
	}
	text("field", r.Field, true, 100)
	text("material", r.Material, true, 100)
	text("machine", r.Machine, false, 100)
	text("operator", r.Operator, false, 100)
	text("weather", r.Weather, false, 500)
	text("note", r.Note, false, 500)
	ways := 0
	amount := func(field string, a nutrient.Amount) {
		if !a.IsZero() {
			f.Sub(field, a.Check(a.Form()))
		}
	}
	if amount("amount", r.Amount); !r.Amount.IsZero() {
		ways++
	}
	if r.Loads != 0 || !r.Load.IsZero() {
		ways++
		f.NumberBetween("loads", r.Loads, 0.01, 10_000)
		if r.Load.IsZero() {
			f.Missing("load", "the size of a load")
		}
		amount("load", r.Load)
	}
	if r.MeterStart != nil || r.MeterEnd != nil {
		ways++
		r.meter(f)
	}
	if r.Area != 0 {
		f.Between("area", r.Area, units.SquareFoot, 100_000*units.Acre)
	}
	if !r.Rate.IsZero() {
		f.Sub("rate", r.Rate.Check(r.Rate.Form()))
	}
	switch {
	case ways > 1:
		f.Say("amount", "told in more than one way", "one of an amount, loads with a load, two meter readings, or a rate on an area")
	case ways == 0 && (r.Rate.IsZero() || r.Area == 0):
		f.Missing("amount", "an amount, loads with a load, two meter readings, or a rate on an area")
	}
}

func (r *Record) meter(f *units.Faults) {
	switch {
	case r.MeterStart == nil:
		f.Missing("meterStart", "the reading before")
		return
	case r.MeterEnd == nil:
		f.Missing("meterEnd", "the reading after")
		return
	}
	f.Between("meterStart", *r.MeterStart, units.Volume(0), 1e9*units.Gallon)
	f.Between("meterEnd", *r.MeterEnd, units.Volume(0), 1e9*units.Gallon)
	if *r.MeterEnd < *r.MeterStart {
		f.Add("meterEnd", *r.MeterEnd, "at least the reading before, %v", *r.MeterStart)
	}
}

// Put is how much a sound record put on, and whether it is only worked out from the
// rate.
func (r Record) Put() (a nutrient.Amount, estimated bool, err error) {
	var f units.Faults
	if r.check(&f); f.Err() != nil {
		return a, false, f.Err()
	}
	switch {
	case !r.Amount.IsZero():
		return r.Amount, false, nil
	case !r.Load.IsZero():
		if v, ok := r.Load.Volume(); ok {
			return nutrient.LiquidAmount(v * units.Volume(r.Loads)), false, nil
		}
		m, _ := r.Load.Mass()
		return nutrient.SolidAmount(m * units.Mass(r.Loads)), false, nil
	case r.MeterEnd != nil:
		return nutrient.LiquidAmount(*r.MeterEnd - *r.MeterStart), false, nil
	}
	a, err = r.Rate.Times(r.Area)
	return a, true, err
}
