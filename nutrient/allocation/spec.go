package allocation

import (
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// AllocateSpec is several materials to be spread on many fields over several
// seasons. Names tie its parts together; each list has names of its own.
type AllocateSpec struct {
	Seasons []string `json:"seasons"` // names in the order of time, 1 to 60
	// Years is the crop year in which each season lies, in their order, by names that no
	// season has; none: every season is a year of its own. A limit or a need may be about
	// a year, so that what a crop takes counts once however many seasons lie in it.
	Years      []string    `json:"years,omitzero"`
	Materials  []Material  `json:"materials"`           // 1 to 60
	Fields     []Field     `json:"fields"`              // 1 to 10,000
	Prices     []Price     `json:"prices,omitzero"`     // of nutrients that count as a credit, up to 60
	Exceptions []Exception `json:"exceptions,omitzero"` // up to 100,000
	// MaxRounds is how many times the prices of the materials are revised before
	// the answer is given with its bound, up to 10,000; 0 stands for 2000, which
	// proves the optimum of any problem of a planner's size.
	MaxRounds int `json:"maxRounds,omitzero"`
}

// Material is a stock to be spread.
type Material struct {
	Name        string             `json:"name"`                // not empty
	Stock       nutrient.Amount    `json:"stock"`               // above 0
	Holds       []Holding          `json:"holds"`               // each constituent that a limit is about, 0 where it holds none, and those that have a price; up to 60
	Seasons     []string           `json:"seasons,omitzero"`    // in which it can be hauled; none: all
	Spread      nutrient.UnitPrice `json:"spread"`              // of loading and spreading, 0 or more
	HaulPerMile nutrient.UnitPrice `json:"haulPerMile"`         // for each mile of one-way distance, 0 or more
	Load        nutrient.Amount    `json:"load,omitzero"`       // goes out in whole loads of this size, up to a million, but for the last one; none: pumped in any amount
	Leave       nutrient.UnitPrice `json:"leavePrice,omitzero"` // cost of what is left behind, 0 or more; none: all is placed at any cost, if it can be
}

// Holding is what a material holds of a constituent.
type Holding struct {
	Of      string             `json:"of"`             // such as "available N", "P2O5", "zinc"
	Content nutrient.Content   `json:"content"`        // that counts in the season of the application and its year, 0 or more
	Later   []nutrient.Content `json:"later,omitzero"` // that counts in the years after that of the application, in their order, each 0 or more
}

// Field is a field with its limits over the seasons.
type Field struct {
	Name      string                  `json:"name"`               // not empty
	Area      units.Area              `json:"area"`               // that may be spread on, above 0
	Distance  units.Length            `json:"distance"`           // one way, 0 or more
	Distances map[string]units.Length `json:"distances,omitzero"` // by material, for materials that lie elsewhere; 0 or more
	Limits    []Limit                 `json:"limits"`             // at least one for each way that is open; 200 with the needs
	Needs     []Need                  `json:"needs,omitzero"`     // what earns the credit
}

// Limit is the most of a constituent, or of material itself, that a field may take
// in a season, in a crop year, or in all of them together. What an application in
// another season of the same year brings counts against the year, not the season.
type Limit struct {
	Kind     nutrient.LimitKind `json:"kind"`              // the reason, such as nitrogen
	Name     string             `json:"name,omitzero"`     // shown in the answer; none: the kind
	Of       string             `json:"of,omitzero"`       // the constituent; empty for a limit on material
	Room     units.MassPerArea  `json:"room,omitzero"`     // of the constituent, 0 or more
	Rate     nutrient.Rate      `json:"rate,omitzero"`     // of all material of this form, 0 or more, instead of Of and Room
	Material string             `json:"material,omitzero"` // with Rate: of this material only
	Season   string             `json:"season,omitzero"`   // or year; empty: all seasons together
}

// RateLimits returns the limits of f as those on the rate of m when nothing else is
// spread there, for [nutrient.FieldRate]. Rates of another material or of the other form
// are left out.
func (f Field) RateLimits(m Material) []nutrient.Limit {
	var list []nutrient.Limit
	for _, l := range f.Limits {
		if l.Material != "" && l.Material != m.Name || l.Rate.Form() != 0 && l.Rate.Form() != m.Stock.Form() {
			continue
		}
		one := nutrient.Limit{Kind: l.Kind, Name: l.Name, Room: l.Room, Rate: l.Rate}
		for _, h := range m.Holds {
			if h.Of == l.Of {
				one.Holds = h.Content
			}
		}
		list = append(list, one)
	}
	return list
}

// label returns the name of a limit, else its kind.
func (l *Limit) label() string {
	if l.Name != "" {
		return l.Name
	}
	return l.Kind.String()
}

// Need is how much of a nutrient is worth its price on a field.
type Need struct {
	Of     string            `json:"of"`              // the nutrient, as the materials hold it
	Need   units.MassPerArea `json:"need"`            // 0 or more
	Season string            `json:"season,omitzero"` // or year; empty: all seasons together
}

// Price is what a nutrient is worth where a field needs it.
type Price struct {
	Of    string                  `json:"of"`    // the nutrient, as the materials hold it
	Price units.Price[units.Mass] `json:"price"` // 0 or more
}

// Exception changes what holds for some of the ways from a material to a field in a
// season. An empty name stands for any. Of several exceptions for one way all
// apply: one that forbids is enough, and the last contents and price count.
type Exception struct {
	Material string             `json:"material,omitzero"` // needed with holds or spread
	Field    string             `json:"field,omitzero"`    // empty: all
	Season   string             `json:"season,omitzero"`   // empty: all
	Forbid   bool               `json:"forbid,omitzero"`   // no material goes this way
	Holds    []Holding          `json:"holds,omitzero"`    // instead of those of the same constituent, such as available N where it is injected
	Spread   nutrient.UnitPrice `json:"spread,omitzero"`   // instead of the price of the material, 0 or more
}

// Without returns s without the limits of one kind: the difference of the two
// plans is what these limits cost. A kind that alone bounds the amount on some
// way cannot be taken out; [Allocate] then says so.
func (s AllocateSpec) Without(kind nutrient.LimitKind) AllocateSpec {
	fields := make([]Field, len(s.Fields))
	for i, f := range s.Fields {
		kept := []Limit{}
		for _, l := range f.Limits {
			if l.Kind != kind {
				kept = append(kept, l)
			}
		}
		f.Limits = kept
		fields[i] = f
	}
	s.Fields = fields
	return s
}
