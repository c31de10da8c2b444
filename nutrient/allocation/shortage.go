package allocation

import (
	"context"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/internal/lp"
	"example.org/earthbasin/units"
)

// Shortage says what is missing when the fields cannot take all material that
// has no price for leaving it. Any one of its answers would do alone.
type Shortage struct {
	Acres  units.Area    `json:"acres"`  // more land like the field Like would take what is left, in its mix; 0 when no field can
	Like   string        `json:"like"`   // name of the field of which the least would do
	Room   []MissingRoom `json:"room"`   // what is left brings of the constituents whose limits bind
	Relief []Relief      `json:"relief"` // storage first, then the kinds of limits in alphabetical order
}

// MissingRoom is the room that the rest would take up.
type MissingRoom struct {
	Of   string     `json:"of"`   // the constituent
	Mass units.Mass `json:"mass"` // 0 or more
}

// Relief is what would be left with one group of limits out of the way.
type Relief struct {
	Storage bool               `json:"storage,omitzero"` // every material can wait for every season: longer storage
	Kind    nutrient.LimitKind `json:"kind,omitzero"`    // without the limits of this kind
	Left    []nutrient.Amount  `json:"left"`             // by material, in the order of the spec
	All     bool               `json:"all"`              // everything is placed
}

// shortTol is the part of a stock that counts as left behind.
const shortTol = 1e-7

// short reports whether something is left that should have been placed.
func (m *model) short(s *lp.Solution) bool {
	for i, a := range m.spec.Materials {
		if a.Leave.IsZero() && s.Left[i] > shortTol*m.Stock[i] {
			return true
		}
	}
	return false
}

// shortage says what is missing. The error is that numbers are too far apart.
func (m *model) shortage(ctx context.Context, s *lp.Solution) (*Shortage, error) {
	sh := &Shortage{Room: []MissingRoom{}, Relief: []Relief{}}
	left := slices.Clone(s.Left)
	for i, a := range m.spec.Materials {
		if !a.Leave.IsZero() {
			left[i] = 0 // left because that is cheaper
		}
	}
	var err error
	if sh.Acres, sh.Like, err = m.moreLand(left); err != nil {
		return nil, err
	}
	var kinds []nutrient.LimitKind
	binds := make([]bool, len(m.of))
	for k := range m.Blocks {
		for i, r := range m.rows[k] {
			if r.limit < 0 || s.Row[k][i] == 0 {
				continue
			}
			if r.of >= 0 {
				binds[r.of] = true
			}
			if kind := m.spec.Fields[k].Limits[r.limit].Kind; !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
			}
		}
	}
	for name, c := range m.of {
		if !binds[c] {
			continue
		}
		var mass float64
		for i, x := range left {
			mass += x * m.periods.brings(m.hold[i][c], 0, together)
		}
		sh.Room = append(sh.Room, MissingRoom{name, units.Mass(mass)})
	}
	slices.SortFunc(sh.Room, func(a, b MissingRoom) int { return m.of[a.Of] - m.of[b.Of] })
	slices.Sort(kinds)
	wait := *m.spec
	wait.Materials = slices.Clone(wait.Materials)
	restricted := false
	for i := range wait.Materials {
		restricted = restricted || len(wait.Materials[i].Seasons) > 0
		wait.Materials[i].Seasons = nil
	}
	if restricted {
		if err := sh.relieve(ctx, Relief{Storage: true}, wait); err != nil {
			return nil, err
		}
	}
	for _, k := range kinds {
		if err := sh.relieve(ctx, Relief{Kind: k}, m.spec.Without(k)); err != nil {
			return nil, err
		}
	}
	return sh, nil
}

// relieve appends r with what the spec s leaves behind. Where nothing limits an
// amount any more, the stocks do.
func (sh *Shortage) relieve(ctx context.Context, r Relief, spec AllocateSpec) error {
	m, err := build(&spec, true)
	if err != nil {
		return err
	}
	s, err := m.solve(ctx)
	if err != nil {
		return err
	}
	for i, x := range s.Left {
		if x <= shortTol*m.Stock[i] {
			x = 0
		}
		r.Left = append(r.Left, m.amount(i, x))
	}
	r.All = !m.short(&s)
	sh.Relief = append(sh.Relief, r)
	return nil
}

// moreLand returns the least area of land like one of the fields, empty, that
// takes what is left, each material in the seasons in which it can be hauled.
func (m *model) moreLand(left []float64) (least units.Area, like string, err error) {
	for k := range m.Blocks {
		times, err := m.Blocks[k].Times(left)
		if err != nil {
			return 0, "", err
		}
		if times <= 0 {
			continue
		}
		if area := m.spec.Fields[k].Area / units.Area(times); like == "" || area < least {
			least, like = area, m.spec.Fields[k].Name
		}
	}
	return least, like, nil
}

// lines shows a shortage; none for nil.
func (sh *Shortage) lines() units.Working {
	var w units.Working
	if sh == nil {
		return w
	}
	if sh.Like != "" {
		w.Add("missing land", sh.Acres, "like %s", units.Word(sh.Like))
	}
	for _, r := range sh.Room {
		w.Put(units.Words("missing room for %s", units.Word(r.Of)), r.Mass, units.Words("in what is left"))
	}
	for _, r := range sh.Relief {
		item := units.Words("without the limits on %s", units.Word(r.Kind))
		if r.Storage {
			item = units.Words("stored until any season")
		}
		how := "something is left still"
		if r.All {
			how = "all is placed"
		}
		var left units.Phrase
		for i, a := range r.Left {
			if i > 0 {
				left = left.And(", ")
			}
			left = left.And("%v", a)
		}
		w.Put(item, left.And(" left"), units.Words(how))
	}
	return w
}
