package nutrient

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

// KeyName names a property that decides which row of a coefficient set applies:
// one of these, for which [Query] and [Selector] have a field, or a name of the
// set's own, such as soil, whose values stand in their Own. A name is letters and
// digits that start with a small letter, up to 60.
type KeyName string

// Keys with a field of their own.
const (
	KeySpecies       KeyName = "species"       // whose manure, as the set names it
	KeyForm          KeyName = "form"          // liquid or solid
	KeyDryMatter     KeyName = "dryMatter"     // dry matter as a fraction
	KeyBedding       KeyName = "bedding"       // kind of bedding
	KeyCompost       KeyName = "compost"       // fresh or composted, as the set names it
	KeyMethod        KeyName = "method"        // way of application
	KeyIncorporation KeyName = "incorporation" // time from application to incorporation, or never
	KeyWeather       KeyName = "weather"       // weather class
	KeySeason        KeyName = "season"        // season of application
	KeyIrrigation    KeyName = "irrigation"    // depth of one irrigation pass
	KeyCover         KeyName = "cover"         // what grows or lies on the ground
)

var keyPattern = regexp.MustCompile(`^[a-z][a-zA-Z0-9]{0,59}$`)

// Own reports whether the name is the set's own.
func (k KeyName) Own() bool {
	switch k {
	case KeySpecies, KeyForm, KeyDryMatter, KeyBedding, KeyCompost, KeyMethod, KeyIncorporation, KeyWeather, KeySeason, KeyIrrigation, KeyCover:
		return false
	}
	return true
}

// Path returns where the value of the key stands in a [Query], and in the faults
// about it: dryMatter, own.soil.
func (k KeyName) Path() string {
	if k.Own() {
		return "own." + string(k)
	}
	return string(k)
}

// Key declares a key that rows of the set use, and what it takes: choices, or a
// quantity.
type Key struct {
	Name   KeyName  `json:"name"`            // as in selectors and queries
	Label  string   `json:"label"`           // what a form prints beside the field
	Values []string `json:"values,omitzero"` // the choices, 1 to 64; none for a quantity
	Unit   string   `json:"unit,omitzero"`   // of an own key with a quantity: the word behind its numbers, such as "%"; up to 60 bytes
}

// Quantity reports whether the key takes a quantity and no choice.
func (k Key) Quantity() bool {
	switch k.Name {
	case KeyDryMatter, KeyIncorporation, KeyIrrigation:
		return true
	}
	return k.Unit != ""
}

// Hint says what a key with a quantity takes, such as for a form; it is empty for
// a key with choices.
func (k Key) Hint() string {
	switch {
	case k.Name == KeyDryMatter:
		return "a fraction of the mass with its unit, such as 12 %"
	case k.Name == KeyIncorporation:
		return "the time to incorporation with its unit, such as 12 h, or never"
	case k.Name == KeyIrrigation:
		return "the depth of one pass with its unit, such as 0.5 in"
	case k.Unit != "":
		return "a number with the unit of the set, such as 12 " + k.Unit
	}
	return ""
}

// want says what the key takes.
func (k Key) want() string {
	if h := k.Hint(); h != "" {
		return h
	}
	return "one of " + strings.Join(k.Values, "; ")
}

// most is the largest value that a query may have of a key with a quantity, in SI
// or in the unit of the set.
func (k Key) most() float64 {
	switch k.Name {
	case KeyDryMatter:
		return 1
	case KeyIncorporation:
		return boundsOf(units.Duration(0)).most
	case KeyIrrigation:
		return boundsOf(units.Length(0)).most
	}
	return numberBounds.most
}

// zero reports whether a query may have 0 of a key with a quantity; dry matter and
// irrigation take 0 for not given.
func (k Key) zero() bool { return k.Name != KeyDryMatter && k.Name != KeyIrrigation }

// show writes a value of a key with a quantity.
func (k Key) show(x float64) string {
	switch k.Name {
	case KeyDryMatter:
		return units.MassFraction(x).Text(units.Percent, 1)
	case KeyIncorporation:
		return units.Duration(x).Text(units.Hour, 0)
	case KeyIrrigation:
		return units.Length(x).Trade()
	}
	return fmt.Sprintf("%.4g %s", x, k.Unit)
}

// parse reads a number with the unit of the key.
func (k Key) parse(text string) (float64, bool) {
	number, ok := strings.CutSuffix(strings.TrimSpace(text), k.Unit)
	x, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	return x, ok && err == nil && numberBounds.has(x)
}

// check records the faults of the declaration of a key.
func (k Key) check(f *units.Faults, path string) {
	switch {
	case !keyPattern.MatchString(string(k.Name)):
		f.Add(path+".name", string(k.Name), "letters and digits that start with a small letter, such as species")
		return
	case k.Unit != "" && !k.Name.Own():
		f.Add(path+".unit", k.Unit, "no unit: the key is known, and an own name says it otherwise")
	case len(k.Unit) > longestWord || k.Unit != strings.TrimSpace(k.Unit):
		f.Add(path+".unit", k.Unit, "a word of up to 60 bytes")
	case k.Quantity() && len(k.Values) > 0:
		f.Say(path+".values", "a list", "no values: the key takes "+k.Hint())
	case !k.Quantity() && (len(k.Values) == 0 || len(k.Values) > maxValues):
		f.Say(path+".values", fmt.Sprint(len(k.Values), " values"), fmt.Sprintf("1 to %d values", maxValues))
	}
	if k.Label == "" {
		f.Missing(path+".label", "what a form prints beside the field")
	}
	for j, v := range k.Values {
		at := fmt.Sprintf("%s.values[%d]", path, j)
		if v == "" || indexFold(k.Values[:j], v) >= 0 {
			f.Add(at, v, "a value that is not empty and stands once")
		}
		if k.Name == KeyForm && indexFold(formNames[1:], v) < 0 {
			f.Add(at, v, formNames.Want())
		}
	}
}

func indexFold(list []string, text string) int {
	for i, s := range list {
		if strings.EqualFold(s, text) {
			return i
		}
	}
	return -1
}
