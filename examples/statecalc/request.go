package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"regexp"
	"slices"
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
	Earlier   []*nutrient.Rate       `json:"earlier"`   // of the same material, put on in the same way 1, 2, ... years ago; null for a year without
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
func readForm(values url.Values, f *form, style units.Style) (Request, places, error) {
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
	moved := list(doc)
	var r Request
	data, err := json.Marshal(doc)
	if err == nil {
		err = strict.Decode(data, &r)
	}
	signs.Sub("", err)
	return r, moved, signs.Err()
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

// places are the numbers in the form of the reports of a request, which leaves out those
// that nobody filled in; nil where they are the same.
type places []int

// at returns faults at their places in the form.
func (p places) at(faults []*units.FieldError) []*units.FieldError {
	list := slices.Clone(faults)
	for i, e := range list {
		var n int
		if rest, ok := strings.CutPrefix(e.Field, "reports["); ok && p != nil {
			number, path, _ := strings.Cut(rest, "]")
			if n, _ = strconv.Atoi(number); n < len(p) {
				moved := *e
				moved.Field = fmt.Sprintf("reports[%d]%s", p[n], path)
				list[i] = &moved
			}
		}
	}
	return list
}

// list turns members such as reports[0] into lists: reports without those that nobody
// filled in, and rates of earlier years with none in a year that was left out.
func list(doc map[string]any) (moved places) {
	for i := range maxSamples {
		for _, name := range slices.Sorted(maps.Keys(doc)) {
			m := indexed.FindStringSubmatch(name)
			if m == nil || m[2] != strconv.Itoa(i) {
				continue
			}
			all, _ := doc[m[1]].([]any)
			if m[1] == "reports" {
				moved = append(moved, i)
			} else {
				for len(all) < i {
					all = append(all, nil)
				}
			}
			doc[m[1]] = append(all, doc[name])
			delete(doc, name)
		}
	}
	return moved
}
