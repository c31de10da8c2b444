package nutrient

import (
	"encoding/json"
	"regexp"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

// Cell is one token of a table, as printed: a number, or text.
type Cell string

// UnmarshalJSON reads a number or text.
func (c *Cell) UnmarshalJSON(data []byte) error {
	var number json.Number
	var text string
	switch {
	case json.Unmarshal(data, &text) == nil && data[0] == '"':
		*c = Cell(strings.TrimSpace(text))
		return nil
	case json.Unmarshal(data, &number) == nil && number != "":
		*c = Cell(number)
		return nil
	}
	return units.Fault(units.FaultMalformed, "", units.Word(data), "a number or text")
}

// MarshalJSON writes a number as such and anything else as text.
func (c Cell) MarshalJSON() ([]byte, error) {
	if jsonNumber.MatchString(string(c)) {
		return []byte(c), nil
	}
	return json.Marshal(string(c))
}

var (
	jsonNumber  = regexp.MustCompile(`^-?(0|[1-9][0-9]{0,14})(\.[0-9]{1,15})?$`)
	cellFigure  = regexp.MustCompile(`^([0-9.,]+)(?: ?(?:-|to) ?([0-9.,]+))?([a-z]?)$`)
	cellBracket = regexp.MustCompile(`^(.*?) ?\[(.*)\]$`)
)

// figure is the meaning of a cell.
type figure struct {
	units.Range[float64]        // in the unit of the table
	word                 string // of a class, or of a basis
	lacks                string // why there is none
	foot                 string // letter of a footnote
}

// figureOf reads a number or a range with a footnote.
func figureOf(text string) (x figure, ok bool) {
	m := cellFigure.FindStringSubmatch(text)
	if m == nil {
		return x, false
	}
	low, ok := plainNumber(m[1])
	high, good := low, true
	if m[2] != "" {
		high, good = plainNumber(m[2])
	}
	x.Low, x.High, x.foot = low, high, m[3]
	return x, ok && good && low <= high
}

// figureBelow reads a number below 0, which takes off.
func figureBelow(text string) (x figure, ok bool) {
	plain, below := strings.CutPrefix(text, "-")
	x, ok = figureOf(plain)
	x.Low, x.High = -x.High, -x.Low
	return x, ok && below && x.High < 0
}

// plainNumber reads a number of 0 or more, with thousands in groups or without.
func plainNumber(text string) (float64, bool) {
	mantissa, _, _ := strings.Cut(strings.ToLower(text), "e")
	if head, rest, grouped := strings.Cut(mantissa, ","); grouped {
		whole, _, _ := strings.Cut(rest, ".")
		for _, group := range strings.Split(whole, ",") {
			if len(group) != 3 || len(head) > 3 || head == "" {
				return 0, false
			}
		}
		text = strings.ReplaceAll(text, ",", "")
	}
	x, err := strconv.ParseFloat(text, 64)
	return x + 0, err == nil && numberBounds.has(x)
}

// lacking returns why a cell has no figure, empty when it has one.
func lacking(text string) string {
	switch why, said := strings.CutPrefix(text, "n/a: "); {
	case said:
		return why
	case text == "n/a":
		return "the table says that it does not occur"
	case text == "?":
		return "the figure was not legible"
	}
	return ""
}
