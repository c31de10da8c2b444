package units

import (
	"fmt"
	"slices"
	"strings"
)

// unit returns the factor to SI of a unit expression of this kind, or what is
// wanted instead.
func (k *kind) unit(expr string) (factor float64, want string) {
	expr = normalise(expr)
	if f, ok := k.alias[expr]; ok {
		return f, ""
	}
	if f, ok := k.lookup(expr); ok {
		return f, ""
	}
	if why, ok := k.refuse[strings.ToLower(expr)]; ok {
		return 0, why
	}
	e := evaluator{s: expr}
	f, d := e.expression(false)
	switch {
	case e.want != "":
		return 0, e.want + "; " + k.examples()
	case d != k.dim:
		return 0, fmt.Sprintf("%s (%q is %s)", k.examples(), expr, kindsOf(d))
	case e.tonne && e.us:
		return 0, "ton for 2000 lb or tonne for 1000 kg (t beside US units could be either)"
	case !(f > 0):
		return 0, k.examples()
	}
	return f, ""
}

// normaliser rewrites the spellings that are more than one word, and
// superscripts, to what the evaluator reads.
var normaliser = strings.NewReplacer(
	"²", "2", "³", "3", "·", ".", "µ", "u", "μ", "u",
	" per ", "/", " / ", "/", "/ ", "/", " /", "/",
	"metric tons", "tonne", "metric ton", "tonne", "long tons", "longton", "long ton", "longton",
	"US gallons", "gal", "US gallon", "gal", "US gal", "gal", "U.S. gallons", "gal", "U.S. gallon", "gal", "U.S. gal", "gal",
	"imperial gallons", "impgal", "imperial gallon", "impgal", "imperial gal", "impgal", "imp. gal", "impgal", "imp gal", "impgal",
	"million gallons", "milliongal", "million gallon", "milliongal", "million gal", "milliongal",
	"acre feet", "acre-ft", "acre foot", "acre-ft", "acre inches", "acre-in", "acre inch", "acre-in",
	"acre ft", "acre-ft", "ac ft", "acre-ft", "acre in", "acre-in", "ac in", "acre-in",
	"short tons", "ton", "short ton", "ton",
	"fluid ounces", "floz", "fluid ounce", "floz", "fl oz", "floz", "fl. oz.", "floz",
)

// squares are the words that put a power on the unit after them.
var squares = []struct{ word, power string }{
	{"square ", "2"}, {"sq. ", "2"}, {"sq ", "2"},
	{"cubic ", "3"}, {"cu. ", "3"}, {"cu ", "3"},
}

// normalise also drops UCUM annotations such as {N}, which carry no meaning.
func normalise(s string) string {
	for {
		open := strings.IndexByte(s, '{')
		end := strings.IndexByte(s, '}')
		if open < 0 || end < open {
			break
		}
		s = s[:open] + s[end+1:]
	}
	s = normaliser.Replace(strings.TrimSpace(s))
	for _, q := range squares {
		for {
			i := strings.Index(lower(s), q.word)
			if i < 0 {
				break
			}
			end := i + len(q.word)
			for end < len(s) && (isLetter(s[end])) {
				end++
			}
			rest := strings.TrimPrefix(s[end:], ".") // sq. ft.
			s = s[:i] + s[i+len(q.word):end] + q.power + rest
		}
	}
	return s
}

// lower writes the letters A to Z small and keeps the length of s, as
// strings.ToLower does not where s is no UTF-8 or has letters of other alphabets.
func lower(s string) string {
	b := []byte(s)
	for i, c := range b {
		if 'A' <= c && c <= 'Z' {
			b[i] += 'a' - 'A'
		}
	}
	return string(b)
}

// evaluator reads UCUM and trade unit expressions. Operators have equal rank,
// left to right, as in UCUM; an integer written before a name without an
// operator scales that name only, as in lb/1000 gal.
type evaluator struct {
	s    string
	i    int
	want string
	deep int
	us   bool // a US unit was read
	// tonne is set when the word t was read, which beside US units could be either
	// ton; the UCUM code of a pound tells that UCUM's t is meant.
	tonne bool
}

func (e *evaluator) fail(want string) (float64, dim) {
	if e.want == "" {
		e.want = want
	}
	e.i = len(e.s)
	return 0, dim{}
}

func (e *evaluator) peek() byte {
	if e.i < len(e.s) {
		return e.s[e.i]
	}
	return 0
}

// expression reads terms between operators, to the end or, in brackets, to the closing
// one. There a whole number may scale the name after it, as behind a stroke: lb/(1000 gal).
func (e *evaluator) expression(inner bool) (float64, dim) {
	f, d := e.term(inner)
	for e.want == "" && e.i < len(e.s) && !(inner && e.peek() == ')') {
		op := e.peek()
		if op != '/' && op != '.' {
			return e.fail(fmt.Sprintf("a unit that ends before %q", e.s[e.i:]))
		}
		e.i++
		g, h := e.term(op == '/')
		if op == '/' {
			f, d = f/g, d.minus(h)
		} else {
			f, d = f*g, d.plus(h)
		}
	}
	return f, d
}

func (e *evaluator) term(denominator bool) (float64, dim) {
	if e.peek() == '(' {
		if e.deep++; e.deep > 8 {
			return e.fail("fewer brackets")
		}
		e.i++
		f, d := e.expression(true)
		if e.peek() != ')' {
			return e.fail("a closing bracket")
		}
		e.i++
		e.deep--
		return f, d
	}
	if c := e.peek(); c >= '0' && c <= '9' {
		n, rest, want := scanNumber(integerPart(e.s[e.i:]))
		if want != "" || rest != "" || n == 0 {
			return e.fail("a whole number above 0 as multiplier")
		}
		e.i += len(integerPart(e.s[e.i:]))
		if denominator && e.peek() == ' ' {
			e.i++
		}
		if denominator && (isLetter(e.peek()) || e.peek() == '[') {
			f, d := e.term(false)
			return n * f, d
		}
		return n, dim{}
	}
	return e.power()
}

// integerPart is the run of digits and commas that s starts with.
func integerPart(s string) string {
	i := 0
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == ',') {
		i++
	}
	return s[:i]
}

// power reads a name with an optional exponent: ft2, ft^2, m-2.
func (e *evaluator) power() (float64, dim) {
	a, ok := e.name()
	if !ok {
		return 0, dim{}
	}
	if e.peek() == '^' {
		e.i++
	}
	sign := int8(1)
	if e.peek() == '-' {
		sign = -1
		e.i++
	}
	c := e.peek()
	if c < '0' || c > '9' {
		if before := e.s[e.i-1]; before == '^' || before == '-' { // a name was read
			return e.fail("an exponent of 1 to 3")
		}
		return a.factor, a.dim
	}
	if c < '1' || c > '3' {
		return e.fail("an exponent of 1 to 3")
	}
	e.i++
	f, d := 1.0, dim{}
	for range c - '0' {
		f *= a.factor
		d = d.plus(a.dim)
	}
	if sign < 0 {
		return 1 / f, dim{}.minus(d)
	}
	return f, d
}

// name reads one atom: a bracketed UCUM code, or a word.
func (e *evaluator) name() (atom, bool) {
	rest := e.s[e.i:]
	if strings.HasPrefix(rest, "[") {
		end := strings.IndexByte(rest, ']')
		if end < 0 {
			e.fail("a closing ]")
			return atom{}, false
		}
		e.i += end + 1
		if a, ok := ucum[rest[:end+1]]; ok {
			return a, true
		}
		e.fail(fmt.Sprintf("a known UCUM code instead of %q", rest[:end+1]))
		return atom{}, false
	}
	n := 0
	for n < len(rest) && (isLetter(rest[n]) || rest[n] == '%' ||
		rest[n] == '-' && n > 0 && n+1 < len(rest) && isLetter(rest[n+1])) {
		n++
	}
	if n == 0 {
		if rest == "" {
			e.fail("a unit name at the end")
		} else {
			e.fail(fmt.Sprintf("a unit name instead of %q", rest))
		}
		return atom{}, false
	}
	word := rest[:n]
	e.i += n
	// A final point, as in "in." or "gal./ac.", belongs to the word.
	if e.peek() == '.' && (e.i+1 == len(e.s) || e.s[e.i+1] == '/' || e.s[e.i+1] == ')') {
		e.i++
	}
	a, us, why := findAtom(word)
	e.us = e.us || us
	e.tonne = e.tonne || word == "t"
	if why != "" {
		e.fail(why)
		return atom{}, false
	}
	return a, true
}

func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

func (d dim) plus(e dim) dim {
	return dim{d.m + e.m, d.kg + e.kg, d.s + e.s, d.seed + e.seed}
}
func (d dim) minus(e dim) dim {
	return dim{d.m - e.m, d.kg - e.kg, d.s - e.s, d.seed - e.seed}
}

// kindsOf names what has the dimension d.
func kindsOf(d dim) string {
	var names []string
	for _, k := range kinds {
		if k.dim == d && !slices.Contains(names, k.name) {
			names = append(names, k.name)
		}
	}
	if len(names) == 0 {
		return "none of the quantities here"
	}
	return article(strings.Join(names, " or "))
}
