package allocation

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/internal/lp"
	"example.org/earthbasin/units"
)

// RobustSpec is an allocation, and what its materials may turn out to be.
type RobustSpec struct {
	Allocate AllocateSpec `json:"allocate"` // with the best figures
	// Draws are what may turn out, each as likely as any other, 20 to 10,000: from the
	// interval of the volume and the spread of the laboratory's results.
	Draws []Draw  `json:"draws"`
	Keep  float64 `json:"keep"` // share of the draws in which every limit has to hold, 0.5 to 1, such as 0.95
}

// Draw is what the materials turn out to be, in the order of the spec.
type Draw struct {
	Materials []MaterialDraw `json:"materials"` // one for each material
}

// MaterialDraw is one material in a draw, against the best figures.
type MaterialDraw struct {
	Stock float64   `json:"stock"`          // times the stock of the spec, 0.01 to 100
	Holds []float64 `json:"holds,omitzero"` // times the content of each holding, in their order, 0 to 100; none: all as they are
}

// BrokenLimit is a limit of a field that a plan breaks in some draws.
type BrokenLimit struct {
	Field  string  `json:"field"`           // its name
	Limit  string  `json:"limit"`           // name, else kind
	Season string  `json:"season,omitzero"` // or year; empty: all seasons together
	Share  float64 `json:"share"`           // of the draws in which it does not hold
}

// RobustResult is a plan that holds, and what that costs.
type RobustResult struct {
	Keep      float64        `json:"keep"`      // as in the spec
	Draws     int            `json:"draws"`     // how many there were
	Plain     AllocateResult `json:"plain"`     // the plan by the best figures
	PlainKept float64        `json:"plainKept"` // share of the draws in which it keeps every limit
	Plan      AllocateResult `json:"plan"`      // the plan that holds; its rooms are those left by the safety
	Kept      float64        `json:"kept"`      // share of the draws in which it keeps every limit, by counting them
	// Level is the quantile of what the draws bring by which the rooms were cut, 0 to 1;
	// 0 where the plain plan holds as it is.
	Level     float64           `json:"level"`
	Price     float64           `json:"price"`           // net cost of the plan less that of the plain one, in the currency of the prices
	ExtraArea units.Area        `json:"extraArea"`       // of fields in use, against the plain plan
	Left      []nutrient.Amount `json:"left"`            // of each material, that finds no safe place and found one in the plain plan, in the order of the spec
	Broken    []BrokenLimit     `json:"broken,omitzero"` // of the plain plan, the one most often broken first, at most 20
}

const (
	leastDraws, mostDraws = 20, 10_000
	mostDrawnRows         = 100_000_000 // draws x limits of all fields
	robustTrials          = 9           // levels that are tried; each halves what is not known
	mostBroken            = 20
)

// Robust plans so that every limit holds in a share of the draws, and says what that
// safety costs. In a draw all of a material goes where the plan sends it, in the shares
// of the plan, so that more of it means higher rates, and holds what it turns out to
// hold; the limits are those of the spec. The rooms are cut by a quantile of what the
// draws bring to each limit, the plan is made anew, and the draws are counted; the
// lowest quantile that keeps enough of them is found by halving. The last trial cuts by
// the worst of all draws, which none breaks, so that there always is an answer; what
// finds no place then is left.
//
// Faults are those of [Allocate] on the field allocate, and [units.FieldError] of the
// draws. The search ends with the error of ctx.
func Robust(ctx context.Context, spec RobustSpec) (RobustResult, error) {
	m, err := spec.build()
	if err != nil {
		return RobustResult{}, err
	}
	r, err := spec.search(ctx, m)
	if errors.Is(err, lp.ErrUnsolved) {
		err = m.unsolved()
	}
	return r, err
}

func (spec *RobustSpec) build() (*model, error) {
	var f units.Faults
	f.CountBetween("draws", len(spec.Draws), "draws", leastDraws, mostDraws)
	f.NumberBetween("keep", spec.Keep, 0.5, 1)
	rows := 0
	for i := range spec.Allocate.Fields {
		rows += len(spec.Allocate.Fields[i].Limits)
	}
	if len(spec.Draws) <= mostDraws && rows*len(spec.Draws) > mostDrawnRows {
		f.Count("draws", len(spec.Draws), "draws", "at most %v for so many limits", mostDrawnRows/rows)
	}
	for i := range spec.Draws[:min(len(spec.Draws), mostDraws)] {
		at := f.At("draws", i)
		spec.checkDraw(&at, &spec.Draws[i])
	}
	m, err := build(&spec.Allocate, false)
	f.Sub("allocate", err)
	return m, f.Err()
}

func (spec *RobustSpec) checkDraw(f *units.Faults, d *Draw) {
	materials := spec.Allocate.Materials
	if len(d.Materials) != len(materials) {
		f.Count("materials", len(d.Materials), "materials", "%v, as the spec has", len(materials))
		return
	}
	for i := range d.Materials {
		x := &d.Materials[i]
		at := f.At("materials", i)
		at.NumberBetween("stock", x.Stock, 0.01, 100)
		if n := len(materials[i].Holds); len(x.Holds) != 0 && len(x.Holds) != n {
			at.Count("holds", len(x.Holds), "contents", "%v, one for each holding, or none", n)
			continue
		}
		for j, h := range x.Holds {
			held := at.At("holds", j)
			held.NumberBetween("", h, 0, 100)
		}
	}
}

// times returns by how much a draw changes what material i brings of a constituent, or
// of itself when of is below 0.
func (spec *RobustSpec) times(m *model, d *Draw, i, of int) float64 {
	x := &d.Materials[i]
	if of < 0 || len(x.Holds) == 0 {
		return x.Stock
	}
	for j := range x.Holds {
		if m.of[spec.Allocate.Materials[i].Holds[j].Of] == of {
			return x.Stock * x.Holds[j]
		}
	}
	return x.Stock
}

// brought is what the materials bring to one limit of a field, as parts of its room.
type brought struct {
	field, limit, of int
	by               []float64 // by material
}

// brings lists what a plan brings to each limit.
func (m *model) brings(p *plan) (list []brought) {
	for k := range m.Blocks {
		for i := range m.rows[k] {
			r := &m.rows[k][i]
			if r.limit < 0 {
				continue
			}
			b := brought{field: k, limit: r.limit, of: r.of, by: make([]float64, len(m.Stock))}
			used := false
			for j, x := range p.placed[k] {
				if x > 0 {
					w := &m.ways[k][j]
					b.by[w.material] += x * m.use(r, w) / r.room
					used = used || b.by[w.material] > 0
				}
			}
			if used {
				list = append(list, b)
			}
		}
	}
	return list
}

// roomSlack is the part of a room by which rounding may be out.
const roomSlack = 1e-7

// count returns the share of the draws in which a plan keeps all limits of m, and with
// broken how often it breaks each.
func (spec *RobustSpec) count(m *model, list []brought, broken []int) float64 {
	kept := 0
	for i := range spec.Draws {
		d := &spec.Draws[i]
		holds := true
		for j := range list {
			b := &list[j]
			var sum float64
			for k, x := range b.by {
				if x != 0 {
					sum += x * spec.times(m, d, k, b.of)
				}
			}
			if sum > 1+roomSlack {
				holds = false
				if broken == nil {
					break
				}
				broken[j]++
			}
		}
		if holds {
			kept++
		}
	}
	return float64(kept) / float64(len(spec.Draws))
}

// search looks for the lowest level at which enough draws are kept.
func (spec *RobustSpec) search(ctx context.Context, m *model) (RobustResult, error) {
	r := RobustResult{Keep: spec.Keep, Draws: len(spec.Draws), Left: []nutrient.Amount{}}
	plain, p, err := m.allocate(ctx)
	if err != nil {
		return RobustResult{}, err
	}
	list := m.brings(&p)
	broken := make([]int, len(list))
	r.Plain, r.PlainKept = plain, spec.count(m, list, broken)
	r.Broken = spec.broken(list, broken)
	r.Plan, r.Kept = r.Plain, r.PlainKept
	if r.Kept < spec.Keep {
		low, high := 0.0, 1.0
		for range robustTrials {
			level := (low + high) / 2
			plan, kept, err := spec.at(ctx, m, list, level)
			if err != nil {
				return RobustResult{}, err
			}
			if kept >= spec.Keep {
				high, r.Level, r.Plan, r.Kept = level, level, plan, kept
			} else {
				low = level
			}
		}
		if r.Level == 0 { // nothing but the worst of all draws
			if r.Plan, r.Kept, err = spec.at(ctx, m, nil, 1); err != nil {
				return RobustResult{}, err
			}
			r.Level = 1
		}
	}
	r.Price = r.Plan.Net - r.Plain.Net
	r.ExtraArea = r.Plan.area(&spec.Allocate) - r.Plain.area(&spec.Allocate)
	for i, x := range r.Plan.Materials {
		r.Left = append(r.Left, amountOf(x.Left.Form(), max(0, x.Left.SI()-r.Plain.Materials[i].Left.SI())))
	}
	return r, nil
}

// at plans with rooms cut at a level, first by what the plain plan brings to each limit
// and then by what the plan so made brings, and counts the draws that it keeps. Without
// a list each room is cut by the worst of all materials.
func (spec *RobustSpec) at(ctx context.Context, m *model, list []brought, level float64) (r AllocateResult, kept float64, err error) {
	for range 2 {
		tight := spec.tightened(m, list, level)
		safe, err := build(&tight, false)
		if err != nil {
			return r, 0, err
		}
		var p plan
		if r, p, err = safe.allocate(ctx); err != nil {
			return r, 0, err
		}
		// Blocks and ways stand in the same order, with the rooms of the spec.
		now := m.brings(&p)
		if kept = spec.count(m, now, nil); list == nil || kept >= spec.Keep {
			break
		}
		list = now
	}
	return r, kept, nil
}

// tightened is the spec with rooms cut by a quantile of what the draws bring to each
// limit in the mix of the list, or of all materials where it says nothing of a limit.
func (spec *RobustSpec) tightened(m *model, list []brought, level float64) AllocateSpec {
	by := map[[2]int]*brought{}
	for i := range list {
		by[[2]int{list[i].field, list[i].limit}] = &list[i]
	}
	factors := make([]float64, len(spec.Draws))
	// most is by how much the room for a constituent is cut, by the material that brings it.
	most := map[[2]int]float64{}
	alone := func(i, of int) float64 {
		key := [2]int{i, of}
		if q, ok := most[key]; ok {
			return q
		}
		for d := range spec.Draws {
			factors[d] = spec.times(m, &spec.Draws[d], i, of)
		}
		most[key] = quantile(factors, level)
		return most[key]
	}
	out := spec.Allocate
	out.Fields = slices.Clone(out.Fields)
	for k := range out.Fields {
		fd := &out.Fields[k]
		fd.Limits = slices.Clone(fd.Limits)
		for i := range m.rows[k] {
			r := &m.rows[k][i]
			if r.limit < 0 {
				continue
			}
			cut := 1.0
			if b := by[[2]int{k, r.limit}]; b != nil {
				cut = max(cut, spec.mixed(m, b, level, factors, alone))
			} else {
				for j := range m.Stock {
					cut = max(cut, alone(j, r.of))
				}
			}
			l := &fd.Limits[r.limit]
			if l.Of != "" {
				l.Room /= units.MassPerArea(cut)
			} else {
				l.Rate = rateOf(l.Rate.Form(), l.Rate.SI()/cut)
			}
		}
	}
	return out
}

// mixed is the quantile of what the draws bring to a limit of one or several materials.
func (spec *RobustSpec) mixed(m *model, b *brought, level float64, factors []float64, alone func(i, of int) float64) float64 {
	var sum float64
	var those []int
	for i, x := range b.by {
		if sum += x; x > 0 {
			those = append(those, i)
		}
	}
	if len(those) == 1 {
		return alone(those[0], b.of)
	}
	for d := range spec.Draws {
		factors[d] = 0
		for _, i := range those {
			factors[d] += b.by[i] / sum * spec.times(m, &spec.Draws[d], i, b.of)
		}
	}
	return quantile(factors, level)
}

// quantile sorts the values and returns the least that a share of them does not pass.
func quantile(values []float64, share float64) float64 {
	slices.Sort(values)
	return values[max(0, min(len(values)-1, int(math.Ceil(share*float64(len(values))))-1))]
}

// broken lists the limits that are broken in some draws.
func (spec *RobustSpec) broken(list []brought, times []int) (out []BrokenLimit) {
	for j, b := range list {
		if times[j] > 0 {
			l := &spec.Allocate.Fields[b.field].Limits[b.limit]
			out = append(out, BrokenLimit{spec.Allocate.Fields[b.field].Name, l.label(), l.Season, float64(times[j]) / float64(len(spec.Draws))})
		}
	}
	slices.SortStableFunc(out, func(a, b BrokenLimit) int { return cmp.Compare(b.Share, a.Share) })
	return out[:min(len(out), mostBroken)]
}

// Working shows how often the plain plan and this one hold, and what the safety costs.
func (r RobustResult) Working() units.Working {
	var w units.Working
	draws := units.Count{N: r.Draws, Of: "draws"}
	w.Add("plain plan keeps every limit", units.Share(r.PlainKept), "of %v", draws)
	for _, b := range r.Broken {
		name := units.Words("  broken: %s, %s", units.Word(b.Field), units.Word(b.Limit))
		if b.Season != "" {
			name = name.And(" in %s", units.Word(b.Season))
		}
		w.Put(name, units.Share(b.Share), units.Phrase{})
	}
	how := units.Words("rooms cut by the quantile %.3f of what the draws bring", r.Level)
	if r.Level == 0 {
		how = units.Words("the plain plan as it is")
	}
	w.Put(units.Words("this plan keeps every limit"), units.Share(r.Kept), how)
	w.Add("price of the safety", units.Money(r.Price), "net cost %v in place of %v", units.Money(r.Plan.Net), units.Money(r.Plain.Net))
	w.Add("more land in use", r.ExtraArea, "")
	for i, left := range r.Left {
		if left.SI() > 0 && i < len(r.Plan.Materials) {
			w.Put(units.Words("%s without a safe place", units.Word(r.Plan.Materials[i].Name)), left, units.Phrase{})
		}
	}
	return w
}

// String is the table of the working.
func (r RobustResult) String() string { return r.Working().String() }
