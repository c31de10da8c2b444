package nutrient

import (
	"cmp"
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Limits of a file, far above any published rules; they bound the work of the checks.
const (
	maxTables = 500
	maxLines  = 20000 // cells of a file
)

// State is the rules of one jurisdiction, without faults. It is made by [NewState],
// [ParseState] or [PublishedState] and does not change.
type State struct {
	spec      StateSpec
	published bool // comes with the package: its id says all
	remarks   []string
	keys      []boundKey // the declared ones, those of the base, and the year
	tables    []*boundTable
	lines     map[string][]*line // by what they give, in the order of the file
	lacks     map[string][]*line // by what they do not give
	years     [poolCount]int     // last year with a line
}

// boundTable is a table of a state or of its base.
type boundTable struct {
	*Table
	source Source
	layer  int    // 0 for the file, 1 for its base, and so on
	path   string // of the table in its file
	when   []demand
	within map[int]interval // by key
}

// line is one printed figure with all that it asks for.
type line struct {
	table    *boundTable
	title    string // of the table or the column
	row, col int    // of the figure in the rows of the table
	gives    string
	unit     string
	token    string // as printed
	asks     []demand
	figure   figure
	per      []int    // keys whose values it multiplies
	perGives []string // figures of other tables that it multiplies
	over     float64  // standard of plus, in SI or the unit of the key
}

// lost ends the unit of a table that prints what is lost of a share.
const lost = " lost"

// shareUnit is the unit of what is left.
func (n *line) shareUnit() string { return strings.TrimSuffix(n.unit, lost) }

// ParseState reads the rules of a state from their JSON and checks them as [NewState]
// does. Faults have line and column.
func ParseState(data []byte) (*State, error) {
	s, err := strict.Make(data, NewState)
	return s, inOrder(err)
}

// inOrder returns faults in the order in which they stand in the file.
func inOrder(err error) error {
	list := units.FieldErrors(err)
	if list == nil {
		return err
	}
	slices.SortStableFunc(list, func(a, b *units.FieldError) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	var f units.Faults
	for _, e := range list {
		f.Sub("", e)
	}
	return f.Err()
}

// NewState checks the rules of a state and returns them. Every fault is a
// [units.FieldError] with its path: what a declaration or a table lacks, heads and
// cells that do not read, keys and choices that no line uses, questions that no line
// answers and no lack explains, questions that two lines answer, shares that add up
// to more than all over the years, and worked examples that come out otherwise.
func NewState(spec StateSpec) (*State, error) {
	spec = spec.clone()
	l := stateLoader{State: &State{spec: spec, lines: map[string][]*line{}, lacks: map[string][]*line{}}}
	l.load()
	if err := l.faults.Err(); err != nil {
		return nil, err
	}
	return l.State, nil
}

// clone copies what the caller may change.
func (spec StateSpec) clone() StateSpec {
	spec.Keys, spec.Tables, spec.Sources, spec.Words = slices.Clone(spec.Keys), slices.Clone(spec.Tables), maps.Clone(spec.Sources), maps.Clone(spec.Words)
	for i := range spec.Keys {
		k := &spec.Keys[i]
		k.Values, k.Also = slices.Clone(k.Values), maps.Clone(k.Also)
	}
	for i := range spec.Tables {
		t := &spec.Tables[i]
		t.By, t.Cols, t.Rows, t.Notes = slices.Clone(t.By), slices.Clone(t.Cols), slices.Clone(t.Rows), slices.Clone(t.Notes)
		t.When, t.Brackets, t.Round, t.Within, t.Footnotes = maps.Clone(t.When), maps.Clone(t.Brackets), maps.Clone(t.Round), maps.Clone(t.Within), maps.Clone(t.Footnotes)
		for j := range t.Cols {
			t.Cols[j] = maps.Clone(t.Cols[j])
		}
		for j := range t.Rows {
			t.Rows[j] = slices.Clone(t.Rows[j])
		}
		if t.Plus != nil {
			t.Plus = new(*t.Plus)
		}
	}
	if spec.Oxides != nil {
		spec.Oxides = new(*spec.Oxides)
	}
	spec.Lacks, spec.Checks = cloneLacks(spec.Lacks), cloneChecks(spec.Checks)
	return spec
}

func cloneLacks(list []Lack) []Lack {
	list = slices.Clone(list)
	for i, l := range list {
		list[i].Gives, list[i].When = slices.Clone(l.Gives), maps.Clone(l.When)
	}
	return list
}

func cloneChecks(list []Check) []Check {
	list = slices.Clone(list)
	for i, c := range list {
		list[i].Ask, list[i].Parts = maps.Clone(c.Ask), slices.Clone(c.Parts)
		for j, p := range list[i].Parts {
			list[i].Parts[j].Ask = maps.Clone(p.Ask)
		}
	}
	return list
}

// ID returns the name by which programs choose the state.
func (s *State) ID() string { return s.spec.ID }

// Jurisdiction returns where the rules apply.
func (s *State) Jurisdiction() string { return s.spec.Jurisdiction }

// Source returns where the tables come from that name no other source.
func (s *State) Source() Source { return s.spec.Source }

// Note returns what a user of the rules has to know, empty when nothing.
func (s *State) Note() string { return s.spec.Note }

// Oxides returns the factors that the examples of the source use; ok is false when
// the source names none.
func (s *State) Oxides() (o units.Oxides, ok bool) {
	if s.spec.Oxides == nil {
		return 0, false
	}
	return *s.spec.Oxides, true
}

// Lacks returns what the source or the file leaves open, with what it would give.
func (s *State) Lacks() []Lack {
	return cloneLacks(s.spec.Lacks)
}

// Remarks returns what the check found odd that is printed so: published ranges whose
// high ends add up to more than all over the years, of which a result counts no more
// than all. A file with neither an example nor the reason why is told of here, too.
func (s *State) Remarks() []string { return slices.Clone(s.remarks) }

// Checks returns the worked examples of the source, all of which the state works out
// as printed.
func (s *State) Checks() []Check {
	return cloneChecks(s.spec.Checks)
}

// Unchecked returns why the file holds no example of its source, empty when it holds
// some.
func (s *State) Unchecked() string { return s.spec.Unchecked }

// Keys returns what the state asks for, in the order of a form.
func (s *State) Keys() []Key {
	var list []Key
	for _, k := range s.keys {
		if !k.whole {
			k.Key.Values, k.Key.Also = slices.Clone(k.Values), maps.Clone(k.Also)
			list = append(list, k.Key)
		}
	}
	return list
}

// Translate returns a text of a program in the language of the state, as far as its file
// has it; else the text. It serves [units.Style].
func (s *State) Translate(text string) string {
	if own, ok := s.spec.Words[text]; ok {
		return own
	}
	return text
}

// Asks returns the keys for which the lines ask that give something in one of some ways,
// with those of the classes for which they ask, in the order of a form. Without a way it
// is any.
func (s *State) Asks(gives string, as ...As) []string {
	asked := map[int]bool{}
	var ask func(gives string, as []As)
	ask = func(gives string, as []As) {
		for _, n := range s.lines[gives] {
			if len(as) > 0 && !slices.Contains(as, n.table.As) {
				continue
			}
			keys := []int{}
			for _, d := range n.asks {
				keys = append(keys, d.key)
			}
			keys = append(keys, n.per...)
			if p := n.table.Plus; p != nil {
				keys = append(keys, s.keyIndex(p.Per))
				ask(string(p.Rate), nil)
			}
			for _, other := range n.perGives {
				if yield := s.keyIndex(KeyYield); yield >= 0 {
					keys = append(keys, yield)
				}
				ask(other, nil)
			}
			for _, k := range keys {
				if !asked[k] {
					asked[k] = true
					ask(s.keys[k].Name, nil)
				}
			}
		}
	}
	ask(gives, as)
	var names []string
	for i, k := range s.keys {
		if asked[i] && !k.whole {
			names = append(names, k.Name)
		}
	}
	return names
}

// Has reports whether a table gives something in one of some ways.
func (s *State) Has(gives string, as ...As) bool {
	return slices.ContainsFunc(s.lines[gives], func(n *line) bool { return len(as) == 0 || slices.Contains(as, n.table.As) })
}

// Title returns the title of the first table that gives something, or what it gives
// where it has none.
func (s *State) Title(gives string) string {
	for _, n := range s.lines[gives] {
		if n.title != "" {
			return n.title
		}
	}
	return gives
}

// UnitsOf returns the units in which the tables print what they give, each once, in the
// order of the file.
func (s *State) UnitsOf(gives string) []string {
	var list []string
	for _, n := range s.lines[gives] {
		if !slices.Contains(list, n.unit) {
			list = append(list, n.unit)
		}
	}
	return list
}

// Gives returns what the tables of the state give, sorted.
func (s *State) Gives() []string { return slices.Sorted(maps.Keys(s.lines)) }

// Years returns the last year for which the state has a figure on p, 0 when it has
// none. After it nothing more of an application is credited.
func (s *State) Years(p Pool) int {
	if !poolNames.Has(int(p)) {
		return 0
	}
	return s.years[p]
}

// keyIndex returns the place of a key, -1 for none.
func (s *State) keyIndex(name string) int {
	return slices.IndexFunc(s.keys, func(k boundKey) bool { return k.Name == name })
}

// MarshalJSON writes a state of the package as its id, and any other in the form of
// its file.
func (s *State) MarshalJSON() ([]byte, error) {
	if s.published {
		return json.Marshal(s.spec.ID)
	}
	if s.lines == nil {
		return nil, units.Fault(units.FaultMissing, "state", nil, "a state made by NewState, ParseState or PublishedState")
	}
	return json.Marshal(s.spec)
}

// UnmarshalJSON reads the id of a state of the package, or a state in the form of its
// file, which is checked as [ParseState] does.
func (s *State) UnmarshalJSON(data []byte) error {
	var id string
	read := func() (*State, error) { return ParseState(data) }
	if json.Unmarshal(data, &id) == nil {
		read = func() (*State, error) { return PublishedState(id) }
	}
	state, err := read()
	if err == nil {
		*s = *state
		return nil
	}
	var f units.Faults
	for _, e := range units.FieldErrors(err) {
		if e.Field == "state" {
			e.Field = "" // the place of the state in what is read
		}
		f.Sub("", e)
	}
	return f.Err()
}
