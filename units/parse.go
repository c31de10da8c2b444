package units

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// longest is the length of text that is read as a quantity. What is longer is no
// quantity, and would take a time that grows with its square.
const longest = 200

// parse reads number and unit, or for a compound kind a sum in falling units,
// into the quantity type Q.
func parse[Q scalar](s string) (Q, error) {
	k := kindOf[Q]()
	v, bad, want := k.parse(tidy(s))
	if want != "" {
		at := Fault(bad, "", s, "")
		at.Want = k.wanted(want)
		return 0, at
	}
	return Q(v), nil
}

// wanted is what parse wants in templates that can be translated.
func (k *kind) wanted(want string) Phrase {
	first, ok := strings.CutSuffix(want, k.examples())
	if !ok {
		return Words(want)
	}
	list := Words("%v with its unit, such as %v", Word(article(k.name)), Word(k.names()))
	if first == "" {
		return list
	}
	return Words("%v; %v", Word(strings.TrimSuffix(first, "; ")), list)
}

// quoted shows text of any length in a message.
func quoted(s string) string {
	if len(s) > longest {
		return fmt.Sprintf("%q and %d bytes more", s[:longest/4], len(s)-longest/4)
	}
	return strconv.Quote(s)
}

// vulgar are the decimals of the fractions that are one character.
var vulgar = map[rune]string{
	'½': ".5", '¼': ".25", '¾': ".75", '⅛': ".125", '⅜': ".375", '⅝': ".625", '⅞': ".875",
	'⅓': ".3333333333333333", '⅔': ".6666666666666666",
}

// tidy writes what word processors put in numbers as a keyboard does: minus sign,
// spaces that do not break, and fractions of one character behind a whole number
// or alone.
func tidy(s string) string {
	if len(s) > longest {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch decimals, ok := vulgar[r]; {
		case ok:
			before := strings.TrimRight(b.String(), " ")
			b.Reset()
			b.WriteString(before)
			if before == "" || !isDigit(before[len(before)-1]) {
				if before != "" && before != "-" && before != "+" {
					b.WriteByte(' ')
				}
				b.WriteByte('0')
			}
			b.WriteString(decimals)
		case r == '\u2212':
			b.WriteByte('-')
		case r == '\u00a0' || r == '\u202f' || r == '\u2009':
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return strings.TrimSpace(b.String())
}

// fraction finds a common fraction behind a number or in its place.
var fraction = regexp.MustCompile(`^(?:[0-9]+(?: |-))?[0-9]+/[0-9]+ `)

// parse returns the value of s in SI units, or what is wanted instead and what
// kind of fault it is.
func (k *kind) parse(s string) (v float64, bad FaultKind, want string) {
	if len(s) > longest {
		return 0, FaultMalformed, k.examples()
	}
	if fraction.MatchString(s) {
		return 0, FaultMalformed, "a decimal instead of a fraction, such as 8.5; " + k.examples()
	}
	n, rest, want := scanNumber(s)
	if want != "" {
		return 0, FaultMalformed, want + "; " + k.examples()
	}
	rest = strings.TrimSpace(rest)
	if rest == "" {
		return 0, FaultUnit, k.examples()
	}
	// A UCUM factor, as in 43560.[sft_i], has a point behind it.
	if digits := integerPart(rest); digits != "" && !strings.HasPrefix(rest[len(digits):], ".") {
		return 0, FaultMalformed, "one number without spaces in it, such as 1,234 or 1234; " + k.examples()
	}
	factor, want := k.unit(rest)
	v = n * factor
	if want != "" {
		bad = FaultUnit
	}
	if want != "" && k.compound {
		// A digit right behind the only word, as in ft2, is a power and no
		// next part.
		first, tail := splitUnit(rest)
		if tail != "" && (rest[len(rest)-len(tail)-1] == ' ' || strings.IndexFunc(tail, notNumeric) >= 0) {
			bad = FaultMalformed
			v, want = k.sum(n, strings.HasPrefix(s, "-"), first, tail)
		}
	}
	if want != "" {
		return 0, bad, want
	}
	if math.IsInf(v, 0) {
		return 0, FaultRange, "a number that float64 holds"
	}
	return v + 0, FaultOther, "" // + 0: no negative zero
}

// sum adds up "12 ft 6 in" once its first number is read. The sign in front
// holds for the whole sum.
func (k *kind) sum(n float64, negative bool, unit, rest string) (v float64, want string) {
	last, want := k.unit(unit)
	if want != "" {
		return 0, want
	}
	total := math.Abs(n) * last
	for rest != "" {
		if n != math.Trunc(n) {
			return 0, "a fraction in the last part only, such as 12 ft 6.5 in"
		}
		if rest[0] == '-' || rest[0] == '+' {
			return 0, "a sign in front of the whole only, such as -5 ft 3 in"
		}
		if n, rest, want = scanNumber(rest); want != "" {
			return 0, want
		}
		unit, rest = splitUnit(strings.TrimSpace(rest))
		factor, want := k.unit(unit)
		if want != "" {
			return 0, want
		}
		if n*factor >= last*(1-1e-12) { // 12 in are a foot but for rounding
			return 0, "falling units, each part less than one of the unit before it"
		}
		total += n * factor
		last = factor
	}
	if negative {
		total = -total
	}
	return total, ""
}

func notNumeric(r rune) bool { return !strings.ContainsRune("0123456789.,", r) }

// splitUnit cuts s at the next number that follows a unit word.
func splitUnit(s string) (unit, rest string) {
	for i := 1; i < len(s); i++ {
		c := s[i]
		if c >= '0' && c <= '9' || (c == '-' || c == '+') && s[i-1] == ' ' ||
			c == '.' && i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9' {
			return strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s[:i]), ",")), s[i:]
		}
	}
	return s, ""
}

// scanNumber reads a decimal number with optional sign, thousands commas in
// correct groups, one point and an exponent; it returns what follows.
// strconv.ParseFloat alone would also take inf, nan, 0x1p-2 and 1_000.
func scanNumber(s string) (v float64, rest, want string) {
	i := 0
	var clean strings.Builder
	if s != "" && (s[0] == '-' || s[0] == '+') {
		clean.WriteByte(s[0])
		i++
	}
	start, digits, commas, point := i, 0, 0, false
	sinceComma := 0
	for ; i < len(s); i++ {
		c := s[i]
		switch {
		case c >= '0' && c <= '9':
			digits++
			sinceComma++
			clean.WriteByte(c)
			continue
		case c == '.' && !point && i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9':
			if commas > 0 && sinceComma != 3 {
				return 0, "", "thousands commas in groups of three"
			}
			point = true
			clean.WriteByte('.')
			continue
		case c == ',':
			if point || commas > 0 && sinceComma != 3 || commas == 0 && (digits == 0 || digits > 3) {
				return 0, "", "thousands commas in groups of three"
			}
			commas++
			sinceComma = 0
			continue
		}
		break
	}
	if commas > 0 && !point && sinceComma != 3 {
		if commas == 1 {
			return 0, "", "a decimal point, not a comma, or thousands commas in groups of three"
		}
		return 0, "", "thousands commas in groups of three"
	}
	if i == start || digits == 0 {
		return 0, "", "a number first"
	}
	// An exponent, unless the e belongs to a word.
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if j < len(s) && (s[j] == '-' || s[j] == '+') {
			j++
		}
		k := j
		for k < len(s) && s[k] >= '0' && s[k] <= '9' {
			k++
		}
		if k > j {
			clean.WriteString(s[i:k])
			i = k
		}
	}
	v, err := strconv.ParseFloat(clean.String(), 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, "", "a number that float64 holds"
	}
	return v, s[i:], ""
}
