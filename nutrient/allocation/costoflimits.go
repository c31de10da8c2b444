package allocation

import (
	"context"
	"fmt"

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
// [nutrient.LimitPhosphorus] it is the cost of rates by P against rates by N. The
// errors are those of [Allocate], on the field allocate.
func CostOfLimits(ctx context.Context, spec CostOfLimitsSpec) (CostOfLimitsResult, error) {
	var f units.Faults
	f.Sub("kind", spec.Kind.Check())
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
