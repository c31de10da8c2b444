package nutrient

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// stateLoader checks a file and makes its lines.
type stateLoader struct {
	*State
	base   *State
	faults units.Faults
	told   map[string]bool // what was said of a table as a whole
	broken map[string]bool // what a table or a lack with a fault gives, which is not proven
}

func (l *stateLoader) load() {
	spec, f := &l.spec, &l.faults
	if !idPattern.MatchString(spec.ID) {
		f.Add("id", spec.ID, "lower-case letters, digits and hyphens, such as some-state")
	}
	if spec.Jurisdiction == "" {
		f.Missing("jurisdiction", "where the rules apply")
	}
	spec.Source.check(f, "source")
	for _, name := range slices.Sorted(maps.Keys(spec.Sources)) {
		at := f.Named("sources", name)
		spec.Sources[name].check(&at, "")
	}
	if spec.Oxides != nil && spec.Oxides.P2O5PerP() == 0 {
		f.Add("oxides", *spec.Oxides, "a known pair of factors")
	}
	if spec.Base != "" {
		base, err := PublishedState(spec.Base)
		if l.base = base; err != nil {
			f.Add("base", spec.Base, "a state of the package: %v", units.Word(strings.Join(PublishedStateIDs(), ", ")))
		}
	}
	f.CountBetween("tables", len(spec.Tables), "tables", 1, maxTables)
	before := f.Len()
	l.bindKeys()
	if len(spec.Tables) > maxTables || f.Len() > before {
		return
	}
	l.told, l.broken = map[string]bool{}, map[string]bool{}
	l.bindTables()
	l.bindLacks()
	l.checkBanking()
	l.addBase()
	l.checkPer()
	if f.Len() == before {
		l.checkUsed()
	}
	l.prove()
	if f.Len() == before {
		l.checkExamples()
	} else {
		l.checkAsks()
	}
}

// bindKeys makes the declared keys ready, with those of the base and the year.
func (l *stateLoader) bindKeys() {
	for i := range l.spec.Keys {
		k := &l.spec.Keys[i]
		at := l.faults.At("keys", i)
		k.check(&at, l.keys)
		l.keys = append(l.keys, boundKey{Key: *k, scale: scaleOf(cmp.Or(k.Unit, "1"))})
	}
	if l.base != nil {
		for _, k := range l.base.keys {
			if !k.whole && l.keyIndex(k.Name) < 0 {
				l.keys = append(l.keys, k)
			}
		}
	}
	l.keys = append(l.keys, boundKey{Key: Key{Name: KeyYear, Label: KeyYear}, scale: scale{factor: 1, most: maxYear}, whole: true})
}

// column is a head of by.
type column struct {
	key   int     // of a class, where the head is none of those below
	unit  bool    // of the cells of the line
	per   bool    // what the cells of the line multiply
	over  bool    // the standard of plus
	given *demand // "soilP (olsen)": the choice of another key with which the head counts
}

func (l *stateLoader) bindTables() {
	lines := 0
	for i := range l.spec.Tables {
		t := &l.spec.Tables[i]
		if lines += len(t.Rows) * max(1, len(t.Cols)); lines > maxLines {
			l.faults.Count("tables", lines, "cells", "at most %v", maxLines)
			return
		}
		at := l.faults.At("tables", i)
		b := &boundTable{Table: t, path: fmt.Sprintf("tables[%d]", i), source: l.sourceOf(&at, t.Source)}
		l.tables = append(l.tables, b)
		before := l.faults.Len()
		if l.bindTable(&at, b); l.faults.Len() > before {
			l.broken[t.Gives] = true
			for _, c := range t.Cols {
				l.broken[string(c["gives"])] = true
			}
		}
	}
}

func (l *stateLoader) sourceOf(f *units.Faults, name string) Source {
	source, ok := l.spec.Sources[name]
	switch {
	case name == "":
		return l.spec.Source
	case !ok:
		want(f, "source", name, orNear(name, slices.Sorted(maps.Keys(l.spec.Sources)), units.Words("a word of sources, or nothing for the source of the file")))
	}
	return source
}

func (l *stateLoader) bindTable(f *units.Faults, t *boundTable) {
	before := f.Len()
	if t.Place == "" {
		f.Missing("place", "the table and the page of the source")
	}
	if !asNames.Has(int(t.As)) {
		f.Add("as", t.As, asNames.Want())
	}
	if len(t.Rows) == 0 {
		f.Missing("rows", "at least one line")
	}
	t.when = l.heads(f, "when", t.When, t)
	brackets := l.heads(f, "brackets", t.Brackets, t)
	for _, d := range brackets {
		if d.choices == nil {
			f.Say("brackets", "a class", "choices of keys with values")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(t.Round)) {
		at := f.Named("round", name)
		if i := l.keyIndex(name); i < 0 || !l.keys[i].quantity() {
			at.Say("", "no key with a quantity", "a key with a unit")
		}
		at.NumberBetween("", t.Round[name], 1e-6, 1e6)
	}
	l.bindWithin(f, t)
	var by []column
	for i, name := range t.By {
		at := f.At("by", i)
		by = append(by, l.column(&at, t, name))
	}
	cols := []columnHead{{nil, t.Gives, t.Unit, t.Title}}
	if t.Cols != nil {
		cols = nil
	}
	for i, c := range t.Cols {
		at := f.At("cols", i)
		h := columnHead{nil, t.Gives, t.Unit, t.Title}
		c = maps.Clone(c)
		for name, to := range map[string]*string{"gives": &h.gives, "unit": &h.unit, "title": &h.title} {
			if own, ok := c[name]; ok {
				*to = string(own)
				delete(c, name)
			}
		}
		h.asks = l.heads(&at, "", c, t)
		cols = append(cols, h)
	}
	l.bindPlus(f, t)
	if f.Len() > before {
		return
	}
	for r, row := range t.Rows {
		at := f.At("rows", r)
		if all := len(by) + len(cols); len(row) != all {
			at.Count("", len(row), "cells", "%v: %d heads and %d figures", all, len(by), len(cols))
			continue
		}
		asks, more := l.rowHeads(&at, t, by, row)
		cols := cols
		if one, ok := l.spanned(row[len(by):], cols); ok {
			cols = []columnHead{one}
		}
		for c, h := range cols {
			cell := f.At("rows", r, len(by)+c)
			proto := line{table: t, title: h.title, row: r, col: len(by) + c, gives: h.gives, unit: cmp.Or(more.unit, h.unit), over: more.over, per: more.per, perGives: more.perGives}
			for _, alternative := range asks {
				proto.asks = append(slices.Concat(t.when, h.asks), alternative...)
				l.addCell(&cell, proto, string(row[len(by)+c]), brackets)
				if f.Len() > before+20 {
					return
				}
			}
		}
	}
}

// columnHead is what a column asks for and gives.
type columnHead struct {
	asks               []demand
	gives, unit, title string
}

// spanned returns the first column without the key by whose choices alone the columns
// differ, when the figures of a line are the same in all of them and they are all of its
// choices: one figure, whatever that key says.
func (l *stateLoader) spanned(cells []Cell, cols []columnHead) (one columnHead, ok bool) {
	if len(cols) < 2 || len(slices.Compact(slices.Clone(cells))) > 1 {
		return one, false
	}
	first := cols[0]
	for _, key := range first.asks {
		rest := slices.DeleteFunc(slices.Clone(first.asks), func(d demand) bool { return d.key == key.key })
		var choices []int
		alike := !slices.ContainsFunc(cols, func(h columnHead) bool {
			same := 0
			for _, d := range h.asks {
				switch {
				case d.key == key.key:
					choices = append(choices, d.choices...)
				case slices.ContainsFunc(rest, d.equal):
					same++
				default:
					return true
				}
			}
			return h.gives != first.gives || h.unit != first.unit || same != len(rest)
		})
		slices.Sort(choices)
		if all := l.keys[key.key].Values; alike && all != nil && len(slices.Compact(choices)) == len(all) {
			first.asks = rest
			return first, true
		}
	}
	return one, false
}

// column reads an entry of by.
func (l *stateLoader) column(f *units.Faults, t *boundTable, name string) column {
	switch {
	case name == "unit":
		return column{unit: true}
	case name == perHead:
		if t.As == AsBan {
			f.Say("", "per in a table as ban", "per in a table of figures")
		}
		return column{per: true}
	case t.Plus != nil && name == string(t.Plus.Over):
		return column{over: true}
	}
	c := column{}
	name, choice, given := strings.Cut(strings.TrimSuffix(name, ")"), " (")
	if c.key = l.keyIndex(name); c.key < 0 {
		want(f, "", name, orNear(name, l.keyNames(), units.Words("a key of the file, unit, per, or the standard of plus")))
		return c
	}
	if given {
		for i, k := range l.keys {
			if x := indexFold(k.Values, choice); x >= 0 && c.given == nil {
				c.given = &demand{key: i, choices: []int{x}}
			}
		}
		if c.given == nil {
			f.Add("", choice, "in brackets, a choice of another key")
		}
	}
	return c
}

// heads reads an object of heads by key.
func (l *stateLoader) heads(f *units.Faults, field string, heads map[string]Cell, t *boundTable) (list []demand) {
	for _, name := range slices.Sorted(maps.Keys(heads)) {
		at := f.Named(field, name)
		i := l.keyIndex(name)
		if i < 0 {
			want(&at, "", units.Words("a key that is not declared"), orNear(name, l.keyNames(), units.Words("a key of the file")))
			continue
		}
		d, ok := l.head(&at, i, string(heads[name]), t)
		if ok {
			list = append(list, d)
		}
	}
	return list
}

// head reads one head of key i.
func (l *stateLoader) head(f *units.Faults, i int, text string, t *boundTable) (d demand, ok bool) {
	k := &l.keys[i]
	round := 0.0
	if t != nil {
		round = t.Round[k.Name]
	}
	d, wanted := k.demandOf(i, text, round)
	if !wanted.IsZero() {
		want(f, "", text, wanted)
	}
	return d, wanted.IsZero()
}

// want records a fault of which what is wanted is a phrase.
func want(f *units.Faults, field string, got any, want units.Phrase) {
	f.Add(field, got, want.Text, want.Args...)
}

// rowHeads reads the heads of a line: the demands, once for each of the columns that
// count with a choice of another key, and what its figures have beside them.
func (l *stateLoader) rowHeads(f *units.Faults, t *boundTable, by []column, row []Cell) (asks [][]demand, more line) {
	var common []demand
	for i, c := range by {
		at := f.At("", i)
		text := string(row[i])
		switch {
		case c.unit:
			more.unit = text
		case c.per:
			more.per, more.perGives = l.factors(&at, text)
		case c.over:
			var ok bool
			if more.over, ok = l.keys[l.keyIndex(t.Plus.Per)].number(text, true); !ok {
				at.Add("", text, "the standard, a number in the unit of %v", units.Word(t.Plus.Per))
			}
		case text == "":
		default:
			d, ok := l.head(&at, c.key, text, t)
			switch {
			case !ok:
			case c.given != nil:
				asks = append(asks, []demand{*c.given, d})
			default:
				common = append(common, d)
			}
		}
	}
	if asks == nil {
		return [][]demand{common}, more
	}
	for i := range asks {
		asks[i] = append(asks[i], common...)
	}
	return asks, more
}

// bindPlus checks the rule of plus.
func (l *stateLoader) bindPlus(f *units.Faults, t *boundTable) {
	p := t.Plus
	if p == nil {
		return
	}
	at := f.At("plus")
	i := l.keyIndex(p.Per)
	if i < 0 || !l.keys[i].quantity() {
		at.Add("per", p.Per, "a key with a quantity, such as the yield")
		return
	}
	if _, ok := l.keys[i].number(string(p.Over), true); !ok && !slices.Contains(t.By, string(p.Over)) {
		at.Add("over", string(p.Over), "the standard, a number in the unit of %v, or a column of by", units.Word(p.Per))
	}
	if _, ok := l.keys[i].number(string(p.To), true); p.To != "" && !ok {
		at.Add("to", string(p.To), "the most that counts, a number in the unit of %v", units.Word(p.Per))
	}
	if each, ok := l.keys[i].number(string(p.Each), true); p.Each != "" && (!ok || each == 0) {
		at.Add("each", string(p.Each), "a number above 0 in the unit of %v", units.Word(p.Per))
	}
	if _, ok := plainNumber(string(p.Rate)); !ok && !keyPattern.MatchString(string(p.Rate)) {
		at.Add("rate", string(p.Rate), "the change for each unit, or what a table gives per unit of yield")
	}
}

// addCell reads a printed figure and adds its line, or its two lines when it has
// brackets.
func (l *stateLoader) addCell(f *units.Faults, proto line, text string, brackets []demand) {
	plain, bracketed := text, ""
	if m := cellBracket.FindStringSubmatch(text); m != nil {
		plain, bracketed = m[1], m[2]
		if brackets == nil {
			f.Add("", text, "a figure without brackets, or brackets in the table that say when they hold")
			return
		}
	}
	proto.asks = l.merged(f, proto.asks)
	if bracketed == "" {
		l.addLine(f, proto, plain)
		return
	}
	held := proto
	held.asks = l.merged(f, append(slices.Clone(proto.asks), brackets...))
	l.addLine(f, held, bracketed)
	for i, b := range brackets { // outside: the first keys fit, this one does not
		var others []int
		for x := range l.keys[b.key].Values {
			if !slices.Contains(b.choices, x) {
				others = append(others, x)
			}
		}
		if others != nil {
			outside := proto
			outside.asks = append(slices.Clone(proto.asks), brackets[:i]...)
			outside.asks = l.merged(f, append(outside.asks, demand{key: b.key, choices: others}))
			l.addLine(f, outside, plain)
		}
	}
}

// merged sorts demands by key; a key asked for twice has to fit both.
func (l *stateLoader) merged(f *units.Faults, asks []demand) []demand {
	asks = slices.Clone(asks)
	slices.SortStableFunc(asks, func(a, b demand) int { return a.key - b.key })
	var out []demand
	for _, d := range asks {
		if n := len(out); n > 0 && out[n-1].key == d.key {
			if out[n-1].choices == nil || d.choices == nil {
				f.Add("", units.Words("two heads for the key %v", units.Word(l.keys[d.key].Name)), "one")
				continue
			}
			both := slices.DeleteFunc(slices.Clone(out[n-1].choices), func(x int) bool { return !slices.Contains(d.choices, x) })
			out[n-1].choices = append([]int{}, both...)
			continue
		}
		out = append(out, d)
	}
	return out
}

// addLine reads a plain figure and adds its line.
func (l *stateLoader) addLine(f *units.Faults, n line, text string) {
	if slices.ContainsFunc(n.asks, func(d demand) bool { return d.choices != nil && len(d.choices) == 0 }) {
		return // brackets that can not hold here
	}
	n.token = text
	k := -1
	if n.gives != KeyYear {
		k = l.keyIndex(n.gives)
	}
	var ok bool
	switch n.figure.lacks = lacking(text); {
	case n.gives == "":
		f.Missing("", "in the table or in the column, what is given")
		return
	case n.figure.lacks != "":
	case k >= 0 && len(l.keys[k].Values) == 0:
		f.Add("", units.Words("a figure for %v, a key without choices", units.Word(n.gives)), "the name of a key with values, or one that is no key")
		return
	case k >= 0:
		x := indexFold(l.keys[k].Values, text)
		figure, foot := figureOf(text)
		if x < 0 && foot && figure.foot != "" { // a class with a footnote
			x, n.figure.foot = indexFold(l.keys[k].Values, strings.TrimSuffix(text, figure.foot)), figure.foot
		}
		if ok = x >= 0; ok {
			n.figure.word = l.keys[k].Values[x]
		} else {
			f.Add("", text, "a class of the key %v: %v", units.Word(n.gives), units.Word(strings.Join(l.keys[k].Values, "; ")))
			return
		}
	case n.table.As == AsBan:
		if ok = l.ban(&n, text); !ok {
			f.Add("", text, "yes where it is allowed, no, or a period such as 15 Oct to 31 Jan beside a key with date")
			return
		}
	case n.gives == "allow":
		if n.figure.word = strings.ToLower(text); n.figure.word != "n-based" && n.figure.word != "none" {
			n.figure, ok = figureOf(text)
			ok = ok && n.figure.High <= 20
		} else {
			ok = true
		}
		if !ok {
			f.Add("", text, "n-based, none, or a multiple of the removal, 0 to 20")
			return
		}
	default:
		if n.figure, ok = figureOf(text); !ok && n.table.As == AsPlus {
			n.figure, ok = figureBelow(text)
		}
		if !ok {
			f.Add("", text, "a number, a range such as 30-50, n/a or ?")
			return
		}
		l.checkUnit(f, n)
		if strings.HasSuffix(n.unit, lost) {
			all := map[string]float64{"%": 100, "fraction": 1}[n.shareUnit()]
			n.figure.Low, n.figure.High = all-n.figure.High, all-n.figure.Low
		}
	}
	if n.figure.foot != "" && n.table.Footnotes[n.figure.foot] == "" {
		f.Add("", units.Words("the letter %v without a footnote", units.Word(n.figure.foot)), "a number, or the letter in footnotes")
	}
	added := n
	l.lines[n.gives] = append(l.lines[n.gives], &added)
}

// ban reads a cell of a ban.
func (l *stateLoader) ban(n *line, text string) (ok bool) {
	switch text {
	case "yes", "no":
		n.figure.word = text
		return true
	}
	day := slices.IndexFunc(l.keys, func(k boundKey) bool { return k.Date })
	w, ok := windowOf(text)
	if !ok || day < 0 {
		return false
	}
	n.figure.word = "no"
	n.asks = append(slices.Clone(n.asks), demand{key: day, window: w})
	slices.SortStableFunc(n.asks, func(a, b demand) int { return a.key - b.key })
	return true
}

func (l *stateLoader) bindLacks() {
	for i, lack := range l.spec.Lacks {
		at := l.faults.At("lacks", i)
		if lack.Why == "" {
			at.Missing("why", "in own words, what the source or the file leaves open")
		}
		if len(lack.Gives) == 0 {
			at.Missing("gives", "what is not given")
		}
		if !asNames.Has(int(lack.As)) {
			at.Add("as", lack.As, asNames.Want())
		}
		before := l.faults.Len()
		asks := l.heads(&at, "when", lack.When, nil)
		for _, gives := range lack.Gives {
			l.broken[gives] = l.broken[gives] || l.faults.Len() > before
		}
		for _, gives := range lack.Gives {
			l.lacks[gives] = append(l.lacks[gives], &line{table: &boundTable{path: fmt.Sprintf("lacks[%d]", i), source: l.spec.Source, Table: &Table{As: lack.As}}, gives: gives, asks: asks, figure: figure{lacks: lack.Why}})
		}
	}
}

// addBase takes over the lines of the base, to answer where no line of the file does.
func (l *stateLoader) addBase() {
	if l.base == nil {
		return
	}
	over := func(lines []*line, to map[string][]*line) {
		for _, n := range lines {
			added := *n
			table := *n.table
			table.layer++
			table.path = "base." + table.path
			added.table, added.asks = &table, slices.Clone(n.asks)
			for i, d := range n.asks {
				from := &l.base.keys[d.key]
				added.asks[i].key = l.keyIndex(from.Name)
				added.asks[i].choices = nil
				for _, x := range d.choices {
					j := indexFold(l.keys[added.asks[i].key].Values, from.Values[x])
					if j < 0 {
						l.faults.Add("keys", units.Words("the key %v without %v", units.Word(from.Name), units.Word(from.Values[x])), "the choices for which the base has lines")
						return
					}
					added.asks[i].choices = append(added.asks[i].choices, j)
				}
			}
			added.per = nil
			for _, k := range n.per {
				added.per = append(added.per, l.keyIndex(l.base.keys[k].Name))
			}
			table.within = map[int]interval{}
			for k, in := range n.table.within {
				table.within[l.keyIndex(l.base.keys[k].Name)] = in
			}
			slices.SortStableFunc(added.asks, func(a, b demand) int { return a.key - b.key })
			to[n.gives] = append(to[n.gives], &added)
		}
	}
	for _, gives := range slices.Sorted(maps.Keys(l.base.lines)) {
		over(l.base.lines[gives], l.lines)
	}
	for _, gives := range slices.Sorted(maps.Keys(l.base.lacks)) {
		over(l.base.lacks[gives], l.lacks)
	}
	if l.spec.Oxides == nil {
		l.spec.Oxides = l.base.spec.Oxides
	}
}

// checkUsed finds keys for which no line asks: misspellings, or fields of a form that
// change nothing. A choice for which no line asks is told by the proof where a line has
// to answer; elsewhere it says that nothing is added or capped.
func (l *stateLoader) checkUsed() {
	used := map[int]bool{}
	for _, lists := range []map[string][]*line{l.lines, l.lacks} {
		for gives, lines := range lists {
			used[l.keyIndex(gives)] = true
			for _, n := range lines {
				for _, d := range n.asks {
					used[d.key] = true
				}
				for _, k := range n.per {
					used[k] = true
				}
				if p := n.table.Plus; p != nil {
					used[l.keyIndex(p.Per)] = true
				}
			}
		}
	}
	for i := range l.spec.Keys {
		if !used[i] {
			at := l.faults.At("keys", i)
			at.Add("", l.spec.Keys[i].Name, "a key for which a table asks")
		}
	}
}
