package schema

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
)

// Schema is a schema that was read back, to hold files against it.
type Schema struct {
	Ref        string             `json:"$ref"`
	Type       any                `json:"type"`
	Enum       []string           `json:"enum"`
	Examples   []string           `json:"examples"`
	AnyOf      []*Schema          `json:"anyOf"`
	Items      *Schema            `json:"items"`
	MinItems   int                `json:"minItems"`
	MaxItems   int                `json:"maxItems"`
	Required   []string           `json:"required"`
	Properties map[string]*Schema `json:"properties"`
	Additional any                `json:"additionalProperties"`
	Defs       map[string]*Schema `json:"$defs"`

	root  *Schema
	other *Schema // of keys beside the properties
}

// Read reads a schema that [Of] wrote.
func Read(text []byte) (*Schema, error) {
	var s Schema
	if err := json.Unmarshal(text, &s); err != nil {
		return nil, err
	}
	return &s, s.settle(&s)
}

func (s *Schema) settle(root *Schema) error {
	if s == nil || s.root != nil {
		return nil
	}
	s.root = root
	if more, ok := s.Additional.(map[string]any); ok {
		text, err := json.Marshal(more)
		if err == nil {
			err = json.Unmarshal(text, &s.other)
		}
		if err != nil {
			return err
		}
	}
	for _, list := range []map[string]*Schema{s.Properties, s.Defs} {
		for _, sub := range list {
			if err := sub.settle(root); err != nil {
				return err
			}
		}
	}
	for _, sub := range append(slices.Clone(s.AnyOf), s.Items, s.other) {
		if err := sub.settle(root); err != nil {
			return err
		}
	}
	return nil
}

func (s *Schema) target() *Schema {
	for s.Ref != "" {
		s = s.root.Defs[strings.TrimPrefix(s.Ref, refs)]
	}
	return s
}

// types lists the JSON types that s allows, none for any.
func (s *Schema) types() (list []string) {
	switch t := s.Type.(type) {
	case string:
		return []string{t}
	case []any:
		for _, one := range t {
			list = append(list, one.(string))
		}
	}
	return list
}

// Fault returns where a decoded file does not follow s, empty when it does.
func (s *Schema) Fault(path string, v any) string {
	s = s.target()
	if s.AnyOf != nil {
		for _, sub := range s.AnyOf {
			if sub.Fault(path, v) == "" {
				return ""
			}
		}
		if len(s.AnyOf) == 2 && v != nil { // of a value or null the value says more
			return s.AnyOf[0].Fault(path, v)
		}
		return path + ": none of the alternatives"
	}
	if s.Enum != nil {
		if text, ok := v.(string); !ok || !slices.Contains(s.Enum, text) {
			return path + ": none of the words"
		}
		return ""
	}
	if s.types() == nil && s.Properties == nil {
		return "" // anything
	}
	is := kindOf(v)
	if allowed := s.types(); allowed != nil && !slices.Contains(allowed, is) && !(is == "integer" && slices.Contains(allowed, "number")) {
		return fmt.Sprintf("%s: %s, want %v", path, is, allowed)
	}
	switch v := v.(type) {
	case []any:
		if len(v) < s.MinItems || s.MaxItems > 0 && len(v) > s.MaxItems {
			return fmt.Sprintf("%s: %d items", path, len(v))
		}
		for i, one := range v {
			if said := s.Items.Fault(fmt.Sprintf("%s[%d]", path, i), one); said != "" {
				return said
			}
		}
	case map[string]any:
		for _, key := range s.Required {
			if _, ok := v[key]; !ok {
				return path + ": no " + key
			}
		}
		for key, one := range v {
			sub := s.Properties[key]
			if sub == nil {
				sub = s.other
			}
			if sub == nil {
				return path + ": unknown key " + key
			}
			if said := sub.Fault(path+"."+key, one); said != "" {
				return said
			}
		}
	}
	return ""
}

func kindOf(v any) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case bool:
		return "boolean"
	case string:
		return "string"
	case float64:
		if v == math.Trunc(v) && math.Abs(v) < 1e15 {
			return "integer"
		}
		return "number"
	case []any:
		return "array"
	}
	return "object"
}

// Random returns a file that follows s, no deeper than so many levels.
func (s *Schema) Random(r *rand.Rand, levels int) any {
	s = s.target()
	if s.AnyOf != nil {
		return s.AnyOf[r.IntN(len(s.AnyOf))].Random(r, levels)
	}
	if s.Enum != nil {
		return s.Enum[r.IntN(len(s.Enum))]
	}
	allowed := s.types()
	if allowed == nil {
		return nil
	}
	switch allowed[r.IntN(len(allowed))] {
	case "boolean":
		return r.IntN(2) == 0
	case "string":
		if len(s.Examples) > 0 {
			return s.Examples[r.IntN(len(s.Examples))]
		}
		return "some text"
	case "integer":
		return float64(r.IntN(100))
	case "number":
		return r.Float64()
	case "array":
		n := s.MinItems
		if s.MaxItems == 0 && levels > 0 {
			n += r.IntN(3)
		}
		list := make([]any, n)
		for i := range list {
			list[i] = s.Items.Random(r, levels-1)
		}
		return list
	case "object":
		return s.object(r, levels)
	}
	return nil
}

func (s *Schema) object(r *rand.Rand, levels int) map[string]any {
	o := map[string]any{}
	keys := make([]string, 0, len(s.Properties))
	for key := range s.Properties {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	for _, key := range keys {
		if key != "$schema" && (slices.Contains(s.Required, key) || levels > 0 && r.IntN(2) == 0) {
			o[key] = s.Properties[key].Random(r, levels-1)
		}
	}
	return o
}

// Changed returns a copy of a decoded file with one value, at random, of another kind,
// left out, or beside an unknown key.
func Changed(r *rand.Rand, v any) any {
	odd := func() any {
		return []any{nil, true, "12 parsecs", "", 7.5, -3.0, []any{}, map[string]any{}}[r.IntN(8)]
	}
	if r.IntN(6) == 0 {
		return odd()
	}
	switch v := v.(type) {
	case []any:
		if len(v) > 0 {
			list := slices.Clone(v)
			i := r.IntN(len(v))
			list[i] = Changed(r, v[i])
			return list
		}
	case map[string]any:
		o := map[string]any{}
		var keys []string
		for key, one := range v {
			o[key] = one
			keys = append(keys, key)
		}
		slices.Sort(keys)
		switch {
		case len(keys) == 0 || r.IntN(10) == 0:
			o["surprise"] = odd()
		case r.IntN(10) == 0:
			delete(o, keys[r.IntN(len(keys))])
		default:
			key := keys[r.IntN(len(keys))]
			o[key] = Changed(r, o[key])
		}
		return o
	}
	return odd()
}
