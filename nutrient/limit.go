package nutrient

import (
	"math"
	"strings"
	"unicode"

	"example.org/earthbasin/units"
)

// LimitKind is the reason of a [Limit]: one of these, or the word of a permit or
// a state's rule for another, in lower case and up to 60 bytes. A letter less, more or
// other than in one of the long ones, as in phosphorous, is taken for a slip. In JSON it
// is the word itself.
type LimitKind string

// Kinds of limits.
const (
	LimitNitrogen   LimitKind = "nitrogen"   // available N the crop needs
	LimitPhosphorus LimitKind = "phosphorus" // P2O5 of the budget or the rule of the site
	LimitPotassium  LimitKind = "potassium"  // K2O, mostly for the health of animals on the forage
	LimitMetal      LimitKind = "metal"      // a metal, of one year or of all years
	LimitSalt       LimitKind = "salt"       // sodium or salt
	LimitWater      LimitKind = "water"      // what the soil can hold and take in
	LimitPass       LimitKind = "pass"       // what one pass of the machine may or can put down
)

// String returns the word.
func (k LimitKind) String() string { return string(k) }

// known reports whether k is a kind of the package.
func (k LimitKind) known() bool {
	switch k {
	case LimitNitrogen, LimitPhosphorus, LimitPotassium, LimitMetal, LimitSalt, LimitWater, LimitPass:
		return true
	}
	return false
}

// longKinds are those that a word of its own comes near to by a slip alone.
var longKinds = [...]LimitKind{LimitNitrogen, LimitPhosphorus, LimitPotassium}

// Check returns the faults of k, each a [units.FieldError]: none given, what is no
// word, or a few, in lower case, and what is almost spelt as a kind of the package.
func (k LimitKind) Check() error {
	var f units.Faults
	checkWord(&f, "", k, "the reason of the limit in lower case, such as nitrogen")
	if meant, slip := k.meant(); slip && f.Len() == 0 {
		f.Fault(units.FaultName, "", string(k), "%v, or a word less like it", units.Word(meant))
	}
	return f.Err()
}

// meant returns the long kind that k is spelt as but for one letter.
func (k LimitKind) meant() (_ LimitKind, slip bool) {
	if k.known() {
		return "", false
	}
	for _, one := range longKinds {
		if units.Edits(string(k), string(one), 1) == 1 {
			return one, true
		}
	}
	return "", false
}

// UnmarshalText reads a word, in lower case.
func (k *LimitKind) UnmarshalText(text []byte) error {
	*k = LimitKind(strings.ToLower(string(text)))
	return nil
}

// Limit is the most that one application may put on a field: of a constituent,
// by Holds and Room, or of the material itself, by Rate.
type Limit struct {
	Kind   LimitKind         `json:"kind,omitzero"`   // the reason
	Name   string            `json:"name,omitzero"`   // such as "zinc, all years"; none: that of the kind
	Holds  Content           `json:"holds,omitzero"`  // what the material holds of the constituent: available N, P2O5, K2O, the metal
	Room   units.MassPerArea `json:"room,omitzero"`   // what the field may still take of it, 0 or more
	Rate   Rate              `json:"rate,omitzero"`   // the most of the material, instead of Holds and Room
	Source string            `json:"source,omitzero"` // rule or permit
}

// label returns the name of a limit, else its kind.
func (k LimitKind) label(name string) string {
	if name != "" {
		return name
	}
	return string(k)
}

// allows returns the rate in SI units that l alone would allow; infinite when
// the material holds nothing of the constituent.
func (l *Limit) allows() float64 {
	switch {
	case l.Rate.form != 0:
		return l.Rate.value
	case l.Holds.value == 0:
		return math.Inf(1)
	}
	return float64(l.Room) / l.Holds.value
}

// form returns the form of the material that l limits.
func (l *Limit) form() Form {
	if l.Rate.form != 0 {
		return l.Rate.form
	}
	return l.Holds.form
}

// sound reports whether check has nothing to record, at less cost.
func (l *Limit) sound(form Form) bool {
	if !l.Kind.known() && l.Kind.Check() != nil {
		return false
	}
	if l.Rate.IsZero() {
		return contentOf.has(l.Holds.measure, form) && loadBounds.has(float64(l.Room))
	}
	return rateOf.has(l.Rate.measure, form) && l.Holds.IsZero() && l.Room == 0
}

// check records the faults of l, which belongs to a material of the given form.
func (l *Limit) check(f *units.Faults, form Form) {
	f.Sub("kind", l.Kind.Check())
	switch {
	case l.Rate.IsZero() && l.Holds.IsZero():
		f.Missing("holds", "the content of the constituent and the room for it, or else a rate")
	case l.Rate.IsZero():
		f.Sub("holds", l.Holds.Check(form))
		notNegative(f, "room", l.Room)
	default:
		f.Sub("rate", l.Rate.Check(form))
		if !l.Holds.IsZero() || l.Room != 0 {
			f.Say("holds", "given beside rate", "either holds and room, or rate")
		}
	}
}

// longestWord is how many bytes a word of an open vocabulary may have.
const longestWord = 60

// checkWord records a fault unless w is a word, or a few, of an open vocabulary, in
// lower case.
func checkWord[W ~string](f *units.Faults, field string, w W, want string, args ...any) {
	switch s := string(w); {
	case s == "":
		f.Missing(field, want, args...)
	case !isWord(s):
		f.Add(field, s, want, args...)
	}
}

func isWord(s string) bool {
	return s != "" && len(s) <= longestWord && s == strings.ToLower(strings.TrimSpace(s)) && !strings.ContainsFunc(s, unicode.IsControl)
}
