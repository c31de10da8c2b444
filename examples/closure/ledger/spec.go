package ledger

import (
	"maps"
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Spec is what is accounted for.
type Spec struct {
	AsOf      stage.Date  `json:"asOf"`      // the day of the account; nothing is recorded after it
	Fields    []Field     `json:"fields"`    // up to 1,000
	Materials []Material  `json:"materials"` // up to 100
	Planned   []Placement `json:"planned,omitempty"`
	Book      Book        `json:"book,omitzero"`
	// Holds works out what a material holds of each constituent on a field by a fresh
	// report, such as available N by the method there. Left out: total N, P2O5 and K2O.
	Holds func(material, field string, a nutrient.Analysis) (Contents, error) `json:"-"`
}

// Contents is what a material holds of each constituent that an allowance can count.
type Contents map[nutrient.LimitKind]nutrient.Content

// Totals is total N, P2O5 and K2O of an analysis, those that it has.
func Totals(a nutrient.Analysis) Contents {
	c := Contents{}
	for kind, content := range map[nutrient.LimitKind]nutrient.Content{
		nutrient.LimitNitrogen: a.TotalN, nutrient.LimitPhosphorus: a.P2O5(), nutrient.LimitPotassium: a.K2O(),
	} {
		if !content.IsZero() {
			c[kind] = content
		}
	}
	return c
}

// Field is a field and what it may take.
type Field struct {
	Name       string      `json:"name"`
	Area       units.Area  `json:"area"`                 // on which material may be spread
	Allowances []Allowance `json:"allowances,omitempty"` // up to 100
	// Pass is the most that one day may put on it, by material; none for no limit.
	Pass map[string]nutrient.Rate `json:"pass,omitempty"`
}

// Allowance is the most of a constituent that a field may take in a period: the N of a
// crop year, the P2O5 of the years of a budget, a metal over all years.
type Allowance struct {
	Kind nutrient.LimitKind `json:"kind"` // the constituent
	Name string             `json:"name"` // such as "N of corn 2026"
	From stage.Date         `json:"from"` // first day
	To   stage.Date         `json:"to"`   // last day
	Room units.MassPerArea  `json:"room"` // for the whole period, 0 or more
}

// Material is what is taken from the basin.
type Material struct {
	Name string        `json:"name"`
	Form nutrient.Form `json:"form"` // how it is measured
	// Density is needed where records measure it in the other form.
	Density units.Density `json:"density,omitempty"`
	// Stock is how much there was at the start of a day. A later day counts instead of an
	// earlier one, as when the level was read again.
	Stock []Stock `json:"stock"` // 1 to 1,000
	// Holds is what the plan counts with before the first fresh report.
	Holds Contents `json:"holds"`
	// On is what holds instead on a field.
	On map[string]Contents `json:"on,omitempty"`
}

// Stock is an amount at the start of a day.
type Stock struct {
	Day    stage.Date      `json:"day"`
	Amount nutrient.Amount `json:"amount"`
}

// Placement is what was planned to go on a field.
type Placement struct {
	Field    string          `json:"field"`
	Material string          `json:"material"`
	Amount   nutrient.Amount `json:"amount"`
	From     stage.Date      `json:"from,omitzero"` // first day planned; no day where it does not matter
}

// account is a spec that was checked, by name.
type account struct {
	spec      *Spec
	fields    map[string]*Field
	materials map[string]*Material
	fresh     map[string][]fresh         // by material, by day
	hauled    map[constituent]units.Mass // that what is still to be hauled holds
}

// fresh is what a report says.
type fresh struct {
	day      stage.Date
	analysis nutrient.Analysis
}

func (s *Spec) check() (*account, error) {
	var f units.Faults
	a := &account{s, map[string]*Field{}, map[string]*Material{}, map[string][]fresh{}, map[constituent]units.Mass{}}
	s.AsOf.Check(&f, "asOf")
	f.CountBetween("fields", len(s.Fields), "fields", 1, 1000)
	f.CountBetween("materials", len(s.Materials), "materials", 1, 100)
	f.CountBetween("planned", len(s.Planned), "placements", 0, 10_000)
	fields, materials := map[string]bool{}, map[string]bool{}
	for i := range s.Fields {
		at, field := f.At("fields", i), &s.Fields[i]
		at.Name("name", field.Name, "field", fields)
		a.fields[field.Name] = field
	}
	for i := range s.Materials {
		at, m := f.At("materials", i), &s.Materials[i]
		at.Name("name", m.Name, "material", materials)
		a.materials[m.Name] = m
		m.check(&at, a)
	}
	for i := range s.Fields {
		at := f.At("fields", i)
		s.Fields[i].check(&at, a)
	}
	for i, p := range s.Planned {
		at := f.At("planned", i)
		m := a.known(&at, p.Field, p.Material)
		if m != nil {
			at.Sub("amount", p.Amount.Check(m.Form))
		}
		if !p.From.IsZero() {
			p.From.Check(&at, "from")
		}
	}
	book := f.At("book")
	s.Book.check(&f, &book)
	for i := range s.Book.Records {
		at := s.Book.Records[i].At(&f, &book, i)
		a.checkRecord(&at, &s.Book.Records[i])
	}
	for i, r := range s.Book.Reports {
		at := book.At("reports", i)
		m := a.materials[r.Material]
		if m == nil && r.Material != "" {
			at.Fault(units.FaultName, "material", r.Material, "the name of a material")
		}
		analysis, err := nutrient.Analyze(r.Report)
		if m == nil || err != nil {
			continue // its own faults are reported
		}
		if analysis.Form != m.Form {
			at.Say("report.form", "another form than that of the material", "%v", m.Form)
		}
		a.fresh[r.Material] = append(a.fresh[r.Material], fresh{r.Day, analysis})
	}
	for _, list := range a.fresh {
		slices.SortStableFunc(list, func(x, y fresh) int { return y.day.Until(x.day) })
	}
	return a, f.Err()
}

// known is the material of a name, nil when there is none.
func (a *account) known(f *units.Faults, field, material string) *Material {
	if a.fields[field] == nil && field != "" {
		f.Fault(units.FaultName, "field", field, "the name of a field")
	}
	m := a.materials[material]
	if m == nil && material != "" {
		f.Fault(units.FaultName, "material", material, "the name of a material")
	}
	return m
}

// checkRecord records what is wrong with a record beside the fields and materials.
func (a *account) checkRecord(f *units.Faults, r *Record) {
	m := a.known(f, r.Field, r.Material)
	if !r.Day.IsZero() && a.spec.AsOf.Before(r.Day) {
		f.Add("day", r.Day, "the day of the account, %v, or before", a.spec.AsOf)
	}
	if field := a.fields[r.Field]; field != nil && r.Area > field.Area*(1+1e-9) {
		f.Add("area", r.Area, "at most the area of the field, %v", field.Area)
	}
	if m == nil {
		return
	}
	if put, _, err := r.Put(); err == nil && put.Form() != m.Form {
		if _, err := put.As(m.Form, m.Density); err != nil {
			f.Say("amount", "in another form than the material, whose density is not known", "an amount by %v, or the density of the material", m.Form)
		}
	}
}

func (m *Material) check(f *units.Faults, a *account) {
	if m.Form != nutrient.Liquid && m.Form != nutrient.Solid {
		f.Missing("form", "liquid or solid")
		return
	}
	if m.Density != 0 {
		f.Between("density", m.Density, 50*units.KilogramPerCubicMetre, 3000*units.KilogramPerCubicMetre)
	}
	f.CountBetween("stock", len(m.Stock), "amounts", 1, 1000)
	for i, s := range m.Stock {
		at := f.At("stock", i)
		s.Day.Check(&at, "day")
		at.Sub("amount", s.Amount.Check(m.Form))
	}
	m.Holds.check(f, "holds", m.Form)
	for _, field := range slices.Sorted(maps.Keys(m.On)) {
		at := f.Named("on", field)
		if a.fields[field] == nil {
			at.Fault(units.FaultName, "", field, "the name of a field")
		}
		m.On[field].check(&at, "", m.Form)
	}
}

func (c Contents) check(f *units.Faults, field string, form nutrient.Form) {
	for _, kind := range slices.Sorted(maps.Keys(c)) {
		at := f.Named(field, string(kind))
		at.Sub("", kind.Check())
		at.Sub("", c[kind].Check(form))
	}
}

func (field *Field) check(f *units.Faults, a *account) {
	f.Between("area", field.Area, units.SquareFoot, 100_000*units.Acre)
	f.CountBetween("allowances", len(field.Allowances), "allowances", 0, 100)
	for i, w := range field.Allowances {
		at := f.At("allowances", i)
		at.Sub("kind", w.Kind.Check())
		if w.Name == "" {
			at.Missing("name", "what it is called")
		}
		w.From.Check(&at, "from")
		w.To.Check(&at, "to")
		if !w.To.IsZero() && w.To.Before(w.From) {
			at.Say("to", w.To.String()+", before the first day", "%v or later", w.From)
		}
		at.Between("room", w.Room, units.MassPerArea(0), 1000*units.TonPerAcre)
	}
	for _, material := range slices.Sorted(maps.Keys(field.Pass)) {
		at := f.Named("pass", material)
		m := a.materials[material]
		if m == nil {
			at.Fault(units.FaultName, "", material, "the name of a material")
			continue
		}
		at.Sub("", field.Pass[material].Check(m.Form))
	}
}
