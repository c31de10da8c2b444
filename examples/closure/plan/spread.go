package plan

import (
	"context"
	"fmt"
	"slices"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Names of the constituents that limits, needs and prices are about.
const (
	OfN    = land.OfN
	OfP2O5 = land.OfP2O5
	OfK2O  = land.OfK2O
	totalN = "total N" // the whole N of a stock
)

// Spread is where the streams of one route go.
type Spread struct {
	stage.Rows `json:"-"`
	Materials  []MaterialResult           `json:"materials"` // those that the route has, in the order of the scenario
	Allocated  *allocation.AllocateResult `json:"allocation,omitempty"`
	// Unplaced are materials that could not be planned for want of something, and those of
	// which the fields do not take all and nobody says what the rest costs.
	Unplaced []string `json:"unplaced,omitempty"`
}

// MaterialResult is what one material holds and what of it counts.
type MaterialResult struct {
	Name      string                    `json:"name"`
	Index     int                       `json:"-"` // in the scenario
	Stream    Stream                    `json:"stream"`
	Stock     nutrient.Amount           `json:"stock"`               // in the form in which it is handled
	Analysis  nutrient.Analysis         `json:"analysis,omitzero"`   // in that form
	Available *nutrient.AvailableResult `json:"available,omitempty"` // in the usual way; nil: no coefficient set
	Metals    *nutrient.MetalsResult    `json:"metals,omitempty"`    // nil: no rule, or no figure of the laboratory
	Holds     map[string]units.Mass     `json:"holds,omitempty"`     // of N, P2O5 and K2O in the whole stock
}

// spread works out the allocation at least cost of the streams of a route.
func spread(ctx context.Context, s *Scenario, in *inputs, list []Stream) (Spread, error) {
	r, q, err := question(s, in, list)
	if err != nil || q == nil {
		return r, err
	}
	if in.done != nil {
		if fromNow(&q.spec, in.done); len(q.spec.Materials) == 0 {
			return r, nil
		}
	}
	allocate := allocation.Allocate
	if in.allocator != nil {
		allocate = in.allocator.Allocate
	}
	result, err := allocate(ctx, q.spec)
	if err != nil {
		return r, placed(err, q.index)
	}
	r.Allocated = &result
	for i, m := range result.Materials {
		if m.Left.SI() > 0 && s.Materials[q.index[i]].Leave == nil {
			r.Unplaced = append(r.Unplaced, m.Name)
		}
	}
	return r, nil
}

// asked is the question of an allocation.
type asked struct {
	spec   allocation.AllocateSpec
	counts []land.Counts
	index  []int // of its materials, in the scenario
}

// question works out what the streams of a route hold, and asks where they go; nil where
// there is nothing to ask.
func question(s *Scenario, in *inputs, list []Stream) (Spread, *asked, error) {
	lib, fields := in.lib, in.fields
	var r Spread
	var f units.Faults
	used, index := make([]land.Material, 0, len(list)), make([]int, 0, len(list))
	r.Materials = make([]MaterialResult, 0, len(list))
	for _, stream := range list {
		i := slices.IndexFunc(s.Materials, func(m Material) bool { return m.Name == stream.Material })
		switch {
		case stream.Material == "":
			r.Open = append(r.Open, stage.Open{Key: "materials." + stream.Kind.String(), Who: stage.Planner, Stops: true,
				What:  units.Words("where %v of %v go", stream.Slurry.Volume, units.Word(stream.Kind.String())),
				Needs: units.Words("a material that takes this stream, with its set, its machine and the price of spreading it")})
			r.Unplaced = append(r.Unplaced, stream.Kind.String())
			continue
		case stream.Analysis == nil:
			r.Unplaced = append(r.Unplaced, stream.Material)
			continue
		}
		at := f.At("materials", i)
		m, err := r.material(s, lib, i, stream)
		at.Sub("", err)
		if lib.states[i] != nil && err == nil {
			used, index = append(used, s.spreadable(lib, &m, in.schedules)), append(index, i)
		}
		r.Materials = append(r.Materials, m)
	}
	if f.Err() != nil || fields == nil {
		return r, nil, f.Err()
	}
	q, ok, err := fields.Allocation(used)
	if err != nil {
		return r, nil, placed(err, index)
	}
	for _, c := range q.Counts {
		for i := range r.Materials {
			if m := &r.Materials[i]; c.Way < 0 && m.Name == c.Material {
				if err := m.counts(c.Available); err != nil {
					return r, nil, err
				}
			}
		}
	}
	if !ok {
		return r, nil, nil
	}
	return r, &asked{q.Spec, q.Counts, index}, nil
}

// placed puts the faults of an allocation at the places of the scenario, whose list of
// materials may be longer: index is that of each material.
func placed(err error, index []int) error {
	var f units.Faults
	for _, e := range units.FieldErrors(err) {
		path := e.Field
		for i, k := range index {
			if at := fmt.Sprintf("materials[%d]", i); units.PathWithin(path, at) {
				in := f.At("materials", k)
				reported(&in, e.At(path[min(len(at)+1, len(path)):]))
				path = ""
				break
			}
		}
		if path != "" {
			f.Sub("land", e)
		}
	}
	if f.Err() == nil {
		return err // no fault of the input
	}
	return f.Err()
}

// reported puts the faults of an analysis at the reports that it is made of.
func reported(f *units.Faults, err error) {
	for _, e := range units.FieldErrors(err) {
		if units.PathWithin(e.Field, "analysis") {
			e = e.At("reports")
		}
		f.Sub("", e)
	}
}

// material works out what material i of the scenario holds as it goes to the land.
func (r *Spread) material(s *Scenario, lib library, i int, stream Stream) (MaterialResult, error) {
	in := &s.Materials[i]
	out := MaterialResult{Name: in.Name, Index: i, Stream: stream}
	var f units.Faults
	var err error
	out.Analysis, out.Stock, err = stream.in(in.form())
	f.Sub("", err)
	if f.Err() != nil {
		return out, f.Err()
	}
	out.Holds = map[string]units.Mass{}
	for _, h := range []struct {
		of      string
		content nutrient.Content
	}{{totalN, out.Analysis.TotalN}, {OfP2O5, out.Analysis.P2O5()}, {OfK2O, out.Analysis.K2O()}} {
		out.Holds[h.of], err = h.content.Times(out.Stock)
		f.Sub("reports", err)
	}
	open := func(missing bool, key string, who stage.Who, what, needs string) {
		if missing {
			r.Open = append(r.Open, stage.Open{Key: "materials." + in.Name + "." + key, Who: who, What: units.Words(what, units.Word(in.Name)), Needs: units.Words(needs)})
		}
	}
	open(in.Set == "", "set", stage.Planner, "how much of the N of %v counts, and so its rate and its fields", "the coefficients of the state for available N, and how it is put on")
	if in.Set == "" {
		r.Unplaced = append(r.Unplaced, in.Name)
	}
	open(in.Machine == "", "machine", stage.Contractor, "which machine puts %v on, and whether it reaches the rate", "the machine that does it, with its calibration")
	open(in.Spread == nil, "spread", stage.Contractor, "what it costs to load and spread %v", "a price by volume or by weight; 0 where it is counted elsewhere")
	if lib.metals == nil {
		return out, f.Err()
	}
	loads, err := lib.metals.Loads(out.Analysis)
	if err != nil {
		open(true, "metals", stage.Laboratory, "whether metals limit the rate of %v", "copper, zinc and what else the rule names in every report")
		return out, f.Err()
	}
	metals, err := nutrient.Metals(nutrient.MetalsSpec{Table: *lib.metals, Annual: s.Metals.Annual, Metals: loads})
	f.Sub("reports", err)
	out.Metals = &metals
	return out, f.Err()
}

// counts sets what becomes available.
func (m *MaterialResult) counts(a nutrient.AvailableResult) (err error) {
	m.Available = &a
	m.Holds[OfN], err = a.Years[0].N.High.Times(m.Stock)
	return err
}

// spreadable is a material as the land asks for it.
func (s *Scenario) spreadable(lib library, m *MaterialResult, known map[string][]*nutrient.Schedule) land.Material {
	in := &s.Materials[m.Index]
	out := land.Material{Name: m.Name, Stock: m.Stock, Analysis: m.Analysis, State: lib.states[m.Index], Query: in.Query, Ways: in.Ways, Seasons: in.Seasons,
		Passes: in.Passes, Spread: orFree(in.Spread, in.form()), HaulPerMile: orFree(in.Haul, in.form()), Load: in.Load, Schedules: known[m.Name]}
	if in.Leave != nil {
		out.Leave = *in.Leave
	}
	if c := s.Closing; m.Stream.Works == SoakedSoil && c != nil && c.Soaked != nil {
		out.Ways = append(slices.Clip(out.Ways), onlyOn(s.Land, c.Soaked.Destination)...)
	}
	if m.Metals != nil {
		for _, l := range m.Metals.Limits {
			// One that nothing but a lake of material reaches is none.
			if l.Holds.SI() > 0 && float64(l.Room)/l.Holds.SI() < mostRate {
				out.Metals = append(out.Metals, l)
			}
		}
	}
	for _, x := range s.Machines {
		if x.Name != in.Machine {
			continue
		}
		if x.Kind == Irrigation || x.Kind == Hose {
			out.Needs = x.Name
		}
		if x.Most.Form() == in.form() {
			out.MostPerPass = x.Most
		}
	}
	return out
}

// mostRate is a rate, in SI units, that no field is given: 10 m of liquid, or 10 kg to
// the square metre.
const mostRate = 10

// orFree is a price, 0 where none was told.
func orFree(p *nutrient.UnitPrice, form nutrient.Form) nutrient.UnitPrice {
	switch {
	case p != nil:
		return *p
	case form == nutrient.Solid:
		return nutrient.SolidPrice(0)
	}
	return nutrient.LiquidPrice(0)
}
