package allocation

import (
	"context"
	"errors"

	"example.org/earthbasin/nutrient/internal/lp"
	"example.org/earthbasin/units"
)

// Allocate plans which field takes how much of which material in which season, at
// the least cost of hauling and spreading less the value of the nutrients that
// the fields need, with no limit broken. It is a linear program, solved by
// column generation (Dantzig and Wolfe, Operations Research 8, 1960), after which
// loads are made whole: amounts are cut down to whole loads, and single loads go
// where they save most, or stay behind where that is cheaper, until none saves
// anything. That is not proved to be the least; the Gap says how far it can be above
// it. The same spec gives the same plan.
//
// Where the fields cannot take everything, what is left behind is the least, m3
// and t counted alike, and the Shortage says what is missing; what only whole loads
// leave no room for is no shortage.
//
// Wrong values, unknown or double names and ways on which nothing limits the amount
// are a [units.FieldError]. So are sizes above those that the fields of the spec
// name, and a table of more than a million numbers, (limits + needs) x (limits +
// needs + materials x seasons) summed over the fields: the work grows a little
// faster than that table, which takes a second or so at its largest. The search
// ends with the error of ctx when that is done.
func Allocate(ctx context.Context, spec AllocateSpec) (AllocateResult, error) {
	return new(Allocator).Allocate(ctx, spec)
}

// Allocator plans one allocation after the other, each in the memory that the one before
// has left, with the results of [Allocate]. Its zero value is ready. It is not safe for
// concurrent use: every goroutine has its own.
type Allocator struct {
	// Brief leaves the limits and needs of the fields, and what more of a field would save,
	// out of the result, for callers that look at amounts and money alone.
	Brief bool

	m model
}

// Allocate is [Allocate] in the memory of a.
func (a *Allocator) Allocate(ctx context.Context, spec AllocateSpec) (AllocateResult, error) {
	m := &a.m
	m.brief = a.Brief
	if err := m.build(&spec, false); err != nil {
		return AllocateResult{}, err
	}
	r, _, err := m.allocate(ctx)
	if errors.Is(err, lp.ErrUnsolved) {
		err = m.unsolved()
	}
	return r, err
}

// allocate returns the result, and the plan of amounts that it shows.
func (m *model) allocate(ctx context.Context) (AllocateResult, plan, error) {
	s, err := m.solve(ctx)
	if err != nil {
		return AllocateResult{}, plan{}, err
	}
	p := m.whole(&s).plan
	bound, err := m.bound(ctx, &s, &p)
	if err != nil {
		return AllocateResult{}, plan{}, err
	}
	r := m.result(&s, p, bound)
	if m.short(&s) {
		if r.Shortage, err = m.shortage(ctx, &s); err != nil {
			return AllocateResult{}, plan{}, err
		}
	}
	return r, p, nil
}

// unsolved is the error for numbers so far apart that the program fails.
func (m *model) unsolved() error {
	var f units.Faults
	f.Say("fields", "limits too far apart to be worked with", "limits within a dozen powers of ten of each other")
	return f.Err()
}
