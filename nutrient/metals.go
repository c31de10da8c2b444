package nutrient

import (
	"slices"

	"example.org/earthbasin/units"
)

// MetalLoad is one metal in a material and on a field.
type MetalLoad struct {
	Metal    Element             `json:"metal,omitzero"`    // by symbol
	Dry      *units.MassFraction `json:"dry,omitzero"`      // in the dry matter, 0 to 1; needed where the table has a concentration for the metal
	Holds    Content             `json:"holds,omitzero"`    // in the material as it is spread
	Before   units.MassPerArea   `json:"before,omitzero"`   // put on the field in all earlier years, 0 or more
	ThisYear units.MassPerArea   `json:"thisYear,omitzero"` // put on already this year, not in Before, 0 or more
}

// AnnualLimits says whether the limits of one year bind the material: a rule may
// mean them for some material only, such as sludge that is sold or given away in
// bags, so that the caller has to know. The zero value is no choice and is refused
// where the table has such limits.
type AnnualLimits = units.Enum[annualLimitsWords]

const (
	// AnnualLimitsApply binds each year's load, in JSON "apply".
	AnnualLimitsApply AnnualLimits = iota + 1
	// AnnualLimitsDoNotApply leaves the limits of a year out, in JSON "do not apply".
	AnnualLimitsDoNotApply
)

var annualLimitsNames = units.Names{"", "apply", "do not apply"}

type annualLimitsWords struct{}

func (annualLimitsWords) Names() units.Names { return annualLimitsNames }

// MetalsSpec is what [Metals] works from.
type MetalsSpec struct {
	Table  MetalTable   `json:"table"`           // of the rule
	Annual AnnualLimits `json:"annual,omitzero"` // whether the limits of one year bind; needed where the table has any
	Metals []MetalLoad  `json:"metals"`          // each once, at least one
	Yearly Rate         `json:"yearly,omitzero"` // rate planned for each year, for the life of the site; none: no life
}

// MetalState is what the rule leaves for one metal.
type MetalState struct {
	Metal       Element           `json:"metal,omitzero"` // by symbol
	Listed      bool              `json:"listed"`         // the table has a limit for it
	OverCeiling bool              `json:"overCeiling"`    // the material may not be spread
	Low         bool              `json:"low"`            // the rule asks for no account of the load
	Room        units.MassPerArea `json:"room"`           // of all years, what is still open
	RoomYear    units.MassPerArea `json:"roomYear"`       // of this year; 0 where the limits of a year do not apply
	Yearly      units.MassPerArea `json:"yearly"`         // that the planned rate brings in a year
	Endless     bool              `json:"endless"`        // no end of the site life: no limit, or nothing brought
	Years       float64           `json:"years"`          // room over what a year brings; 0 when Endless
}

// MetalsResult is what a rule leaves for the metals of a material.
type MetalsResult struct {
	Source  Source       `json:"source,omitzero"` // of the table
	Annual  AnnualLimits `json:"annual,omitzero"` // as the caller chose; 0 where the table has no limits of a year
	Metals  []MetalState `json:"metals"`          // in the order of the spec
	Limits  []Limit      `json:"limits"`          // for [FieldRateSpec]
	Endless bool         `json:"endless"`         // no metal ends the life of the site
	Years   float64      `json:"years"`           // the shortest life; 0 when Endless
	Ends    Element      `json:"ends,omitzero"`   // the metal that ends it, 0 when Endless
}

// Metals returns the room that the rule leaves on a field for the metals of a
// material, as limits of the rate, and the years until the cumulative limits are
// used up at the planned rate (life = room / yearly load). A metal over its
// ceiling gives a limit without room. Whether the limits of one year bind is the
// caller's choice and stands in the result. Wrong values, a concentration in the
// dry matter left out where the table has one for the metal, doubles and forms that do
// not go together are a [units.FieldError].
func Metals(spec MetalsSpec) (MetalsResult, error) {
	var f units.Faults
	if len(spec.Metals) == 0 {
		f.Missing("metals", "at least one metal")
	}
	if len(spec.Table.Limits) == 0 {
		f.Missing("table", "a table of limits, such as that of PublishedMetalTable")
	}
	for i, l := range spec.Table.Limits {
		at := f.At("table.limits", i)
		checkMetal(&at, "metal", l.Metal, slices.ContainsFunc(spec.Table.Limits[:i], func(o MetalLimit) bool { return o.Metal == l.Metal }))
		notNegative(&at, "ceiling", l.Ceiling)
		notNegative(&at, "low", l.Low)
		notNegative(&at, "cumulative", l.Cumulative)
		notNegative(&at, "annual", l.Annual)
	}
	annual := slices.ContainsFunc(spec.Table.Limits, func(l MetalLimit) bool { return l.Annual > 0 })
	switch {
	case annual && spec.Annual == 0:
		f.Missing("annual", "%v: whether the limits of one year bind this material", units.Words(annualLimitsNames.Want()))
	case spec.Annual != 0 && !annualLimitsNames.Has(int(spec.Annual)):
		f.Add("annual", spec.Annual, annualLimitsNames.Want())
	case !annual:
		spec.Annual = 0
	}
	var form Form
	if len(spec.Metals) > 0 {
		form = spec.Metals[0].Holds.form
	}
	for i, l := range spec.Metals {
		at := f.At("metals", i)
		checkMetal(&at, "metal", l.Metal, slices.ContainsFunc(spec.Metals[:i], func(o MetalLoad) bool { return o.Metal == l.Metal }))
		if limit, _ := spec.Table.of(l.Metal); l.Dry != nil {
			notNegative(&at, "dry", *l.Dry)
		} else if limit.Ceiling > 0 || limit.Low > 0 {
			at.Missing("dry", "the concentration of %v in the dry matter, for which the table has a limit", l.Metal)
		}
		at.Sub("holds", l.Holds.Check(form))
		notNegative(&at, "before", l.Before)
		notNegative(&at, "thisYear", l.ThisYear)
	}
	if !spec.Yearly.IsZero() {
		f.Sub("yearly", spec.Yearly.Check(form))
	}
	if err := f.Err(); err != nil {
		return MetalsResult{}, err
	}
	r := MetalsResult{Source: spec.Table.Source, Annual: spec.Annual, Endless: true}
	r.Metals, r.Limits = make([]MetalState, 0, len(spec.Metals)), make([]Limit, 0, 2*len(spec.Metals))
	source := spec.Table.Source.String()
	for i := range spec.Metals {
		r.add(&spec, &spec.Metals[i], source)
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

func (r *MetalsResult) add(spec *MetalsSpec, l *MetalLoad, source string) {
	limit, listed := spec.Table.of(l.Metal)
	st := MetalState{Metal: l.Metal, Listed: listed, Endless: true}
	if l.Dry != nil {
		st.OverCeiling = limit.Ceiling > 0 && *l.Dry > limit.Ceiling
		st.Low = limit.Low > 0 && *l.Dry <= limit.Low
	}
	add := func(name string, room units.MassPerArea) {
		r.Limits = append(r.Limits, Limit{Kind: LimitMetal, Name: l.Metal.String() + ", " + name, Holds: l.Holds, Room: room, Source: source})
	}
	if st.OverCeiling {
		// A limit on the rate, since a laboratory can find dry matter over the
		// ceiling in a material whose wet content was entered as zero.
		r.Limits = append(r.Limits, Limit{Kind: LimitMetal, Name: l.Metal.String() + ", over the ceiling", Rate: Rate{measure{l.Holds.form, 0}}, Source: source})
	}
	if limit.Annual > 0 && spec.Annual == AnnualLimitsApply {
		st.RoomYear = max(0, limit.Annual-l.ThisYear)
		add("this year", st.RoomYear)
	}
	st.Yearly = units.MassPerArea(spec.Yearly.value * l.Holds.value)
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
func (r MetalsResult) Working() units.Working {
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
		w.Put(units.Words("%v, room of all years", units.Word(name)), units.As(m.Room, units.PoundPerAcre, 0), units.Words("limit less what was put on"))
		if !m.Endless {
			w.Put(units.Words("%v, years", units.Word(name)), units.Words("%.1f", m.Years), units.Words("room over %v a year", m.Yearly))
		}
	}
	if !r.Endless {
		w.Add("site life, years", units.Words("%.1f", r.Years), "ended by %v", r.Ends)
	}
	if r.Annual != 0 {
		w.Add("limits of one year", r.Annual, "as chosen")
	}
	w.Add("rule", "", r.Source.String())
	return w
}

// String is the table of the working.
func (r MetalsResult) String() string { return r.Working().String() }

// DryLoad returns how much dry material, of which x is the constituent, an area
// takes before the limit is used up: limit / x, for instance 40 CFR 503 logic in
// dry ton/acre. The limit may be 0; an x outside 0 to 1 or so small that the
// quotient has no bound is a [units.FieldError].
func DryLoad(limit units.MassPerArea, x units.MassFraction) (units.MassPerArea, error) {
	var f units.Faults
	notNegative(&f, "limit", limit)
	f.Between("x", x, units.MassFraction(1e-15), units.MassFraction(1))
	if err := f.Err(); err != nil {
		return 0, err
	}
	return limit.OverFraction(x), nil
}
