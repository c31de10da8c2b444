package nutrient

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// A second reader of the files of the states, as plain as can be: it looks at every line
// of every table, and knows no proof, no order and no short cut. It leaves out what adds
// up, multiplies, interpolates or counts a quantity.

type plainKey struct {
	Name, Unit, Never, Between string
	Values                     []string
	Also                       map[string]float64
	Date                       bool
}

type plainLine struct {
	gives, as, unit, place, cell string
	heads                        map[string]string
	round                        map[string]float64
	layer                        int
}

type plainState struct {
	keys  []plainKey
	lines []plainLine
	skip  map[string]bool // "gives as" that this reader does not reckon
}

type plainFile struct {
	ID, Base string
	Keys     []plainKey
	Tables   []struct {
		Place, Gives, Unit, As string
		When                   map[string]any
		By                     []string
		Cols                   []map[string]any
		Brackets, Within, Plus json.RawMessage
		Round                  map[string]float64
		Rows                   [][]any
	}
}

func text(x any) string {
	if n, ok := x.(json.Number); ok {
		return n.String()
	}
	return fmt.Sprint(x)
}

// read adds the lines of a file, and then those of the file on which it stands.
func (p *plainState) read(t *testing.T, id string, layer int) {
	data, err := files.ReadFile("states/" + id + ".json")
	require.NoError(t, err)
	p.parse(t, id, data, layer)
}

func (p *plainState) parse(t *testing.T, id string, data []byte, layer int) {
	var file plainFile
	d := json.NewDecoder(strings.NewReader(string(data)))
	d.UseNumber()
	require.NoError(t, d.Decode(&file))
	for _, k := range file.Keys {
		if !slices.ContainsFunc(p.keys, func(o plainKey) bool { return o.Name == k.Name }) {
			p.keys = append(p.keys, k)
		}
	}
	if !slices.ContainsFunc(p.keys, func(o plainKey) bool { return o.Name == "year" }) {
		p.keys = append(p.keys, plainKey{Name: "year"})
	}
	for _, table := range file.Tables {
		as := table.As
		if as == "" {
			as = "value"
		}
		cols := table.Cols
		if cols == nil {
			cols = []map[string]any{{}}
		}
		for _, row := range table.Rows {
			cols := cols
			if p.spans(cols, row[len(table.By):]) {
				cols = []map[string]any{{}} // the same in every column, whatever is chosen
			}
			for c, col := range cols {
				line := plainLine{gives: table.Gives, as: as, unit: table.Unit, place: table.Place, heads: map[string]string{}, round: table.Round, layer: layer}
				odd := table.Brackets != nil || table.Within != nil || table.Plus != nil || as == "plus" || as == "times"
				head := func(name, value string) {
					switch {
					case value == "":
					case name == "gives":
						line.gives = value
					case name == "unit":
						line.unit = value
					case name == "per" || strings.Contains(name, "(") || line.heads[name] != "":
						odd = true
					default:
						line.heads[name] = value
					}
				}
				for name, value := range table.When {
					head(name, text(value))
				}
				for i, name := range table.By {
					head(name, text(row[i]))
				}
				for name, value := range col {
					head(name, text(value))
				}
				line.cell = text(row[len(table.By)+c])
				if as == "ban" && line.cell != "no" && line.cell != "yes" {
					odd = true // a period
				}
				for name, value := range line.heads {
					i := slices.IndexFunc(p.keys, func(k plainKey) bool { return k.Name == name })
					odd = odd || i < 0 || p.keys[i].Between != ""
					if !odd && !p.keys[i].Date && len(p.keys[i].Values) == 0 {
						_, _, _, _, ok := p.keys[i].class(strings.TrimSuffix(value, " or "+p.keys[i].Never))
						require.True(t, ok || value == p.keys[i].Never, "%s: %s %s", id, name, value)
					}
				}
				if odd {
					p.skip[line.gives+" "+as] = true
					if as == "plus" || as == "times" {
						p.skip[line.gives+" value"] = true
					}
				}
				p.lines = append(p.lines, line)
			}
		}
	}
	if file.Base != "" {
		p.read(t, file.Base, layer+1)
	}
}

func plainFigure(s string) float64 {
	x, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// spans reports whether the cells of a row are the same in columns that differ by one key
// alone and have all its choices among them.
func (p *plainState) spans(cols []map[string]any, cells []any) bool {
	var choices []string
	name := ""
	for i, col := range cols {
		if len(cols) < 2 || len(col) != 1 || text(cells[i]) != text(cells[0]) {
			return false
		}
		for key, value := range col {
			if name != "" && key != name {
				return false
			}
			name = key
			choices = append(choices, strings.Split(text(value), "; ")...)
		}
	}
	i := slices.IndexFunc(p.keys, func(k plainKey) bool { return k.Name == name })
	if i < 0 || len(p.keys[i].Values) == 0 {
		return false
	}
	return !slices.ContainsFunc(p.keys[i].Values, func(v string) bool { return !slices.Contains(choices, v) })
}

// others are units beside the one of a key, and how many of that one of them is.
var others = map[string]float64{"h/d": 1.0 / 24, "d/h": 24, "days/h": 24, "weeks/d": 7, "week/d": 7, "mi/ft": 5280}

// class reads the head of a quantity: its ends, and whether it is without them.
func (k plainKey) class(s string) (low, high float64, lowOpen, highOpen, ok bool) {
	low, high, ok = 0, math.Inf(1), true
	words := strings.Fields(s)
	op, point := "", true
	for i := 0; i < len(words); i++ {
		switch w := words[i]; w {
		case "from", "over", "to", "below":
			op, point = w, false // of "to below" the last
			continue
		}
		first, second, both := strings.Cut(words[i], "-")
		x, y := plainFigure(first), plainFigure(second)
		unit := ""
		if i+1 < len(words) && !slices.Contains([]string{"from", "over", "to", "below"}, words[i+1]) {
			i++
			unit = words[i]
		}
		if unit != "" && unit != k.Unit {
			times := k.Also[unit]
			if times == 0 {
				times = others[unit+"/"+k.Unit]
			}
			if times == 0 {
				return 0, 0, false, false, false
			}
			x, y = x*times, y*times
		}
		switch {
		case both:
			return x, y, false, false, true
		case point:
			return x, x, false, false, true
		case op == "from" || op == "over":
			low, lowOpen = x, op == "over"
		default:
			high, highOpen = x, op == "below"
		}
	}
	return low, high, lowOpen, highOpen, ok
}

func plainDay(s string) int {
	for _, layout := range []string{"2 Jan", "2 January"} {
		if d, err := time.Parse(layout, s); err == nil {
			return int(d.Month())*100 + d.Day()
		}
	}
	return -1
}

// value is one of a query: a choice or never, a number, or a day as month and day.
type plainValue struct {
	word   string
	number float64
}

// fits reports whether a value is of the head of a line.
func (k plainKey) fits(v plainValue, head string, step float64) bool {
	switch {
	case k.Date:
		from, to, _ := strings.Cut(head, " to ")
		a, b, x := plainDay(from), plainDay(to), int(v.number)
		if a <= b {
			return a <= x && x <= b
		}
		return x >= a || x <= b
	case len(k.Values) > 0:
		if v.word == head {
			return true
		}
		return !slices.Contains(k.Values, head) && slices.Contains(strings.Split(head, "; "), v.word)
	}
	rest, never := strings.CutSuffix(head, " or "+k.Never)
	if k.Never != "" && (head == k.Never || v.word != "") {
		return v.word != "" && (never || head == k.Never)
	}
	if k.Never != "" && never {
		head = rest
	}
	x := v.number
	if step > 0 {
		x = math.Floor(x/step+0.5) * step
	}
	low, high, lowOpen, highOpen, _ := k.class(head)
	return (x > low || x == low && !lowOpen) && (x < high || x == high && !highOpen)
}

// fit returns the lines that fit a query, and those that could fit, but ask for what the
// query does not say.
func (p *plainState) fit(gives, as string, q map[string]plainValue) (list, open []plainLine) {
	for _, n := range p.lines {
		if n.gives != gives || n.as != as {
			continue
		}
		fits, asks := true, false
		for name, head := range n.heads {
			k := p.keys[slices.IndexFunc(p.keys, func(k plainKey) bool { return k.Name == name })]
			if v, ok := q[name]; !ok {
				asks = true
			} else if !k.fits(v, head, n.round[name]) {
				fits = false
			}
		}
		switch {
		case fits && asks:
			open = append(open, n)
		case fits:
			list = append(list, n)
		}
	}
	return list, open
}

func (n plainLine) lacks() bool { return n.cell == "?" || strings.HasPrefix(n.cell, "n/a") }

var cellForm = regexp.MustCompile(`^([0-9.,]+)(?: ?(?:-|to) ?([0-9.,]+))?[a-z]?$`)

// figures reads a cell: a number or two, or a word.
func (n plainLine) figures() (low, high float64, word string) {
	m := cellForm.FindStringSubmatch(n.cell)
	if m == nil {
		return 0, 0, n.cell
	}
	low = plainFigure(m[1])
	if high = low; m[2] != "" {
		high = plainFigure(m[2])
	}
	return low, high, ""
}

// probes are values of a key: its choices, or each end that a line has, and either side of
// it.
func (p *plainState) probes(k plainKey) (list []plainValue) {
	for _, v := range k.Values {
		list = append(list, plainValue{word: v})
	}
	if k.Never != "" {
		list = append(list, plainValue{word: k.Never})
	}
	for _, n := range p.lines {
		head, ok := n.heads[k.Name]
		if !ok || len(k.Values) > 0 {
			continue
		}
		if k.Date {
			from, to, _ := strings.Cut(head, " to ")
			for _, d := range []string{from, to} {
				at := time.Date(2024, time.Month(plainDay(d)/100), plainDay(d)%100, 0, 0, 0, 0, time.UTC)
				for _, by := range []int{-1, 0, 1} {
					x := at.AddDate(0, 0, by)
					list = append(list, plainValue{number: float64(int(x.Month())*100 + x.Day())})
				}
			}
			continue
		}
		low, high, _, _, ok := k.class(strings.TrimSuffix(head, " or "+k.Never))
		most := math.Inf(1)
		if k.Unit == "%" {
			most = 100
		}
		add := func(x float64) { list = append(list, plainValue{number: min(max(x, 0), most)}) }
		for _, x := range []float64{low, high} {
			if !ok || math.IsInf(x, 0) || math.IsNaN(x) {
				continue
			}
			if k.Unit == "" { // the year
				list = append(list, plainValue{number: max(1, x)})
				continue
			}
			add(x)
			add(x * 1.01)
			add(x * 0.99)
			if step := n.round[k.Name]; step > 0 {
				add(x + step/2)
				add(x + 0.49*step)
				add(x - step/2)
				add(x - 0.51*step)
			}
		}
	}
	slices.SortFunc(list, func(a, b plainValue) int {
		return cmp.Or(strings.Compare(a.word, b.word), cmp.Compare(a.number, b.number))
	})
	return slices.Compact(list)
}

// The answers of every state to random questions, at the ends of the classes and beside
// them, are those that come from looking at all lines of its file.
func TestStatesAsReckonedFromTheirLines(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	asked := map[string]int{}
	draws := 200
	if testing.Short() {
		draws = 50
	}
	for _, id := range PublishedStateIDs() {
		s := publishedState(t, id)
		turned, onTop := otherOrders(t, s)
		p := &plainState{skip: map[string]bool{}}
		p.read(t, id, 0)
		given := map[string]bool{} // classes that a table gives
		kinds := []string{}
		for _, n := range p.lines {
			if slices.ContainsFunc(p.keys, func(k plainKey) bool { return k.Name == n.gives }) {
				given[n.gives] = true
			}
			if kind := n.gives + " " + n.as; !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
			}
		}
		probes := map[string][]plainValue{}
		for _, k := range p.keys {
			probes[k.Name] = p.probes(k)
		}
		for _, kind := range kinds {
			gives, as, _ := strings.Cut(kind, " ")
			for range draws {
				// A query that one of the lines answers, but for one key that is any.
				var of []plainLine
				for _, n := range p.lines {
					if n.gives == gives && n.as == as {
						of = append(of, n)
					}
				}
				aim := of[r.IntN(len(of))]
				q := map[string]plainValue{}
				for _, k := range p.keys {
					if given[k.Name] && k.Name != gives {
						continue
					}
					var list []plainValue
					for _, v := range probes[k.Name] {
						if head, ok := aim.heads[k.Name]; !ok || k.fits(v, head, aim.round[k.Name]) || r.IntN(10) == 0 {
							list = append(list, v)
						}
					}
					if len(list) > 0 && k.Name != gives {
						q[k.Name] = list[r.IntN(len(list))]
					}
				}
				if r.IntN(3) == 0 { // something is not said
					delete(q, p.keys[r.IntN(len(p.keys))].Name)
				}
				query := Query{}
				for _, k := range p.keys {
					v, ok := q[k.Name]
					switch {
					case !ok:
					case v.word != "":
						query[k.Name] = v.word
					case k.Date:
						query[k.Name] = time.Date(2024, time.Month(int(v.number)/100), int(v.number)%100, 0, 0, 0, 0, time.UTC).Format("2 Jan")
					case k.Unit == "" || k.Unit == "1":
						query[k.Name] = strconv.FormatFloat(v.number, 'f', -1, 64)
					default:
						query[k.Name] = strconv.FormatFloat(v.number, 'f', -1, 64) + " " + k.Unit
					}
				}
				what := fmt.Sprintf("%s: %s of %v", id, kind, query)
				if r.IntN(4) == 0 {
					want := reply(s, gives, as, query)
					require.Equal(t, want, reply(turned, gives, as, query), what)
					require.Equal(t, want, reply(onTop, gives, as, query), what)
				}
				if p.skip[kind] || !p.derive(q, given, gives) {
					continue
				}
				lines, open := p.fit(gives, as, q)
				switch as {
				case "value":
					p.sameAnswer(t, s, gives, query, lines, open, what)
				case "cap", "atLeast":
					p.sameLimit(t, s, gives, as, query, lines, open, what)
				case "ban":
					if open != nil {
						continue
					}
					bans, err := s.Bans(query)
					if slices.ContainsFunc(p.lines, func(n plainLine) bool { return n.as == "ban" && n.gives != "allow" }) || p.skip["allow ban"] {
						continue
					}
					require.NoError(t, err, what)
					want := []string{}
					for _, n := range lines {
						if n.cell == "no" {
							want = append(want, n.place)
						}
					}
					got := []string{}
					for _, b := range bans {
						if b.As == AsBan {
							got = append(got, b.Place)
						}
					}
					require.Equal(t, want, got, what)
				}
				asked[as]++
			}
		}
	}
	for as, least := range map[string]int{"value": 25, "cap": 5, "atLeast": 1, "ban": 2} {
		require.Greater(t, asked[as], least*draws, as)
	}
}

// word is the word of a cell that gives one, without the letter of a footnote.
func (p *plainState) word(n plainLine) (word string, ok bool) {
	i := slices.IndexFunc(p.keys, func(k plainKey) bool { return k.Name == n.gives && len(k.Values) > 0 })
	if i < 0 {
		return "", false
	}
	if cut := strings.TrimRight(n.cell, "abcdefgh"); !slices.Contains(p.keys[i].Values, n.cell) && slices.Contains(p.keys[i].Values, cut) {
		return cut, true
	}
	return n.cell, true
}

// derive works out the classes that tables give; ok is false where one of them is not
// reckoned here.
func (p *plainState) derive(q map[string]plainValue, given map[string]bool, gives string) bool {
	for range given {
		for name := range given {
			if _, ok := q[name]; ok || name == gives {
				continue
			}
			if p.skip[name+" value"] {
				return false
			}
			lines, open := p.fit(name, "value", q)
			if open == nil && len(lines) > 0 && !lines[0].lacks() {
				word, _ := p.word(lines[0])
				q[name] = plainValue{word: word}
			}
		}
	}
	return true
}

func (p *plainState) sameAnswer(t *testing.T, s *State, gives string, query Query, lines, open []plainLine, what string) {
	t.Helper()
	layer := math.MaxInt // of the file itself, before that on which it stands
	for _, n := range slices.Concat(lines, open) {
		layer = min(layer, n.layer)
	}
	beyond := func(n plainLine) bool { return n.layer > layer }
	lines, open = slices.DeleteFunc(slices.Clone(lines), beyond), slices.DeleteFunc(slices.Clone(open), beyond)
	r, err := s.Answer(gives, query)
	if len(open) > 0 {
		require.Error(t, err, what)
		return
	}
	if len(lines) == 0 || lines[0].lacks() {
		require.Error(t, err, what)
		return
	}
	require.NoError(t, err, what)
	require.Len(t, lines, 1, what)
	n := lines[0]
	step := r.Steps[len(r.Steps)-1]
	require.Equal(t, [3]string{n.place, n.cell, n.unit}, [3]string{step.Place, string(step.Cell), step.Unit}, what)
	low, high, word := n.figures()
	if class, ok := p.word(n); ok {
		low, high, word = 0, 0, class
	}
	if n.unit == "% lost" { // a loss, of which the rest counts
		low, high = 100-high, 100-low
	}
	require.Equal(t, word, r.Word, what)
	require.InDelta(t, low, r.Figure.Low, 1e-9, what)
	require.InDelta(t, high, r.Figure.High, 1e-9, what)
}

func (p *plainState) sameLimit(t *testing.T, s *State, gives, as string, query Query, lines, open []plainLine, what string) {
	t.Helper()
	kind, sign := AsCap, 1.0
	if as == "atLeast" {
		kind, sign = AsAtLeast, -1
	}
	r, ok, err := s.Limit(gives, kind, query)
	amount := func(n plainLine) float64 {
		low, _, word := n.figures()
		return sign * strictness(low, word, n.unit)
	}
	best := math.Inf(1)
	for _, n := range lines {
		best = min(best, amount(n))
	}
	if slices.ContainsFunc(lines, plainLine.lacks) || slices.ContainsFunc(open, func(n plainLine) bool { return len(lines) == 0 || n.lacks() || amount(n) < best }) {
		require.Error(t, err, what) // what is not said could make it stricter
		return
	}
	if len(lines) == 0 {
		require.False(t, ok, what)
		return
	}
	require.NoError(t, err, what)
	require.True(t, ok, what)
	require.InDelta(t, best, sign*strictness(r.Figure.Low, r.Word, r.Unit), 1e-9, what)
}

// strictness orders limits by how strict they are.
func strictness(low float64, word, unit string) float64 {
	switch word {
	case "none":
		return 0
	case "n-based":
		return math.Inf(1)
	}
	if read, value := reads[units.MassPerArea](); read.UnmarshalText([]byte("1 "+unit)) == nil {
		return low * value().SI()
	}
	return low
}

// otherOrders is a state with its keys and their choices in reverse order, and an invented
// one of such keys that stands on it.
func otherOrders(t *testing.T, s *State) (turned, onTop *State) {
	t.Helper()
	keys := s.Keys()
	slices.Reverse(keys)
	for _, k := range keys {
		slices.Reverse(k.Values)
	}
	spec := s.spec.clone()
	spec.Keys = keys
	turned, err := NewState(spec)
	require.NoError(t, err, s.ID())
	onTop, err = NewState(StateSpec{ID: "on-top", Jurisdiction: "Atlantis", Source: Source{Title: "T", Publisher: "P", Edition: "1"}, Base: s.ID(), Unchecked: "invented",
		Keys:   append([]Key{{Name: "moon", Label: "Moon", Values: []string{"new", "full"}}}, keys...),
		Tables: []Table{{Place: "1", Gives: "tide", Unit: "ft", By: []string{"moon"}, Rows: [][]Cell{{"new", "5"}, {"full", "6"}}}}})
	require.NoError(t, err, s.ID())
	return turned, onTop
}

// reply is what a state says to a query, in no order.
func reply(s *State, gives, as string, q Query) string {
	var r Answer
	var err error
	ok := true
	switch as {
	case "cap":
		r, ok, err = s.Limit(gives, AsCap, q)
	case "atLeast":
		r, ok, err = s.Limit(gives, AsAtLeast, q)
	case "ban":
		r.Steps, err = s.Bans(q)
	default:
		r, err = s.Answer(gives, q)
	}
	var steps, faults []string
	for _, s := range r.Steps {
		slices.Sort(s.Line)
		steps = append(steps, fmt.Sprint(s))
	}
	for _, e := range units.FieldErrors(err) {
		if e.Kind == units.FaultLacking { // of the first key for which a line asks
			e.Field = ""
		}
		faults = append(faults, fmt.Sprint(e.Kind, " ", e.Field))
	}
	slices.Sort(steps)
	slices.Sort(faults)
	return fmt.Sprint(r.Gives, r.Figure, r.Unit, r.Word, r.Of, ok, "\n", strings.Join(steps, "\n"), "\n", faults)
}
