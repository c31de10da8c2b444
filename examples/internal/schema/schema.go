// Package schema writes the JSON Schema (draft 2020-12) of the files that people
// write, and of those that programs answer with, from the Go types that hold them: the keys with the comments of their fields,
// the words of enumerations, and the units that a quantity may have. An editor that
// knows the schema of a file completes and checks while it is written.
package schema

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/units"
)

// Node is a schema, with the part of the draft that [Of] uses.
type Node struct {
	Schema      string           `json:"$schema,omitempty"`
	ID          string           `json:"$id,omitempty"`
	Title       string           `json:"title,omitempty"`
	Description string           `json:"description,omitempty"`
	Ref         string           `json:"$ref,omitempty"`
	Type        types            `json:"type,omitempty"`
	Enum        []string         `json:"enum,omitempty"`
	Examples    []string         `json:"examples,omitempty"`
	AnyOf       []*Node          `json:"anyOf,omitempty"`
	Items       *Node            `json:"items,omitempty"`
	MinItems    int              `json:"minItems,omitempty"`
	MaxItems    int              `json:"maxItems,omitempty"`
	Required    []string         `json:"required,omitempty"`
	Properties  map[string]*Node `json:"properties,omitempty"`
	// Additional is what keys beside the properties hold; Closed that there are none.
	Additional *Node            `json:"-"`
	Closed     bool             `json:"-"`
	Defs       map[string]*Node `json:"$defs,omitempty"`
}

// types is one JSON type, or several.
type types []string

// MarshalJSON writes one type by itself.
func (t types) MarshalJSON() ([]byte, error) {
	if len(t) == 1 {
		return json.Marshal(t[0])
	}
	return json.Marshal([]string(t))
}

// MarshalJSON writes the node with what keys beside the properties may hold.
func (n *Node) MarshalJSON() ([]byte, error) {
	type plain Node
	var additional any
	switch {
	case n.Closed:
		additional = false
	case n.Additional != nil:
		additional = n.Additional
	}
	return json.Marshal(struct {
		*plain
		Additional any `json:"additionalProperties,omitempty"`
	}{(*plain)(n), additional})
}

// generator collects the definitions of a schema.
type generator struct {
	defs map[string]*Node
	docs *comments
}

// Of returns the schema of the files that are read into a value like v. Root is the
// folder of the module, for the comments, and missing lists the keys without which no
// file is read.
func Of(id, title, root string, v any, missing []string) ([]byte, error) {
	g := generator{map[string]*Node{}, newComments(root)}
	top := g.of(reflect.TypeOf(v))
	if top.Ref != "" { // the file itself stands at the top
		name := strings.TrimPrefix(top.Ref, refs)
		top = g.defs[name]
		delete(g.defs, name)
		top.Properties["$schema"] = &Node{Type: types{"string"}, Description: "place of this schema, for editors"}
	}
	top.Schema, top.ID, top.Title, top.Defs = "https://json-schema.org/draft/2020-12/schema", id, title, g.defs
	top.Required = missing
	if g.docs.err != nil {
		return nil, g.docs.err
	}
	text, err := json.Marshal(top)
	if err != nil {
		return nil, err
	}
	return layout(text)
}

const refs = "#/$defs/"

var (
	textReader = reflect.TypeFor[encoding.TextUnmarshaler]()
	jsonReader = reflect.TypeFor[json.Unmarshaler]()
	jsonWriter = reflect.TypeFor[json.Marshaler]()
)

// of returns the schema of a type; that of a named one stands among the definitions.
func (g *generator) of(t reflect.Type) *Node {
	if t == reflect.TypeFor[json.RawMessage]() {
		return &Node{} // read later, by whom it concerns
	}
	if t.Kind() != reflect.Struct && t.Kind() != reflect.String && reflect.PointerTo(t).Implements(jsonReader) {
		panic(fmt.Sprintf("schema: %v reads JSON of a form that its type does not tell", t))
	}
	switch t.Kind() {
	case reflect.Pointer:
		return orNull(g.of(t.Elem()))
	case reflect.Slice:
		return &Node{Type: types{"array", "null"}, Items: g.of(t.Elem())}
	case reflect.Array:
		return &Node{Type: types{"array"}, Items: g.of(t.Elem()), MinItems: t.Len(), MaxItems: t.Len()}
	case reflect.Map:
		return &Node{Type: types{"object", "null"}, Additional: g.of(t.Elem())}
	case reflect.Interface:
		return &Node{}
	}
	name := g.nameOf(t)
	if name == "" {
		return g.plain(t)
	}
	if g.defs[name] == nil {
		g.defs[name] = &Node{} // a type that holds itself ends here
		*g.defs[name] = *g.plain(t)
	}
	return &Node{Ref: refs + name}
}

// nameOf is the name of a type among the definitions, empty for those of the language.
func (g *generator) nameOf(t reflect.Type) string {
	if t.PkgPath() == "" {
		return ""
	}
	name := t.String()
	if path, alias := g.docs.named(t); path != t.PkgPath() {
		name = path[strings.LastIndexByte(path, '/')+1:] + "." + alias
	}
	for _, cut := range []string{"example.org/earthbasin/units.", "example.org/earthbasin/"} {
		name = strings.ReplaceAll(name, cut, "")
	}
	return strings.NewReplacer("[", ".", "]", "", "/", ".", ",", ".", "main.", "").Replace(name)
}

func orNull(n *Node) *Node {
	if n.Ref == "" && len(n.Type) > 0 && n.Enum == nil {
		if !slices.Contains(n.Type, "null") {
			n.Type = append(n.Type, "null")
		}
		return n
	}
	return &Node{AnyOf: []*Node{n, {Type: types{"null"}}}}
}

// plain is the schema of a type itself.
func (g *generator) plain(t reflect.Type) *Node {
	n := &Node{Description: g.docs.ofType(t)}
	zero := reflect.New(t)
	switch q, quantity := zero.Elem().Interface().(units.Quantity); {
	case quantity:
		n.Type, n.Description, n.Examples = types{"string"}, units.Hint(q), []string{example(zero)}
	case t == reflect.TypeFor[time.Time]():
		n.Type, n.Examples = types{"string"}, []string{"2026-06-01", "2026-06-01T08:30:00Z"}
		n.Description = "a day, or a time"
	case t == reflect.TypeFor[units.Phrase]():
		n.Type, n.Properties = types{"string", "object"}, map[string]*Node{"text": {Type: types{"string"}}, "args": {Type: types{"array"}, Items: &Node{}}}
		n.Description = "words, or a template with its arguments"
	case t.Kind() == reflect.Struct && zero.Type().Implements(jsonWriter) && !told(t):
		// written in a form that its type does not tell
	case t.Kind() == reflect.Struct && zero.Type().Implements(jsonReader) && !exported(t):
		n.Type, n.Items, n.Additional = types{"string", "number", "boolean", "array", "object"}, &Node{}, &Node{} // reads any JSON
	case t.Kind() == reflect.Struct && zero.Type().Implements(jsonReader):
		g.object(n, t)
		for _, f := range units.FieldErrors(zero.Interface().(json.Unmarshaler).UnmarshalJSON([]byte("{}"))) {
			if f.Kind == units.FaultMissing && !strings.ContainsAny(f.Field, ".[") {
				n.Required = append(n.Required, f.Field)
			}
		}
	case t.Kind() == reflect.String && zero.Type().Implements(jsonReader): // text, or what else it reads
		for _, sample := range []struct{ kind, text string }{{"string", `"text"`}, {"number", "1"}, {"boolean", "true"}} {
			if zero.Interface().(json.Unmarshaler).UnmarshalJSON([]byte(sample.text)) == nil {
				n.Type = append(n.Type, sample.kind)
			}
		}
	case zero.Type().Implements(textReader) && t.Kind() == reflect.Int:
		n.Enum = words(t)
	case zero.Type().Implements(textReader):
		n.Type = types{"string"}
		if text := example(zero); text != "" {
			n.Examples = []string{text}
		}
	default:
		g.kind(n, t)
	}
	return n
}

// told says whether a type is read as it is written, by keys that its fields name.
func told(t reflect.Type) bool {
	return reflect.PointerTo(t).Implements(jsonReader) && t.Kind() == reflect.Struct && !slices.ContainsFunc(reflect.VisibleFields(t), func(f reflect.StructField) bool {
		return f.IsExported() && !f.Anonymous && f.Tag.Get("json") == ""
	})
}

// exported says whether a struct has fields that JSON could name.
func exported(t reflect.Type) bool {
	return slices.ContainsFunc(reflect.VisibleFields(t), func(f reflect.StructField) bool { return f.IsExported() })
}

// kind is the schema of a type that has no reader of its own.
func (g *generator) kind(n *Node, t reflect.Type) {
	switch t.Kind() {
	case reflect.Struct:
		g.object(n, t)
	case reflect.String:
		n.Type = types{"string"}
	case reflect.Bool:
		n.Type = types{"boolean"}
	case reflect.Float64, reflect.Float32:
		n.Type = types{"number"}
	default:
		n.Type = types{"integer"}
	}
}

// object lists the keys that are read into a struct, as units/strict matches them.
func (g *generator) object(n *Node, t reflect.Type) {
	n.Type, n.Closed, n.Properties = types{"object"}, true, map[string]*Node{}
	for _, f := range reflect.VisibleFields(t) {
		tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if !f.IsExported() || tag == "-" || f.Anonymous && tag == "" {
			continue
		}
		if tag == "" {
			tag = f.Name
		}
		key := g.of(f.Type)
		if said := g.docs.ofField(t, f); said != "" {
			of := *key // a reference keeps the words of its type beside these
			of.Description = said
			key = &of
		}
		n.Properties[tag] = key
	}
}

// words lists the words of an enumeration.
func words(t reflect.Type) []string {
	var list []string
	for i := range 256 {
		v := reflect.New(t).Elem()
		v.SetInt(int64(i))
		m, ok := v.Interface().(encoding.TextMarshaler)
		if !ok {
			break
		}
		text, err := m.MarshalText()
		if err == nil && reflect.New(t).Interface().(encoding.TextUnmarshaler).UnmarshalText(text) == nil {
			list = append(list, string(text))
		}
	}
	return list
}

// texts are of all forms that the types of the module read.
var texts = []string{
	"12 ft", "2 acre", "5000 gal", "40 lb", "8.5 lb/gal", "31 lb/1000 gal", "12 lb/ton", "120 lb/acre", "9000 gal/acre", "300 gpm",
	"0.2 in/d", "4 mph", "6 h", "20 %", "40 seeds/ft2", "150000 seeds/lb", "68 F", "60 hp", "0.5 hp/1000 gal", "30 per h", "12 per 1000 gal", "14 per lb", "7 per yd3", "210 per acre",
	"2026-06-01", "15 May", "Sunday", "0.5", "12", "ppm", "text",
}

// example is a text that a type reads, empty when it reads none of those known.
func example(to reflect.Value) string {
	for _, text := range texts {
		if to.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(text)) == nil {
			return text
		}
	}
	return ""
}
