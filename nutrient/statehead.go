package nutrient

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// demand is what a line asks of one key.
type demand struct {
	key     int   // in the keys of the state
	choices []int // of a key with choices
	ranged  bool  // of a quantity: an interval is named
	in      interval
	never   bool
	point   bool // the interval is one printed point, between which nothing is printed
	window  window
}

// equal reports whether both ask the same.
func (d demand) equal(o demand) bool {
	return o.key == d.key && slices.Equal(o.choices, d.choices) && o.in == d.in && o.ranged == d.ranged && o.never == d.never && o.window == d.window
}

// holds reports whether a value meets the demand.
func (d *demand) holds(s spot) bool {
	switch {
	case d.choices != nil:
		return slices.Contains(d.choices, s.choice)
	case s.never:
		return d.never
	case d.window.named:
		return d.window.has(int(s.number))
	}
	return d.ranged && d.in.has(s.number)
}

var (
	headWhole = regexp.MustCompile(`^([0-9.]+)-([0-9.]+)( .*)?$`)
	headLow   = regexp.MustCompile(`^(from|over) (.+?)(?: (to|below) (.+))?$`)
	headHigh  = regexp.MustCompile(`^(to|below) (.+)$`)
)

// demandOf reads the head text of key number i; round is the step to which values are
// rounded first, 0 for none. What is wanted instead is zero when the text is one.
func (k *boundKey) demandOf(i int, text string, round float64) (d demand, want units.Phrase) {
	d.key = i
	want = k.wantHead()
	switch {
	case k.Date:
		var ok bool
		if d.window, ok = windowOf(text); ok {
			return d, units.Phrase{}
		}
		return d, want
	case !k.quantity():
		for _, v := range k.choices(text) {
			x := indexFold(k.Values, v)
			if x < 0 || slices.Contains(d.choices, x) {
				return d, orNear(v, k.Values, want)
			}
			d.choices = append(d.choices, x)
		}
		slices.Sort(d.choices)
		return d, units.Phrase{}
	}
	if k.Never != "" {
		if strings.EqualFold(text, k.Never) {
			d.never = true
			return d, units.Phrase{}
		}
		if rest, ok := strings.CutSuffix(text, " or "+k.Never); ok {
			text, d.never = rest, true
		}
	}
	if !k.interval(&d, text) {
		return d, want
	}
	d.ranged = true
	if half := round * k.factor / 2; half > 0 { // an end that a rounded value has or has not
		if d.in.low > 0 || d.in.lowOpen {
			d.in.low += half
			if !d.in.lowOpen {
				d.in.low -= 2 * half
			}
			d.in.low, d.in.lowOpen = max(0, d.in.low), false
		}
		if !math.IsInf(d.in.high, 1) {
			d.in.high += half
			if d.in.highOpen {
				d.in.high -= 2 * half
			}
			d.in.highOpen = true
		}
	}
	if same(d.in.low, d.in.high) {
		d.in.high = d.in.low
	}
	if d.in.low > d.in.high || d.in.low == d.in.high && (d.in.lowOpen || d.in.highOpen) || d.in.low > k.most {
		return d, units.Words("a class that is not empty, within what the key takes")
	}
	return d, units.Phrase{}
}

// interval reads a class or a point into d.
func (k *boundKey) interval(d *demand, text string) bool {
	if text == "" {
		return false
	}
	d.in = interval{high: math.Inf(1)}
	low, high := "", ""
	if m := headLow.FindStringSubmatch(text); m != nil {
		low, high = m[2], m[4]
		d.in.lowOpen, d.in.highOpen = m[1] == "over", m[3] == "below"
		if rest, ok := strings.CutPrefix(high, "below "); ok { // "from 60 to below 120"
			high, d.in.highOpen = rest, true
		}
	} else if m := headHigh.FindStringSubmatch(text); m != nil {
		high, d.in.highOpen = m[2], m[1] == "below"
	} else if m := headWhole.FindStringSubmatch(text); m != nil {
		low, high = m[1]+m[3], m[2]+m[3]
	} else {
		low, high = text, text
		d.point = !k.whole
	}
	ok := true
	if low != "" {
		d.in.low, ok = k.number(low, true)
	}
	if ok && high != "" {
		d.in.high, ok = k.number(high, true)
	}
	return ok
}

// orNear is what is wanted, after the word of a list that is written most like another
// where there is one.
func orNear(word string, list []string, want units.Phrase) units.Phrase {
	if len(word) > longestWord {
		return want
	}
	best, least := "", 2+len(word)/6
	for _, w := range list {
		if d := units.Edits(strings.ToLower(word), strings.ToLower(w), least); w != word && d < least {
			best, least = w, d
		}
	}
	if best == "" {
		return want
	}
	return units.Words("%v, or %v", units.Word(best), want)
}

// choices takes a head apart into choices: one, or several with "; " between.
func (k *boundKey) choices(text string) []string {
	if indexFold(k.Values, text) >= 0 {
		return []string{text}
	}
	return strings.Split(text, "; ")
}

func (k *boundKey) wantHead() units.Phrase {
	switch {
	case k.Date:
		return units.Words("a period, such as 15 Oct to 31 Jan")
	case k.quantity() && k.Never != "":
		return units.Words("a class or a point, such as to 12, below 18, over 12 to 96, from 25 below 50, from 60, over 48 or %v, 31-60 or 6, in %v", units.Word(k.Never), units.Word(k.Unit))
	case k.quantity():
		return units.Words("a class or a point, such as to 12, below 18, over 12 to 96, from 25 below 50, from 60, 31-60 or 6, in %v", units.Word(k.Unit))
	}
	return units.Words("one of %v, or several with a semicolon and a space between", units.Word(strings.Join(k.Values, "; ")))
}
