package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// field is one input of the form.
type field struct {
	Path, Label, Hint, Value string
	Choices                  []option
	Units                    []string // of a number, the usual one first
	Unit                     string   // chosen
	Faults                   []*units.FieldError
}

// option is a choice: what is sent, and what the reader sees.
type option struct{ Value, Text string }

// options are the choices of a program in the language of a state.
func options(state *nutrient.State, values ...string) (list []option) {
	for _, v := range values {
		list = append(list, option{v, state.Translate(v)})
	}
	return list
}

type group struct {
	Name   string
	Hint   string // once for all fields
	Fields []*field
}

// idOf is the path of a field as the name of a place in the page.
func idOf(path string) string { return strings.NewReplacer("[", "-", "]", "").Replace(path) }

// ID is the place of the field in the page.
func (f field) ID() string { return idOf(f.Path) }

// ID is the place of the field that a fault is about.
func (s summary) ID() string { return idOf(s.Field) }

// form is what the page asks, made from the file of the state.
type form struct {
	groups []group
	at     map[string]*field
}

var (
	contents = []string{"lb/1000 gal", "lb/ton", "%", "mg/L", "g/L", "mg/kg", "kg/t"}
	loads    = []string{"lb/acre", "kg/ha"}
)

// newForm lays out the form: reports, the keys of the state by what they are for, the
// field.
func newForm(state *nutrient.State, values map[string][]string) *form {
	f := &form{at: map[string]*field{}}
	t := state.Translate
	f.group(t("Units of the answer"), "", &field{Path: "units", Label: t("Units"), Choices: options(state, "US", "metric")}, &field{Path: "samples", Label: t("Samples of this material"), Choices: options(state, "1", "2", "3", "4", "5", "6", "7", "8")})
	samples := 1
	if given := values["samples"]; len(given) > 0 {
		if n, err := strconv.Atoi(given[len(given)-1]); err == nil && n >= 1 && n <= maxSamples {
			samples = n
		}
	}
	for i := range maxSamples {
		for path := range values {
			if strings.HasPrefix(path, fmt.Sprintf("reports[%d].", i)) && values[path][0] != "" && !strings.HasSuffix(path, unitSuffix) {
				samples = max(samples, i+1)
			}
		}
	}
	for i := range samples {
		name := t("Laboratory report")
		if samples > 1 {
			name = fmt.Sprintf("%s %d", name, i+1)
		}
		at := fmt.Sprintf("reports[%d].", i)
		fields := []*field{
			{Path: at + "form", Label: t("Handled as"), Choices: options(state, "liquid", "solid")},
			{Path: at + "basis", Label: t("Reported"), Choices: options(state, "as is", "dry")},
		}
		for _, x := range []struct{ path, label string }{
			{"solids", "Total solids"}, {"tkn", "Total Kjeldahl N"}, {"totalN", "Total N, with nitrate"}, {"ammoniumN", "Ammonium N"}, {"nitrateN", "Nitrate N"},
			{"p2o5", "Phosphate, P2O5"}, {"p", "Phosphorus, P, where no P2O5 is reported"}, {"k2o", "Potash, K2O"}, {"k", "Potassium, K, where no K2O is reported"},
		} {
			fields = append(fields, &field{Path: at + x.path, Label: t(x.label), Units: contents})
		}
		fields = append(fields, &field{Path: at + "oxides", Label: t("Factors between P and P2O5, K and K2O, where the laboratory names its own"), Choices: options(state, "2.29/1.20", "2.3/1.2", "2.2910/1.2051")})
		fields = append(fields, &field{Path: at + "density", Label: t("Density"), Units: []string{"lb/gal", "lb/ft3", "kg/m3"}})
		hint := t("Fill in what the report has: per volume of a liquid, per weight of a solid. Solids are needed for a report on dry basis, the density for a liquid reported per weight.")
		if i > 0 {
			hint = ""
		}
		f.group(name, hint, fields...)
	}
	f.keys(state)
	other := []*field{}
	if len(yieldUnits(state)) > 0 && f.at["query.yield"] == nil {
		other = append(other, &field{Path: "yield", Label: t("Expected yield"), Units: yieldUnits(state)})
	}
	other = append(other,
		&field{Path: "needN", Label: t("N that the crop needs, where the state has no figure or another is to hold"), Units: loads},
		&field{Path: "otherN", Label: t("N from irrigation water, starter and other sources"), Units: loads},
		&field{Path: "allowP2O5", Label: t("P2O5 that a permit allows"), Units: loads},
		&field{Path: "stock", Label: t("Manure to be spread"), Units: []string{"gal", "ton", "m3", "t"}})
	f.group(t("Field"), "", other...)
	var earlier []*field
	for i, label := range []string{"Rate a year ago", "Rate two years ago", "Rate three years ago"} {
		earlier = append(earlier, &field{Path: fmt.Sprintf("earlier[%d]", i), Label: t(label), Units: []string{"gal/acre", "ton/acre", "m3/ha", "t/ha"}})
	}
	f.group(t("Manure of earlier years"), t("Of the same material, put on in the same way; left out where there was none."), earlier...)
	f.fill(values)
	return f
}

func (f *form) group(name, hint string, fields ...*field) {
	if len(fields) == 0 {
		return
	}
	f.groups = append(f.groups, group{name, hint, fields})
	for _, x := range fields {
		f.at[x.Path] = x
	}
}

// keys lays out the keys of the state by what they are asked for.
func (f *form) keys(state *nutrient.State) {
	t := state.Translate
	done := map[string]bool{}
	for _, part := range []struct {
		name  string
		gives []string
		as    []nutrient.As
	}{
		{"How and when it is applied", []string{"ammonium", "organic", "totalN", "p", "k"}, nil},
		{"Soil and crop", []string{"n", "p2o5", "k2o", "removalP2O5", "removalK2O", "creditN", "totalNApplied", "materialApplied"}, nil},
		{"Soil and crop, for phosphorus", []string{"allow"}, []nutrient.As{nutrient.AsCap}},
		{"Day and place", []string{"allow"}, []nutrient.As{nutrient.AsBan}},
		{"Distances", []string{"setback"}, nil},
		{"Other figures of the file", otherFigures(state), nil},
	} {
		var asked []string
		for _, gives := range part.gives {
			asked = append(asked, state.Asks(gives, part.as...)...)
		}
		var fields []*field
		for _, k := range state.Keys() {
			if done[k.Name] || !slices.Contains(asked, k.Name) {
				continue
			}
			done[k.Name] = true
			x := &field{Path: "query." + k.Name, Label: k.Label, Hint: k.Hint}
			for _, v := range k.Values {
				x.Choices = append(x.Choices, option{v, v})
			}
			if k.Never != "" && x.Hint == "" {
				x.Hint = fmt.Sprintf(t("or %s"), k.Never)
			}
			if k.Unit != "" && k.Unit != "1" {
				if x.Units = unitsLike(k.Unit, k.Also); k.Name == nutrient.KeyYield {
					x.Units = compact(append(x.Units, yieldUnits(state)...))
				}
			}
			if state.Has(k.Name) && x.Hint == "" {
				x.Hint = t("worked out where it is left open")
			}
			fields = append(fields, x)
		}
		f.group(t(part.name), "", fields...)
	}
}

// worked are the figures of which the answer makes use.
var worked = []string{"ammonium", "organic", "totalN", "p", "k", "n", "p2o5", "k2o", "removalN", "removalP2O5", "removalK2O", "creditN", "totalNApplied", "materialApplied", "allow", "setback"}

// otherFigures is what the file gives beside them, which the page shows as it stands.
func otherFigures(state *nutrient.State) []string {
	return slices.DeleteFunc(state.Gives(), func(gives string) bool {
		class := slices.ContainsFunc(state.Keys(), func(k nutrient.Key) bool { return k.Name == gives })
		return class || slices.Contains(worked, gives)
	})
}

// signsOf is how the state writes numbers: what its words have for 1,234.5.
func signsOf(state *nutrient.State) (signs units.Signs) {
	_ = signs.UnmarshalText([]byte(state.Translate("1,234.5"))) // an unknown way is the usual one
	return signs
}

// unitsLike returns units that fit the quantity of a key, its own first.
func unitsLike(unit string, also map[string]float64) []string {
	list := []string{unit}
	for _, kind := range [][]string{{"h", "d"}, {"ft", "m"}, {"in", "mm"}, {"lb/acre", "kg/ha"}, {"ton/acre", "t/ha"}} {
		if slices.Contains(kind, unit) {
			list = append(list, slices.DeleteFunc(slices.Clone(kind), func(u string) bool { return u == unit })...)
		}
	}
	more := []string{}
	for u := range also {
		more = append(more, u)
	}
	slices.Sort(more)
	return append(list, more...)
}

// yieldUnits are those in which the tables of the state count a yield, with those that
// turn into one another; none where no table counts in it.
func yieldUnits(state *nutrient.State) (list []string) {
	var own []string
	for _, gives := range []string{"n", "p2o5", "k2o", "removalN", "removalP2O5", "removalK2O"} {
		for _, unit := range state.UnitsOf(gives) {
			_, per, ok := strings.Cut(unit, "/")
			var area units.MassPerArea
			if ok && area.UnmarshalText([]byte("1 "+unit)) != nil {
				own = append(own, per)
			}
		}
	}
	for _, per := range own {
		switch per {
		case "ton", "t", "100 lb":
			list = append(list, "ton/acre", "t/ha", "100 lb/acre")
		default:
			list = append(list, per+"/acre", per+"/ha")
		}
	}
	return compact(list)
}

// compact drops what stands in a list already.
func compact(list []string) (once []string) {
	for _, x := range list {
		if !slices.Contains(once, x) {
			once = append(once, x)
		}
	}
	return once
}

// fill puts the values of the user at their fields.
func (f *form) fill(values map[string][]string) {
	last := func(path string) string {
		if given := values[path]; len(given) > 0 {
			return given[len(given)-1]
		}
		return ""
	}
	for path, x := range f.at {
		x.Value, x.Unit = last(path), last(path+unitSuffix)
	}
}

// mark puts faults at their fields and returns them in the order of the form, those of
// no field last.
func (f *form) mark(faults []*units.FieldError) (list []summary) {
	left := slices.Clone(faults)
	for _, g := range f.groups {
		for _, x := range g.Fields {
			left = slices.DeleteFunc(left, func(e *units.FieldError) bool {
				if e.Field != x.Path {
					return false
				}
				x.Faults = append(x.Faults, e)
				list = append(list, summary{e, x.Label})
				return true
			})
		}
	}
	for _, e := range left {
		list = append(list, summary{e, ""})
	}
	return list
}

// summary is a fault as the top of the page lists it.
type summary struct {
	*units.FieldError
	Label string // of its field; empty when the form has none
}
