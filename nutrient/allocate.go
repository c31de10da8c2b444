package nutrient

import (
	"math"

	"example.org/earthbasin/units"
)

// AllocationSpec is several materials to be spread on many fields over several
// seasons. Names tie its parts together; each list has names of its own.
type AllocationSpec struct {
	Seasons    []string              `json:"seasons"` // in the order of time
	Materials  []AllocationMaterial  `json:"materials"`
	Fields     []AllocationField     `json:"fields"`
	Prices     []NutrientPrice       `json:"prices,omitempty"` // of nutrients that count as a credit
	Exceptions []AllocationException `json:"exceptions,omitempty"`
	// MaxRounds is how many times the prices of the materials are revised before
	// the answer is given with its bound, up to 10,000; 0 stands for 2000, which
	// proves the optimum of any problem of a planner's size.
	MaxRounds int `json:"maxRounds,omitempty"`
}

// AllocationMaterial is a stock to be spread.
type AllocationMaterial struct {
	Name        string    `json:"name"`
	Stock       Amount    `json:"stock"`               // above 0
	Holds       []Holding `json:"holds"`               // each constituent that a limit is about, 0 where it holds none, and those that have a price
	Seasons     []string  `json:"seasons,omitempty"`   // in which it can be hauled; none: all
	Spread      UnitPrice `json:"spread"`              // loading and spreading
	HaulPerMile UnitPrice `json:"haulPerMile"`         // for each mile of one-way distance
	Load        Amount    `json:"load,omitzero"`       // goes out in whole loads of this size, but for the last one; none: pumped in any amount
	Leave       UnitPrice `json:"leavePrice,omitzero"` // cost of what is left behind; none: all is placed at any cost, if it can be
}

// Holding is what a material holds of a constituent.
type Holding struct {
	Of      string    `json:"of"`              // such as "available N", "P2O5", "zinc"
	Content Content   `json:"content"`         // that counts in the season of the application
	Later   []Content `json:"later,omitempty"` // that counts in the seasons after it, in their order
}

// AllocationField is a field with its limits over the seasons.
type AllocationField struct {
	Name      string                  `json:"name"`
	Area      units.Area              `json:"area"`                // that may be spread on, above 0
	Distance  units.Length            `json:"distance"`            // one way
	Distances map[string]units.Length `json:"distances,omitempty"` // by material, for materials that lie elsewhere
	Limits    []AllocationLimit       `json:"limits"`
	Needs     []AllocationNeed        `json:"needs,omitempty"` // what earns the credit
}

// AllocationLimit is the most of a constituent, or of material itself, that a
// field may take in a season or in all of them together.
type AllocationLimit struct {
	Kind     LimitKind         `json:"kind"`
	Name     string            `json:"name,omitempty"`     // shown in the answer; needed for LimitNamed
	Of       string            `json:"of,omitempty"`       // the constituent; empty for a limit on material
	Room     units.MassPerArea `json:"room,omitempty"`     // of the constituent, 0 or more
	Rate     Rate              `json:"rate,omitzero"`      // of all material of this form, instead of Of and Room
	Material string            `json:"material,omitempty"` // with Rate: of this material only
	Season   string            `json:"season,omitempty"`   // empty: all seasons together
}

// AllocationNeed is how much of a nutrient is worth its price on a field.
type AllocationNeed struct {
	Of     string            `json:"of"`
	Need   units.MassPerArea `json:"need"`
	Season string            `json:"season,omitempty"` // empty: all seasons together
}

// NutrientPrice is what a nutrient is worth where a field needs it.
type NutrientPrice struct {
	Of    string                  `json:"of"`
	Price units.Price[units.Mass] `json:"price"`
}

// AllocationException changes what holds for some of the ways from a material to
// a field in a season. An empty name stands for any. Of several exceptions for one
// way all apply: one that forbids is enough, and the last contents and price count.
type AllocationException struct {
	Material string    `json:"material,omitempty"`
	Field    string    `json:"field,omitempty"`
	Season   string    `json:"season,omitempty"`
	Forbid   bool      `json:"forbid,omitempty"` // no material goes this way
	Holds    []Holding `json:"holds,omitempty"`  // instead of those of the same constituent, such as available N where it is injected
	Spread   UnitPrice `json:"spread,omitzero"`  // instead of the price of the material
}

// Placement is one material on one field in one season.
type Placement struct {
	Material string     `json:"material"`
	Field    string     `json:"field"`
	Season   string     `json:"season"`
	Amount   Amount     `json:"amount"`
	Loads    int        `json:"loads"`   // 0 when pumped; the last one may be short
	Rate     Rate       `json:"rate"`    // over the whole field
	Highest  Rate       `json:"highest"` // that the limits would allow of this material alone, when it goes on a part of the field only
	Least    units.Area `json:"least"`   // part of the field that would do at the highest rate
	Cost     float64    `json:"cost"`    // of hauling and spreading
}

// MaterialState is where a stock ends.
type MaterialState struct {
	Name           string    `json:"name"`
	Stock          Amount    `json:"stock"`
	Placed         Amount    `json:"placed"`
	Left           Amount    `json:"left"`
	LeftFractional Amount    `json:"leftFractional"` // before loads were made whole
	Cost           float64   `json:"cost"`           // of hauling and spreading what was placed
	Marginal       UnitPrice `json:"marginal"`       // what one more unit of the stock would cost; below 0 when it would earn
	Leave          UnitPrice `json:"leavePrice"`     // cost of leaving a unit that the plan was made with
}

// FieldLimitState is where a limit of a field ends.
type FieldLimitState struct {
	Kind    LimitKind               `json:"kind"`
	Name    string                  `json:"name"`
	Season  string                  `json:"season,omitempty"`
	Room    units.MassPerArea       `json:"room"`             // of the constituent; 0 for a limit on material
	Applied units.MassPerArea       `json:"applied"`          // of the constituent
	Rate    Rate                    `json:"rate,omitzero"`    // the limit on material
	Used    Rate                    `json:"used,omitzero"`    // of the limit on material
	Worth   units.Price[units.Mass] `json:"worth"`            // what more room would save, per mass of the constituent
	PerUnit UnitPrice               `json:"perUnit,omitzero"` // what a higher limit on material would save
}

// FieldNeedState is what a field gets of a nutrient that it needs.
type FieldNeedState struct {
	NutrientState
	Season string `json:"season,omitempty"`
}

// FieldState is where a field ends.
type FieldState struct {
	Name   string                    `json:"name"`
	Limits []FieldLimitState         `json:"limits"`          // in the order of the spec
	Needs  []FieldNeedState          `json:"needs,omitempty"` // in the order of the spec
	Acre   units.Price[units.Area]   `json:"acre"`            // what more area of this field would save
	Mile   units.Price[units.Length] `json:"mile"`            // what a shorter way to it would save
}

// AllocationResult is the plan and what bounds it.
//
// The prices, Marginal, Worth, Acre and Mile, are those of the plan before loads
// were made whole: what one small step more would change. With something left
// behind they contain the cost of leaving it.
type AllocationResult struct {
	Placements []Placement     `json:"placements"` // by season, field and material
	Materials  []MaterialState `json:"materials"`
	Fields     []FieldState    `json:"fields"`
	Cost       float64         `json:"cost"`    // of hauling and spreading
	Credit     float64         `json:"credit"`  // value of the nutrients that the fields need
	Leaving    float64         `json:"leaving"` // cost of what is left, at the prices that the spec gives
	Net        float64         `json:"net"`     // cost and leaving less credit
	// Fractional is the net cost of the plan before loads were made whole, the optimum
	// of the linear program when FractionalProved. Like Net it counts nothing for what
	// is left of a material without a price for that.
	Fractional       float64 `json:"fractional"`
	FractionalProved bool    `json:"fractionalProved"` // whether the search came to its end; Net is not proved but by its Gap
	// Bound is what no plan can cost less than, in loads or not, that leaves the
	// same of the materials without a price for leaving. It is Fractional when
	// that is proved and the loads leave no more than it.
	Bound    float64   `json:"bound"`
	Gap      float64   `json:"gap"`                // Net less Bound, 0 or more: how far at most the plan is above the least
	Rounds   int       `json:"rounds"`             // of the search, 1 to 10,000
	Shortage *Shortage `json:"shortage,omitempty"` // what is missing when the fields cannot take it all
}

// Allocate plans which field takes how much of which material in which season, at
// the least cost of hauling and spreading less the value of the nutrients that
// the fields need, with no limit broken. It is a linear program, solved by
// column generation (Dantzig and Wolfe, Operations Research 8, 1960), after which
// loads are made whole: amounts are cut down to whole loads, and single loads go
// where they save most, or stay behind where that is cheaper, until none saves
// anything. That is not proved to be the least; the Gap says how far it can be above
// it. The same spec gives the same plan.
//
// Where the fields cannot take everything, what is left behind is the least, m3
// and t counted alike, and the Shortage says what is missing; a rest for which only
// whole loads leave no room has none.
//
// Wrong values, unknown or double names and ways on which nothing limits the amount
// are a [units.FieldError]. So are more than 60 seasons or materials, 10,000 fields or
// exceptions, 200 limits and needs of a field, a stock of more than a million loads,
// and a table of more than a million numbers, (limits + needs) x (limits + needs +
// materials x seasons) summed over the fields: the work grows a little faster than
// that table.
func Allocate(s AllocationSpec) (AllocationResult, error) {
	m, err := buildAllocation(&s, false)
	if err != nil {
		return AllocationResult{}, err
	}
	sol, ok := m.solve()
	if !ok {
		return AllocationResult{}, m.unsolved()
	}
	p := m.whole(&sol).plan
	bound, ok := m.bound(&sol, &p)
	if !ok {
		return AllocationResult{}, m.unsolved()
	}
	r := m.result(&sol, p, bound)
	if m.short(&sol) {
		if r.Shortage, err = m.shortage(&sol); err != nil {
			return AllocationResult{}, err
		}
	}
	return r, nil
}

// Without returns s without the limits of one kind: the difference of the two
// plans is what these limits cost. A kind that alone bounds the amount on some
// way cannot be taken out; [Allocate] then says so.
func (s AllocationSpec) Without(kind LimitKind) AllocationSpec {
	fields := make([]AllocationField, len(s.Fields))
	for i, f := range s.Fields {
		var kept []AllocationLimit
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

// unsolved is the error for numbers so far apart that the program fails.
func (m *allocation) unsolved() error {
	low, high := math.Inf(1), 0.0
	for k := range m.blocks {
		for _, f := range m.blocks[k].flows {
			low, high = min(low, f.size), max(high, f.size)
		}
	}
	var f units.Faults
	f.Add("fields", units.Range[float64]{Low: low, High: high}, "limits within a dozen powers of ten of each other")
	return f.Err()
}
