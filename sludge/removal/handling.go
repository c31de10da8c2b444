package removal

import (
	"example.org/earthbasin/units"
)

// Handling is how a material can be moved.
type Handling = units.Enum[handlingWords]

const (
	// HandlingPump, "pump": it flows to a pump.
	HandlingPump Handling = iota + 1
	// HandlingDig, "dig": it has to be dug or scraped.
	HandlingDig
)

var handlingNames = units.Names{"", "pump", "dig"}

type handlingWords struct{}

func (handlingWords) Names() units.Names { return handlingNames }

// SolidsClass is a class of material by its total solids.
type SolidsClass struct {
	Name     string             `json:"name"`     // such as slurry
	From     units.MassFraction `json:"from"`     // lowest solids of the class; the next class begins where it ends
	Handling Handling           `json:"handling"` // pumped or dug
}

// DefaultClasses returns classes at 5, 15 and 20 % solids: liquid 0 to 5 %, slurry 5
// to 15 % (eXtension, Manure Collection and Handling Systems), semi-solid from 15 %,
// handled as a solid, and solid from 20 % (LPE Learning Center, Manure Collection).
// Open-impeller centrifugal pumps take up to 15 % (University of Missouri Extension,
// EQ350). The limits depend on species, bedding and sand, so that local experience
// goes before this table.
func DefaultClasses() []SolidsClass {
	return []SolidsClass{
		{Name: "liquid", From: 0, Handling: HandlingPump},
		{Name: "slurry", From: 5 * units.Percent, Handling: HandlingPump},
		{Name: "semi-solid", From: 15 * units.Percent, Handling: HandlingDig},
		{Name: "solid", From: 20 * units.Percent, Handling: HandlingDig},
	}
}

// checkClasses records what is wrong with a table of classes.
func checkClasses(f *units.Faults, classes []SolidsClass) {
	for i, c := range classes {
		f := f.At("classes", i)
		if c.Name == "" {
			f.Missing("name", "a name for the class")
		}
		checkSolids(&f, "from", c.From)
		if !handlingNames.Has(int(c.Handling)) {
			f.Add("handling", c.Handling, handlingNames.Want())
		}
		if i == 0 {
			if c.From != 0 {
				f.Add("from", c.From, "0 % in the first class")
			}
			continue
		}
		if before := classes[i-1]; !(c.From > before.From) {
			f.Add("from", c.From, "more than the class before it, %v", before.From)
		} else if before.Handling == HandlingDig && c.Handling == HandlingPump {
			f.Add("handling", c.Handling, "dig, as a thinner class has to be dug already")
		}
	}
}

// within reports whether solids lie in a range, its ends among them.
func within(r units.Range[units.MassFraction], solids units.MassFraction) bool {
	return !less(solids, r.Low) && !less(r.High, solids)
}

// classOf returns the class of a material; classes is sound and not empty.
func classOf(classes []SolidsClass, solids units.MassFraction) SolidsClass {
	class := classes[0]
	for _, c := range classes[1:] {
		if !less(solids, c.From) {
			class = c
		}
	}
	return class
}

// pumpLimit returns the solids at which pumping ends, 1 when all can be pumped.
func pumpLimit(classes []SolidsClass) units.MassFraction {
	for _, c := range classes {
		if c.Handling == HandlingDig {
			return c.From
		}
	}
	return 1
}
