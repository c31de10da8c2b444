package nutrient

import (
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// Answer is what a state says to a query, with each printed figure on the way.
type Answer struct {
	Gives  string               `json:"gives"`           // what was asked for
	Figure units.Range[float64] `json:"figure,omitzero"` // in the unit; low equals high where one figure is printed
	Unit   string               `json:"unit,omitzero"`   // as printed
	Word   string               `json:"word,omitzero"`   // of a class or a basis, in place of a figure
	Of     Basis                `json:"of,omitzero"`     // what a share multiplies
	Steps  []Step               `json:"steps"`           // in the order in which they were looked up
}

// Step is one printed figure that an answer uses.
type Step struct {
	Gives  string               `json:"gives"`           // what the table gives
	Title  string               `json:"title,omitzero"`  // of the table, in own words
	Place  string               `json:"place"`           // table and page
	Source Source               `json:"source,omitzero"` // of the table
	Line   []string             `json:"line,omitzero"`   // what the line asks for, with the value of the query
	As     As                   `json:"as"`              // how it counts
	Cell   Cell                 `json:"cell"`            // as printed
	Per    []string             `json:"per,omitzero"`    // quantities that it multiplies, with their values
	Figure units.Range[float64] `json:"figure,omitzero"` // between points, of the line drawn; of a loss, what is left; times the quantities
	Unit   string               `json:"unit,omitzero"`   // as printed
	Word   string               `json:"word,omitzero"`   // of a class, a basis or a ban
	Notes  []string             `json:"notes,omitzero"`  // of the table and of a footnote
}

// Answer returns what the state gives to a query: the value of the one line that fits,
// changed by the rule of its table, times the factors and plus the additions of other
// tables. A class that the query leaves open is worked out when a table gives it. Of
// ranges the low ends are combined with the low ends. Faults are [units.FieldError] with the
// name of the key: what is not a value of the state, what is needed and missing, and
// what the state has no figure for, with the reason.
func (s *State) Answer(gives string, q Query) (Answer, error) {
	var f units.Faults
	a := s.ask(q, &f)
	if s.lines[gives] == nil && s.lacks[gives] == nil && f.Err() == nil {
		f.Add("gives", gives, "what the state %v gives: %v", units.Word(s.spec.ID), units.Word(strings.Join(s.Gives(), ", ")))
	}
	r := Answer{Gives: gives}
	if f.Err() == nil {
		a.answer(&r)
	}
	if f.Err() != nil {
		return Answer{}, f.Err()
	}
	r.Steps = a.steps
	return r, nil
}

// answer looks up value, factors and additions; where there is no value the factors
// multiply the sum.
func (a *asking) answer(r *Answer) {
	all := slices.DeleteFunc(slices.Clone(a.lines[r.Gives]), func(n *line) bool { return n.table.As > AsPlus })
	if len(all) == 0 {
		a.none(r.Gives, AsValue)
		return
	}
	if slices.ContainsFunc(all, func(n *line) bool { return n.table.As == AsValue }) {
		n, x, ok := a.value(r.Gives, all, AsValue)
		if !ok {
			return
		}
		a.step(n, x)
		if x, ok = a.plus(n, x); !ok {
			return
		}
		r.Figure, r.Unit, r.Word, r.Of = x.Range, n.shareUnit(), x.word, n.table.Of
		a.multiply(r)
		a.add(r)
		return
	}
	r.Unit = all[0].shareUnit() // a sum, of nothing else
	for _, n := range all {
		if n.table.As == AsPlus {
			r.Unit = n.shareUnit()
			break
		}
	}
	a.add(r)
	a.multiply(r)
}

// givesCredit is N that something else gives the crop: where no line fits there is none.
const givesCredit = "creditN"

// multiply applies the factors, unless there is a fault.
func (a *asking) multiply(r *Answer) {
	for _, t := range a.factorTables(r.Gives) {
		var lines []*line
		for _, n := range a.lines[r.Gives] {
			if n.table == t {
				lines = append(lines, n)
			}
		}
		n, x, ok := a.value(r.Gives, lines, AsTimes)
		if !ok {
			return
		}
		if x, ok = a.times(n, x); !ok {
			return
		}
		a.step(n, x)
		whole := 1.0
		if n.shareUnit() == "%" {
			whole = 100
		}
		r.Figure.Low, r.Figure.High = r.Figure.Low*x.Low/whole, r.Figure.High*x.High/whole
	}
}

// add adds up what is added, unless there is a fault; what is taken off leaves no less
// than 0.
func (a *asking) add(r *Answer) {
	lines := a.settle(a.lines[r.Gives], AsPlus)
	if a.f.Err() != nil || a.missingAny(lines) {
		return
	}
	if lines == nil && r.Gives != givesCredit && !a.Has(r.Gives, AsValue) { // a sum of nothing is no answer, but for credits
		a.none(r.Gives, AsPlus)
		return
	}
	for _, n := range lines {
		if n.figure.lacks != "" {
			a.refuse(n, r.Gives)
			return
		}
		x, ok := a.plus(n, n.figure)
		if !ok {
			return
		}
		a.step(n, x)
		times := 1.0
		if n.unit != r.Unit {
			from, ok := quantityOf(1, n.unit)
			to, also := quantityOf(1, r.Unit)
			if ok && also {
				times = from.SI() / to.SI()
			}
		}
		r.Figure.Low, r.Figure.High = r.Figure.Low+times*x.Low, r.Figure.High+times*x.High
	}
	r.Figure.Low, r.Figure.High = max(0, r.Figure.Low), max(0, r.Figure.High)
}

// factorTables returns the tables that multiply what is given, as far as their own
// conditions hold.
func (a *asking) factorTables(gives string) (list []*boundTable) {
	for _, n := range a.lines[gives] {
		if n.table.As != AsTimes || slices.Contains(list, n.table) {
			continue
		}
		if !slices.ContainsFunc(n.table.when, func(d demand) bool { return a.spots[d.key].given && !d.holds(a.spots[d.key]) }) {
			list = append(list, n.table)
		}
	}
	return list
}

// Limit returns the least of what caps, or with [AsAtLeast] the largest of what has to
// be, among the lines that fit; ok is false when none does. Faults are those of
// [State.Answer], of keys that could make the answer stricter.
func (s *State) Limit(gives string, as As, q Query) (r Answer, ok bool, err error) {
	var f units.Faults
	a := s.ask(q, &f)
	if as != AsCap && as != AsAtLeast {
		f.Add("as", as, "cap or atLeast")
	}
	var n *line
	var x figure
	if f.Err() == nil {
		n, x = a.limit(gives, as)
	}
	if f.Err() != nil || n == nil {
		return Answer{}, false, f.Err()
	}
	return Answer{Gives: gives, Figure: x.Range, Unit: n.unit, Word: x.word, Steps: a.steps}, true, nil
}

// Bans returns every line that forbids, none when nothing does. Faults are those of
// [State.Answer]; what forbids whatever a missing key says is returned beside them.
func (s *State) Bans(q Query) ([]Step, error) {
	var f units.Faults
	a := s.ask(q, &f)
	var lines []*line
	if f.Err() == nil {
		lines = slices.DeleteFunc(a.settle(s.lines["allow"], AsBan), func(n *line) bool { return n.figure.word != "no" })
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	a.steps = nil
	for _, n := range lines {
		if a.open(n) == nil {
			a.step(n, n.figure)
		}
	}
	a.missingAny(lines)
	return a.steps, f.Err()
}

// Quantity returns the figure as a quantity of package units, of which low and high
// may differ; ok is false when the unit is of no type, such as lb/bu.
func (r Answer) Quantity() (low, high units.Quantity, ok bool) {
	low, ok = quantityOf(r.Figure.Low, r.Unit)
	high, also := quantityOf(r.Figure.High, r.Unit)
	return low, high, ok && also
}

func (s Step) value() any { return shownFigure(s.Figure, strings.TrimSuffix(s.Unit, lost), s.Word) }

// shownFigure is a figure for a working.
func shownFigure(x units.Range[float64], unit, word string) any {
	if word != "" {
		return units.Word(word)
	}
	low, ok := quantityOf(x.Low, unit)
	high, also := quantityOf(x.High, unit)
	switch {
	case ok && also && x.Low == x.High:
		return low
	case ok && also:
		return units.Span{Low: low, High: high}
	case x.Low == x.High:
		return units.Words("%v %v", x.Low, units.Word(unit))
	}
	return units.Words("%v to %v %v", x.Low, x.High, units.Word(unit))
}

// StepWorking shows each printed figure with its table and page.
func (r Answer) StepWorking() units.Working {
	var w units.Working
	told := map[string]bool{}
	for _, s := range r.Steps {
		how := units.Words("%v, %v: printed %v %v", units.Word(s.Place), units.Word(s.Source.Title), units.Word(s.Cell), units.Word(s.Unit))
		for _, by := range s.Per {
			how = how.And(" x %v", units.Word(by))
		}
		w.Put(units.Words("%v", units.Word(wordOf(s))), s.value(), how)
		for _, note := range s.Notes {
			if !told[note] {
				told[note] = true
				w.Put(units.Words("note"), nil, units.Words("%v", units.Word(note)))
			}
		}
	}
	return w
}

// Working shows each printed figure with its table and page, and the answer.
func (r Answer) Working() units.Working {
	w := r.StepWorking()
	w.Put(units.Words("%v", units.Word(r.Gives)), shownFigure(r.Figure, r.Unit, r.Word), units.Phrase{})
	return w
}

// String is the table of the working.
func (r Answer) String() string { return r.Working().String() }
