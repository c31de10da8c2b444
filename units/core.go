package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Quantity is what every quantity type of this package satisfies; other types
// cannot. It serves functions that validate or print any quantity.
type Quantity interface {
	// SI returns the value in the coherent SI unit of its type.
	SI() float64
	// Trade returns the value rounded to four significant figures in the
	// unit that the trade would use at that size, such as "3.2 acre".
	Trade() string
	quantity() *kind
}

// scalar is the type set of the quantities, for the generic core.
type scalar interface {
	~float64
	Quantity
}

// dim counts the powers of metre, kilogram and second, and of counted seeds, which
// keeps a number of seeds from passing for a plain ratio. No unit has a temperature in it.
type dim struct{ m, kg, s, seed int8 }

// kind describes one quantity type: everything that its methods need.
type kind struct {
	name  string // singular, for messages: "length"
	dim   dim
	si    string // text of the SI unit, must parse back with factor 1
	units []named
	// pick returns the unit the trade would use for a value of v SI units.
	pick func(v float64) string
	// metric is pick where people measure in metric units.
	metric func(v float64) string
	// alias holds unit words that mean something only for this kind.
	alias map[string]float64
	// refuse explains unit words that have the wrong meaning here.
	refuse map[string]string
	// per is the kind that a price is for, nil for other kinds.
	per *kind
	// compound allows sums in falling units: 12 ft 6 in.
	compound bool
}

// kindOf returns the kind of a type.
func kindOf[Q scalar]() *kind {
	var q Q
	return q.quantity()
}

// named is one unit of a kind by its display name, with the exact factor.
type named struct {
	name   string
	factor float64
}

// lookup returns the factor of a display name.
func (k *kind) lookup(name string) (float64, bool) {
	for _, u := range k.units {
		if u.name == name {
			return u.factor, true
		}
	}
	return 0, false
}

// names lists display names for messages.
func (k *kind) names() string {
	names := make([]string, 0, 6)
	for _, u := range k.units {
		if len(names) == 6 {
			break
		}
		names = append(names, u.name)
	}
	return strings.Join(names, ", ")
}

// examples says what the kind takes.
func (k *kind) examples() string { return article(k.name) + " with its unit, such as " + k.names() }

// appendSI writes the shortest SI text that reads back to the same bits.
func appendSI[Q scalar](b []byte, q Q) ([]byte, error) {
	v := float64(q) + 0 // -0 is 0
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return b, Fault(FaultRange, "", q, "a finite %v", Word(q.quantity().name))
	}
	b = strconv.AppendFloat(b, v, 'g', -1, 64)
	b = append(b, ' ')
	return append(b, q.quantity().si...), nil
}

func marshal[Q scalar](q Q) ([]byte, error) { return appendSI(nil, q) }

func unmarshal[Q scalar](q *Q, text []byte) error {
	v, err := parse[Q](string(text))
	if err != nil {
		return err
	}
	*q = v
	return nil
}

// format implements fmt.Formatter: the verb's number, then the SI unit.
func format[Q scalar](q Q, s fmt.State, verb rune) {
	switch verb {
	case 'e', 'E', 'f', 'F', 'g', 'G':
	default:
		verb = 'g'
	}
	fmt.Fprintf(s, fmt.FormatString(s, verb), float64(q))
	fmt.Fprint(s, " ", q.quantity().si)
}

// text writes q in the unit u with a fixed number of decimals, thousands
// grouped. A unit that has no name is written in SI.
func text[Q scalar](q, u Q, decimals int) string {
	return Style{}.quantity(q, unitName(u), decimals)
}

// unitName returns the display name of the unit u, the SI unit when it has none.
func unitName[Q scalar](u Q) string {
	k := u.quantity()
	for _, n := range k.units {
		if n.factor == float64(u) {
			return n.name
		}
	}
	return k.si
}

// significant writes x with so many significant figures, without the zeros at its
// end, and whole from there on.
func significant(x float64, digits int) string {
	a := math.Abs(x)
	if a > 0 && a < 1e-9 || a >= 1e15 && !math.IsInf(a, 0) {
		return strconv.FormatFloat(x, 'g', digits, 64)
	}
	decimals := 0
	if a > 0 && !math.IsInf(a, 0) {
		decimals = max(0, min(12, digits-1-int(math.Floor(math.Log10(a)))))
	}
	s := group(x, decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// group writes x with fixed decimals and commas between thousands.
func group(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	start := 0
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "+") {
		start = 1
	}
	if s[start:] == "Inf" || s == "NaN" {
		return s
	}
	whole, _, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > start; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	if strings.Trim(s, "-0.,") == "" { // no negative zero
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// bySize returns the pick function that takes the last step whose least value
// is reached.
func bySize(steps ...named) func(float64) string {
	return func(v float64) string {
		name := steps[0].name
		for _, s := range steps {
			if v >= s.factor {
				name = s.name
			}
		}
		return name
	}
}

// Hint says how a quantity of the type of q is written, such as "a length with its
// unit, such as ft, in, yd, mi, m, cm".
func Hint(q Quantity) string {
	if q == nil {
		return "a quantity"
	}
	k := q.quantity()
	switch {
	case k == &temperatureKind:
		return temperatureWant
	case k.per != nil:
		return "text such as \"12 " + k.si + "\""
	}
	return k.examples()
}

// article puts a or an in front of a name.
func article(name string) string {
	if strings.ContainsRune("aeiou", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}
