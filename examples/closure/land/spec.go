package land

import (
	"encoding/json"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Names of the constituents that limits, needs and prices are about.
const (
	OfN    = "available N"
	OfP2O5 = "P2O5"
	OfK2O  = "K2O"
)

// Spec is the fields, their crops and the rules that hold for them.
type Spec struct {
	In        string `json:"in,omitzero"`        // jurisdiction in which the fields lie; none: that of the rule on phosphorus
	CropTable string `json:"cropTable,omitzero"` // id of a state of the library, whose table of crops holds
	SiteRule  string `json:"siteRule,omitzero"`  // id of the rule on phosphorus
	// OtherRules says why rules of another jurisdiction than In are gone by.
	OtherRules string `json:"otherRules,omitzero"`
	// Banking are the rules that grant several years of phosphorus at once; none: one year
	// at a time.
	Banking []nutrient.BankingGrant `json:"banking,omitzero"`
	// BankingOfRule takes the grants that stand in the file of the rule on phosphorus, too,
	// after those of banking.
	BankingOfRule bool `json:"bankingOfRule,omitzero"`
	// Critical are the soil tests above which a nutrient is worth nothing, in place of those
	// that the tables of SiteRule, or else of CropTable, have for crop and extractant.
	Critical []Critical         `json:"critical,omitzero"`
	Prices   []allocation.Price `json:"prices,omitzero"`  // of "available N", "P2O5" and "K2O"
	Seasons  []Season           `json:"seasons,omitzero"` // in the order of time, up to 60
	Fields   []Field            `json:"fields,omitzero"`  // up to 10,000
	Features []Feature          `json:"features,omitzero"`
	// Map is a GeoJSON FeatureCollection (RFC 7946) in longitude and latitude, whose fields
	// and features come on top of those with local coordinates.
	Map json.RawMessage `json:"map,omitzero"`
	// Origin is where the local coordinates have theirs; nil: the middle of the map.
	Origin *sludge.LonLat `json:"origin,omitzero"`
	// Rule says which days are fit for spreading; nil: only seasons and closed days count.
	Rule *nutrient.SpreadingRule `json:"rule,omitzero"`
	// Closed are the closed days of every year, such as a state's winter ban.
	Closed []Ban `json:"closed,omitzero"`
	// Weather of all seasons, for the water in the soil; nil: not reckoned with.
	Weather *nutrient.DailyWeatherSpec `json:"weather,omitzero"`
	// Soil is that of every field that has none of its own. Its weather, passes and rule
	// are those of this spec.
	Soil *nutrient.SoilWaterSpec `json:"soil,omitzero"`
	// SetbackTable are distances by kind of feature, such as "well": those of the rule in
	// force, for features without one of their own.
	SetbackTable map[string]units.Length `json:"setbackTable,omitzero"`
	// SetbackNote says where the distances, or the areas, come from.
	SetbackNote string `json:"setbackNote,omitzero"`
}

// Ban is days of every year on which nothing may be spread, both ends included. It runs
// across new year where To is before From.
type Ban struct {
	From cover.MonthDay `json:"from"`
	To   cover.MonthDay `json:"to"`
	Why  string         `json:"why,omitzero"` // such as the number of the rule
}

// Critical is the soil test above which one nutrient is worth nothing.
type Critical struct {
	Of string `json:"of"` // "P2O5" or "K2O"
	nutrient.CriticalLevel
}

// Season is a time in which fields are spread on. It is no year: all seasons of one crop
// year share what the crop of that year takes.
type Season struct {
	Name string     `json:"name"`          // each once
	From stage.Date `json:"from,omitzero"` // first day
	To   stage.Date `json:"to,omitzero"`   // last day
	// CropYear is the year of the crop that takes up what is spread. 0 stands for the
	// year of From.
	CropYear int `json:"cropYear,omitzero"`
}

// Field is one field. Its spreadable area is the area less what setbacks take.
type Field struct {
	Name     string         `json:"name"`              // each once
	Area     units.Area     `json:"area,omitzero"`     // of the whole; none: that of its outline
	Setback  units.Area     `json:"setback,omitzero"`  // of it that may not be spread on, where there is no outline
	Outline  []plane.Region `json:"outline,omitzero"`  // in local coordinates, one part or more
	Distance units.Length   `json:"distance,omitzero"` // one way
	Crops    []Crop         `json:"crops,omitzero"`    // each year once
	Site     nutrient.Site  `json:"site,omitzero"`     // what the rule on phosphorus asks
	// SoilK is the soil test of potassium; nil: nobody tested.
	SoilK *nutrient.SoilTest `json:"soilK,omitzero"`
	// Reach names the machines whose pipe or hose gets there.
	Reach []string `json:"reach,omitzero"`
	// Closed are days on which nothing may be spread, such as those of a crop that stands.
	Closed []nutrient.ClosedDays `json:"closed,omitzero"`
	// NothingStands says that nothing stands on the field in the seasons that spreading
	// harms: stubble, or grass after a cut. Where no crop tells its days it is asked for.
	NothingStands bool `json:"nothingStands,omitzero"`
	// Soil of this field in place of that of the spec.
	Soil *nutrient.SoilWaterSpec `json:"soil,omitzero"`
}

// Crop is what grows on a field in one crop year.
type Crop struct {
	Year     int                       `json:"year,omitzero"`     // of the crop; 0: every year
	Crop     string                    `json:"crop"`              // as the crop table names it
	Yield    nutrient.Yield            `json:"yield,omitzero"`    // expected
	Nitrogen nutrient.NitrogenRoomSpec `json:"nitrogen,omitzero"` // credits; the need when the crop table shall not give it
	// CriticalCrop is the crop as the tables of critical levels name it; none: as Crop.
	CriticalCrop string `json:"criticalCrop,omitzero"`
	// Planted and Harvested bound the days on which the crop stands and nothing is spread;
	// left out: it takes spreading at any time, as grass does.
	Planted   stage.Date `json:"planted,omitzero"`
	Harvested stage.Date `json:"harvested,omitzero"`
}

// Feature is something that spreading keeps away from.
type Feature struct {
	Name string `json:"name"` // each once
	Kind string `json:"kind"` // such as "stream", "well", "ditch", "house"
	// Setback is how far spreading keeps away, from the rule or the caller; nil: that of
	// the kind in the table.
	Setback *units.Length `json:"setback,omitzero"`
	// Points are a place, a line, or, when Closed, the corners of an area.
	Points []plane.Point `json:"points"`
	Closed bool          `json:"closed,omitzero"`
}

// Material is what is spread.
type Material struct {
	Name     string            `json:"name"`
	Stock    nutrient.Amount   `json:"stock"`
	Analysis nutrient.Analysis `json:"analysis"`
	State    *nutrient.State   `json:"state"`            // of the availability
	Query    nutrient.Query    `json:"query,omitzero"`   // how it is put on
	Ways     []Way             `json:"ways,omitzero"`    // where it is put on otherwise
	Seasons  []string          `json:"seasons,omitzero"` // in which it goes out; none: all
	// Needs is the name that a field has to have in Reach; empty: it gets everywhere.
	Needs       string             `json:"needs,omitzero"`
	MostPerPass nutrient.Rate      `json:"mostPerPass,omitzero"` // of the machine; none: no such limit
	Passes      int                `json:"passes,omitzero"`      // most of them on a field in a season; 0 is 1
	Metals      []nutrient.Limit   `json:"metals,omitzero"`      // as [nutrient.Metals] returns them
	Spread      nutrient.UnitPrice `json:"spread,omitzero"`
	HaulPerMile nutrient.UnitPrice `json:"haulPerMile,omitzero"`
	Load        nutrient.Amount    `json:"load,omitzero"`
	Leave       nutrient.UnitPrice `json:"leavePrice,omitzero"`
	// Schedules are those of the Query and of that of each way, in this order, as
	// [nutrient.AvailableSpec] takes them; a nil one, or none, is worked out.
	Schedules []*nutrient.Schedule `json:"-"`
}

// Way is how a material is put on in some places: effluent on grass is no bare soil, and
// a spreader on stubble injects nothing. Of several that fit the last one holds.
type Way struct {
	Fields  []string           `json:"fields,omitzero"`  // none: all
	Seasons []string           `json:"seasons,omitzero"` // none: all
	Query   *nutrient.Query    `json:"query,omitzero"`   // in place of that of the material
	Spread  nutrient.UnitPrice `json:"spread,omitzero"`  // in place of that of the material
	Forbid  bool               `json:"forbid,omitzero"`  // it does not go there
}
