package main

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Answer is the result, as the page shows it and as the JSON.
type Answer struct {
	State     string                    `json:"state"`
	Source    nutrient.Source           `json:"source"`
	Note      string                    `json:"note,omitempty"`
	Samples   *nutrient.SamplesResult   `json:"samples,omitempty"` // of several reports
	Analysis  nutrient.Analysis         `json:"analysis"`
	Available nutrient.AvailableResult  `json:"available"`
	Printed   []nutrient.Answer         `json:"printed"` // what the tables of the state gave, with table and page
	Shares    []nutrient.Step           `json:"shares"`  // the printed figures behind what becomes available
	Room      units.Working             `json:"room"`    // how the room for N was worked out
	CarryOver *nutrient.CarryOverResult `json:"carryOver,omitempty"`
	Rate      nutrient.FieldRateResult  `json:"rate"`
	Ends      []units.Phrase            `json:"ends"`    // which end of a range the rate uses, and why
	Balance   []Balance                 `json:"balance"` // at that rate
	Bans      []nutrient.Step           `json:"bans"`    // what forbids spreading on that day
	Open      []units.Phrase            `json:"open"`    // what was not answered, and what it would take
	Area      units.Area                `json:"area,omitzero"`
}

// Balance is one nutrient at the rate: what it brings and what the crop is to get.
type Balance struct {
	Of      string                         `json:"of"`
	Brings  units.Range[units.MassPerArea] `json:"brings"`
	Needs   units.Range[units.MassPerArea] `json:"needs"`
	Short   units.Range[units.MassPerArea] `json:"short"`   // to be bought
	Surplus units.Range[units.MassPerArea] `json:"surplus"` // beyond what the crop gets
}

// calculation is under way.
type calculation struct {
	state  *nutrient.State
	r      Request
	a      Answer
	f      units.Faults
	limits []nutrient.Limit
	crop   *nutrient.CropNutrients
	query  nutrient.Query  // of the request, with the yield and what the analysis knows
	told   map[string]bool // faults about keys, which several tables may ask for
	noRate bool            // a limit is not known, so that no rate is safe
}

// Calculate puts the request to the state. The rate uses the high end of what becomes
// available and the low end of what the crop needs, so that no field gets more N than
// it needs.
func Calculate(state *nutrient.State, r Request) (Answer, error) {
	c := calculation{state: state, r: r, query: r.Query, told: map[string]bool{}, a: Answer{State: state.ID(), Source: state.Source(), Note: state.Note(), Ends: []units.Phrase{}, Bans: []nutrient.Step{}, Open: []units.Phrase{}}}
	c.yield()
	n := c.countsN()
	switch {
	case r.Stock.IsZero() && (n || len(r.Reports) > 0):
		c.f.Missing("stock", "an amount with its unit, such as 400,000 gal or 300 ton")
	case !r.Stock.IsZero() && r.Stock.SI() == 0:
		c.f.Add("stock", r.Stock, "more than 0")
	}
	for _, x := range []struct {
		field string
		given *units.MassPerArea
	}{{"otherN", &r.OtherN}, {"needN", r.NeedN}, {"allowP2O5", r.AllowP2O5}} {
		if x.given != nil {
			c.f.ZeroOr(x.field, *x.given, 0.001*units.PoundPerAcre, 10_000*units.PoundPerAcre)
		}
	}
	material := c.material()
	if material {
		c.stock()
	}
	var need *units.Range[units.MassPerArea]
	if n {
		need = c.nitrogen()
	} else {
		c.open(units.Words("the file has no figures of the N that becomes available: what follows goes without N"), nutrient.AsValue, "totalN", "ammonium", "organic")
	}
	c.phosphorus()
	c.caps(material)
	c.place()
	if c.f.Err() != nil {
		return c.a, c.f.Err()
	}
	c.other()
	if material && !c.noRate && (need != nil || len(c.limits) > 0) {
		c.rate(need)
	}
	return c.a, c.f.Err()
}

// stock turns the stock into the form of the material, by the density of a report.
func (c *calculation) stock() {
	form := c.a.Analysis.Form
	if c.r.Stock.IsZero() || c.r.Stock.Form() == form {
		return
	}
	for _, report := range c.r.Reports {
		if report.Density > 0 {
			stock, err := c.r.Stock.As(form, report.Density)
			if c.f.Sub("stock", err); err == nil {
				c.r.Stock = stock
			}
			return
		}
	}
	if form == nutrient.Liquid {
		c.f.Add("stock", c.r.Stock, "a volume, such as 400,000 gal, since the report is of a liquid, or the density in the report")
	} else {
		c.f.Add("stock", c.r.Stock, "a mass, such as 300 ton, since the report is of a solid, or the density in the report")
	}
}

// countsN reports whether the state has figures of the N that becomes available.
func (c *calculation) countsN() bool {
	return slices.ContainsFunc([]string{"ammonium", "organic", "totalN"}, func(gives string) bool { return c.state.Has(gives, nutrient.AsValue) })
}

// material works out what the material holds and how much of it becomes available.
func (c *calculation) material() bool {
	if len(c.r.Reports) == 0 && !c.countsN() {
		return false // nothing to be said of a material
	}
	switch n := len(c.r.Reports); {
	case n == 0:
		c.f.Missing("reports[0].form", "a laboratory report")
		return false
	case n > maxSamples:
		c.f.CountBetween("reports", n, "samples", 1, maxSamples)
		return false
	}
	var samples []nutrient.Sample
	before := c.f.Len()
	for i, report := range c.r.Reports {
		if oxides, ok := c.state.Oxides(); ok && report.Oxides == 0 {
			report.Oxides = oxides
		}
		samples = append(samples, nutrient.Sample{Report: report})
		_, err := nutrient.Analyze(report)
		at := c.f.At("reports", i)
		at.Sub("", err)
	}
	if c.f.Len() > before {
		return false
	}
	mean, err := nutrient.Samples(nutrient.SamplesSpec{Samples: samples, Confidence: 0.9})
	if err != nil {
		for _, e := range units.FieldErrors(err) {
			moved := *e
			moved.Field = samplePath.ReplaceAllString(e.Field, "reports[$1]")
			c.f.Sub("", &moved)
		}
		return false
	}
	if c.a.Analysis = mean.Analysis; len(samples) > 1 {
		c.a.Samples = &mean
	}
	c.query = c.state.Fill(c.query, mean.Analysis)
	if !c.countsN() {
		return true
	}
	c.a.Available, err = nutrient.Available(nutrient.AvailableSpec{Analysis: mean.Analysis, State: c.state, Query: c.query, Years: 3})
	if err != nil {
		c.sub("reports[0]", err)
		return false
	}
	schedule, err := c.state.Schedule(c.a.Available.Query)
	c.sub("", err)
	if err == nil {
		for p := nutrient.PoolAmmonium; p <= nutrient.PoolK; p++ {
			for year := 1; year <= 3; year++ {
				c.a.Shares = append(c.a.Shares, schedule.Steps(p, year)...)
			}
		}
	}
	return err == nil
}

// samplePath is where the library has the report of a sample.
var samplePath = regexp.MustCompile(`^samples\[([0-9]+)\]\.report`)

// sub records the faults of the library at the paths of the request.
func (c *calculation) sub(report string, err error) {
	for _, e := range units.FieldErrors(err) {
		switch path := e.Field; {
		case strings.HasPrefix(path, "analysis."):
			c.f.Sub("", e.At(report+"."+strings.TrimPrefix(path, "analysis.")))
		case strings.HasPrefix(path, "query."):
			c.key(e.At(strings.TrimPrefix(path, "query.")))
		default:
			c.f.Sub("", e)
		}
	}
}

// key records the faults about keys of the state at their fields.
func (c *calculation) key(err error) {
	for _, e := range units.FieldErrors(err) {
		field := "query." + e.Field
		if e.Field == nutrient.KeyYield || strings.HasPrefix(e.Field, "yield.") {
			if field = "yield"; c.declares(nutrient.KeyYield) {
				field = "query.yield"
			}
		}
		if at := e.At(field); !c.told[at.Error()] {
			c.told[at.Error()] = true
			c.f.Sub("", at)
		}
	}
}

// onlyMissing reports whether err says only that something was left open, or has no
// figure.
func onlyMissing(err error) bool {
	for _, e := range units.FieldErrors(err) {
		if e.Kind != units.FaultMissing && e.Kind != units.FaultLacking {
			return false
		}
	}
	return err != nil
}

// ask puts a question to the tables of the state and keeps what they say.
func (c *calculation) ask(gives string) (nutrient.Answer, error) {
	r, err := c.state.Answer(gives, c.query)
	if err == nil {
		c.a.Printed = append(c.a.Printed, r)
	}
	return r, err
}

// yield brings together the yield of the request and that of the keys of the state.
func (c *calculation) yield() {
	text := c.r.Query[nutrient.KeyYield]
	if c.r.Yield.IsZero() && text != "" {
		_ = c.r.Yield.UnmarshalText([]byte(text)) // what is wrong with it is said by the state
	} else if text == "" && !c.r.Yield.IsZero() && !c.declares(nutrient.KeyYield) {
		c.query = maps.Clone(c.query)
		if c.query == nil {
			c.query = nutrient.Query{}
		}
		c.query[nutrient.KeyYield] = c.r.Yield.Text()
	}
}

func (c *calculation) declares(key string) bool {
	return slices.ContainsFunc(c.state.Keys(), func(k nutrient.Key) bool { return k.Name == key })
}

// perArea is a figure of the tables per area, with the yield where it counts by that.
func (c *calculation) perArea(r nutrient.Answer) (units.Range[units.MassPerArea], bool) {
	x, err := r.PerArea(c.r.Yield.Yield)
	c.key(err)
	return x, err == nil
}

// byYield is what leaves with the crop at its yield, nil where the question has a fault.
func (c *calculation) byYield() *nutrient.CropNutrients {
	if c.crop != nil {
		return c.crop
	}
	y := c.r.Yield
	if y.IsZero() {
		c.key(units.Fault(units.FaultMissing, nutrient.KeyYield, nil, "a yield, such as 150 bu/acre or 8 t/ha"))
		return nil
	}
	n, err := c.state.Crop(c.query[nutrient.KeyCrop], y.Yield, c.query)
	if err != nil {
		c.key(err)
		return nil
	}
	c.crop = &n
	for _, gives := range []string{"removalP2O5", "removalK2O"} {
		_, _ = c.ask(gives) // for the figures on the page; Crop has asked before
	}
	return c.crop
}

// nitrogen returns the N that the crop is to get.
func (c *calculation) nitrogen() *units.Range[units.MassPerArea] {
	switch {
	case c.r.NeedN != nil:
		c.a.Room.Add("N that the crop needs", *c.r.NeedN, "as entered")
		return new(units.Point(*c.r.NeedN))
	case !c.state.Has("n", nutrient.AsValue, nutrient.AsPlus):
		if why := c.state.Why("n", nutrient.AsValue, c.query); why != "" {
			c.f.Missing("needN", "what the crop needs, since the state gives no figure for it: %v", units.Word(why))
		} else {
			c.f.Missing("needN", "what the crop needs, since the state gives no figure for it")
		}
		return nil
	}
	r, err := c.ask("n")
	if err != nil {
		for _, e := range units.FieldErrors(err) {
			if e.Kind == units.FaultLacking && e.Want.Text == lacksReason {
				c.f.Missing("needN", "what the crop needs, since the state gives no figure for it: %v", said(e))
				return nil
			} else if e.Kind == units.FaultLacking {
				c.f.Missing("needN", "what the crop needs, since the state gives no figure for it")
				return nil
			}
		}
		c.key(err)
		return nil
	}
	need, ok := c.perArea(r)
	if !ok {
		return nil
	}
	c.a.Room.Add("N that the crop needs", shown(need), "by the state")
	return &need
}

// phosphorus adds the limits of the rule on phosphorus and of a permit.
func (c *calculation) phosphorus() {
	if c.r.AllowP2O5 != nil {
		c.limit("p2o5", nutrient.Limit{Kind: nutrient.LimitPhosphorus, Name: "P2O5 by permit", Holds: c.a.Analysis.P2O5(), Room: *c.r.AllowP2O5, Source: "as entered"})
	}
	if !c.state.Has("allow", nutrient.AsCap) {
		if c.r.AllowP2O5 == nil && !c.state.Has("p2o5", nutrient.AsCap) {
			c.open(units.Words("the file has no rule on phosphorus: the rate goes without one"), nutrient.AsCap, "allow")
		}
		return
	}
	r, ok, err := c.state.Limit("allow", nutrient.AsCap, c.query)
	switch {
	case err != nil && c.r.AllowP2O5 != nil && onlyMissing(err):
		c.permit(said(units.FieldErrors(err)[0]), units.FieldErrors(err)[0].Field)
		return
	case err != nil:
		c.key(err)
		return
	case !ok && c.r.AllowP2O5 == nil:
		c.f.Missing("allowP2O5", "what the field may take, since the rule of the state does not speak of this site")
		return
	case !ok:
		return
	}
	c.a.Printed = append(c.a.Printed, r)
	limit := nutrient.Limit{Kind: nutrient.LimitPhosphorus, Name: r.Steps[len(r.Steps)-1].Title, Holds: c.a.Analysis.P2O5(), Source: r.Steps[len(r.Steps)-1].Place}
	switch {
	case r.Word == "n-based":
		return
	case r.Word == "none" || r.Figure.Low == 0:
	default:
		var crop *nutrient.CropNutrients
		lacks := "the state has no figures for it"
		if c.state.Has("removalP2O5") {
			if crop = c.byYield(); crop == nil {
				return
			}
			lacks = crop.P2O5Lacks
		}
		switch {
		case lacks != "" && c.r.AllowP2O5 != nil:
			c.permit(units.Words("of %v times the P2O5 that leaves with the crop there is no figure: %s", r.Figure.Low, units.Word(lacks)), "")
			return
		case lacks != "":
			c.noRate = true
			c.a.Open = append(c.a.Open, units.Words("the rate: the rule allows %v times the P2O5 that leaves with the crop %s, of which there is no figure: %s; or enter the P2O5 that a permit allows", r.Figure.Low, units.Word(c.query[nutrient.KeyCrop]), units.Word(lacks)))
			return
		}
		limit.Room = units.MassPerArea(r.Figure.Low) * crop.P2O5.Low
	}
	c.limit("p2o5", limit)
}

// permit tells that the entered permit limits P2O5 alone, and why the rule of the state
// does not beside it.
func (c *calculation) permit(why units.Phrase, key string) {
	if key != "" {
		why = units.Words("%s, %s", units.Word(c.label(key)), why)
	}
	c.a.Open = append(c.a.Open, units.Words("whether the rule of the state on phosphorus allows less than the permit that was entered, by which alone the rate goes: %s", why))
}

// open adds an open point, with the reason that the file has for one of what it does not
// give.
func (c *calculation) open(what units.Phrase, as nutrient.As, gives ...string) {
	for _, name := range gives {
		if why := c.state.Why(name, as, c.query); why != "" {
			what = what.And(" (%v)", units.Word(why))
			break
		}
	}
	c.a.Open = append(c.a.Open, what)
}

// lacking tells the reason that the file has for giving nothing, where it has one.
func (c *calculation) lacking(what units.Phrase, as nutrient.As, gives ...string) {
	for _, name := range gives {
		if why := c.state.Why(name, as, c.query); why != "" {
			c.a.Open = append(c.a.Open, what.And(": %s", units.Word(why)))
			return
		}
	}
}

// limit adds a limit, which counts what the report says in a field.
func (c *calculation) limit(field string, l nutrient.Limit) {
	if field != "" && c.a.Analysis.Form != 0 && l.Holds.IsZero() {
		c.f.Missing("reports[0]."+field, "what the material holds of it, since a limit counts it: %v", units.Word(l.Name))
		return
	}
	c.limits = append(c.limits, l)
}

// caps adds what the state caps.
func (c *calculation) caps(material bool) {
	for _, cap := range []string{"n", "totalNApplied", "p2o5", "k2o", "materialApplied"} {
		if !c.state.Has(cap, nutrient.AsCap) {
			continue
		}
		r, ok, err := c.state.Limit(cap, nutrient.AsCap, c.query)
		c.key(err)
		if err != nil || !ok || !material {
			continue
		}
		c.a.Printed = append(c.a.Printed, r)
		l := nutrient.Limit{Kind: nutrient.LimitKind("cap"), Name: r.Steps[len(r.Steps)-1].Title, Source: r.Steps[len(r.Steps)-1].Place}
		var room units.MassPerArea
		if cap != "materialApplied" {
			x, ok := c.perArea(r)
			if !ok {
				continue
			}
			room = x.Low
		}
		switch {
		case cap == "materialApplied":
			low, _, _ := r.Quantity()
			switch q := low.(type) {
			case units.MassPerArea:
				l.Rate = nutrient.SolidRate(q)
			case units.VolumePerArea:
				l.Rate = nutrient.LiquidRate(q)
			}
			if l.Rate.Check(c.a.Analysis.Form) != nil {
				continue // of another form of material
			}
		case cap == "n" && len(c.a.Available.Years) == 0:
			continue
		case cap == "n":
			l.Holds, l.Room = c.a.Available.Years[0].N.High, room
		case cap == "totalNApplied":
			l.Holds, l.Room = c.a.Analysis.TotalN, room
		case cap == "p2o5":
			l.Holds, l.Room = c.a.Analysis.P2O5(), room
		default:
			l.Holds, l.Room = c.a.Analysis.K2O(), room
		}
		c.limit(map[string]string{"p2o5": "p2o5", "k2o": "k2o"}[cap], l)
	}
}

// place asks what forbids spreading on the day, and how far to stay away.
func (c *calculation) place() {
	if c.state.Has("allow", nutrient.AsBan) {
		bans, err := c.state.Bans(c.query)
		if len(bans) == 0 || !onlyMissing(err) {
			c.optional(units.Words("whether anything may be spread on the day"), err)
		}
		c.a.Bans = append(c.a.Bans, bans...)
	}
	if len(c.a.Bans) == 0 {
		c.lacking(units.Words("whether anything may be spread on the day"), nutrient.AsBan, "allow")
	}
	if c.state.Has("setback", nutrient.AsAtLeast) {
		r, ok, err := c.state.Limit("setback", nutrient.AsAtLeast, c.query)
		c.optional(units.Words("how far to stay away"), err)
		if ok {
			c.a.Printed = append(c.a.Printed, r)
		}
	} else {
		c.lacking(units.Words("how far to stay away"), nutrient.AsAtLeast, "setback")
	}
}

// other keeps what the file gives beside, as far as the query has an answer.
func (c *calculation) other() {
	for _, gives := range otherFigures(c.state) {
		keep := func(r nutrient.Answer, ok bool, err error) {
			faults := units.FieldErrors(err)
			if len(faults) > 0 && faults[0].Kind == units.FaultLacking {
				c.optional(units.Words("%v", units.Word(c.state.Title(gives))), err)
			} else if err == nil && ok && len(r.Steps) > 0 {
				c.a.Printed = append(c.a.Printed, r)
			}
		}
		if c.state.Has(gives, nutrient.AsValue, nutrient.AsPlus, nutrient.AsTimes) {
			r, err := c.state.Answer(gives, c.query)
			keep(r, true, err)
		}
		for _, as := range []nutrient.As{nutrient.AsCap, nutrient.AsAtLeast} {
			if c.state.Has(gives, as) {
				keep(c.state.Limit(gives, as, c.query))
			}
		}
	}
}

// optional records what a question that may stay open lacks.
func (c *calculation) optional(what units.Phrase, err error) {
	if !onlyMissing(err) {
		c.key(err)
		return
	}
	for _, e := range units.FieldErrors(err) {
		if !c.declares(e.Field) || e.Kind == units.FaultLacking {
			c.a.Open = append(c.a.Open, what.And(": %s", said(e)))
			continue
		}
		c.a.Open = append(c.a.Open, what.And(": %s, %s", units.Word(c.label(e.Field)), said(e)))
	}
}

// lacksReason is the template in which the library gives the reason of a file.
const lacksReason = "another choice or state: %v"

// said is what a fault says, to be translated; of what a state has no figure for, the
// reason alone.
func said(e *units.FieldError) units.Phrase {
	if e.Want.Text == lacksReason {
		return units.Words("%v", e.Want.Args...)
	}
	got, ok := e.Got.(units.Phrase)
	if !ok {
		got = units.Words(e.Kind.String())
	}
	return units.Words("%v; want %v", got, e.Want)
}

func (c *calculation) label(key string) string {
	for _, k := range c.state.Keys() {
		if k.Name == key {
			return k.Label
		}
	}
	return key
}

var errNoCredit = errors.New("no credit")

// credits returns N that the crop has from elsewhere, by its high end.
func (c *calculation) credits() (units.MassPerArea, error) {
	credit := c.r.OtherN
	if credit > 0 {
		c.a.Room.Add("less N from other sources", credit, "as entered")
	}
	if c.state.Has("creditN") {
		r, err := c.state.Answer("creditN", c.query)
		if err != nil {
			c.key(err)
			return 0, errNoCredit
		}
		_, high, ok := r.Quantity()
		if h, area := high.(units.MassPerArea); ok && area && h > 0 {
			c.a.Printed = append(c.a.Printed, r)
			c.a.Room.Add("less N left by the crop before", h, "high end")
			credit += h
		}
	}
	var earlier []nutrient.Application
	var at []int
	for i, rate := range c.r.Earlier[:min(len(c.r.Earlier), maxEarlier)] {
		if rate != nil && !rate.IsZero() {
			at = append(at, i)
			earlier = append(earlier, nutrient.Application{Season: maxEarlier - i, Rate: *rate, Analysis: c.a.Analysis, State: c.state, Query: c.query})
		}
	}
	if earlier == nil {
		return credit, nil
	}
	carry, err := nutrient.CarryOver(nutrient.CarryOverSpec{Applications: earlier, First: maxEarlier + 1, Seasons: 1})
	if err != nil {
		for _, e := range units.FieldErrors(err) {
			i := 0
			for k := range at {
				if units.PathWithin(e.Field, fmt.Sprintf("applications[%d]", k)) {
					i = at[k]
				}
			}
			c.f.Sub("", e.At(fmt.Sprintf("earlier[%d]", i)))
		}
		return 0, err
	}
	c.a.CarryOver = &carry
	c.a.Room.Add("less N from manure of earlier years", carry.Seasons[0].Earlier.High, "high end")
	return credit + carry.Seasons[0].Earlier.High, nil
}

// rate finds the rate, and the balance and the area at it; without a need of N by the
// other limits.
func (c *calculation) rate(need *units.Range[units.MassPerArea]) {
	var err error
	if need != nil && !c.roomForN(need) {
		return
	}
	c.a.Rate, err = nutrient.FieldRate(nutrient.FieldRateSpec{Limits: c.limits})
	if err != nil {
		c.f.Sub("reports[0]", err)
		return
	}
	if need != nil {
		c.balance("N", c.a.Available.Years[0].N, *need)
	}
	c.balances()
	if c.f.Err() == nil && c.a.Rate.Rate.SI() > 0 {
		c.a.Area, err = c.r.Stock.Over(c.a.Rate.Rate)
		for _, e := range units.FieldErrors(err) {
			c.f.Sub("", e.At("stock"))
		}
	}
}

// roomForN adds the limit of N and takes the credits off the need.
func (c *calculation) roomForN(need *units.Range[units.MassPerArea]) bool {
	credit, err := c.credits()
	if err != nil {
		return false
	}
	room := max(0, need.Low-credit)
	c.a.Room.Add("room for available N", room, "need less credits, not below 0")
	n := c.a.Available.Years[0].N
	if n.Low != n.High {
		c.a.Ends = append(c.a.Ends, units.Words("The rate uses the high end of what becomes available, so that the field does not get more N than it needs if all of it does."))
	}
	if need.Low != need.High {
		c.a.Ends = append(c.a.Ends, units.Words("The rate uses the low end of what the crop needs, for the same reason."))
	}
	c.limits = append([]nutrient.Limit{{Kind: nutrient.LimitNitrogen, Holds: n.High, Room: room, Source: c.state.Source().Title}}, c.limits...)
	*need = units.Range[units.MassPerArea]{Low: max(0, need.Low-credit), High: max(0, need.High-credit)}
	return true
}

// balances holds P2O5 and K2O against what the crop is to get.
func (c *calculation) balances() {
	for _, x := range []struct {
		of, gives, removal string
		holds              nutrient.Content
	}{{"P2O5", "p2o5", "removalP2O5", c.a.Analysis.P2O5()}, {"K2O", "k2o", "removalK2O", c.a.Analysis.K2O()}} {
		if x.holds.IsZero() {
			continue
		}
		var wants units.Range[units.MassPerArea]
		if c.state.Has(x.gives, nutrient.AsValue, nutrient.AsPlus) {
			r, err := c.ask(x.gives)
			if err != nil {
				c.optional(units.Words("what the crop is to get of %s", units.Word(x.of)), err)
				continue
			}
			var ok bool
			if wants, ok = c.perArea(r); !ok {
				continue
			}
		} else if crop := c.crop; crop != nil || c.state.Has(x.removal) {
			if crop = c.byYield(); crop == nil {
				continue
			}
			lacks := crop.P2O5Lacks
			if wants = crop.P2O5; x.of == "K2O" {
				wants, lacks = crop.K2O, crop.K2OLacks
			}
			if lacks != "" {
				c.a.Open = append(c.a.Open, units.Words("what the crop is to get of %s", units.Word(x.of)).And(": %s", units.Word(lacks)))
				continue
			}
		} else {
			brings, err := c.a.Rate.Rate.Carrying(x.holds)
			if err == nil {
				c.open(units.Words("what the crop is to get of %s, of which this rate brings %v: the file has no figure of it", units.Word(x.of), brings), nutrient.AsValue, x.gives, x.removal)
			}
			continue
		}
		c.balance(x.of, nutrient.ContentRange{Low: x.holds, High: x.holds}, wants)
	}
}

// balance holds what the rate brings of a nutrient against what the crop is to get.
func (c *calculation) balance(of string, holds nutrient.ContentRange, needs units.Range[units.MassPerArea]) {
	low, err := c.a.Rate.Rate.Carrying(holds.Low)
	high, err2 := c.a.Rate.Rate.Carrying(holds.High)
	if errors.Join(err, err2) != nil {
		return // a content of another form was refused before
	}
	c.a.Balance = append(c.a.Balance, Balance{of, units.Range[units.MassPerArea]{Low: low, High: high}, needs,
		units.Range[units.MassPerArea]{Low: max(0, needs.Low-high), High: max(0, needs.High-low)},
		units.Range[units.MassPerArea]{Low: max(0, low-needs.High), High: max(0, high-needs.Low)}})
}
