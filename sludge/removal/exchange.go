package removal

import (
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// ExchangeKind is how water comes to the basin or leaves it while it is emptied.
type ExchangeKind = units.Enum[exchangeWords]

const (
	// ExchangeRain, "rain", comes as clean water, unless contents are given.
	ExchangeRain ExchangeKind = iota + 1
	// ExchangeInflow, "inflow", comes from the herd or a yard that stays in use, with contents.
	ExchangeInflow
	// ExchangeEvaporation, "evaporation", leaves as water alone; what it held stays. Ammonia that goes
	// with it is not counted.
	ExchangeEvaporation
)

var exchangeNames = units.Names{"", "rain", "inflow", "evaporation"}

type exchangeWords struct{}

func (exchangeWords) Names() units.Names { return exchangeNames }

// Exchange is water that joins a stage or leaves it: rain, evaporation, inflow that
// goes on where the herd stays, and what came in since the survey.
type Exchange struct {
	Name   string             `json:"name"`             // for people, such as rain of the draw-off
	Kind   ExchangeKind       `json:"kind"`             // rain, inflow or evaporation
	Route  Route              `json:"route,omitzero"`   // on which it comes; left out: on every route
	Stage  StageKind          `json:"stage,omitzero"`   // that it joins: pump off, pump, drain or dig; left out: the liquid, before the work
	Volume units.Volume       `json:"volume"`           // 0 to 1e9 m3
	Solids units.MassFraction `json:"solids,omitempty"` // of what comes in
	// Contents are what it holds, by the names of the constituents. Inflow tells all of
	// them, 0 where it holds none; rain holds none of those that are left out.
	Contents map[string]units.Concentration `json:"contents,omitempty"`
}

// checkExchanges records what is wrong with the exchanges.
func (spec PlanSpec) checkExchanges(f *units.Faults) {
	if n := len(spec.Exchanges); n > mostNames {
		f.Count("exchanges", n, "exchanges", "at most %v", mostNames)
		return
	}
	names := map[string]bool{}
	for _, c := range spec.Constituents {
		names[c.Name] = true
	}
	for i, x := range spec.Exchanges {
		f := f.At("exchanges", i)
		if strings.TrimSpace(x.Name) == "" {
			f.Missing("name", "words for it, such as rain of the draw-off")
		}
		if !exchangeNames.Has(int(x.Kind)) {
			f.Unknown("kind", x.Kind, exchangeNames)
		}
		if x.Route != 0 && !routeNames.Has(int(x.Route)) {
			f.Unknown("route", x.Route, routeNames)
		}
		switch x.Stage {
		case 0, StagePumpOff, StageDrain, StageDig:
		case StagePump:
			if x.Route == RouteDrawOffDig || spec.Agitate == nil {
				f.Add("stage", x.Stage, "a stage of the route, which pumps no slurry")
			}
		default:
			f.Add("stage", x.Stage, "pump off, pump, drain or dig")
		}
		f.ZeroOr("volume", x.Volume, minVolume, maxVolume)
		checkSolids(&f, "solids", x.Solids)
		if x.Kind == ExchangeEvaporation && (x.Solids != 0 || len(x.Contents) > 0) {
			f.Say("contents", "given for evaporation", "water alone, without solids and contents")
		}
		for _, name := range slices.Sorted(maps.Keys(x.Contents)) {
			f := f.Named("contents", name)
			if !names[name] {
				f.Say("", "no constituent of the plan", "a name of the constituents")
			}
			f.ZeroOr("", x.Contents[name], minContent, 900*units.GramPerLitre)
		}
		for _, c := range spec.Constituents {
			if _, ok := x.Contents[c.Name]; !ok && x.Kind == ExchangeInflow {
				f := f.Named("contents", c.Name)
				f.Missing("", "what the inflow holds, 0 where it holds none")
			}
		}
	}
}

// hasLiquid reports whether any liquid other than the sludge comes into the plan.
func (spec PlanSpec) hasLiquid() bool { return spec.Contents > 0 || spec.Liquid > 0 }

// exchange adds to b what joins a stage on a route, and takes off what evaporates; r
// counts both.
func (p *planner) exchange(r *RouteResult, stage StageKind, b body) body {
	for i, x := range p.spec.Exchanges {
		if x.Stage != stage || x.Route != 0 && x.Route != r.Route || x.Volume == 0 {
			continue
		}
		if x.Kind != ExchangeEvaporation {
			in := b.only(p.slurry(x.Volume, x.Solids))
			for j, c := range p.spec.Constituents {
				in.held[j].water = noSign(x.Contents[c.Name].Times(x.Volume))
			}
			b = b.with(in)
			r.Joined = r.Joined.with(in.Slurry)
			r.in(in)
			continue
		}
		vapour := b.WaterDensity.Times(x.Volume)
		if !(vapour < b.Water) {
			f := p.faults.At("exchanges", i)
			f.Add("volume", x.Volume, "less than the water of the stage that it leaves, %v", b.Water.OverDensity(b.WaterDensity))
			continue
		}
		b.Slurry = b.of(b.Dry, b.Water-vapour)
		r.Evaporated += x.Volume
	}
	return b
}
