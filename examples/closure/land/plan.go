package land

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Bounds that no farm reaches.
const (
	mostFields   = 10_000
	mostSeasons  = 60
	mostField    = 1e5 * units.Acre
	mostDistance = 1000 * units.Mile
	mostYield    = 1e4
)

// planner gathers the result and the faults of one plan.
type planner struct {
	spec    *Spec
	r       Result
	f       units.Faults
	crops   *nutrient.State
	rule    *nutrient.State
	grants  []nutrient.BankingGrant
	years   []int                 // of the seasons, each once
	weather []nutrient.DayWeather // of all seasons; none: not known

	closed   []nutrient.ClosedDays     // of every year
	outlines map[string][]plane.Region // of fields on the map
	setbacks []setback
	told     map[int]bool // setbacks whose faults are told
}

// Plan works out what every field may take, and when. Faults are [units.FieldError]
// with the path in the spec; what is missing is an open point of the result.
func Plan(spec Spec) (Result, error) {
	p := planner{spec: &spec, told: map[int]bool{}}
	p.r.spec = &spec
	f := &p.f
	f.CountBetween("fields", len(spec.Fields), "fields", 0, mostFields)
	f.CountBetween("seasons", len(spec.Seasons), "seasons", 0, mostSeasons)
	if err := f.Err(); err != nil {
		return Result{}, err
	}
	p.tables()
	p.seasons()
	p.prices()
	p.features()
	p.bans()
	p.days()
	names := map[string]bool{}
	for i := range spec.Fields {
		at := f.At("fields", i)
		in := &spec.Fields[i]
		at.Name("name", in.Name, "field", names)
		p.r.Fields = append(p.r.Fields, p.field(&at, in))
	}
	p.standing()
	if f.Err() == nil {
		p.windows()
		p.r.weather, p.r.closed = p.weather, p.closed
	}
	return p.r, f.Err()
}

// open adds an open point.
func (p *planner) open(key string, who stage.Who, what units.Phrase, needs string) {
	p.r.Open = append(p.r.Open, stage.Open{Key: key, Who: who, What: what, Needs: units.Words(needs)})
}

// tables looks up the tables and says what hangs on those that are missing.
func (p *planner) tables() {
	s := p.spec
	if len(s.Fields) == 0 {
		p.r.Open = append(p.r.Open, stage.Open{Key: "fields", Who: stage.Planner, Stops: true,
			What:  units.Words("where liquid and sludge go, at which rate and at what cost of hauling"),
			Needs: units.Words("fields with area, distance, crop and expected yield, a soil test of phosphorus, and what lies near them: streams, ditches, wells, houses")})
		return
	}
	var rules []nutrient.RuleInUse
	var err error
	if s.SiteRule == "" {
		p.open("siteRule", stage.Regulator, units.Words("how much phosphorus each field may take: nothing is spread by this plan"), "the rule on phosphorus in force at the site")
	} else if p.rule, err = nutrient.PublishedState(s.SiteRule); err != nil {
		p.f.Sub("siteRule", unnamed(err))
	} else {
		rules = append(rules, nutrient.RuleInUse{What: "phosphorus", ID: s.SiteRule, Jurisdiction: p.rule.Jurisdiction()})
	}
	if s.CropTable == "" {
		p.open("cropTable", stage.Planner, units.Words("what the crops need and take off: nothing is spread by this plan"), "the table of crop nutrients of the state")
	} else if p.crops, err = nutrient.PublishedState(s.CropTable); err != nil {
		p.f.Sub("cropTable", unnamed(err))
	} else {
		rules = append(rules, nutrient.RuleInUse{What: "nutrients of crops", ID: s.CropTable, Jurisdiction: p.crops.Jurisdiction()})
	}
	p.grants = s.Banking
	if s.BankingOfRule && p.rule != nil {
		p.grants = slices.Concat(s.Banking, p.rule.BankingGrants())
	}
	for i, g := range s.Banking {
		if g.Jurisdiction != "" {
			rules = append(rules, nutrient.RuleInUse{What: "several years of phosphorus at once", ID: fmt.Sprintf("banking[%d]", i), Jurisdiction: g.Jurisdiction})
		}
	}
	if len(rules) > 0 {
		for i := range rules {
			rules[i].Reason = s.OtherRules
		}
		j, err := nutrient.Jurisdictions(nutrient.JurisdictionsSpec{In: s.In, Rules: rules})
		p.f.Sub("", err)
		p.r.Jurisdictions = &j
	}
	for i, c := range s.Critical {
		at := p.f.At("critical", i)
		if c.Of != OfP2O5 && c.Of != OfK2O {
			at.Fault(units.FaultName, "of", c.Of, "%s or %s", units.Word(OfP2O5), units.Word(OfK2O))
		}
		at.Sub("level", c.Level.Check())
	}
	var unknown units.Phrase
	for _, x := range []struct{ of, gives string }{{OfP2O5, nutrient.GivesCriticalP}, {OfK2O, nutrient.GivesCriticalK}} {
		if p.levels(x.gives) != nil || slices.ContainsFunc(s.Critical, func(c Critical) bool { return c.Of == x.of }) {
			continue
		}
		if !unknown.IsZero() {
			unknown = unknown.And(", ")
		}
		unknown = unknown.And("%s", units.Word(x.of))
	}
	if !unknown.IsZero() {
		p.open("critical", stage.Planner, units.Words("whether each field has a worth of %v: it counts for nothing", unknown), "the soil tests above which the crops do not answer, and a test of each field")
	}
}

// unnamed gives the faults of an id the path of the field that holds it.
func unnamed(err error) error {
	var f units.Faults
	for _, x := range units.FieldErrors(err) {
		f.Sub("", x.At(""))
	}
	return cmp.Or(f.Err(), err)
}

// seasons checks the seasons and numbers the crop years.
func (p *planner) seasons() {
	list := p.spec.Seasons
	if len(list) == 0 {
		if len(p.spec.Fields) > 0 {
			p.open("seasons", stage.Producer, units.Words("on which days fields are spread on"), "the first and the last day of each season, and the crop year that takes up what is spread")
		}
		return
	}
	names := map[string]bool{}
	for i, x := range list {
		at := p.f.At("seasons", i)
		if at.Name("name", x.Name, "season", names) && strings.HasPrefix(x.Name, yearName(0)[:len("crop year")]) {
			at.Add("name", x.Name, "a name that is no crop year")
		}
		before := p.f.Len()
		x.From.Check(&at, "from")
		x.To.Check(&at, "to")
		if p.f.Len() > before {
			continue
		}
		if days := x.From.Until(x.To); days < 0 || days > 366 {
			at.Fault(units.FaultRange, "to", x.To, "%v to a year after it", x.From)
		}
		year := cmp.Or(x.CropYear, time.Time(x.From).Year())
		at.NumberBetween("cropYear", float64(year), 1900, 2200)
		switch {
		case i > 0 && x.From.Before(list[i-1].From):
			at.Fault(units.FaultConflict, "from", x.From, "a day not before %v, that of the season before it", list[i-1].From)
		case len(p.years) > 0 && year < p.years[len(p.years)-1]:
			at.Fault(units.FaultConflict, "cropYear", float64(year), "%v or a later year, that of the season before it", float64(p.years[len(p.years)-1]))
		case !slices.Contains(p.years, year):
			p.years = append(p.years, year)
		}
		x.CropYear = year
		p.r.Seasons = append(p.r.Seasons, SeasonResult{x, yearName(year)})
	}
}

// standing asks what stands on the fields that spreading would harm, where nobody says:
// no material goes out before that is answered.
func (p *planner) standing() {
	if len(p.r.Seasons) == 0 {
		return
	}
	names := ""
	for i := range p.r.Fields {
		in := &p.spec.Fields[i]
		if p.r.Fields[i].Out != nil || in.NothingStands || slices.ContainsFunc(in.Crops, func(c Crop) bool { return !c.Planted.IsZero() }) {
			continue
		}
		if names != "" {
			names += ", "
		}
		names += in.Name
	}
	if names != "" {
		p.r.Open = append(p.r.Open, stage.Open{Key: "standing", Who: stage.Producer, Stops: true,
			What:  units.Words("whether a crop stands in the seasons of spreading on %s: their days count as open", units.Word(names)),
			Needs: units.Words("what stands there, with its days of planting and harvest; or that nothing does that spreading harms")})
	}
}

func yearName(year int) string { return fmt.Sprintf("crop year %d", year) }

func (p *planner) prices() {
	for i, x := range p.spec.Prices {
		at := p.f.At("prices", i)
		if !slices.Contains([]string{OfN, OfP2O5, OfK2O}, x.Of) {
			at.Fault(units.FaultName, "of", x.Of, "%s, %s or %s", units.Word(OfN), units.Word(OfP2O5), units.Word(OfK2O))
		}
	}
	if len(p.spec.Prices) == 0 && len(p.spec.Fields) > 0 {
		p.open("prices", stage.Producer, units.Words("what the nutrients are worth"), "the prices of N, P2O5 and K2O in fertilizer")
	}
}

// field works out the room of one field.
func (p *planner) field(f *units.Faults, in *Field) FieldResult {
	before := f.Len()
	out := FieldResult{Name: in.Name}
	f.Between("distance", in.Distance, units.Foot, units.Length(mostDistance))
	p.area(f, in, &out)
	skip := func(key string, who stage.Who, needs string) {
		what := units.Words("what %s may take: nothing is planned on it", units.Word(in.Name))
		out.Out = &what
		p.open("fields."+in.Name+"."+key, who, what, needs)
	}
	if p.crops == nil || p.rule == nil {
		out.Out = new(units.Words("the tables of crops and of phosphorus are not known"))
	}
	limit := nutrient.SiteLimit{}
	switch {
	case in.Site.SoilTest == nil && in.Site.RiskIndex == nil && in.Site.Saturation == nil:
		skip("site.soilTest", stage.Planner, "a soil test of phosphorus by the extractant of the rule, or the index that the rule names")
	case p.rule != nil:
		var err error
		limit, err = p.rule.SiteLimit(in.Site, nil)
		f.Sub("site", err)
	}
	p.crop(f, in, &out, limit, skip)
	p.answers(f, in, &out)
	if f.Len() == before && out.Out == nil && out.Area <= 0 {
		out.Out = new(units.Words("all of it lies within setbacks"))
	}
	return out
}

// crop works out the crop years of a field.
func (p *planner) crop(f *units.Faults, in *Field, out *FieldResult, limit nutrient.SiteLimit, skip func(string, stage.Who, string)) {
	for i, c := range in.Crops {
		at := f.At("crops", i)
		if slices.ContainsFunc(in.Crops[:i], func(o Crop) bool { return o.Year == c.Year }) {
			at.Say("year", "the year of another crop", "each year once")
		}
		if c.Year != 0 {
			at.NumberBetween("year", float64(c.Year), 1900, 2200)
		}
		if !c.Planted.IsZero() || !c.Harvested.IsZero() {
			before := f.Len()
			c.Planted.Check(&at, "planted")
			c.Harvested.Check(&at, "harvested")
			if f.Len() == before && c.Harvested.Before(c.Planted) {
				at.Fault(units.FaultRange, "harvested", c.Harvested, "%v or a later day", c.Planted)
			}
		}
	}
	for _, year := range p.cropYears() {
		i := in.crop(year)
		if i < 0 || in.Crops[i].Crop == "" {
			skip("crops", stage.Producer, "the crop of each crop year that takes up what is spread, and its expected yield")
			return
		}
		c, at := &in.Crops[i], f.At("crops", i)
		if c.Yield == (nutrient.Yield{}) {
			skip("crops.yield", stage.Producer, "the yield that the field has brought in most years, with its unit")
			return
		}
		if p.crops == nil {
			return
		}
		y := YearResult{Year: year}
		before := f.Len()
		at.NumberBetween("yield.perAcre", c.Yield.PerAcre+c.Yield.PerHectare, 0.001, mostYield)
		if f.Len() > before {
			return
		}
		var err error
		y.Crop, err = p.crops.Crop(c.Crop, c.Yield, nil)
		at.Sub("", err)
		for _, lacks := range []string{y.Crop.P2O5Lacks, y.Crop.K2OLacks} {
			if lacks != "" {
				at.Lacking("crop", "a crop whose removal has no figure", "another crop or table of crops: %v", units.Word(lacks))
			}
		}
		n := c.Nitrogen
		if n.Need == 0 {
			n.Need = y.Crop.N.Low
		}
		if n.Need == 0 && y.Crop.NRule != "" {
			at.Missing("nitrogen.need", "what the crop needs, since the table says of its N: %s", units.Word(y.Crop.NRule))
		}
		y.Nitrogen, err = nutrient.NitrogenRoom(n)
		at.Sub("nitrogen", err)
		if p.rule != nil && limit.Allow != 0 && f.Len() == before {
			room, err := nutrient.PhosphorusRoom(nutrient.PhosphorusRoomSpec{
				Jurisdiction: p.rule.Jurisdiction(), Limit: limit, Site: in.Site, Removal: y.Crop.P2O5.Low, Grants: p.grants})
			for _, e := range units.FieldErrors(err) { // of the grants, which are the banking of the spec
				if units.PathWithin(e.Field, "grants") {
					e = e.At("banking" + e.Field[len("grants"):])
				}
				p.f.Sub("", e)
			}
			y.Phosphorus = &room
		}
		out.Years = append(out.Years, y)
	}
}
