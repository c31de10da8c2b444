package nutrient

import (
	"embed"
	"slices"
	"strings"
	"sync"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

//go:embed sets/*.json tables/*.json states/*.json
var files embed.FS

// published is the tables of one kind that come with the package, by id. Each is
// read and proven when it is first asked for, and then shared: it does not change.
type published[T any] struct {
	field string   // of a fault about an id
	ids   []string // in the order in which they are listed
	load  map[string]func() (T, error)
}

// publish lists the tables of the given ids, which stand in files whose names
// start with prefix.
func publish[T any](field, prefix string, parse func([]byte) (T, error), ids ...string) published[T] {
	p := published[T]{field, ids, map[string]func() (T, error){}}
	for _, id := range ids {
		p.load[id] = sync.OnceValues(func() (t T, err error) {
			data, err := files.ReadFile(prefix + id + ".json")
			if err != nil {
				return t, err
			}
			return parse(data)
		})
	}
	return p
}

func (p *published[T]) get(id string) (t T, err error) {
	load, ok := p.load[id]
	if !ok {
		return t, units.Fault(units.FaultName, p.field, id, "one of "+strings.Join(p.ids, ", "))
	}
	return load()
}

var (
	publishedSets published[*Set] // set by init, since a set may stand on one of them

	publishedCropTables = publish("table", "tables/", ParseCropTable,
		"illinois-560", "ontario-2025", "michigan-2017", "montana-2003")
	publishedSiteRules = publish("rule", "tables/rule-", ParseSiteRule,
		"minnesota-590", "nebraska-index", "utah", "illinois-502", "virginia-saturation")
	publishedCredits = publish("credits", "tables/", parseList[Credit], "credits")
	publishedCaps    = publish("caps", "tables/", parseList[RateCap], "caps")
)

func init() {
	publishedSets = publish("set", "sets/", parsePublishedSet,
		"alberta-2006", "minnesota", "new-york-organic", "epa-digested-sludge",
		"ohio-digested-sludge", "nebraska-2021", "illinois-560", "ontario-2013")
}

// parsePublishedSet reads a set that is known by its id alone.
func parsePublishedSet(data []byte) (*Set, error) {
	s, err := ParseSet(data)
	if err == nil {
		s.published = true
	}
	return s, err
}

func parseList[T any](data []byte) (list []T, err error) {
	err = strict.Decode(data, &list)
	return list, err
}

// PublishedSetIDs returns the ids of the coefficient sets that come with the
// package. Several are partial: [Set.Lacks] says what is missing, and a query
// that needs it is refused.
func PublishedSetIDs() []string { return slices.Clone(publishedSets.ids) }

// PublishedSet returns a set that comes with the package, which is read once and
// shared. An id that is not among [PublishedSetIDs] is a [units.FieldError] on set.
func PublishedSet(id string) (*Set, error) { return publishedSets.get(id) }

// PublishedCropTableIDs returns the ids of the crop tables that come with the
// package.
func PublishedCropTableIDs() []string { return slices.Clone(publishedCropTables.ids) }

// PublishedCropTable returns a crop table that comes with the package, which is
// read once and shared. An id that is not among [PublishedCropTableIDs] is a
// [units.FieldError] on table.
func PublishedCropTable(id string) (*CropTable, error) { return publishedCropTables.get(id) }

// PublishedSiteRuleIDs returns the ids of the rules on phosphorus that come with
// the package. They are as complete as what was read of their sources; a site
// outside the rows is refused.
func PublishedSiteRuleIDs() []string { return slices.Clone(publishedSiteRules.ids) }

// PublishedSiteRule returns a rule that comes with the package, which is read once
// and shared. An id that is not among [PublishedSiteRuleIDs] is a
// [units.FieldError] on rule.
func PublishedSiteRule(id string) (*SiteRule, error) { return publishedSiteRules.get(id) }

// Credit is N that something else than the planned material gives a crop, as a
// source states it: per area, or per mass of a material.
type Credit struct {
	Name         string                    `json:"name"`             // of what gives it
	Jurisdiction string                    `json:"jurisdiction"`     // where the source applies
	PerArea      *Span[units.MassPerArea]  `json:"perArea,omitzero"` // N, 0 or more; nil where it is per mass
	PerMass      *Span[units.MassFraction] `json:"perMass,omitzero"` // N of the mass of the material, 0 to 1; nil where it is per area
	Note         string                    `json:"note,omitzero"`    // what a user has to know
	Source       Source                    `json:"source"`           // where the figure comes from
}

// PublishedCredits returns the table of N credits that comes with the package.
func PublishedCredits() ([]Credit, error) {
	list, err := publishedCredits.get("credits")
	list = slices.Clone(list)
	for i := range list {
		c := &list[i]
		if c.PerArea != nil {
			c.PerArea = new(*c.PerArea)
		}
		if c.PerMass != nil {
			c.PerMass = new(*c.PerMass)
		}
	}
	return list, err
}

// RateCap is the most of a nutrient, or of the material, that a source allows in
// one application or season. Zero fields cap nothing.
type RateCap struct {
	Name         string            `json:"name"`                // what is capped
	Jurisdiction string            `json:"jurisdiction"`        // where the source applies
	AvailableN   units.MassPerArea `json:"availableN,omitzero"` // 0 or more
	TotalN       units.MassPerArea `json:"totalN,omitzero"`     // 0 or more
	P2O5         units.MassPerArea `json:"p2o5,omitzero"`       // 0 or more
	K2O          units.MassPerArea `json:"k2o,omitzero"`        // 0 or more
	Material     Rate              `json:"material,omitzero"`   // of the material itself, 0 or more
	Note         string            `json:"note,omitzero"`       // what a user has to know
	Source       Source            `json:"source"`              // where the figure comes from
}

// PublishedCaps returns the table of rate caps that comes with the package.
func PublishedCaps() ([]RateCap, error) {
	list, err := publishedCaps.get("caps")
	return slices.Clone(list), err
}
