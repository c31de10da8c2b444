package units

import (
	"cmp"
	"encoding"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"
)

// Values that faults, phrases and working hold are of a closed list of types, so
// that a [Style] can show them and JSON can keep them: nil, [Quantity], [Shown],
// [Span], float64, [Count], [Share], [Money], time.Time, string, [Word] and
// [Phrase]. What is given of another type becomes one of them: a [Range] a Span,
// an int a Count, what has a method UnitsValue what it returns, and anything else
// the Word that fmt prints.

// Word is text that is shown without quotes and may be translated, such as the name
// of a method.
type Word string

// Count is a number of things, such as 3 slopes.
type Count struct {
	N  int    // how many
	Of string // the things, in the plural; empty for a bare number
}

// String returns "3 slopes", or "3".
func (c Count) String() string { return Style{}.Text(c) }

// Share is a part of a whole, 0 to 1, shown in percent.
type Share float64

// String returns "45 %".
func (s Share) String() string { return Style{}.Text(s) }

// Money is an amount of money in the currency of the caller, shown with two
// decimals.
type Money float64

// String writes the amount with two decimals and thousands grouped.
func (m Money) String() string { return Style{}.Text(m) }

// Shown is a quantity with the unit in which it is usually shown, such as concrete
// in ft3 and earth in yd3, or a price with the unit that it is per. In a [Style] of another system it is shown in the unit of
// that system for the same thing.
type Shown struct {
	Quantity Quantity // the value
	Unit     string   // display name of the unit
	Decimals int      // decimals in that unit
}

// As returns q to be shown in the unit u with so many decimals.
func As[Q scalar](q, u Q, decimals int) Shown { return Shown{q, unitName(u), decimals} }

// String returns the value in its unit.
func (s Shown) String() string { return Style{}.Text(s) }

// Span is a low and a high value of the types that values have; a [Range] whose
// type is left open.
type Span struct {
	Low, High any // values of one kind, Low at most High
}

// String returns "2 ft to 3 ft".
func (s Span) String() string { return Style{}.Text(s) }

// valueOf brings v to the closed list of types.
func valueOf(v any) any {
	switch v := v.(type) {
	case float64:
		return v + 0 // -0 is shown as 0
	case nil, string, Word, Phrase, Count, Share, Money, Shown, time.Time:
		return v
	case Quantity:
		if p := reflect.ValueOf(v); p.Kind() == reflect.Pointer {
			if p.IsNil() {
				return nil
			}
			return p.Elem().Interface()
		}
		return v
	case Span:
		return Span{valueOf(v.Low), valueOf(v.High)}
	case int:
		return Count{N: v}
	case bool:
		return Word(strconv.FormatBool(v))
	case *Phrase, *Count, *Share, *Money, *Shown, *Span, *time.Time, *float64, *int:
		if reflect.ValueOf(v).IsNil() {
			return nil
		}
		return valueOf(reflect.ValueOf(v).Elem().Interface())
	case interface{ UnitsValue() any }:
		if p := reflect.ValueOf(v); p.Kind() == reflect.Pointer && p.IsNil() {
			return nil
		}
		switch in := v.UnitsValue().(type) {
		case interface{ UnitsValue() any }: // not without end
		default:
			return valueOf(in)
		}
	}
	return Word(fmt.Sprint(v))
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// dateText writes the day of a time at midnight UTC in a layout, [time.DateOnly] where it
// is empty, and the whole time otherwise.
func dateText(t time.Time, layout string) string {
	if t.Equal(t.Truncate(24*time.Hour)) && t.Location() == time.UTC {
		return t.Format(cmp.Or(layout, time.DateOnly))
	}
	return t.Format(time.RFC3339)
}

// taggedValue is the JSON form of a value that is no text: an object whose first
// member says which type it is.
type taggedValue struct {
	Quantity string            `json:"quantity,omitempty"` // the kind, such as length; text in value
	Value    string            `json:"value,omitempty"`
	Unit     string            `json:"unit,omitempty"`
	Decimals int               `json:"decimals,omitempty"`
	Number   string            `json:"number,omitempty"` // NaN and the infinities
	Word     *string           `json:"word,omitempty"`
	Count    *int              `json:"count,omitempty"`
	Of       string            `json:"of,omitempty"`
	Share    *float64          `json:"share,omitempty"`
	Money    *float64          `json:"money,omitempty"`
	Date     *time.Time        `json:"date,omitempty"`
	Phrase   *Phrase           `json:"phrase,omitempty"`
	Span     []json.RawMessage `json:"span,omitempty"`
}

// marshalValue writes text and finite numbers as such and any other value as an
// object.
func marshalValue(v any) ([]byte, error) {
	var t taggedValue
	switch v := valueOf(v).(type) {
	case nil, string:
		return json.Marshal(v)
	case float64:
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			return json.Marshal(v)
		}
		t.Number = number(v)
	case Word:
		t.Word = new(string(v))
	case Count:
		t.Count, t.Of = &v.N, v.Of
	case Share:
		t.Share = new(float64(v))
	case Money:
		t.Money = new(float64(v))
	case time.Time:
		t.Date = &v
	case Phrase:
		t.Phrase = &v
	case Quantity:
		t.Quantity, t.Value = kindName(v), number(v.SI())+" "+v.quantity().si
	case Shown:
		if v.Quantity == nil {
			return []byte("null"), nil
		}
		t.Quantity, t.Value = kindName(v.Quantity), number(v.Quantity.SI())+" "+v.Quantity.quantity().si
		t.Unit, t.Decimals = v.Unit, v.Decimals
	case Span:
		for _, end := range []any{v.Low, v.High} {
			b, err := marshalValue(end)
			if err != nil {
				return nil, err
			}
			t.Span = append(t.Span, b)
		}
	}
	return json.Marshal(t)
}

// unmarshalValue reads what marshalValue writes.
func unmarshalValue(text []byte) (any, error) { return readValue(text, 0) }

func readValue(text []byte, deep int) (any, error) {
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
		q, err := readQuantity(t.Quantity, t.Value)
		if err != nil || t.Unit == "" {
			return q, err
		}
		return Shown{q, t.Unit, t.Decimals}, nil
	case t.Number != "":
		return strconv.ParseFloat(t.Number, 64)
	case t.Word != nil:
		return Word(*t.Word), nil
	case t.Count != nil:
		return Count{*t.Count, t.Of}, nil
	case t.Share != nil:
		return Share(*t.Share), nil
	case t.Money != nil:
		return Money(*t.Money), nil
	case t.Date != nil:
		return *t.Date, nil
	case t.Phrase != nil:
		return *t.Phrase, nil
	case len(t.Span) == 2 && deep < 4:
		low, err := readValue(t.Span[0], deep+1)
		if err != nil {
			return nil, err
		}
		high, err := readValue(t.Span[1], deep+1)
		return Span{low, high}, err
	}
	return nil, Fault(FaultMalformed, "", string(text), "a value as units writes it")
}

// everyQuantity is the types of quantities, for reading a value back by its name.
var everyQuantity = []reflect.Type{
	reflect.TypeFor[Length](), reflect.TypeFor[Area](), reflect.TypeFor[Volume](), reflect.TypeFor[Mass](), reflect.TypeFor[Duration](),
	reflect.TypeFor[Speed](), reflect.TypeFor[Flow](), reflect.TypeFor[DepthRate](), reflect.TypeFor[Density](), reflect.TypeFor[Concentration](),
	reflect.TypeFor[MassFraction](), reflect.TypeFor[MassPerArea](), reflect.TypeFor[SeedsPerMass](), reflect.TypeFor[SeedsPerArea](),
	reflect.TypeFor[VolumePerArea](), reflect.TypeFor[Temperature](), reflect.TypeFor[Power](), reflect.TypeFor[PowerPerVolume](),
	reflect.TypeFor[Price[Length]](), reflect.TypeFor[Price[Area]](), reflect.TypeFor[Price[Volume]](), reflect.TypeFor[Price[Mass]](), reflect.TypeFor[Price[Duration]](),
}

// kindName names the type of q: "length", "price per m3".
func kindName(q Quantity) string {
	k := q.quantity()
	if k.per != nil {
		return k.name + " " + k.si
	}
	return k.name
}

func readQuantity(kind, text string) (Quantity, error) {
	for _, t := range everyQuantity {
		in := reflect.New(t)
		q := in.Elem().Interface().(Quantity)
		if kindName(q) != kind {
			continue
		}
		number, unit, _ := strings.Cut(text, " ")
		// Also NaN and the infinities, which no parser of quantities takes.
		if n, err := strconv.ParseFloat(number, 64); err == nil && unit == q.quantity().si {
			in.Elem().SetFloat(n)
		} else if err := in.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(text)); err != nil {
			return nil, err
		}
		return in.Elem().Interface().(Quantity), nil
	}
	return nil, Fault(FaultName, "quantity", kind, "a quantity of units, such as length")
}
