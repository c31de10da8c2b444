package closing

import "example.org/earthbasin/units"

// Plan works out the alternatives side by side. Errors are [units.FieldError] with the
// path of the spec, all parts in one round; what is left out is no error but an open
// point of the outcome.
func Plan(spec Spec) (Result, error) {
	var f units.Faults
	s := read(spec, &f)
	if err := f.Err(); err != nil {
		return Result{}, err
	}
	r := Result{Chosen: spec.Chosen}
	for _, work := range []struct {
		alternative Alternative
		out         func(*site, *units.Faults) Outcome
	}{{AlternativeFill, fill}, {AlternativeBreach, breach}, {AlternativePond, pond}} {
		if !spec.Figures || work.alternative == spec.Chosen {
			r.Outcomes = append(r.Outcomes, work.out(s, &f))
		}
	}
	if err := f.Err(); err != nil {
		return Result{}, err
	}
	return r, nil
}
