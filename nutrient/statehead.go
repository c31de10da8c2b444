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
// rounded first, 0 for none. What is wanted instead is empty when the text is one.
func (k *boundKey) demandOf(i int, text string, round float64) (d demand, want string) {
	d.key = i
	want = k.wantHead()
	switch {
	case k.Date:
		var ok bool
		if d.window, ok = windowOf(text); ok {
			return d, ""
		}
		return d, want
	case !k.quantity():
		for _, v := range k.choices(text) {
			x := indexFold(k.Values, v)
			if x < 0 || slices.Contains(d.choices, x) {
				return d, near(v, k.Values) + want
			}
			d.choices = append(d.choices, x)
		}
		slices.Sort(d.choices)
		return d, ""
	}
	if k.Never != "" {
		if strings.EqualFold(text, k.Never) {
			d.never = true
			return d, ""
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
	if !(d.in.low < d.in.high || d.in.low == d.in.high && !d.in.lowOpen && !d.in.highOpen) || d.in.low > k.most {
		return d, "a class that is not empty, within what the key takes"
	}
	return d, ""
}

// interval reads a class or a point into d.
func (k *boundKey) interval(d *demand, text string) bool {
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

// near is the word of a list that is written most like another, to begin a want with;
// empty where none is.
func near(word string, list []string) string {
	if len(word) > longestWord {
		return ""
	}
	best, least := "", 2+len(word)/6
	for _, w := range list {
		if d := units.Edits(strings.ToLower(word), strings.ToLower(w), least); d > 0 && d < least {
			best, least = w, d
		}
	}
	if best == "" {
		return ""
	}
	return best + ", or "
}

// choices takes a head apart into choices: one, or several with "; " between.
func (k *boundKey) choices(text string) []string {
	if indexFold(k.Values, text) >= 0 {
		return []string{text}
	}
	return strings.Split(text, "; ")
}

func (k *boundKey) wantHead() string {
	switch {
	case k.Date:
		return "a period, such as 15 Oct to 31 Jan"
	case k.quantity():
		never := ""
		if k.Never != "" {
			never = ", over 48 or " + k.Never
		}
		return "a class or a point, such as to 12, below 18, over 12 to 96, from 25 below 50, from 60" + never + ", 31-60 or 6, in " + k.Unit
	}
	return "one of " + strings.Join(k.Values, "; ") + ", or several with a semicolon and a space between"
}
