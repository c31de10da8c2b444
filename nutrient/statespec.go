package nutrient

import "example.org/earthbasin/units"

// StateSpec is the rules of one jurisdiction in the form of their file: each printed
// table one entry, each printed line one line of JSON, each printed figure one token
// in the printed unit, so that a proofreader holds page and file side by side.
// states/state.schema.json describes the file.
type StateSpec struct {
	ID           string            `json:"id"`                 // lower-case letters, digits and hyphens
	Jurisdiction string            `json:"jurisdiction"`       // where the rules apply
	Source       Source            `json:"source,omitzero"`    // where the tables come from that name no other
	Sources      map[string]Source `json:"sources,omitzero"`   // others, by the word with which tables name them
	Base         string            `json:"base,omitzero"`      // id of a state of the package, whose tables answer where no line here does
	Note         string            `json:"note,omitzero"`      // what a user of the rules has to know
	Words        map[string]string `json:"words,omitzero"`     // what a program says, by its English, in the language of the state
	Oxides       *units.Oxides     `json:"oxides,omitzero"`    // the factors of the published examples, when the source names its own
	Keys         []Key             `json:"keys,omitzero"`      // what the tables ask for, in the order of a form
	Tables       []Table           `json:"tables"`             // 1 to 500
	Lacks        []Lack            `json:"lacks,omitzero"`     // what the source leaves open, or the file
	Checks       []Check           `json:"checks,omitzero"`    // the examples of the source, which the loader works out
	Unchecked    string            `json:"unchecked,omitzero"` // why there are none, in own words
}

// Key declares what tables ask for: one of some choices, a quantity, or a day.
type Key struct {
	Name    string             `json:"name"`             // letters and digits that start with a small letter
	Label   string             `json:"label"`            // what a form prints beside the field, in the words of the state
	Hint    string             `json:"hint,omitzero"`    // what a form prints below it
	Values  []string           `json:"values,omitzero"`  // the choices, 1 to 100, in their order
	Unit    string             `json:"unit,omitzero"`    // of a quantity, such as h or %; 1 for a bare number
	Also    map[string]float64 `json:"also,omitzero"`    // other units of a quantity, and how many of unit one of them is
	Never   string             `json:"never,omitzero"`   // the word for a quantity that does not come, such as never for a time
	Date    bool               `json:"date,omitzero"`    // a day of the year
	Between Between            `json:"between,omitzero"` // what holds between the points that a table prints
}

// Between says what holds between the points of a quantity for which a table prints
// figures.
type Between = units.Enum[betweenWords]

const (
	// BetweenRefuse, "refuse", answers the points only.
	BetweenRefuse Between = iota
	// BetweenNearest, "nearest", takes the nearest point, of two alike the upper one.
	BetweenNearest
	// BetweenLinear, "linear", draws a straight line from point to point, and answers nothing
	// outside of them.
	BetweenLinear
)

var betweenNames = units.Names{"refuse", "nearest", "linear"}

type betweenWords struct{}

func (betweenWords) Names() units.Names { return betweenNames }

// As says how the cells of a table count beside those of others that give the same.
type As = units.Enum[asWords]

const (
	// AsValue, "value", is the answer: exactly one cell has it.
	AsValue As = iota
	// AsTimes, "times", multiplies the answer; within the conditions of the table one cell must fit.
	AsTimes
	// AsPlus, "plus", is added to the answer, every cell that fits.
	AsPlus
	// AsCap, "cap", is the most that may be: of the cells that fit the least.
	AsCap
	// AsAtLeast, "atLeast", is the least that has to be: of the cells that fit the largest.
	AsAtLeast
	// AsBan, "ban", forbids where a cell that fits says no, or a period that holds the day.
	AsBan
)

var asNames = units.Names{"value", "times", "plus", "cap", "atLeast", "ban"}

type asWords struct{}

func (asWords) Names() units.Names { return asNames }

// Table is one printed table. What it gives is one of
//
//   - totalN, ammonium, organic, p, k: the share of that pool that becomes available
//     in a year;
//   - n, p2o5, k2o: what a crop is to get, per area or per unit of yield; as cap, the
//     most of it that may be applied, beside totalNApplied (N in total) and materialApplied;
//   - removalN, removalP2O5, removalK2O: what leaves with the crop, per unit of yield;
//   - creditN: N that something else gives the crop, per area or per mass of it;
//   - allow: as cap the basis of the rate for phosphorus (n-based, none, or a multiple
//     of the removal), as ban whether anything may be applied;
//   - bankingYears, and beside it bankingRest and bankingShare: how many crops' removal of
//     phosphorus one application may bring, see [State.BankingGrants];
//   - setback: how far to stay away;
//   - metalCeiling, metalLow, metalCumulative, metalAnnual: limits by the key metal;
//   - the name of a key of the file: a class, for which later tables ask;
//   - any other name: a figure of the state's own.
//
// A cell is a number, a range as 30-50, "5 [10]" with the figure that holds under
// brackets, or a word; a small letter behind a number is a footnote, n/a does not
// occur ("n/a: why" says why), and ? was not read. A head is a choice or several
// with "; " between, a class as "below 18 %", "to 12 h", "over 12 h to 96 h",
// "over 96 h or never" or "from 60", a class of whole numbers as 31-60 (with round, or
// where values may lie between 60 and the next class as "from 31 below 61"), a point as 6 %, a period as "15 Oct to 31 Jan", or
// empty where the line does not ask for the key.
//
// An equation is a table, too: with per among the heads each line holds one printed
// coefficient and what it multiplies, such as "yield" or "yield x organicMatter", in the
// units of the keys; a line with nothing there is the constant. As plus the lines add up.
// per may name what other tables give, too: what leaves per unit of yield counts times the
// yield ("removalP2O5", in a cap of twice the removal with the figure 2), an amount in the
// unit of the cells, a share as a fraction.
type Table struct {
	Title     string             `json:"title,omitzero"`     // what the table is about, in own words
	Place     string             `json:"place"`              // table and page of the source
	Source    string             `json:"source,omitzero"`    // a word of sources; empty for the source of the file
	Gives     string             `json:"gives,omitzero"`     // as above; columns may say it instead
	Of        Basis              `json:"of,omitzero"`        // what a share multiplies
	Unit      string             `json:"unit,omitzero"`      // of the cells; columns, or lines by unit, may say it instead
	As        As                 `json:"as,omitzero"`        // how the cells count
	When      map[string]Cell    `json:"when,omitzero"`      // heads that hold for the whole table, by key
	By        []string           `json:"by,omitzero"`        // keys whose heads stand at the left of each line; key (choice) for a key that counts with that choice of another; unit; per (of what figures are multiples); the name of plus.over
	Cols      []map[string]Cell  `json:"cols,omitzero"`      // heads of each column, by key; also gives, unit and title; left out when there is one column
	Brackets  map[string]Cell    `json:"brackets,omitzero"`  // heads under which figures in brackets hold: choices only
	Round     map[string]float64 `json:"round,omitzero"`     // keys whose value is rounded, half up, to this step in the unit of the key before it is compared
	Within    map[string]Cell    `json:"within,omitzero"`    // keys of per of which no less and no more counts, such as "from 0.5 to 3"
	Plus      *PlusRule          `json:"plus,omitzero"`      // change of the answer by a quantity over or under a standard
	Notes     []string           `json:"notes,omitzero"`     // what a user of the table has to know, in own words
	Footnotes map[string]string  `json:"footnotes,omitzero"` // by the letter behind figures
	Rows      [][]Cell           `json:"rows"`               // lines: heads, then cells
}

// PlusRule changes an answer by what a quantity, such as the yield, differs from a
// standard. An answer of 0 stays 0, and none falls below 0.
type PlusRule struct {
	Per  string `json:"per"`             // key of the quantity
	Over Cell   `json:"over"`            // the standard, or the name of the column of by that holds it
	Rate Cell   `json:"rate"`            // change for each of the quantity, in the unit of the cells; or what a table gives per unit of yield, such as removalP2O5
	Each Cell   `json:"each,omitzero"`   // of the quantity for which the rate is printed, such as 0.5 t/ha; left out for one unit
	To   Cell   `json:"to,omitzero"`     // the most of the quantity that counts
	Only bool   `json:"onlyUp,omitzero"` // less than the standard takes nothing off
}

// Lack says that some questions have no answer, and why.
type Lack struct {
	Gives []string        `json:"gives"`         // as in tables
	As    As              `json:"as,omitzero"`   // of which tables it speaks, such as ban; left out: of all
	When  map[string]Cell `json:"when,omitzero"` // heads by key; empty for all that no line answers
	Why   string          `json:"why"`           // in own words
}

// Check is a worked example of the source: one figure, or several of which the example
// prints each, their sum, or both. What it says of gives, as, ask and tolerance holds for
// each part that says nothing of its own, and its times multiplies each.
type Check struct {
	Place     string          `json:"place"`              // example and page
	Source    string          `json:"source,omitzero"`    // a word of sources; empty for the source of the file
	Gives     string          `json:"gives,omitzero"`     // what is asked for
	As        As              `json:"as,omitzero"`        // of the tables that answer
	Ask       map[string]Cell `json:"ask,omitzero"`       // the query
	Times     float64         `json:"times,omitzero"`     // what the example multiplies the answer with, of an answer in % the hundredth part: 18 of which 35 % count are 6.3; left out where want is the answer itself, such as 35 in %
	Parts     []CheckPart     `json:"parts,omitzero"`     // figures of an example of several, 1 to 50
	Want      Cell            `json:"want,omitzero"`      // what is printed: a number, a range or a word, in the unit of the table; of parts their sum, left out where none is printed
	Tolerance float64         `json:"tolerance,omitzero"` // in that unit, from the rounding of the print
}

// CheckPart is one figure of a worked example of several.
type CheckPart struct {
	Given     float64         `json:"given,omitzero"`     // figure that the example starts from, such as a need of 220 kg/ha, in place of gives
	Gives     string          `json:"gives,omitzero"`     // what is asked for
	As        As              `json:"as,omitzero"`        // of the tables that answer
	Ask       map[string]Cell `json:"ask,omitzero"`       // the query, beside that of the check
	Times     float64         `json:"times,omitzero"`     // as in the check
	Less      bool            `json:"less,omitzero"`      // taken off in the sum
	Want      Cell            `json:"want,omitzero"`      // what is printed of this part, as in the check; left out where only the sum is printed
	Tolerance float64         `json:"tolerance,omitzero"` // as in the check
}
