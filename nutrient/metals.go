package nutrient

import (
	"fmt"
	"slices"

	"example.org/earthbasin/units"
)

// MetalLoad is one metal in a material and on a field.
type MetalLoad struct {
	Metal    Element            `json:"metal"`
	Dry      units.MassFraction `json:"dry"`                // in the dry matter
	Holds    Content            `json:"holds"`              // in the material as it is spread
	Before   units.MassPerArea  `json:"before,omitempty"`   // put on the field in all earlier years
	ThisYear units.MassPerArea  `json:"thisYear,omitempty"` // put on already this year, not in Before
}

// MetalSpec is what [Metals] works from.
type MetalSpec struct {
	Table  MetalTable  `json:"table"`
	Metals []MetalLoad `json:"metals"`
	Yearly Rate        `json:"yearly,omitzero"` // rate planned for each year, for the life of the site; none: no life
}

// MetalState is what the rule leaves for one metal.
type MetalState struct {
	Metal       Element           `json:"metal"`
	Listed      bool              `json:"listed"`      // the table has a limit for it
	OverCeiling bool              `json:"overCeiling"` // the material may not be spread
	Low         bool              `json:"low"`         // the rule asks for no account of the load
	Room        units.MassPerArea `json:"room"`        // of all years, what is still open
	RoomYear    units.MassPerArea `json:"roomYear"`    // of this year
	Yearly      units.MassPerArea `json:"yearly"`      // that the planned rate brings in a year
	Endless     bool              `json:"endless"`     // no end of the site life: no limit, or nothing brought
	Years       float64           `json:"years"`       // room over what a year brings; 0 when Endless
}

// MetalResult is what a rule leaves for the metals of a material.
type MetalResult struct {
	Metals  []MetalState `json:"metals"`
	Limits  []Limit      `json:"limits"` // for [RateSpec]
	Endless bool         `json:"endless"`
	Years   float64      `json:"years"`         // the shortest life; 0 when Endless
	Ends    Element      `json:"ends,omitzero"` // the metal that ends it, 0 when Endless
	source  string
}

// Metals returns the room that the rule leaves on a field for the metals of a
// material, as limits of the rate, and the years until the cumulative limits are
// used up at the planned rate (life = room / yearly load). A metal over its
// ceiling gives a limit without room. Wrong values, doubles and forms that do
// not go together are a [units.FieldError].
func Metals(s MetalSpec) (MetalResult, error) {
	var f units.Faults
	if len(s.Metals) == 0 {
		f.Missing("metals", "at least one metal")
	}
	if len(s.Table.Limits) == 0 {
		f.Missing("table", "a table of limits, such as that of MetalRule")
	}
	for i, l := range s.Table.Limits {
		path := fmt.Sprintf("table.limits[%d]", i)
		checkMetal(&f, path+".metal", l.Metal, slices.ContainsFunc(s.Table.Limits[:i], func(o MetalLimit) bool { return o.Metal == l.Metal }))
		f.Between(path+".ceiling", l.Ceiling, units.MassFraction(0), units.MassFraction(1))
		f.Between(path+".low", l.Low, units.MassFraction(0), units.MassFraction(1))
		checkModest(&f, path+".cumulative", l.Cumulative)
		checkModest(&f, path+".annual", l.Annual)
	}
	var form Form
	if len(s.Metals) > 0 {
		form = s.Metals[0].Holds.form
	}
	for i, l := range s.Metals {
		path := fmt.Sprintf("metals[%d]", i)
		checkMetal(&f, path+".metal", l.Metal, slices.ContainsFunc(s.Metals[:i], func(o MetalLoad) bool { return o.Metal == l.Metal }))
		f.Between(path+".dry", l.Dry, units.MassFraction(0), units.MassFraction(1))
		if l.Holds.IsZero() {
			f.Missing(path+".holds", "the content of the material as it is spread")
		} else {
			checkContent(&f, path+".holds", l.Holds, form)
		}
		checkModest(&f, path+".before", l.Before)
		checkModest(&f, path+".thisYear", l.ThisYear)
	}
	if !s.Yearly.IsZero() {
		checkForm(&f, "yearly", s.Yearly.measure, form)
		checkModest(&f, "yearly", s.Yearly.quantity())
	}
	if err := f.Err(); err != nil {
		return MetalResult{}, err
	}
	r := MetalResult{Endless: true, source: s.Table.Source.String()}
	for _, l := range s.Metals {
		r.add(s, l)
	}
	return r, nil
}

func checkMetal(f *units.Faults, path string, m Element, double bool) {
	switch {
	case !elementNames.Has(int(m)):
		f.Add(path, m, elementNames.Want())
	case double:
		f.Add(path, m, "each metal once")
	}
}

func (r *MetalResult) add(s MetalSpec, l MetalLoad) {
	limit, listed := s.Table.of(l.Metal)
	st := MetalState{
		Metal: l.Metal, Listed: listed, Endless: true,
		OverCeiling: limit.Ceiling > 0 && l.Dry > limit.Ceiling,
		Low:         limit.Low > 0 && l.Dry <= limit.Low,
	}
	add := func(name string, room units.MassPerArea) {
		r.Limits = append(r.Limits, Limit{Kind: LimitMetal, Name: l.Metal.String() + ", " + name, Holds: l.Holds, Room: room, Source: s.Table.Source.String()})
	}
	if st.OverCeiling {
		// A limit on the rate, since a laboratory can find dry matter over the
		// ceiling in a material whose wet content was entered as zero.
		r.Limits = append(r.Limits, Limit{Kind: LimitMetal, Name: l.Metal.String() + ", over the ceiling", Rate: Rate{measure{l.Holds.form, 0}}, Source: s.Table.Source.String()})
	}
	if limit.Annual > 0 {
		st.RoomYear = max(0, limit.Annual-l.ThisYear)
		add("this year", st.RoomYear)
	}
	st.Yearly = units.MassPerArea(s.Yearly.value * l.Holds.value)
	if limit.Cumulative > 0 {
		st.Room = max(0, limit.Cumulative-l.Before-l.ThisYear)
		add("all years", st.Room)
		if st.Yearly > 0 {
			st.Endless = false
			st.Years = float64(st.Room / st.Yearly)
			if r.Endless || st.Years < r.Years {
				r.Endless, r.Years, r.Ends = false, st.Years, l.Metal
			}
		}
	}
	r.Metals = append(r.Metals, st)
}

// Working shows the room and the life by metal.
func (r MetalResult) Working() units.Working {
	var w units.Working
	for _, m := range r.Metals {
		name := m.Metal.String()
		if !m.Listed {
			w.Add(name, "not in the table", "")
			continue
		}
		if m.OverCeiling {
			w.Add(name, "over the ceiling", "the material may not be spread")
		}
		w.Add(name+", room of all years", m.Room.Text(units.PoundPerAcre, 0), "limit less what was put on")
		if !m.Endless {
			w.Add(name+", years", fmt.Sprintf("%.1f", m.Years), "room over "+m.Yearly.Trade()+" a year")
		}
	}
	if !r.Endless {
		w.Add("site life, years", fmt.Sprintf("%.1f", r.Years), "ended by "+r.Ends.String())
	}
	w.Add("rule", "", r.source)
	return w
}

// String is the table of the working.
func (r MetalResult) String() string { return r.Working().String() }

// DryLoad returns how much dry material, of which x is the constituent, an area
// takes before the limit is used up: limit / x, for instance 40 CFR 503 logic in
// dry ton/acre. The limit may be 0; an x outside 0 to 1 or so small that the
// quotient has no bound is a [units.FieldError].
func DryLoad(limit units.MassPerArea, x units.MassFraction) (units.MassPerArea, error) {
	var f units.Faults
	checkModest(&f, "limit", limit)
	f.Between("x", x, units.MassFraction(1e-15), units.MassFraction(1))
	if err := f.Err(); err != nil {
		return 0, err
	}
	return limit.OverFraction(x), nil
}
