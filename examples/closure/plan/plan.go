package plan

import (
	"context"
	"errors"
	"slices"
	"time"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// Plan is a finished plan: the scenario, and what the library answered, by stage.
type Plan struct {
	Scenario Scenario
	Results  *Results
}

// Results is the answers of the stages, and their rows together.
type Results struct {
	Contents Contents              `json:"contents"`
	Sampled  Sampled               `json:"sampled"`
	Fields   *land.Result          `json:"fields,omitempty"` // nil without land
	Routes   Routes                `json:"routes"`
	Budgets  []Budget              `json:"budgets,omitempty"` // of P and K, of the fields that get something
	LandBase *LandBase             `json:"landBase,omitempty"`
	Machines Machines              `json:"machines"`
	Pit      *volume.OpenPitResult `json:"pit,omitempty"`     // rain from the draw-off until the basin is filled; nil: not known
	Closing  *closing.Result       `json:"closing,omitempty"` // the alternatives side by side; nil: not planned
	// Jurisdictions says whose rules land and materials go by; nil without any.
	Jurisdictions *nutrient.JurisdictionsResult `json:"jurisdictions,omitempty"`
	Beside        []Beside                      `json:"beside,omitempty"` // what the closing brings to no field's budget
	Cover         CoverResult                   `json:"cover"`
	Bill          Bill                          `json:"bill"`
	Layout        *LayoutResult                 `json:"layout,omitempty"`   // plan of the site; nil: the basin has no outline
	Calendar      *calendar.Result              `json:"calendar,omitempty"` // nil without a first day
	Planned       *calendar.Result              `json:"planned,omitempty"`  // the days from the start, where Calendar is those from the day of the account on
	Account       *ledger.Result                `json:"account,omitempty"`  // of what was done, against the plan from the start; nil without a day
	Rest          *Spread                       `json:"rest,omitempty"`     // where what is left goes from then on
	stage.Rows
}

// Taken is the route that the plan takes, nil for none.
func (r *Results) Taken() *RouteResult { return r.Routes.taken() }

// New works out the plan of s. The faults of all parts are reported together, with
// their paths in the scenario. When ctx ends it returns the cause.
func New(ctx context.Context, s Scenario) (*Plan, error) {
	r, err := chain(ctx, &s)
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	if err != nil {
		return nil, once(err)
	}
	return &Plan{Scenario: s, Results: r}, nil
}

// once leaves out faults that say what one before them says: what holds for all fields
// is found for each.
func once(err error) error {
	var list []error
	said := map[string]bool{}
	for _, f := range units.FieldErrors(err) {
		if text := f.Error(); !said[text] {
			said[text] = true
			list = append(list, f)
		}
	}
	if list == nil {
		return err
	}
	return errors.Join(list...)
}

// chain takes the stages one after the other.
func chain(ctx context.Context, s *Scenario) (*Results, error) {
	in, err := prepare(ctx, s)
	if err != nil {
		return nil, err
	}
	return finish(ctx, s, in)
}

// prepare takes the stages before the routes, and finds the faults of all parts.
func prepare(ctx context.Context, s *Scenario) (*inputs, error) {
	var f units.Faults
	var in inputs
	var err error
	add := func(rows stage.Rows, err error) {
		f.Sub("", err)
		in.rows.Add(rows)
	}
	f.Sub("", s.check())
	if s.Layout != nil {
		f.Sub("layout", s.Layout.check())
	}
	in.lib, err = look(s)
	f.Sub("", err)
	in.contents, err = contents(ctx, s)
	add(in.contents.Rows, err)
	in.sampled, err = sampled(s, summarized)
	add(in.sampled.Rows, err)
	f.Sub("", queries(s, in.lib, &in.sampled))
	var rows stage.Rows
	in.removal, rows, err = removed(s, &in.contents, &in.sampled)
	add(rows, err)
	in.fields, rows, err = fields(s)
	add(rows, err)
	f.Sub("", checkWeather(s))
	_, err = machines(s, nil)
	f.Sub("", err)
	closing, _, err := closed(s, &in.contents, nil, nil)
	f.Sub("", err)
	_, err = vegetation(s, in.lib, sown(outcome(closing)))
	f.Sub("", err)
	if s.Money != nil {
		f.Sub("", s.Money.check())
		in.prices, err = s.otherPrices()
		f.Sub("", err)
	}
	list, _, err := s.asked(s.before(), 0)
	f.Sub("", err)
	if y := time.Time(s.Start).Year(); !s.Start.IsZero() && y >= 1900 && y <= 2200 {
		_, err = scheduled(s, s.terms(in.fields), list)
		f.Sub("", err)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return &in, f.Err()
}

// finish takes the stages from the routes on.
func finish(ctx context.Context, s *Scenario, in *inputs) (*Results, error) {
	r := Results{Contents: in.contents, Sampled: in.sampled, Fields: in.fields}
	terms := s.terms(in.fields)
	var err error
	// The pump starts when all that comes before it is done, which no route changes.
	if in.start, err = pumping(s, terms); err != nil {
		return nil, err
	}
	in.goBy(s, terms)
	if r.Routes, err = routes(ctx, s, in, true); err != nil {
		return nil, err
	}
	route := r.Taken()
	ordered, err := r.order(s, in, terms, route)
	if err != nil {
		return nil, err
	}
	chosen := outcome(r.Closing)
	if err := r.Routes.withWorks(ctx, s, in, s.worksStreams(&r.Sampled, chosen, r.pitWater())); err != nil {
		return nil, err
	}
	if r.Account, err = account(s, &r); err != nil { // with what the closing brings to the land
		return nil, err
	}
	r.Beside = r.besides(s)
	if r.Jurisdictions, err = jurisdictions(s, &in.lib, &r); err != nil {
		return nil, err
	}
	if r.Machines, err = machines(s, route); err != nil {
		return nil, err
	}
	if r.Budgets, r.LandBase, err = afterwards(s, &r); err != nil {
		return nil, err
	}
	r.Layout = layout(s, &r.Contents, r.Fields, chosen)
	if r.Bill, err = bill(s, in, &r.Contents, &r.Routes, chosen, &r.Cover); err != nil {
		return nil, err
	}
	r.Bill.perUnit(&r.Contents, route, &r.Cover)
	r.Bill.Drivers = drivers(r.Bill.Items, r.Bill.Cost)
	if r.Account != nil {
		again := *in
		again.done = r.Account
		if r.Rest, err = rest(ctx, s, &again, route); err != nil {
			return nil, err
		}
	}
	r.Rows.Add(in.rows)
	for _, more := range []stage.Rows{r.Routes.Rows, r.Machines.Rows, ordered, r.Bill.Rows} {
		more.Tasks, more.Items = nil, nil // those of the calendar and of the bill are all
		r.Rows.Add(more)
	}
	r.Open = append(r.Open, r.notFit()...)
	r.weatherOpen(s)
	r.mixed(s)
	r.Items = r.Bill.Items
	if s.Start.IsZero() {
		r.Open = append(r.Open, stage.Open{Key: "start", Who: stage.Producer, What: units.Words("every date"), Needs: units.Words("the first day of work on the site")})
	}
	if s.Metals == nil && s.Land != nil {
		r.Open = append(r.Open, stage.Open{Key: "metals", Who: stage.Regulator, What: units.Words("whether copper and zinc limit the rates"), Needs: units.Words("whether a rule on metals holds for this material, and which")})
	}
	slices.SortStableFunc(r.Open, func(a, b stage.Open) int {
		switch {
		case a.Stops == b.Stops:
			return 0
		case a.Stops:
			return -1
		}
		return 1
	})
	return &r, ctx.Err()
}

// order works out the closing, the cover and the days: without the rain in the open pit
// and without temporary covers, which all hang on the days, and again with them.
func (r *Results) order(s *Scenario, in *inputs, terms calendar.Terms, route *RouteResult) (all stage.Rows, err error) {
	var after []stage.Need
	if route != nil {
		_, last := s.emptyingTasks(route)
		after = []stage.Need{{Key: last}}
	}
	long := s.coveredStops()
	var stops []stage.Task
	temporary := slices.ContainsFunc(s.Done.Steps, func(x ledger.Step) bool { return x.Key == temporaryCover })
	for range 4 {
		if r.Closing, all, err = closed(s, &in.contents, after, r.Pit); err != nil {
			return all, err
		}
		chosen := outcome(r.Closing)
		all.Add(rowsOf(chosen))
		if r.Cover, err = vegetation(s, in.lib, sown(chosen)); err != nil {
			return all, err
		}
		all.Add(r.Cover.Rows)
		r.Cover.Temporary = temporary
		if len(long) > len(stops) {
			stops = s.stopTasks(chosen, r.Calendar, long)
		}
		var asked stage.Rows
		if r.Tasks, asked, err = s.asked(tasks(s, route, chosen, &r.Cover, stops), r.Cover.Area); err != nil {
			return all, err
		}
		all.Add(asked)
		if err = r.dated(s, terms, route); err != nil {
			return all, err
		}
		more := s.tooLong(s.stops(chosen, r.Calendar), long)
		bare, seed := on(r.Calendar, "closing.topsoil").End, on(r.Calendar, "cover.seed").Start
		if late := (r.Cover.Nurse != nil || r.Cover.Mulch != nil) && !bare.IsZero() && !seed.IsZero() && bare.Until(seed) > s.mostBare(); late && !temporary || len(more) > len(long) {
			temporary, long = temporary || late, more
			continue
		}
		fill := on(r.Calendar, "closing.fill")
		if r.Pit != nil || s.Closing == nil || s.Closing.Chosen == closing.AlternativePond {
			break
		}
		if r.Pit = opened(s, in, on(r.Calendar, keyOf("removal", removal.StagePumpOff)).End.Plus(1), fill.Start, fill.End, route); r.Pit == nil {
			break
		}
	}
	all.Open = append(append(all.Open, s.herd()...), settled(r.Calendar)...)
	judged := len(r.Cover.Open)
	r.Cover.judged(s, s.stops(outcome(r.Closing), r.Calendar), long)
	all.Open = append(all.Open, r.Cover.Open[judged:]...)
	if bare := on(r.Calendar, "closing.topsoil").End; !bare.IsZero() {
		r.Cover.Planting = sowing(s, bare.Plus(1))
		if loss := r.Cover.SoilLoss; loss != nil {
			spec := loss.Spec
			from := bare
			for _, key := range []string{"closing.strip", "closing.fill"} {
				if first := on(r.Calendar, key).Start; !first.IsZero() && first.Before(from) {
					from = first
				}
			}
			spec.Begin = time.Time(from).Month()
			r.Cover.SoilLoss = answered(new(units.Faults), "", &spec, cover.SoilLoss)
			covered := on(r.Calendar, "cover.seed").End
			if t := on(r.Calendar, "cover.temporary").End; !t.IsZero() {
				covered = t
			}
			if !covered.IsZero() {
				r.Cover.Bare = bareGround(r.Cover.SoilLoss, from, covered.Plus(-1))
			}
		}
	}
	return all, nil
}

// pumping is the likely first day of pumping; none without a first day of work.
func pumping(s *Scenario, terms calendar.Terms) (stage.Date, error) {
	if s.Start.IsZero() {
		return s.Start, nil
	}
	off := removal.RouteResult{Stages: []removal.StageResult{{Kind: removal.StagePumpOff, Name: "pump off the liquid", Hours: units.Hour}}}
	more, last := s.emptyingTasks(&RouteResult{Removal: off})
	list, _, err := s.asked(append(s.before(), more...), 0)
	if err != nil {
		return stage.Date{}, err
	}
	r, err := scheduled(s, terms, list)
	return on(r, last).Start, err
}

// fields is the land; nil where there is none.
func fields(s *Scenario) (*land.Result, stage.Rows, error) {
	var rows stage.Rows
	if s.Land == nil {
		rows.Open = append(rows.Open, stage.Open{Key: "land.fields", Who: stage.Planner, Stops: true,
			What:  units.Words("where liquid and sludge go, at which rate and at what cost of hauling"),
			Needs: units.Words("fields with area, distance, crop and expected yield, a soil test of phosphorus, and what keeps spreading away: wells, water, houses")})
		return nil, rows, nil
	}
	var f units.Faults
	spec := *s.Land
	spec.Weather = s.landWeather()
	r, err := land.Plan(spec)
	f.Sub("land", err)
	for _, o := range r.Open {
		o.Key = "land." + o.Key
		rows.Open = append(rows.Open, o)
	}
	return &r, rows, f.Err()
}

// weatherOpen says what is missing to the weather of a route that draws liquid off.
func (r *Results) weatherOpen(s *Scenario) {
	t := r.Taken()
	if t == nil || pumpOff(&t.Removal) < 0 || t.Drawdown != nil {
		return
	}
	needs := "rain and evaporation of each month, and storms to be reckoned with"
	if s.Weather != nil {
		needs = "the first day of work on the site"
	}
	r.Open = append(r.Open, stage.Open{Key: "weather", Who: stage.Planner,
		What: units.Words("how much rain has to be pumped and spread with the liquid, and how many days that takes"), Needs: units.Words(needs)})
}
