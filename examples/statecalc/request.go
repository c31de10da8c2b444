package main

import (
	"encoding/json"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Bounds of lists that a form has.
const (
	maxSamples = 8
	maxEarlier = 3
)

// Request is what the user fills in. The names of the form fields are its paths,
// so that a fault of the library finds its field.
type Request struct {
	Units     units.System           `json:"units"`     // of the answer
	Reports   []nutrient.AnalyzeSpec `json:"reports"`   // of samples of the same material
	Query     nutrient.Query         `json:"query"`     // by the keys of the state
	Yield     yield                  `json:"yield"`     // where a table of the state counts in it
	NeedN     *units.MassPerArea     `json:"needN"`     // N that the crop needs, in place of what the state says
	OtherN    units.MassPerArea      `json:"otherN"`    // N from irrigation water, starter and other sources
	AllowP2O5 *units.MassPerArea     `json:"allowP2O5"` // P2O5 that a permit allows; 0 allows nothing
	Earlier   []nutrient.Rate        `json:"earlier"`   // of the same material, put on in the same way 1, 2, ... years ago
	Stock     nutrient.Amount        `json:"stock"`     // to be spread
}

// yield is a yield as people write it: 150 bu/acre, 8 t/ha.
type yield struct{ nutrient.Yield }

// UnmarshalText reads a number with the unit of the yield per acre or hectare.
func (y *yield) UnmarshalText(text []byte) (err error) {
	y.Yield, err = nutrient.ParseYield(string(text))
	return err
}

// MarshalText writes what UnmarshalText reads.
func (y yield) MarshalText() ([]byte, error) { return []byte(y.Text()), nil }

// IsZero reports whether no yield was given.
func (y yield) IsZero() bool { return y == yield{} }

var indexed = regexp.MustCompile(`^([a-zA-Z0-9]+)\[([0-9])\]$`)

// unitSuffix is behind the name of a field that holds the unit of another.
const unitSuffix = ":unit"

// readForm turns form values into a request. Empty fields count as not given, and a
// number without a unit takes that of the list beside it.
// Numbers are read in the signs of the style.
func readForm(values url.Values, f *form, style units.Style) (Request, error) {
	var signs units.Faults
	doc := map[string]any{}
	for path, v := range values {
		text := strings.TrimSpace(v[len(v)-1])
		if text == "" || path == "go" || path == "samples" || strings.HasSuffix(path, unitSuffix) {
			continue
		}
		if x := f.at[path]; x != nil && x.Units != nil {
			var plain plainText
			signs.Sub(path, style.Read(text, &plain))
			text = string(plain)
		}
		if _, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64); err == nil {
			text = strings.TrimSpace(text + " " + values.Get(path+unitSuffix))
		}
		put(doc, strings.Split(path, "."), text)
	}
	list(doc)
	var r Request
	data, err := json.Marshal(doc)
	if err == nil {
		err = strict.Decode(data, &r)
	}
	signs.Sub("", err)
	return r, signs.Err()
}

// plainText is text whose numbers have the usual signs.
type plainText string

// UnmarshalText takes the text as it is.
func (p *plainText) UnmarshalText(text []byte) error {
	*p = plainText(text)
	return nil
}

// put sets the value at a path.
func put(doc map[string]any, path []string, text string) {
	for _, name := range path[:len(path)-1] {
		sub, ok := doc[name].(map[string]any)
		if !ok {
			sub = map[string]any{}
			doc[name] = sub
		}
		doc = sub
	}
	doc[path[len(path)-1]] = text
}

// list turns members such as reports[0] into lists, without those that nobody filled in.
func list(doc map[string]any) {
	for i := range maxSamples {
		for name, v := range doc {
			if m := indexed.FindStringSubmatch(name); m != nil && m[2] == strconv.Itoa(i) {
				all, _ := doc[m[1]].([]any)
				doc[m[1]] = append(all, v)
				delete(doc, name)
			}
		}
	}
}
