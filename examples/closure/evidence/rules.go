package evidence

import (
	_ "embed"
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Rules are the rows and steps of a place.
type Rules struct {
	Rows  []Row  `json:"rows,omitempty"`  // up to 500, each key once among rows and steps
	Steps []Step `json:"steps,omitempty"` // up to 200
}

// Row is something to do and to keep on file.
type Row struct {
	Key  string `json:"key"`  // such as "sampling.cores"
	What string `json:"what"` // is done, and how; {cores} stands for a figure of the site
	When string `json:"when"` // in plain words, with figures likewise
	// Phase is "before" the basin is touched, or "after" it is closed; empty while the work
	// goes on.
	Phase stage.Phase `json:"phase,omitempty"`
	// Task is the kind of task it hangs on; a plan without one does without the row. Empty
	// for the whole job.
	Task   stage.Kind  `json:"task,omitempty"`
	Who    stage.Who   `json:"who"`             // confirms it
	If     []Condition `json:"if,omitempty"`    // all of them hold
	IfNot  []Condition `json:"ifNot,omitempty"` // none of them holds
	Source string      `json:"source"`          // title, number, year; or "common practice, no source"
}

// Step is a notice, a permit, a sample, a laboratory or a decision: a moment in the
// calendar that other tasks wait for.
type Step struct {
	Key  string `json:"key"`
	What string `json:"what"`
	// Kind is the kind of task it is. Where the plan has tasks of the kind these are the
	// step, and none is added.
	Kind stage.Kind `json:"kind,omitempty"`
	Who  stage.Who  `json:"who"` // answers it
	// After are the kinds of tasks, and Follows the steps, that come before it, with Lag or
	// Days between.
	After   []stage.Kind `json:"after,omitempty"`
	Follows []string     `json:"follows,omitempty"`
	Lag     string       `json:"lag,omitempty"` // name of a lag of the site
	Days    int          `json:"days,omitempty"`
	// Before are the kinds of tasks that need it, with the lag Wait between.
	Before []stage.Kind `json:"before,omitempty"`
	Wait   string       `json:"wait,omitempty"` // name of a lag of the site
	// Through keeps it to those tasks of Before that come after one of After anyway.
	Through bool        `json:"through,omitempty"`
	Hold    string      `json:"hold,omitempty"` // what is at hand before, or what is done when it fails
	If      []Condition `json:"if,omitempty"`
	IfNot   []Condition `json:"ifNot,omitempty"`
	Source  string      `json:"source"`
}

// Change is what a state, a county or a contract strikes from the list and adds to it.
// To change a row it is struck and added anew.
type Change struct {
	Name   string   `json:"name"`             // whose rules they are
	Strike []string `json:"strike,omitempty"` // keys
	Add    Rules    `json:"add,omitzero"`
}

// Condition is something about the site that rows hang on.
type Condition string

// The conditions.
const (
	Wells       Condition = "wells"             // a well within the distance that the regulator names
	HerdStays   Condition = "herd stays"        // animals stay on the site
	Stormwater  Condition = "stormwater permit" // the earthwork needs one
	Tile        Condition = "tile"              // fields or site have drain tile
	PublicRoad  Condition = "public road"       // hauling or hose on or under one
	OtherFarms  Condition = "other farms"       // machines come from or go to other farms with animals
	OthersLand  Condition = "others' land"      // material goes to land or people outside the plan
	CostShare   Condition = "cost share"        // a payment is asked for
	Fills       Condition = "fill"              // the basin is filled or graded
	Pond        Condition = "pond"              // the basin becomes a pond
	LinerStays  Condition = "liner stays"       // the liner is not dug out
	SludgeStays Condition = "sludge stays"      // some sludge stays where the regulator lets it
	Biosolids   Condition = "metals rule"       // a rule on metals or pathogens applies to the material
)

// conditions is every condition, in the order of its constant.
var conditions = []Condition{Wells, HerdStays, Stormwater, Tile, PublicRoad, OtherFarms, OthersLand, CostShare, Fills, Pond, LinerStays, SludgeStays, Biosolids}

//go:embed base.json
var base []byte

// Base is the list that every closure starts from.
func Base() Rules {
	r, err := ParseRules(base)
	if err != nil {
		panic(err) // held by a test
	}
	return r
}

// ParseRules reads rules from JSON and checks them. Every fault is reported, with its
// path.
func ParseRules(data []byte) (Rules, error) {
	var r Rules
	err := strict.Check(data, &r, func() error {
		var f units.Faults
		r.check(&f, true)
		return f.Err()
	})
	if err != nil {
		return Rules{}, err
	}
	return r, nil
}

// ParseChange reads a change from JSON and checks it by itself.
func ParseChange(data []byte) (Change, error) {
	var c Change
	err := strict.Check(data, &c, func() error {
		var f units.Faults
		if c.Name == "" {
			f.Missing("name", "whose rules they are")
		}
		at := f.At("add")
		c.Add.check(&at, false)
		return f.Err()
	})
	if err != nil {
		return Change{}, err
	}
	return c, nil
}

// List is a base with changes made, in their order: each strikes first and then adds.
// What is struck and not there, and what is added twice, are faults.
func List(base Rules, changes ...Change) (Rules, error) {
	var f units.Faults
	r := Rules{slices.Clone(base.Rows), slices.Clone(base.Steps)}
	for i, c := range changes {
		at := f.At("changes", i)
		for j, key := range c.Strike {
			row := slices.IndexFunc(r.Rows, func(row Row) bool { return row.Key == key })
			step := slices.IndexFunc(r.Steps, func(s Step) bool { return s.Key == key })
			switch {
			case row >= 0:
				r.Rows = replaced(r.Rows, row, c.Add.Rows, func(row Row) string { return row.Key })
			case step >= 0:
				r.Steps = replaced(r.Steps, step, c.Add.Steps, func(s Step) string { return s.Key })
			default:
				in := at.At("strike", j)
				in.Fault(units.FaultName, "", key, "the key of a row or step that there is")
			}
		}
		for _, row := range c.Add.Rows {
			if !slices.Contains(c.Strike, row.Key) {
				r.Rows = append(r.Rows, row)
			}
		}
		for _, s := range c.Add.Steps {
			if !slices.Contains(c.Strike, s.Key) {
				r.Steps = append(r.Steps, s)
			}
		}
	}
	r.check(&f, true)
	if err := f.Err(); err != nil {
		return Rules{}, err
	}
	return r, nil
}

// replaced is a list without one of its items, or with that which is added under its key
// in its place.
func replaced[T any](items []T, i int, added []T, key func(T) string) []T {
	for _, a := range added {
		if key(a) == key(items[i]) {
			items[i] = a
			return items
		}
	}
	return slices.Delete(items, i, i+1)
}

// check records what is wrong with the rules; where they are whole, steps follow only
// steps that there are.
func (r *Rules) check(f *units.Faults, whole bool) {
	f.CountBetween("rows", len(r.Rows), "rows", 0, 500)
	f.CountBetween("steps", len(r.Steps), "steps", 0, 200)
	place := map[string]int{}
	seen := func(at *units.Faults, key string) {
		switch _, twice := place[key]; {
		case key == "" || len(key) > 100 || strings.ContainsFunc(key, func(r rune) bool { return r <= ' ' || r > '~' }):
			at.Add("key", key, "up to 100 letters, digits and signs without spaces")
		case twice:
			at.Add("key", units.Words("%v given twice", key), "each key once among rows and steps; to change one, strike it first")
		}
	}
	for i, row := range r.Rows {
		at := f.At("rows", i)
		seen(&at, row.Key)
		place[row.Key] = -1
		texts(&at, "what", row.What, true)
		texts(&at, "when", row.When, true)
		kinds(&at, "task", row.Task)
		if !slices.Contains(stage.Phases(), row.Phase) {
			at.Fault(units.FaultName, "phase", string(row.Phase), "before, after, or none for while the work goes on")
		}
		common(&at, row.Who, row.Source, row.If, row.IfNot)
	}
	for i, s := range r.Steps {
		at := f.At("steps", i)
		seen(&at, s.Key)
		place[s.Key] = i
		s.check(&at)
	}
	for i, s := range r.Steps {
		at := f.At("steps", i)
		for j, key := range s.Follows {
			in := at.At("follows", j)
			if k, ok := place[key]; key == "" || whole && (!ok || k < 0 || k >= i) {
				in.Fault(units.FaultName, "", key, "the key of a step above")
			}
		}
	}
}

func (s *Step) check(f *units.Faults) {
	texts(f, "what", s.What, true)
	texts(f, "hold", s.Hold, false)
	kinds(f, "kind", s.Kind)
	for i, k := range append(slices.Clone(s.After), s.Before...) {
		field, j := "after", i
		if i >= len(s.After) {
			field, j = "before", i-len(s.After)
		}
		in := f.At(field, j)
		kinds(&in, "", k)
		if k == "" {
			in.Missing("", "a kind of task")
		}
	}
	if s.Days < 0 || s.Days > 3660 {
		f.Add("days", s.Days, "0 to 3660 days")
	}
	if s.Days > 0 && s.Lag != "" {
		f.Say("days", "days beside the name of a lag", "one of the two")
	}
	common(f, s.Who, s.Source, s.If, s.IfNot)
}

func common(f *units.Faults, who stage.Who, source string, lists ...[]Condition) {
	if !slices.Contains(stage.Parties(), who) {
		f.Fault(units.FaultName, "who", string(who), "one of %s", list(stage.Parties()))
	}
	if source == "" {
		f.Missing("source", `title, number, year, or "common practice, no source"`)
	}
	for i, field := range []string{"if", "ifNot"} {
		for j, c := range lists[i] {
			if !slices.Contains(conditions, c) {
				in := f.At(field, j)
				in.Fault(units.FaultName, "", string(c), "one of %s", list(conditions))
			}
		}
	}
}

func kinds(f *units.Faults, field string, k stage.Kind) {
	if k != "" && !slices.Contains(stage.Kinds(), k) {
		f.Fault(units.FaultName, field, string(k), "one of %s", list(stage.Kinds()))
	}
}

func texts(f *units.Faults, field, text string, needed bool) {
	if text == "" && needed {
		f.Missing(field, "a sentence")
	}
	if len(text) > 2000 {
		f.Count(field, len(text), "characters", "2,000 or fewer")
	}
	for _, name := range holes(text) {
		if !slices.Contains(figureNames, name) {
			f.Fault(units.FaultName, field, "{"+name+"}", "one of %s", list(figureNames))
		}
	}
}

// list is words with commas.
func list[T ~string](words []T) units.Word {
	texts := make([]string, len(words))
	for i, w := range words {
		texts[i] = string(w)
	}
	return units.Word(strings.Join(texts, ", "))
}
