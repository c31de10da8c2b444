package nutrient

import (
	"math"
	"slices"

	"example.org/earthbasin/units"
)

// NutrientNeed is what the field needs of a nutrient, to tell what the rate
// leaves missing or gives in excess. It limits nothing.
type NutrientNeed struct {
	Name  string            `json:"name"`           // such as "available N"
	Holds Content           `json:"holds,omitzero"` // what the material holds of it, as far as available
	Need  units.MassPerArea `json:"need"`           // 0 or more
}

// FieldRateSpec is one material on one field: every limit, and the needs.
type FieldRateSpec struct {
	Limits []Limit        `json:"limits"`         // at least one that the material can reach
	Needs  []NutrientNeed `json:"needs,omitzero"` // what the rate is held against
}

// LimitState is a limit against the rate that was chosen.
type LimitState struct {
	Kind    LimitKind         `json:"kind,omitzero"`   // of the limit
	Name    string            `json:"name"`            // of the limit, else its kind
	Free    bool              `json:"free"`            // the material holds nothing of the constituent: no limit to it
	Allows  Rate              `json:"allows,omitzero"` // what this limit alone would allow; none when Free
	Slack   Rate              `json:"slack,omitzero"`  // how much more material it would allow; none when Free
	Room    units.MassPerArea `json:"room"`            // of the constituent; 0 for a limit on the material itself
	Applied units.MassPerArea `json:"applied"`         // of the constituent
	Left    units.MassPerArea `json:"left"`            // room less applied
	Source  string            `json:"source,omitzero"` // of the limit
}

// NutrientState is what the rate brings of a nutrient.
type NutrientState struct {
	Name    string            `json:"name"`    // of the need
	Need    units.MassPerArea `json:"need"`    // as in the spec
	Applied units.MassPerArea `json:"applied"` // by the rate
	Missing units.MassPerArea `json:"missing"` // need less applied, not below 0
	Excess  units.MassPerArea `json:"excess"`  // applied less need, not below 0
}

func newNutrientState(name string, need, applied units.MassPerArea) NutrientState {
	return NutrientState{name, need, applied, max(0, need-applied), max(0, applied-need)}
}

// FieldRateResult is the rate and where every limit stands.
type FieldRateResult struct {
	Rate      Rate            `json:"rate,omitzero"`      // the least that any limit allows; may be 0
	Limits    []LimitState    `json:"limits"`             // the binding one first, then the next; free ones last
	Nutrients []NutrientState `json:"nutrients,omitzero"` // in the order of the needs
}

// FieldRate returns the rate of a material on a field: the least of what its
// limits allow (25 Pa. Code 83.293(a) for N and P; the others work alike). All
// contents and rates must be of one form. Wrong values, no limit at all and no
// limit that the material can reach are a [units.FieldError].
func FieldRate(spec FieldRateSpec) (FieldRateResult, error) {
	var r FieldRateResult
	err := r.Evaluate(&spec)
	return r, err
}

// Evaluate is [FieldRate] into r, whose memory is used again: from the second
// time on it allocates nothing, so that a study may run it 1e8 times. An error
// leaves r without a meaning.
func (r *FieldRateResult) Evaluate(spec *FieldRateSpec) error {
	if r == nil || spec == nil {
		return units.Fault(units.FaultMissing, "spec", nil, "a spec, and a result to put the answer in")
	}
	form, err := spec.check()
	if err != nil {
		return err
	}
	least := math.Inf(1)
	for i := range spec.Limits {
		least = min(least, spec.Limits[i].allows())
	}
	if math.IsInf(least, 1) {
		return units.Fault(units.FaultConflict, "limits", units.Words("none that the material can reach"), "a limit on something that the material holds, or on the rate itself")
	}
	least += 0 // -0 is 0
	r.Rate = Rate{measure{form, least}}
	r.Limits = r.Limits[:0]
	for i := range spec.Limits {
		l := &spec.Limits[i]
		st := LimitState{Kind: l.Kind, Name: l.Kind.label(l.Name), Source: l.Source}
		if l.Rate.form == 0 {
			st.Room, st.Applied = l.Room, units.MassPerArea(least*l.Holds.value)
			st.Left = max(0, st.Room-st.Applied)
			st.Free = l.Holds.value == 0
		}
		if !st.Free {
			a := l.allows()
			st.Allows, st.Slack = Rate{measure{form, a}}, Rate{measure{form, a - least}}
		}
		r.Limits = append(r.Limits, st)
	}
	// Insertion: stable, and quick for the ten limits of a field.
	for i := 1; i < len(r.Limits); i++ {
		for j := i; j > 0 && r.Limits[j].before(&r.Limits[j-1]); j-- {
			r.Limits[j], r.Limits[j-1] = r.Limits[j-1], r.Limits[j]
		}
	}
	r.Nutrients = r.Nutrients[:0]
	for i := range spec.Needs {
		n := &spec.Needs[i]
		r.Nutrients = append(r.Nutrients, newNutrientState(n.Name, n.Need, units.MassPerArea(least*n.Holds.value)))
	}
	return nil
}

func (s *LimitState) before(t *LimitState) bool {
	if s.Free != t.Free {
		return t.Free
	}
	return !s.Free && s.Allows.value < t.Allows.value
}

// check returns the form of the material, and every fault of s.
func (s *FieldRateSpec) check() (Form, error) {
	var f units.Faults
	if len(s.Limits) == 0 {
		f.Missing("limits", "at least one limit")
		return 0, f.Err()
	}
	var form Form
	for i := range s.Limits {
		if form = s.Limits[i].form(); form != 0 {
			break
		}
	}
	for i := range s.Limits {
		if l := &s.Limits[i]; !l.sound(form) {
			at := f.At("limits", i)
			l.check(&at, form)
		}
	}
	for i := range s.Needs {
		if n := &s.Needs[i]; !contentOf.has(n.Holds.measure, form) || !loadBounds.has(float64(n.Need)) {
			at := f.At("needs", i)
			at.Sub("holds", n.Holds.Check(form))
			notNegative(&at, "need", n.Need)
		}
	}
	return form, f.Err()
}

// Binding returns the limit that sets the rate.
func (r FieldRateResult) Binding() LimitState {
	if len(r.Limits) == 0 {
		return LimitState{}
	}
	return r.Limits[0]
}

// Working shows the limits in their order and what each nutrient gets.
func (r FieldRateResult) Working() units.Working {
	var w units.Working
	for i, l := range r.Limits {
		item := units.Words("%s allows", units.Word(l.Name))
		switch {
		case l.Free:
			w.Put(item, "no limit", units.Words("not held by the material"))
		case i == 0:
			w.Put(item, l.Allows, units.Words("binds"))
		default:
			w.Put(item, l.Allows, units.Words("would allow %v more", l.Slack))
		}
	}
	w.Add("rate", r.Rate, "the least of them")
	for _, n := range r.Nutrients {
		how := units.Words("meets the need")
		switch {
		case n.Missing > 0:
			how = units.Words("%v missing", n.Missing)
		case n.Excess > 0:
			how = units.Words("%v above the need", n.Excess)
		}
		w.Put(units.Words("%s applied", units.Word(n.Name)), n.Applied, how)
	}
	return w
}

// String is the table of the working.
func (r FieldRateResult) String() string { return r.Working().String() }

// Clone returns a copy that the next Evaluate into r leaves alone.
func (r FieldRateResult) Clone() FieldRateResult {
	return FieldRateResult{r.Rate, slices.Clone(r.Limits), slices.Clone(r.Nutrients)}
}
