package ledger

import (
	"cmp"
	"maps"
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Result is the account of a day.
type Result struct {
	AsOf stage.Date `json:"asOf"`
	// Lines are the records by day, with what each put on its field and the running totals.
	Lines []Line `json:"lines"`
	// Rooms are the allowances of the fields, with what is used and left.
	Rooms []Room `json:"rooms"`
	// Over is what went over a limit, the first in front.
	Over []Over `json:"over"`
	// Stocks are the materials, with what is left.
	Stocks []Left `json:"stocks"`
	// Beside is planned beside done, for each field and material.
	Beside []Beside `json:"beside"`
	// Notes say what looks wrong in the records and what no place is planned for.
	Notes []units.Phrase `json:"notes"`
}

// Line is a record in the ledger.
type Line struct {
	Record    Record          `json:"record"`
	Amount    nutrient.Amount `json:"amount"`              // put on, in the form of the material
	Estimated bool            `json:"estimated,omitempty"` // only worked out from the rate
	Area      units.Area      `json:"area"`                // it was spread on
	Rate      nutrient.Rate   `json:"rate"`                // the amount on that area
	Loads     []Load          `json:"loads"`               // of each constituent, by name
	Total     nutrient.Amount `json:"total"`               // of the material on the field so far
}

// Load is a constituent on a field.
type Load struct {
	Kind nutrient.LimitKind `json:"kind"`
	// Put is that of the line, on the area that it was spread on.
	Put units.MassPerArea `json:"put"`
	// Total is the mean over the whole field of everything so far, from the first of the
	// account on.
	Total units.MassPerArea `json:"total"`
	// By is the day of the last sample before it; no day where only the figures of the plan
	// are known.
	By stage.Date `json:"by,omitzero"`
}

// Room is an allowance with what is used of it. Used is the mean over the whole field.
type Room struct {
	Field     string            `json:"field"`
	Allowance Allowance         `json:"allowance"`
	Used      units.MassPerArea `json:"used"`
	Left      units.MassPerArea `json:"left"` // 0 where it is used up
	// Counted is that the day of the account lies in its period.
	Counted bool `json:"counted"`
}

// Left is the stock of a material.
type Left struct {
	Material string          `json:"material"`
	Was      Stock           `json:"was"`   // the stock that counts
	Put      nutrient.Amount `json:"put"`   // from that day on
	Left     nutrient.Amount `json:"left"`  // 0 where more was put on than there was
	Short    nutrient.Amount `json:"short"` // by how much more; 0 for none
	// Placed is what is still planned for it, and Unplaced what has no place.
	Placed   nutrient.Amount `json:"placed"`
	Unplaced nutrient.Amount `json:"unplaced"`
}

// Beside is planned beside done.
type Beside struct {
	Field    string          `json:"field"`
	Material string          `json:"material"`
	Planned  nutrient.Amount `json:"planned"`
	Done     nutrient.Amount `json:"done"`
	// Left is what is still planned, and Takes how much of the material the field's
	// allowances still let on it: whichever is less may be hauled there. Takes is no amount
	// where no allowance counts what the material holds.
	Left  nutrient.Amount `json:"left"`
	Takes nutrient.Amount `json:"takes,omitzero"`
	// Haul is the lesser of the two.
	Haul nutrient.Amount `json:"haul"`
}

// Account works out the account of a day. Every fault of the spec is reported at once.
func Account(spec Spec) (Result, error) {
	a, err := spec.check()
	if err != nil {
		return Result{}, err
	}
	r := Result{AsOf: spec.AsOf, Lines: []Line{}, Rooms: []Room{}, Over: []Over{}, Stocks: []Left{}, Beside: []Beside{}, Notes: []units.Phrase{}}
	if err := a.lines(&r); err != nil {
		return Result{}, err
	}
	a.rooms(&r)
	a.beside(&r)
	a.stocks(&r)
	a.notes(&r)
	return r, nil
}

// holds is what a material holds on a field on a day, and the day of the sample.
func (a *account) holds(m *Material, field string, day stage.Date) (c Contents, by stage.Date, err error) {
	c = m.Holds
	if own, ok := m.On[field]; ok {
		c = own
	}
	for _, f := range a.fresh[m.Name] {
		if day.Before(f.day) {
			break
		}
		now := Totals(f.analysis)
		if a.spec.Holds != nil {
			if now, err = a.spec.Holds(m.Name, field, f.analysis); err != nil {
				return nil, by, err
			}
		}
		// What a report does not have stays as it was.
		by, c = f.day, maps.Clone(c)
		if c == nil {
			c = Contents{}
		}
		maps.Copy(c, now)
	}
	var f units.Faults
	c.check(&f, "holds", m.Form)
	return c, by, f.Err()
}

// lines goes through the records by day, those of one day in their order.
func (a *account) lines(r *Result) error {
	var faults units.Faults
	book := faults.At("book")
	order := make([]int, len(a.spec.Book.Records))
	for i := range order {
		order[i] = i
	}
	records := a.spec.Book.Records
	slices.SortStableFunc(order, func(i, j int) int { return records[j].Day.Until(records[i].Day) })
	type onField struct {
		field string
		of    string
	}
	amounts := map[onField]float64{}
	masses := map[onField]units.Mass{}
	for _, i := range order {
		rec := records[i]
		at := rec.At(&faults, &book, i)
		m, field := a.materials[rec.Material], a.fields[rec.Field]
		put, estimated, err := rec.Put()
		if err == nil && put.Form() != m.Form {
			put, err = put.As(m.Form, m.Density)
		}
		if err != nil {
			at.Sub("", err)
			continue
		}
		line := Line{Record: rec, Amount: put, Estimated: estimated, Area: cmp.Or(rec.Area, field.Area), Loads: []Load{}}
		line.Rate = rate(put, line.Area)
		amounts[onField{rec.Field, rec.Material}] += put.SI()
		line.Total = amount(m.Form, amounts[onField{rec.Field, rec.Material}])
		c, by, err := a.holds(m, rec.Field, rec.Day)
		at.Sub("", err)
		for _, kind := range c.kinds() {
			mass, err := c[kind].Times(put)
			if err != nil {
				at.Sub("", err)
				continue
			}
			k := onField{rec.Field, string(kind)}
			masses[k] += mass
			line.Loads = append(line.Loads, Load{kind, over(mass, line.Area), over(masses[k], field.Area), by})
		}
		r.Lines = append(r.Lines, line)
	}
	return faults.Err()
}

func (c Contents) kinds() []nutrient.LimitKind {
	list := make([]nutrient.LimitKind, 0, len(c))
	for kind := range c {
		list = append(list, kind)
	}
	slices.Sort(list)
	return list
}

// amount is so much, in SI units of the form.
func amount(form nutrient.Form, si float64) nutrient.Amount {
	if form == nutrient.Solid {
		return nutrient.SolidAmount(units.Mass(si))
	}
	return nutrient.LiquidAmount(units.Volume(si))
}

// over is a mass spread evenly.
func over(m units.Mass, area units.Area) units.MassPerArea {
	return units.MassPerArea(m.SI() / area.SI())
}

// rate is an amount on an area.
func rate(a nutrient.Amount, area units.Area) nutrient.Rate {
	if a.Form() == nutrient.Solid {
		return nutrient.SolidRate(units.MassPerArea(a.SI() / area.SI()))
	}
	return nutrient.LiquidRate(units.VolumePerArea(a.SI() / area.SI()))
}
