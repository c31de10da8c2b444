package doubt

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// patched returns the scenario with a figure in place of what stands at a path: a
// number, a word, or a whole part. An index * stands for each of a list. The scenario
// must have the place.
func patched(s plan.Scenario, path string, figure study.Figure) (plan.Scenario, error) {
	var f units.Faults
	text, err := json.Marshal(s)
	var file any
	if err == nil {
		err = json.Unmarshal(text, &file)
	}
	if err != nil {
		return s, err
	}
	file, want := put(file, steps(path), figure.Any())
	if want != "" {
		f.Say("path", path, "%s", want)
		return s, f.Err()
	}
	if text, err = json.Marshal(file); err != nil {
		return s, err
	}
	var own plan.Scenario
	if err := strict.Decode(text, &own); err != nil {
		for _, e := range units.FieldErrors(err) {
			f.Say("value", fmt.Sprint(figure.Any()), "a figure that may stand at %v", units.Word(e.Field))
		}
	}
	return own, f.Err()
}

// place says what would be allowed when a scenario has no place of a path.
func place(s plan.Scenario, path string) (want string) {
	var file any
	text, err := json.Marshal(s)
	if err == nil && json.Unmarshal(text, &file) == nil {
		_, want = put(file, steps(path), nil)
	}
	return want
}

// steps parts a path at its keys and indexes.
func steps(path string) []string {
	return strings.FieldsFunc(path, func(r rune) bool { return strings.ContainsRune(`.[]"`, r) })
}

// put sets v at the steps below part; want says what would be allowed when there is no
// such place.
func put(part any, steps []string, v any) (with any, want string) {
	if len(steps) == 0 {
		return v, ""
	}
	switch part := part.(type) {
	case map[string]any:
		below, ok := part[steps[0]]
		if !ok {
			keys := make([]string, 0, len(part))
			for key := range part {
				keys = append(keys, key)
			}
			slices.Sort(keys)
			return nil, "a part that the scenario has, such as " + strings.Join(keys, ", ")
		}
		part[steps[0]], want = put(below, steps[1:], v)
		return part, want
	case []any:
		i, err := strconv.Atoi(steps[0])
		if steps[0] != "*" && (err != nil || i < 0 || i >= len(part)) || len(part) == 0 {
			return nil, fmt.Sprintf("an index below %d, or *", len(part))
		}
		for k := range part {
			if steps[0] == "*" || k == i {
				if part[k], want = put(part[k], steps[1:], v); want != "" {
					return nil, want
				}
			}
		}
		return part, ""
	}
	return nil, "a path that ends earlier"
}
