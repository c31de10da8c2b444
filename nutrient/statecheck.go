package nutrient

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"strings"

	"example.org/earthbasin/units"
)

// maxCheckParts is far above the figures of any example.
const maxCheckParts = 50

// checkExamples works out the examples of the source.
func (l *stateLoader) checkExamples() {
	switch none := len(l.spec.Checks) == 0; {
	case !none && l.spec.Unchecked != "":
		l.faults.Say("unchecked", "a reason beside checks", "a reason only where the file holds no example of its source")
	case none && l.spec.Unchecked == "":
		l.remarks = append(l.remarks, "no worked example of the source in checks, and unchecked does not say why")
	}
	for i, c := range l.spec.Checks {
		at := l.faults.At("checks", i)
		l.sourceOf(&at, c.Source)
		if c.Place == "" {
			at.Missing("place", "the example and its page")
		}
		l.checkExample(&at, c)
	}
}

// checkAsks holds the queries of the examples against the keys, where the tables have
// faults and give no answer yet.
func (l *stateLoader) checkAsks() {
	for i, c := range l.spec.Checks {
		at := l.faults.At("checks", i)
		parts := []CheckPart{c.part()}
		for _, p := range c.Parts {
			parts = append(parts, c.with(p))
		}
		var own units.Faults
		told := map[string]bool{}
		for _, p := range parts {
			q := Query{}
			for name, text := range p.Ask {
				if asked := name + " " + string(text); !told[asked] {
					told[asked], q[name] = true, string(text)
				}
			}
			l.ask(q, &own)
		}
		at.Sub("ask", own.Err())
	}
}

// checkExample holds each figure that an example prints against what the tables give.
func (l *stateLoader) checkExample(f *units.Faults, c Check) {
	checkNumbers(f, c.Times, c.Tolerance)
	if c.Parts == nil {
		l.checkPart(f, c, c.part())
		return
	}
	if len(c.Parts) == 0 || len(c.Parts) > maxCheckParts {
		f.CountBetween("parts", len(c.Parts), "parts", 1, maxCheckParts)
		return
	}
	before := f.Len()
	printed := c.Want != ""
	sum := workedCheck{times: 1}
	for i, p := range c.Parts {
		at := f.At("parts", i)
		checkNumbers(&at, p.Times, p.Tolerance)
		printed = printed || p.Want != ""
		if x, ok := l.checkPart(&at, c, c.with(p)); ok && c.Want != "" {
			sum.add(&at, x, p.Less)
		}
	}
	if !printed {
		f.Missing("want", "the printed sum of the parts, or what is printed of each")
	}
	if f.Len() == before && c.Want != "" {
		sum.hold(f, c.Want, c.Tolerance)
	}
}

func checkNumbers(f *units.Faults, times, tolerance float64) {
	if times != 0 {
		f.NumberBetween("times", times, 1e-9, 1e9)
	}
	f.NumberBetween("tolerance", tolerance, 0, 1e9)
}

// part is an example of one figure as a part.
func (c Check) part() CheckPart {
	return CheckPart{Gives: c.Gives, As: c.As, Ask: c.Ask, Times: c.Times, Want: c.Want, Tolerance: c.Tolerance}
}

// with is a part with what it takes over from its check.
func (c Check) with(p CheckPart) CheckPart {
	if p.Given == 0 {
		p.Gives, p.As = cmp.Or(p.Gives, c.Gives), cmp.Or(p.As, c.As)
	}
	ask := maps.Clone(c.Ask)
	if ask == nil {
		ask = map[string]Cell{}
	}
	maps.Copy(ask, p.Ask)
	p.Ask, p.Tolerance = ask, cmp.Or(p.Tolerance, c.Tolerance)
	if p.Times == 0 || c.Times == 0 {
		p.Times += c.Times
	} else {
		p.Times *= c.Times
	}
	return p
}

// workedCheck is what the tables give to a part of an example.
type workedCheck struct {
	answer Answer
	given  bool    // multiplied, or put in by the example: it is not in the unit of the table
	times  float64 // what the answer is multiplied with
}

// figure is the answer times what the example multiplies it with.
func (x workedCheck) figure() units.Range[float64] {
	return units.Range[float64]{Low: x.answer.Figure.Low * x.times, High: x.answer.Figure.High * x.times}
}

// workOut puts a part of an example to the tables; ok is false when no line limits.
func (s *State) workOut(p CheckPart) (x workedCheck, ok bool, err error) {
	x, ok = workedCheck{given: p.Times != 0, times: cmp.Or(p.Times, 1)}, true
	if p.Given != 0 {
		x.given, x.answer.Figure = true, units.Point(p.Given)
		return x, true, nil
	}
	q := Query{}
	for name, text := range p.Ask {
		q[name] = string(text)
	}
	switch p.As {
	case AsValue:
		x.answer, err = s.Answer(p.Gives, q)
	case AsBan:
		x.answer.Word = "yes"
		x.answer.Steps, err = s.Bans(q)
		if len(x.answer.Steps) > 0 {
			x.answer.Word = "no"
		}
	default:
		x.answer, ok, err = s.Limit(p.Gives, p.As, q)
	}
	if x.answer.Unit == "%" && p.Times != 0 {
		x.times /= 100 // of a share
	}
	return x, ok, err
}

// checkPart works out one figure and holds it against the print.
func (l *stateLoader) checkPart(f *units.Faults, c Check, p CheckPart) (x workedCheck, ok bool) {
	before := f.Len()
	switch {
	case p.Given != 0 && p.Gives != "":
		f.Say("given", "a figure beside gives", "one of them")
	case p.Given != 0:
		f.NumberBetween("given", p.Given, 1e-9, 1e9)
	case p.Gives == "" && p.As != AsBan:
		f.Missing("gives", "what the example works out")
	}
	if c.Parts == nil && p.Want == "" {
		f.Missing("want", "what the example prints")
	}
	if f.Len() > before {
		return x, false
	}
	x, ok, err := l.workOut(p)
	f.Sub("ask", err)
	switch {
	case err != nil:
		return x, false
	case !ok:
		f.Say("", "no figure", "a line that answers")
		return x, false
	}
	if p.Want != "" {
		x.hold(f, p.Want, p.Tolerance)
	}
	return x, f.Len() == before
}

// add takes a part into a sum, in the unit of the first.
func (x *workedCheck) add(f *units.Faults, part workedCheck, less bool) {
	if part.answer.Word != "" {
		f.Say("", "a word", "a figure, since want is the sum of the parts")
		return
	}
	figure := part.figure()
	switch {
	case part.given || x.given:
		x.given, x.answer.Unit = true, ""
	case x.answer.Unit == "":
		x.answer.Unit = part.answer.Unit
	case x.answer.Unit != part.answer.Unit:
		from, ok := quantityOf(1, part.answer.Unit)
		to, also := quantityOf(1, x.answer.Unit)
		if !ok || !also || fmt.Sprintf("%T", from) != fmt.Sprintf("%T", to) {
			f.Add("", units.Words("a figure in %v beside one in %v", units.Word(part.answer.Unit), units.Word(x.answer.Unit)), "figures of one unit in a sum, or times")
			return
		}
		figure.Low, figure.High = figure.Low*from.SI()/to.SI(), figure.High*from.SI()/to.SI()
	}
	if less {
		figure.Low, figure.High = -figure.High, -figure.Low
	}
	x.answer.Figure.Low += figure.Low
	x.answer.Figure.High += figure.High
}

// hold records a fault unless the tables give what is printed.
func (x workedCheck) hold(f *units.Faults, printed Cell, tolerance float64) {
	want, number := figureOf(string(printed))
	got := x.figure()
	far := func(got, want float64) bool { return !(math.Abs(got-want) <= tolerance+1e-9*want) }
	switch word := x.answer.Word; {
	case word != "" && !strings.EqualFold(word, string(printed)):
		f.Add("want", units.Words("printed %v, worked out %v", units.Word(printed), units.Word(word)), "the answer of the tables")
	case word != "":
	case !number:
		f.Add("want", string(printed), "a number or a range")
	case far(got.Low, want.Low) || far(got.High, want.High):
		f.Add("want", x.told(printed), "the answer of the tables within the tolerance")
	}
}

// told says what came out in place of what is printed.
func (x workedCheck) told(printed Cell) units.Phrase {
	text := func(x units.Range[float64]) string {
		if x.Low == x.High {
			return fmt.Sprintf("%.6g", x.Low)
		}
		return fmt.Sprintf("%.6g to %.6g", x.Low, x.High)
	}
	answer := units.Word(strings.TrimSpace(text(x.answer.Figure) + " " + x.answer.Unit))
	if x.answer.Unit == "%" && x.given {
		return units.Words("printed %v, worked out %v, which is %v x %v", units.Word(printed), units.Word(text(x.figure())), x.times*100, answer)
	}
	if x.times != 1 {
		return units.Words("printed %v, worked out %v, which is %v x %v", units.Word(printed), units.Word(text(x.figure())), x.times, answer)
	}
	return units.Words("printed %v, worked out %v", units.Word(printed), answer)
}
