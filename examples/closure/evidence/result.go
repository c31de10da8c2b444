package evidence

import (
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// Result is the list of a site.
type Result struct {
	Evidence []stage.Evidence `json:"evidence"` // rows that hold, or may
	Tasks    []stage.Task     `json:"tasks"`    // steps that the plan does not have yet
	// Links are needs of tasks that the plan has.
	Links []Link `json:"links"`
	// Open is the figures, days and conditions that nobody told.
	Open []stage.Open `json:"open"`
}

// Link is a need of a task.
type Link struct {
	Task string     `json:"task"`
	Need stage.Need `json:"need"`
}

// Linked is the tasks with the needs that the steps add to them. A task that has the need
// keeps the longer days of both.
func (r Result) Linked(tasks []stage.Task) []stage.Task {
	list := slices.Clone(tasks)
	for _, l := range r.Links {
		for i := range list {
			if list[i].Key == l.Task {
				list[i].Needs = joinedNeed(list[i].Needs, l.Need)
			}
		}
	}
	return list
}

// joinedNeed is the needs with one more.
func joinedNeed(needs []stage.Need, n stage.Need) []stage.Need {
	needs = slices.Clone(needs)
	for i, has := range needs {
		if has.Key == n.Key && has.FromStart == n.FromStart {
			needs[i].Least, needs[i].Likely = max(has.Least, n.Least), max(has.Likely, n.Likely)
			if has.Life == 0 || n.Life > 0 && n.Life < has.Life {
				needs[i].Life = n.Life
			}
			return needs
		}
	}
	return append(needs, n)
}

// builder makes the list of a site.
type builder struct {
	Result
	rules Rules
	site  *Site
	tasks []stage.Task
	steps map[string][]string // keys of the tasks that a step is
}

// For is the list of a site whose plan has certain tasks. Every fault of the site is
// reported at once.
func (r Rules) For(site Site, tasks []stage.Task) (Result, error) {
	var f units.Faults
	site.check(&f, r)
	r.check(&f, true)
	if err := f.Err(); err != nil {
		return Result{}, err
	}
	b := &builder{rules: r, site: &site, tasks: tasks, steps: map[string][]string{},
		Result: Result{Evidence: []stage.Evidence{}, Tasks: []stage.Task{}, Links: []Link{}, Open: []stage.Open{}}}
	for _, s := range r.Steps {
		if b.holds(s.If, s.IfNot) {
			b.step(s)
		}
	}
	for _, row := range r.Rows {
		task, ok := b.first(row.Task)
		if ok && b.holds(row.If, row.IfNot) {
			b.Evidence = append(b.Evidence, stage.Evidence{Key: row.Key, What: b.words(row.What), When: b.words(row.When), Phase: row.Phase, Task: task, Who: row.Who, Source: row.Source})
		}
	}
	return b.Result, nil
}

// ofKind are the tasks of a kind, those of the plan and those of steps.
func (b *builder) ofKind(k stage.Kind) (keys []string) {
	for _, list := range [][]stage.Task{b.tasks, b.Result.Tasks} {
		for _, t := range list {
			if t.Kind == k && k != "" {
				keys = append(keys, t.Key)
			}
		}
	}
	return keys
}

// first is the first task of a kind; ok is false where the plan has none.
func (b *builder) first(k stage.Kind) (key string, ok bool) {
	if k == "" {
		return "", true
	}
	if keys := b.ofKind(k); len(keys) > 0 {
		return keys[0], true
	}
	return "", false
}

// holds reports whether the conditions hold, or may.
func (b *builder) holds(all, none []Condition) bool {
	for i, c := range append(slices.Clone(all), none...) {
		if yes, told := b.condition(c); told && yes != (i < len(all)) {
			return false
		}
	}
	for _, c := range append(slices.Clone(all), none...) {
		if _, told := b.condition(c); !told {
			b.open("evidence.if."+string(c), units.Words("whether the site has: %v", units.Word(string(c))), units.Words("yes or no; what hangs on it stays on the list until then"), stage.Producer)
		}
	}
	return true
}

// condition is whether a condition holds, as far as it was told.
func (b *builder) condition(c Condition) (yes, told bool) {
	yes, told = b.site.Conditions[c]
	if over := b.site.Figures.StormwaterOver; c == Stormwater && !told && over > 0 && b.site.Disturbed > 0 {
		return b.site.Disturbed >= over, true
	}
	return yes, told
}

// words is a text with the figures of the site in it.
func (b *builder) words(text string) units.Phrase {
	var p units.Phrase
	for text != "" {
		at := hole.FindStringSubmatchIndex(text)
		if at == nil {
			return plain(p, text)
		}
		name := text[at[2]:at[3]]
		v := b.site.Figures.of(name)
		if v == nil {
			b.open("evidence."+name, units.Words(asks[name]), units.Words("the figure of the rule, the permit or the laboratory"), stage.Regulator)
			v = units.Words("(not told yet: %v)", units.Words(asks[name]))
		}
		p = plain(p, text[:at[0]]).And("%v", v)
		text = text[at[1]:]
	}
	return p
}

// plain adds text as it stands.
func plain(p units.Phrase, text string) units.Phrase {
	if text == "" {
		return p
	}
	return p.And("%v", units.Words(text))
}

func (b *builder) open(key string, what, needs units.Phrase, who stage.Who) {
	key = strings.ReplaceAll(key, " ", "-")
	if !slices.ContainsFunc(b.Open, func(o stage.Open) bool { return o.Key == key }) {
		b.Open = append(b.Open, stage.Open{Key: key, What: what, Needs: needs, Who: who})
	}
}

// lag is the days of a name, with an open point where nobody told them.
func (b *builder) lag(name string, s Step) Lag {
	if name == "" {
		return Lag{}
	}
	l, ok := b.site.Lags[name]
	if !ok {
		b.open("evidence.lag."+name, units.Words("how many days pass: %v", units.Word(name)), units.Words("the least and the likely days, and for how long it holds; none are counted until then"), s.Who)
	}
	return l
}

// step makes the tasks of a step, or links it to those that the plan has.
func (b *builder) step(s Step) {
	lag := b.lag(s.Lag, s)
	if s.Days > 0 {
		lag = Lag{Least: s.Days, Likely: s.Days}
	}
	var before []string
	for _, k := range s.After {
		before = append(before, b.ofKind(k)...)
	}
	if len(s.After) > 0 && len(before) == 0 {
		return // what it comes after is not in the plan
	}
	follows := 0
	for _, key := range s.Follows {
		before = append(before, b.steps[key]...)
		follows += len(b.steps[key])
	}
	if len(s.Follows) > 0 && follows == 0 {
		return
	}
	own := b.ofKind(s.Kind)
	if len(own) == 0 {
		t := stage.Task{Key: s.Key, Name: b.words(s.What), Kind: s.Kind, Who: s.Who}
		if s.Hold != "" {
			t.Hold = []units.Phrase{b.words(s.Hold)}
		}
		for _, key := range before {
			t.Needs = joinedNeed(t.Needs, need(key, lag))
		}
		b.Tasks, own = append(b.Tasks, t), []string{s.Key}
	} else {
		for _, key := range own {
			for _, first := range before {
				b.link(key, need(first, lag))
			}
		}
	}
	b.steps[s.Key] = own
	wait := b.lag(s.Wait, s)
	for _, k := range s.Before {
		for _, key := range b.ofKind(k) {
			if s.Through && !slices.ContainsFunc(before, func(first string) bool { return b.comesAfter(key, first) }) {
				continue
			}
			for _, o := range own {
				b.link(key, need(o, wait))
			}
		}
	}
}

func need(key string, l Lag) stage.Need {
	return stage.Need{Key: key, Least: l.Least, Likely: l.Likely, Life: l.Life}
}

// link adds a need to a task, unless the task comes before it anyway.
func (b *builder) link(task string, n stage.Need) {
	if task == n.Key || b.comesAfter(n.Key, task) {
		return
	}
	for i := range b.Tasks {
		if b.Tasks[i].Key == task {
			b.Tasks[i].Needs = joinedNeed(b.Tasks[i].Needs, n)
			return
		}
	}
	b.Links = append(b.Links, Link{task, n})
}

// comesAfter reports whether a task needs another, itself or through others.
func (b *builder) comesAfter(task, first string) bool {
	seen := map[string]bool{}
	for queue := []string{task}; len(queue) > 0; queue = queue[1:] {
		if queue[0] == first {
			return true
		}
		if seen[queue[0]] {
			continue
		}
		seen[queue[0]] = true
		for _, list := range [][]stage.Task{b.tasks, b.Result.Tasks} {
			for _, t := range list {
				if t.Key == queue[0] {
					for _, n := range t.Needs {
						queue = append(queue, n.Key)
					}
				}
			}
		}
		for _, l := range b.Links {
			if l.Task == queue[0] {
				queue = append(queue, l.Need.Key)
			}
		}
	}
	return false
}
