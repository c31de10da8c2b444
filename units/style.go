package units

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Style says how values are shown to people: in which units, with which signs in
// numbers, and in which words. It renders faults, working, quantities and tables,
// and reads what people write in it. The zero value is US customary units and
// US English. It is safe for concurrent use when Translate is.
//
// The default rule of numbers, with which the library itself reads and writes, is
// that of the zero value: a point before the decimals, and commas between groups
// of three digits, which may be left out.
type Style struct {
	// System is the system of units. A value that came with a unit for its showing
	// ([As]) keeps it where the unit is of the system.
	System System `json:"system"`
	// Signs is how numbers are written.
	Signs Signs `json:"signs"`
	// Digits is the number of significant figures of a quantity, 2 to 15; 0 is 4.
	Digits int `json:"digits,omitempty"`
	// Round is the number of figures to which quantities and amounts of money are rounded
	// also before the point, 1 to 15, for readers who want no more than a figure bears:
	// 30,300 gal in place of 30,282 gal with 3. 0 keeps whole numbers whole.
	Round int `json:"round,omitempty"`
	// Currency is the sign or name that amounts of money and prices begin with, such as
	// "$" or "EUR"; empty for none.
	Currency string `json:"currency,omitempty"`
	// Days is how days are written, a layout of package time such as "2 January 2006";
	// empty for 2006-01-02.
	Days string `json:"days,omitempty"`
	// Translate returns a template or a word in another language, and what it does
	// not know as it is. It is called with the templates of phrases, such as "at most
	// %v", and must keep their verbs; %[2]v takes arguments in another order. All of
	// them are listed in examples/testdata/templates.txt of the module. Nil leaves
	// everything in English.
	Translate func(string) string `json:"-"`
}

// System is a system of units.
type System int

// Systems of units. The text form, also in JSON, stands behind each.
const (
	SystemUS     System = iota // "US": gal, ft, lb, acre
	SystemMetric               // "metric": m3, m, kg, ha
)

var systemNames = Names{"US", "metric"}

// String returns the name that MarshalText writes.
func (s System) String() string { return systemNames.String(int(s)) }

// MarshalText writes the name.
func (s System) MarshalText() ([]byte, error) { return systemNames.Marshal(int(s)) }

// UnmarshalText reads a name; the error lists the names.
func (s *System) UnmarshalText(text []byte) error { return UnmarshalName(systemNames, text, s) }

// Signs is how numbers are written.
type Signs = Enum[signsWords]

// Signs of numbers. The text form, also in JSON, is the example.
const (
	SignsCommaPoint Signs = iota // "1,234.5"
	SignsPointComma              // "1.234,5"
	SignsSpacePoint              // "1 234.5"
	SignsSpaceComma              // "1 234,5"
	SignsPoint                   // "1234.5"
	SignsComma                   // "1234,5"
)

var signsNames = Names{"1,234.5", "1.234,5", "1 234.5", "1 234,5", "1234.5", "1234,5"}

type signsWords struct{}

func (signsWords) Names() Names { return signsNames }

// space is written between groups of digits; it does not break the line.
const space = "\u00a0"

// groupSign and decimalSign are the signs of each Signs.
var (
	groupSign   = [...]string{",", ".", space, space, "", ""}
	decimalSign = [...]string{".", ",", ".", ",", ".", ","}
)

// words translates a template or a word.
func (s Style) words(text string) string {
	if s.Translate == nil || text == "" {
		return text
	}
	return s.Translate(text)
}

// signs rewrites a number in the default signs.
func (s Style) signs(number string) string {
	i := s.Signs
	if i <= 0 || !signsNames.Has(int(i)) {
		return number
	}
	return strings.NewReplacer(",", groupSign[i], ".", decimalSign[i]).Replace(number)
}

func (s Style) digits() int {
	if s.Digits == 0 {
		return 4
	}
	return max(2, min(s.Digits, 15))
}

// Text shows a value: a [Quantity] in the unit of its size, a [Span] or [Range] from
// low to high, a number with four significant figures, a [Share] in percent, text
// and words as they are.
func (s Style) Text(v any) string {
	switch v := valueOf(v).(type) {
	case Quantity:
		return s.quantity(v, "", 0)
	case Shown:
		if v.Quantity == nil {
			return ""
		}
		return s.quantity(v.Quantity, v.Unit, v.Decimals)
	case Span:
		return s.Phrase(Phrase{"%v to %v", []any{s.from(v), v.High}})
	case float64:
		if math.Abs(v) >= 1000 && math.Abs(v) < 1e15 {
			return s.signs(group(v, 0))
		}
		return s.signs(strconv.FormatFloat(v, 'g', s.digits(), 64))
	case Share:
		return s.signs(significant(100*float64(v), s.digits())) + " %"
	case Money:
		return s.money(float64(v), 2)
	case string:
		return v
	case Word:
		return s.words(string(v))
	case Count:
		n := strconv.Itoa(v.N)
		if v.N >= 10000 || v.N <= -10000 {
			n = s.signs(group(float64(v.N), 0))
		}
		if v.Of == "" {
			return n
		}
		return n + " " + s.words(v.Of)
	case time.Time:
		return dateText(v, s.Days)
	case Phrase:
		return s.Phrase(v)
	}
	return ""
}

// money shows an amount with its currency, and its sign before that; whole ones that
// are rounded have no cents.
func (s Style) money(x float64, decimals int) string {
	if s.Round > 0 {
		if x = s.rounded(x); x == math.Trunc(x) {
			decimals = 0
		}
	}
	text, currency := s.signs(group(x, decimals)), s.Currency
	if last, _ := utf8.DecodeLastRuneInString(currency); unicode.IsLetter(last) {
		currency += space
	}
	if amount, negative := strings.CutPrefix(text, "-"); negative {
		return "-" + currency + amount
	}
	return currency + text
}

// rounded is x with the figures of Round.
func (s Style) rounded(x float64) float64 {
	if s.Round <= 0 {
		return x
	}
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', min(s.Round, 15)-1, 64), 64)
	if err != nil { // beyond the largest number
		return x
	}
	return y
}

// exact is Text with all digits of a number and text in quotes, as faults show what
// was got.
func (s Style) exact(v any) string {
	switch v := valueOf(v).(type) {
	case float64:
		return s.signs(number(v))
	case string:
		return quoted(v)
	}
	return s.Text(v)
}

// quantity shows q in the unit of the name, with fixed decimals, or without a name
// in the unit of its size. In the metric system a US unit gives way to the metric
// one for the same thing.
func (s Style) quantity(q Quantity, unit string, decimals int) string {
	k := q.quantity()
	v := q.SI()
	switch {
	case k == &temperatureKind && s.System == SystemMetric:
		return s.signs(group(Temperature(v).Celsius(), 0)) + " C"
	case k == &temperatureKind:
		return s.signs(group(Temperature(v).Fahrenheit(), 0)) + " F"
	case k.per != nil:
		return s.price(k.per, v, unit)
	}
	own := s.System.pick(k)
	if s.System == SystemMetric {
		if other, us := metricOf[unit]; us {
			unit = other
			decimals = -1
		}
	}
	if unit == "" {
		unit, decimals = own(math.Abs(v)), -1
		if v == 0 { // which has no size that would choose a unit
			unit = s.System.usual(k).name
		}
	}
	factor, ok := k.lookup(unit)
	if !ok {
		factor, unit = 1, k.si
	}
	x := s.rounded(v / factor)
	text := ""
	if decimals < 0 {
		text = significant(x, s.digits())
	} else {
		text = group(x, min(decimals, 15))
	}
	return s.signs(text) + " " + s.words(unit)
}

// from is the low end of v as it is shown: 0, which has no size that would choose a unit,
// in that of the high end.
func (s Style) from(v Span) any {
	low, ok := v.Low.(Quantity)
	high, too := v.High.(Quantity)
	if !ok || !too || low.SI() != 0 || high.SI() == 0 || low.quantity() != high.quantity() || low.quantity().pick == nil {
		return v.Low
	}
	return Shown{low, s.System.pick(low.quantity())(math.Abs(high.SI())), 0}
}

// pick is what chooses the unit of a kind for a size in SI units.
func (s System) pick(k *kind) func(float64) string {
	if s == SystemMetric {
		return k.metric
	}
	return k.pick
}

// price shows v, money per SI unit of the kind, per one of the unit of the name, or of its
// trade unit without a name or with one of another kind: with three decimals below 10, where they count, and with two from there on.
func (s Style) price(k *kind, v float64, unit string) string {
	u := k.units[0]
	if f, ok := k.lookup(unit); ok && unit != "" {
		u = named{unit, f}
	}
	if s.System == SystemMetric {
		other, us := metricOf[u.name]
		if other == "" && us {
			other = k.metric(1)
		}
		if f, ok := k.lookup(other); ok {
			u = named{other, f}
		}
	}
	x, decimals := v*u.factor, 3
	if math.Abs(x) >= 10 {
		decimals = 2
	}
	return s.Phrase(Phrase{"%v per %v", []any{s.money(x, decimals), Word(u.name)}})
}

// metricOf names the metric unit for what is measured in a US one, empty where it
// depends on the size.
var metricOf = map[string]string{
	"ft": "m", "in": "mm", "yd": "m", "mi": "km", "ftUS": "m", "rod": "m", "chain": "m",
	"acre": "ha", "ft2": "m2", "yd2": "m2", "mi2": "ha", "in2": "cm2", "acreUS": "ha",
	"gal": "", "ft3": "m3", "yd3": "m3", "acre-in": "m3", "acre-ft": "m3", "bu": "m3", "pt": "L", "qt": "L", "fl oz": "mL", "in3": "mL", "impgal": "L",
	"lb": "kg", "ton": "t", "long ton": "t", "oz": "g", "grain": "g",
	"mph": "km/h", "ft/min": "m/s", "ft/s": "m/s",
	"gpm": "m3/h", "cfs": "m3/s", "mgd": "m3/h", "acre-in/h": "m3/h", "gal/h": "m3/h", "gal/d": "m3/h", "yd3/h": "m3/h",
	"in/h": "mm/h", "in/d": "mm/h",
	"lb/gal": "kg/m3", "lb/ft3": "kg/m3", "lb/yd3": "kg/m3", "ton/yd3": "kg/m3",
	"hp": "kW", "hp/1000 gal": "W/m3", "hp/1000 ft3": "W/m3",
	"lb/1000 gal": "kg/m3", "lb/acre-in": "mg/L", "lb/acre-ft": "mg/L",
	"lb/ton":  "g/kg",
	"lb/acre": "kg/ha", "ton/acre": "t/ha", "lb/1000 ft2": "kg/ha", "oz/ft2": "kg/m2", "lb/ft2": "kg/m2",
	"gal/acre": "m3/ha", "acre-in/acre": "mm", "yd3/acre": "m3/ha", "bu/acre": "m3/ha",
	"seeds/ft2": "seeds/m2", "seeds/acre": "seeds/m2", "seeds/lb": "seeds/kg", "seeds/oz": "seeds/g",
}
