package nutrient

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// schema is the part of JSON Schema draft 2020-12 that set.schema.json uses.
type schema struct {
	Schema      string             `json:"$schema"`
	ID          string             `json:"$id"`
	Title       string             `json:"title"`
	Description string             `json:"description"`
	Ref         string             `json:"$ref"`
	Defs        map[string]*schema `json:"$defs"`
	Type        string             `json:"type"`
	Enum        []string           `json:"enum"`
	Required    []string           `json:"required"`
	Properties  map[string]*schema `json:"properties"`
	Additional  *additional        `json:"additionalProperties"`
	MinProps    int                `json:"minProperties"`
	Items       *schema            `json:"items"`
	MinItems    int                `json:"minItems"`
	MaxItems    *int               `json:"maxItems"`
	Unique      bool               `json:"uniqueItems"`
	MinLength   int                `json:"minLength"`
	Pattern     string             `json:"pattern"`
	Minimum     *float64           `json:"minimum"`
	Maximum     *float64           `json:"maximum"`
	OneOf       []*schema          `json:"oneOf"`
}

// additional is what the keys beside the properties are: none, or of one schema.
type additional struct{ all *schema }

func (a *additional) UnmarshalJSON(data []byte) error {
	if string(data) == "false" {
		return nil
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	return d.Decode(&a.all)
}

func readSchema(t *testing.T) *schema {
	data, err := os.ReadFile("sets/set.schema.json")
	require.NoError(t, err)
	var s schema
	d := json.NewDecoder(strings.NewReader(string(data)))
	d.DisallowUnknownFields() // a keyword that the test does not know would not be tested
	require.NoError(t, d.Decode(&s))
	require.Equal(t, "https://json-schema.org/draft/2020-12/schema", s.Schema)
	return &s
}

// faults lists where v does not follow s.
func (s *schema) faults(root *schema, path string, v any) []string {
	if s.Ref != "" {
		return root.Defs[strings.TrimPrefix(s.Ref, "#/$defs/")].faults(root, path, v)
	}
	var list []string
	bad := func(format string, args ...any) { list = append(list, path+": "+fmt.Sprintf(format, args...)) }
	if s.Enum != nil {
		if text, ok := v.(string); !ok || !slices.Contains(s.Enum, text) {
			bad("not in enum")
		}
	}
	kinds := map[string]bool{"": true}
	switch v := v.(type) {
	case map[string]any:
		kinds["object"] = true
		if len(v) < s.MinProps {
			bad("too few keys")
		}
		for _, r := range s.Required {
			if _, ok := v[r]; !ok {
				bad("no %s", r)
			}
		}
		for k, x := range v {
			if p := s.Properties[k]; p != nil {
				list = append(list, p.faults(root, path+"."+k, x)...)
			} else if s.Additional != nil && s.Additional.all == nil {
				bad("unknown key %s", k)
			} else if s.Additional != nil {
				list = append(list, s.Additional.all.faults(root, path+"."+k, x)...)
			}
		}
	case []any:
		kinds["array"] = true
		if len(v) < s.MinItems || s.MaxItems != nil && len(v) > *s.MaxItems {
			bad("%d items", len(v))
		}
		for i, x := range v {
			if s.Items != nil {
				list = append(list, s.Items.faults(root, fmt.Sprintf("%s[%d]", path, i), x)...)
			}
			if s.Unique && slices.ContainsFunc(v[:i], func(o any) bool { return reflect.DeepEqual(o, x) }) {
				bad("item %d twice", i)
			}
		}
	case string:
		kinds["string"] = true
		if len(v) < s.MinLength || s.Pattern != "" && !regexp.MustCompile(s.Pattern).MatchString(v) {
			bad("text %q", v)
		}
	case float64:
		kinds["number"], kinds["integer"] = true, v == math.Trunc(v)
		if s.Minimum != nil && v < *s.Minimum || s.Maximum != nil && v > *s.Maximum {
			bad("number %v", v)
		}
	case bool:
		kinds["boolean"] = true
	}
	if !kinds[s.Type] {
		bad("not %s", s.Type)
	}
	if s.OneOf != nil {
		fits := 0
		for _, o := range s.OneOf {
			if len(o.faults(root, path, v)) == 0 {
				fits++
			}
		}
		if fits != 1 {
			bad("%d of the alternatives", fits)
		}
	}
	return list
}

func TestSetsFollowTheSchema(t *testing.T) {
	s := readSchema(t)
	for _, id := range PublishedSetIDs() {
		data, err := files.ReadFile("sets/" + id + ".json")
		require.NoError(t, err)
		var v any
		require.NoError(t, json.Unmarshal(data, &v))
		require.Empty(t, s.faults(s, id, v))
	}
}

func TestEverySetFileIsListed(t *testing.T) {
	list, err := files.ReadDir("sets")
	require.NoError(t, err)
	require.Len(t, list, len(PublishedSetIDs())+1, "the sets and the schema")
}

// The schema has the keys of the Go types, and the enumerations their names.
func TestSchemaHasTheKeysOfTheTypes(t *testing.T) {
	s := readSchema(t)
	keys := func(x *schema) []string {
		var list []string
		for k := range x.Properties {
			list = append(list, k)
		}
		slices.Sort(list)
		return list
	}
	tags := func(v any) []string {
		var list []string
		for _, f := range reflect.VisibleFields(reflect.TypeOf(v)) {
			if tag, _, _ := strings.Cut(f.Tag.Get("json"), ","); tag != "" {
				list = append(list, tag)
			}
		}
		slices.Sort(list)
		return list
	}
	require.Equal(t, tags(SetSpec{}), keys(s))
	require.Equal(t, tags(Row{}), keys(s.Defs["row"]))
	require.Equal(t, tags(Key{}), keys(s.Defs["key"]))
	require.Equal(t, tags(Source{}), keys(s.Defs["source"]))
	require.Equal(t, tags(Selector{}), keys(s.Defs["selector"]))
	require.Equal(t, tags(OwnSelector{}), keys(s.Defs["ownSelector"]))
	require.Equal(t, tags(Class[float64]{}), keys(s.Defs["class"]))
	require.Equal(t, tags(IncorporationClass{}), keys(s.Defs["incorporation"]))
	require.Equal(t, tags(Query{}), keys(s.Defs["selector"]), "a query has the keys of a selector")
	require.Equal(t, []string(poolNames[1:]), s.Defs["row"].Properties["pool"].Enum)
	require.Equal(t, []string(basisNames[1:]), s.Defs["row"].Properties["basis"].Enum)
}

// What the schema refuses, the loader refuses, and the sound set passes both.
func TestSchemaAndLoaderAgree(t *testing.T) {
	s := readSchema(t)
	for name, c := range map[string]struct {
		old, new string
		sound    bool
	}{
		"sound":            {"", "", true},
		"unknown key":      {`"value": 0.3`, `"value": 0.3, "colour": "red"`, false},
		"fraction above 1": {`"value": 0.3`, `"value": 1.3`, false},
		"value and lacks":  {`"value": 0.3`, `"value": 0.3, "lacks": "x"`, false},
		"low alone":        {`"value": 0.3`, `"low": 0.3`, false},
		"unknown pool":     {`"organic"`, `"nitrate"`, false},
		"year zero":        {`"year": 1`, `"year": 0`, false},
		"year as text":     {`"year": 1`, `"year": "1"`, false},
		"no basis":         {`"basis": "original", `, ``, false},
		"id with blanks":   {`"invented"`, `"in vented"`, false},
		"no title":         {`"title": "T", `, ``, false},
		"empty class":      {`{"below": "18 %"}`, `{}`, false},
		"empty choice":     {`["cows"]`, `[]`, false},
		"choice twice":     {`["cows"]`, `["cows", "cows"]`, false},
		"no key name":      {`"name": "species"`, `"name": "an animal"`, false},
		"empty own key":    {`"dryMatter": {"from": "18 %"}`, `"dryMatter": {"from": "18 %"}, "own": {"soil": {}}`, false},
	} {
		text := strings.Replace(inventedSet, c.old, c.new, 1)
		var v any
		require.NoError(t, json.Unmarshal([]byte(text), &v), name)
		_, err := ParseSet([]byte(text))
		require.Equal(t, c.sound, len(s.faults(s, "", v)) == 0, "schema: %s", name)
		require.Equal(t, c.sound, err == nil, "loader: %s: %v", name, err)
	}
}
