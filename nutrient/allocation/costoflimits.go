package allocation

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// CostOfLimitsSpec is a plan and the limits whose cost is asked for.
type CostOfLimitsSpec struct {
	Allocate AllocateSpec       `json:"allocate"` // the plan with all its limits
	Kind     nutrient.LimitKind `json:"kind"`     // of the limits
}

// CostOfLimitsResult is what the limits of one kind cost.
type CostOfLimitsResult struct {
	Kind        nutrient.LimitKind `json:"kind"`        // of the limits
	Extra       float64            `json:"extra"`       // net cost with them less net cost without, in the currency of the prices
	ExtraArea   units.Area         `json:"extraArea"`   // fields in use with them less those in use without
	With        AllocateResult     `json:"with"`        // the plan with them
	WithoutThem AllocateResult     `json:"withoutThem"` // the plan without
}

// CostOfLimits plans twice, with and without the limits of one kind: with
// [nutrient.LimitPhosphorus] it is the cost of rates by P against rates by N. A kind of
// which no field has a limit is a [units.FieldError] on kind; the other errors are those
// of [Allocate], on the field allocate.
func CostOfLimits(ctx context.Context, spec CostOfLimitsSpec) (CostOfLimitsResult, error) {
	var f units.Faults
	if err := spec.Kind.Check(); err != nil {
		f.Sub("kind", err)
	} else if kinds := spec.Allocate.kinds(); len(spec.Allocate.Fields) > 0 && !slices.Contains(kinds, spec.Kind) {
		f.Fault(units.FaultName, "kind", string(spec.Kind), "the kind of a limit of the fields: %s", units.Word(words(kinds)))
	}
	r := CostOfLimitsResult{Kind: spec.Kind}
	var err error
	r.With, err = Allocate(ctx, spec.Allocate)
	if f.Sub("allocate", err); f.Err() != nil {
		return CostOfLimitsResult{}, f.Err()
	}
	if r.WithoutThem, err = Allocate(ctx, spec.Allocate.Without(spec.Kind)); err != nil {
		f.Sub("allocate", err)
		return CostOfLimitsResult{}, fmt.Errorf("without the limits on %v: %w", spec.Kind, f.Err())
	}
	r.Extra = r.With.Net - r.WithoutThem.Net
	r.ExtraArea = r.With.area(&spec.Allocate) - r.WithoutThem.area(&spec.Allocate)
	return r, nil
}

// kinds returns the kinds of the limits of all fields, in alphabetical order.
func (s AllocateSpec) kinds() (list []nutrient.LimitKind) {
	for i := range s.Fields {
		for j := range s.Fields[i].Limits {
			list = append(list, s.Fields[i].Limits[j].Kind)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// words lists kinds, as far as a fault shows them.
func words(kinds []nutrient.LimitKind) string {
	var list []string
	for _, k := range kinds[:min(len(kinds), namesShown)] {
		list = append(list, string(k))
	}
	return strings.Join(list, ", ")
}

// Working shows the net cost with the limits and without, and the difference.
func (r CostOfLimitsResult) Working() units.Working {
	var w units.Working
	kind := units.Word(r.Kind)
	w.Put(units.Words("net cost with the limits on %s", kind), units.Money(r.With.Net), units.Phrase{})
	w.Put(units.Words("net cost without them"), units.Money(r.WithoutThem.Net), units.Phrase{})
	w.Put(units.Words("cost of the limits on %s", kind), units.Money(r.Extra), units.Words("with less without"))
	w.Put(units.Words("more land in use"), r.ExtraArea, units.Words("with less without"))
	for i, m := range r.With.Materials {
		if i < len(r.WithoutThem.Materials) && (m.Left.SI() > 0 || r.WithoutThem.Materials[i].Left.SI() > 0) {
			w.Put(units.Words("%s left", units.Word(m.Name)), m.Left, units.Words("%v without the limits", r.WithoutThem.Materials[i].Left))
		}
	}
	return w
}

// String is the table of the working.
func (r CostOfLimitsResult) String() string { return r.Working().String() }

// area returns the area of the fields that take anything.
func (r *AllocateResult) area(spec *AllocateSpec) (sum units.Area) {
	used := map[string]bool{}
	for _, p := range r.Placements {
		used[p.Field] = true
	}
	for _, f := range spec.Fields {
		if used[f.Name] {
			sum += f.Area
		}
	}
	return sum
}
