package units

import (
	"encoding"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"time"
)

// valueOf brings a value to one of the types that faults and phrases hold: nil,
// Quantity, float64, Count, string, Word, Phrase or time.Time.
func valueOf(v any) any {
	switch v := v.(type) {
	case nil, float64, string, Word, Phrase, Count, time.Time:
		return v
	case int:
		return Count{N: v}
	case Quantity:
		return v
	case bool:
		return Word(strconv.FormatBool(v))
	}
	return Word(fmt.Sprint(v))
}

// show writes such a value in US English.
func show(v any) string {
	switch v := valueOf(v).(type) {
	case nil:
		return ""
	case Quantity:
		return v.Trade()
	case float64:
		return number(v)
	case string:
		return quoted(v)
	case Word:
		return string(v)
	case Count:
		return v.String()
	case Phrase:
		return v.String()
	case time.Time:
		return dateText(v)
	}
	return ""
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// taggedValue is the JSON form of a value that is no text: an object with one
// member that says which kind it is, beside its parts.
type taggedValue struct {
	Quantity string     `json:"quantity,omitempty"` // the kind, such as length; text in value
	Value    string     `json:"value,omitempty"`
	Number   string     `json:"number,omitempty"` // NaN and the infinities
	Word     *string    `json:"word,omitempty"`
	Count    *int       `json:"count,omitempty"`
	Of       string     `json:"of,omitempty"`
	Date     *time.Time `json:"date,omitempty"`
	Text     *Phrase    `json:"phrase,omitempty"`
}

// marshalValue writes text and finite numbers as such and any other value as an
// object.
func marshalValue(v any) ([]byte, error) {
	switch v := valueOf(v).(type) {
	case string:
		return json.Marshal(v)
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return json.Marshal(taggedValue{Number: number(v)})
		}
		return json.Marshal(v)
	case Word:
		return json.Marshal(taggedValue{Word: new(string(v))})
	case Count:
		return json.Marshal(taggedValue{Count: new(v.N), Of: v.Of})
	case time.Time:
		return json.Marshal(taggedValue{Date: &v})
	case Phrase:
		return json.Marshal(taggedValue{Text: &v})
	case Quantity:
		return json.Marshal(taggedValue{Quantity: kindName(v), Value: number(v.SI()) + " " + v.quantity().si})
	}
	return []byte("null"), nil
}

// unmarshalValue reads what marshalValue writes.
func unmarshalValue(text []byte) (any, error) {
	var plain any
	if err := json.Unmarshal(text, &plain); err != nil {
		return nil, err
	}
	switch plain.(type) {
	case nil, string, float64:
		return plain, nil
	}
	var t taggedValue
	if err := json.Unmarshal(text, &t); err != nil {
		return nil, err
	}
	switch {
	case t.Quantity != "":
		return readQuantity(t.Quantity, t.Value)
	case t.Number != "":
		return strconv.ParseFloat(t.Number, 64)
	case t.Word != nil:
		return Word(*t.Word), nil
	case t.Count != nil:
		return Count{*t.Count, t.Of}, nil
	case t.Date != nil:
		return *t.Date, nil
	case t.Text != nil:
		return *t.Text, nil
	}
	return nil, Fault(FaultMalformed, "", string(text), "a value as units writes it")
}

// everyQuantity has one value of each type, for reading a value back by its name.
var everyQuantity = []Quantity{
	Length(0), Area(0), Volume(0), Mass(0), Duration(0), Speed(0), Flow(0), DepthRate(0), Density(0), Concentration(0),
	MassFraction(0), MassPerArea(0), SeedsPerMass(0), SeedsPerArea(0), VolumePerArea(0), Temperature(0),
	Price[Length](0), Price[Area](0), Price[Volume](0), Price[Mass](0), Price[Duration](0),
}

// kindName names the type of q: "length", "price per m3".
func kindName(q Quantity) string {
	k := q.quantity()
	if k.name == "price" {
		return k.name + " " + k.si
	}
	return k.name
}

func readQuantity(kind, text string) (Quantity, error) {
	for _, q := range everyQuantity {
		if kindName(q) != kind {
			continue
		}
		in := reflect.New(reflect.TypeOf(q))
		if n, rest, ok := cutNumber(text); ok && rest == q.quantity().si {
			in.Elem().SetFloat(n) // also NaN and the infinities, which no parser takes
		} else if err := in.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(text)); err != nil {
			return nil, err
		}
		return in.Elem().Interface().(Quantity), nil
	}
	return nil, Fault(FaultName, "quantity", kind, "a quantity of units, such as length")
}

// cutNumber splits "12.5 m3" at its first space.
func cutNumber(text string) (n float64, rest string, ok bool) {
	for i := range text {
		if text[i] == ' ' {
			n, err := strconv.ParseFloat(text[:i], 64)
			return n, text[i+1:], err == nil
		}
	}
	return 0, "", false
}
