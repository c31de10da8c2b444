package nutrient

import (
	"encoding"
	"errors"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/earthbasin/units"
)

// KeyYear is the key of the year after application, 1 being the season of
// application. It need not be declared.
const KeyYear = "year"

const (
	maxChoices = 100
	maxYear    = 50
)

var (
	idPattern  = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	keyPattern = regexp.MustCompile(`^[a-z][a-zA-Z0-9]{0,59}$`)
)

// reserved are the words that stand for something else where keys stand.
var reserved = []string{KeyYear, "gives", "unit", "title", perHead}

// perHead is the head of the quantities that a figure multiplies.
const perHead = "per"

// scale reads and shows the numbers of a quantity.
type scale struct {
	typed  func(text string) (float64, error) // with a unit of the type, in SI; nil for a unit of no type
	factor float64                            // of the declared unit to SI, 1 without a type
	most   float64
}

// typesOfUnits are tried in this order, the first that knows a unit has it.
var typesOfUnits = []func() (encoding.TextUnmarshaler, func() units.Quantity){
	reads[units.MassFraction], reads[units.Length], reads[units.Duration], reads[units.MassPerArea], reads[units.VolumePerArea],
	reads[units.Concentration], reads[units.DepthRate], reads[units.Mass], reads[units.Volume], reads[units.Area],
}

func reads[Q units.Quantity, P interface {
	*Q
	encoding.TextUnmarshaler
}]() (encoding.TextUnmarshaler, func() units.Quantity) {
	var q Q
	return P(&q), func() units.Quantity { return q }
}

// quantityOf returns x of a unit as a quantity of package units; ok is false when no
// type knows the unit.
func quantityOf(x float64, unit string) (q units.Quantity, ok bool) {
	if inBushels(unit) {
		return nil, false
	}
	for _, typed := range typesOfUnits {
		read, value := typed()
		if read.UnmarshalText([]byte(strconv.FormatFloat(x, 'g', -1, 64)+" "+unit)) == nil && !depth(value(), unit) {
			return value(), true
		}
	}
	return nil, false
}

// inBushels reports whether a unit counts trade bushels, which are weights here and no
// volumes.
func inBushels(unit string) bool { return strings.Contains(unit, string(YieldBushel)) }

// sizeOf returns the size of a unit in SI units; ok is false when it is no unit of Q.
func sizeOf[Q units.Quantity](unit string) (size float64, ok bool) {
	q, _ := quantityOf(1, unit)
	one, ok := q.(Q)
	if !ok {
		return 0, false
	}
	return one.SI(), true
}

// isUnit reports whether a unit is one of a quantity.
func isUnit[Q units.Quantity](unit string) bool {
	_, ok := sizeOf[Q](unit)
	return ok
}

// depth reports whether a unit such as m3/ha was read as a length, which it is by its
// dimension.
func depth(q units.Quantity, unit string) bool {
	_, length := q.(units.Length)
	return length && strings.Contains(unit, "/")
}

// scaleOf returns the scale of a unit.
func scaleOf(unit string) scale {
	for _, typed := range typesOfUnits {
		read, value := typed()
		if unit != "1" && read.UnmarshalText([]byte("1 "+unit)) == nil && !depth(value(), unit) {
			return scale{func(text string) (float64, error) {
				read, value := typed()
				err := read.UnmarshalText([]byte(text))
				return value().SI(), err
			}, value().SI(), boundsOf(value()).most}
		}
	}
	return scale{factor: 1, most: numberBounds.most}
}

// boundKey is a declared key made ready.
type boundKey struct {
	Key
	scale
	whole bool // the year
}

// quantity reports whether the key takes a quantity.
func (k *boundKey) quantity() bool { return k.Unit != "" || k.whole }

var unitNumber = regexp.MustCompile(`^([0-9.,]+(?:[eE][-+]?[0-9]+)?) ?(.*)$`)

// number reads a quantity of the key; bare says whether a number without unit counts
// as one in the unit of the key.
func (k *boundKey) number(text string, bare bool) (float64, bool) {
	if plain, below := strings.CutPrefix(strings.TrimSpace(text), "-"); below { // -0 is 0
		x, ok := k.number(plain, bare)
		return 0, ok && x == 0
	}
	m := unitNumber.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, false
	}
	x, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", ""), 64)
	if _, grouped := plainNumber(m[1]); err != nil || !grouped {
		return 0, false
	}
	times, also := k.Also[m[2]]
	switch unit := m[2]; {
	case unit == "" && (bare || k.whole || k.Unit == "1"), unit == k.Unit:
		x *= k.factor
	case also:
		x *= times * k.factor
	case unit == "" || k.typed == nil || inBushels(unit) != inBushels(k.Unit):
		return 0, false
	default:
		if x, err = k.typed(text); err != nil {
			return 0, false
		}
	}
	if k.whole {
		return x, x == math.Trunc(x) && x >= 1 && x <= maxYear
	}
	return x + 0, x >= 0 && x <= k.most && (x == 0 || x >= numberBounds.least)
}

// show writes a value of a quantity, or a day.
func (k *boundKey) show(x float64) string {
	switch {
	case k.Date:
		return dayText(int(x))
	case k.whole:
		return fmt.Sprintf("%.4g", x)
	case k.Unit == "1":
		return fmt.Sprintf("%.6g", x)
	}
	return fmt.Sprintf("%.6g %s", x/k.factor, k.Unit)
}

// Takes says what the key takes, such as for a form, as a template that can be
// translated.
func (k Key) Takes() units.Phrase {
	switch {
	case k.Name == KeyYear:
		return units.Words("the year after application, 1 to %v", maxYear)
	case k.Date:
		return units.Words("a day, such as %v", units.Word("2026-10-20"))
	case k.Unit == "1":
		return units.Words("a number")
	case k.Unit != "" && k.Never != "":
		return units.Words("a number with its unit, such as %v, or %v", units.Word("12 "+k.Unit), units.Word(k.Never))
	case k.Unit != "":
		return units.Words("a number with its unit, such as %v", units.Word("12 "+k.Unit))
	}
	return units.Words("one of %v", units.Word(strings.Join(k.Values, "; ")))
}

// refusal is what is wanted in place of text, which is no value of the key, and in which
// way it is wrong.
func (k *boundKey) refusal(text string) (want units.Phrase, kind units.FaultKind) {
	want = k.Takes()
	m := unitNumber.FindStringSubmatch(strings.TrimPrefix(strings.TrimSpace(text), "-"))
	if k.whole || !k.quantity() || m == nil {
		return want, units.FaultMalformed
	}
	_, known := k.number("1 "+m[2], k.Unit == "1")
	mantissa, _, _ := strings.Cut(strings.ToLower(m[1]), "e")
	switch {
	case strings.Contains(mantissa, ",") && !grouped(mantissa):
		return units.Words("a decimal point, not a comma, or thousands commas in groups of three"), units.FaultMalformed
	case m[2] == "" && k.Unit != "1":
		return want, units.FaultUnit
	case !known:
		list := append([]string{k.Unit}, slices.Sorted(maps.Keys(k.Also))...)
		return units.Words("a number with a unit such as %v", units.Word(strings.Join(list, ", "))), units.FaultUnit
	}
	if _, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", ""), 64); err != nil && !errors.Is(err, strconv.ErrRange) {
		return want, units.FaultMalformed
	}
	if k.Unit == "1" {
		return units.Words("0, or %v to %v", numberBounds.least, k.most), units.FaultRange
	}
	return units.Words("0, or up to %v", units.Word(k.show(k.most))), units.FaultRange
}

// grouped reports whether the commas of a number part thousands.
func grouped(text string) bool {
	_, ok := plainNumber(text)
	return ok
}

// spotOf reads a value of the key from a query.
func (k *boundKey) spotOf(text string) (s spot, ok bool) {
	s.given = true
	switch {
	case k.Never != "" && strings.EqualFold(text, k.Never):
		s.never, ok = true, true
	case k.Date:
		var day int
		day, ok = dayOf(text)
		s.number = float64(day)
	case k.quantity():
		s.number, ok = k.number(text, false)
	default:
		s.choice = indexFold(k.Values, text)
		ok = s.choice >= 0
	}
	return s, ok
}

// check records the faults of a declaration.
func (k *Key) check(f *units.Faults, earlier []boundKey) {
	kinds := 0
	for _, is := range []bool{len(k.Values) > 0, k.Unit != "", k.Date} {
		if is {
			kinds++
		}
	}
	switch {
	case !keyPattern.MatchString(k.Name) || slices.Contains(reserved, k.Name):
		f.Add("name", k.Name, "letters and digits that start with a small letter, such as species; not %v", units.Word(strings.Join(reserved, ", ")))
	case slices.ContainsFunc(earlier, func(o boundKey) bool { return o.Name == k.Name }):
		f.Add("name", k.Name, "a key declared once")
	}
	if k.Label == "" {
		f.Missing("label", "what a form prints beside the field")
	}
	if kinds != 1 {
		f.Add("", units.Words("a key with %v of values, unit and date", units.Count{N: kinds}), "one of them")
	}
	if len(k.Values) > maxChoices {
		f.Count("values", len(k.Values), "values", "at most %v", maxChoices)
	}
	if len(k.Unit) > longestWord {
		f.Add("unit", k.Unit, "a word of up to 60 bytes")
	}
	if (k.Also != nil || k.Never != "" || k.Between != 0) && k.Unit == "" {
		f.Missing("unit", "the unit of the quantity, to which also, never and between belong")
	}
	for unit, times := range k.Also {
		at := f.Named("also", unit)
		at.NumberBetween("", times, 1e-9, 1e9)
	}
	if !betweenNames.Has(int(k.Between)) {
		f.Add("between", k.Between, betweenNames.Want())
	}
	for i, v := range k.Values {
		at := f.At("values", i)
		if v == "" || v != strings.TrimSpace(v) || strings.Contains(v, "; ") || indexFold(k.Values[:i], v) >= 0 {
			at.Add("", v, "a word that stands once, without a semicolon")
		}
	}
}

// A day of the year is counted from 0 in a leap year.
const (
	leapYear = 2024
	yearDays = 366
)

var dayLayouts = []string{time.DateOnly, "2 Jan", "2 January", "Jan 2", "January 2", time.RFC3339}

// dayOf reads a date, or a day and a month.
func dayOf(text string) (int, bool) {
	for _, layout := range dayLayouts {
		if t, err := time.Parse(layout, strings.TrimSpace(text)); err == nil {
			return midnightOf(leapYear, t.Month(), t.Day()).YearDay() - 1, true
		}
	}
	return 0, false
}

func dayText(day int) string {
	return midnightOf(leapYear, time.January, 1+day).Format("2 Jan")
}

// window is days of the year with both ends, which may run over its end.
type window struct {
	named    bool
	from, to int
}

func (w window) has(day int) bool {
	if w.from <= w.to {
		return day >= w.from && day <= w.to
	}
	return day >= w.from || day <= w.to
}

// windowOf reads "15 Oct to 31 Jan".
func windowOf(text string) (w window, ok bool) {
	from, to, both := strings.Cut(text, " to ")
	if !both {
		return w, false
	}
	w.named = true
	w.from, ok = dayOf(from)
	if ok {
		w.to, ok = dayOf(to)
	}
	return w, ok
}
