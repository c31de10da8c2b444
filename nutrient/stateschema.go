package nutrient

import "encoding/json"

// Schema returns a JSON Schema (draft 2020-12) of the queries that the state answers:
// a string for each key, with its label, its hint and its choices. A form can be made
// of it alone.
func (s *State) Schema() []byte {
	type property struct {
		Type        string   `json:"type"`
		Title       string   `json:"title"`
		Description string   `json:"description,omitempty"`
		Enum        []string `json:"enum,omitempty"`
	}
	properties := map[string]property{}
	for _, k := range s.keys {
		p := property{"string", k.Label, k.Hint, k.Values}
		if p.Description == "" && k.Values == nil {
			p.Description = k.Takes().String()
		}
		properties[k.Name] = p
	}
	text, err := json.Marshal(map[string]any{
		"$schema": "https://json-schema.org/draft/2020-12/schema", "title": s.spec.Jurisdiction, "type": "object",
		"properties": properties, "additionalProperties": false,
	})
	if err != nil {
		return nil // text and lists of text are always written
	}
	return text
}
