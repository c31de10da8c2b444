package plan

import (
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// carried is a constituent that is followed from the basin to the streams, by its name
// and its place in an analysis.
type carried struct {
	name string
	of   func(*nutrient.Analysis) *nutrient.Content
	// solids says that it sits on the solids; else the water of the sludge holds as much
	// of it as the liquid.
	solids bool
}

// followed lists the constituents apart from metals. Organic N and P sit on the solids
// (common practice, no source); how much ammonium and potassium is dissolved follows from
// the liquid.
var followed = []carried{
	{"organic N", func(a *nutrient.Analysis) *nutrient.Content { return &a.OrganicN }, true},
	{"ammonium N", func(a *nutrient.Analysis) *nutrient.Content { return &a.AmmoniumN }, false},
	{"nitrate N", func(a *nutrient.Analysis) *nutrient.Content { return &a.NitrateN }, false},
	{"P", func(a *nutrient.Analysis) *nutrient.Content { return &a.P }, true},
	{"K", func(a *nutrient.Analysis) *nutrient.Content { return &a.K }, false},
}

// metalName is the name of a metal among the constituents.
func metalName(e nutrient.Element) string { return "metal " + e.String() }

// constituents is what the laboratory found in liquid and sludge, as the removal follows
// it; none unless both were sampled.
func (in *Sampled) constituents() []removal.Constituent {
	if in.Effluent == nil || in.Sludge == nil {
		return nil
	}
	liquid, sludge := &in.Effluent.Analysis, &in.Sludge.Analysis
	content := func(c nutrient.Content) removal.Content {
		x, _ := c.Concentration() // reports of the basin are by volume
		return removal.Content{PerVolume: &x}
	}
	list := make([]removal.Constituent, 0, len(followed)+len(sludge.Elements))
	add := func(name string, l, s nutrient.Content, solids bool) {
		c := removal.Constituent{Name: name, Liquid: content(l), Sludge: content(s)}
		if solids {
			c.WithWater = new(0.0)
		}
		list = append(list, c)
	}
	for _, c := range followed {
		add(c.name, *c.of(liquid), *c.of(sludge), c.solids)
	}
	for _, e := range in.metals {
		add(metalName(e), liquid.Elements[e], sludge.Elements[e], true)
	}
	return list
}

// analysis is what a stream holds, by volume as it lies in the basin.
func (in *Sampled) analysis(m removal.Slurry, mass func(name string) units.Mass) nutrient.Analysis {
	per := func(x units.Mass) nutrient.Content { return nutrient.LiquidContent(x.Dissolved(m.Volume)) }
	a := nutrient.Analysis{Form: nutrient.Liquid, Oxides: in.Sludge.Analysis.Oxides, Density: m.Density(), Solids: per(m.Dry)}
	var n units.Mass
	for i, c := range followed {
		x := mass(c.name)
		*c.of(&a) = per(x)
		if i < 3 {
			n += x
		}
	}
	a.TotalN = per(n)
	if len(in.metals) > 0 {
		a.Elements = make(map[nutrient.Element]nutrient.Content, len(in.metals))
		for _, e := range in.metals {
			a.Elements[e] = per(mass(metalName(e)))
		}
	}
	return a
}

// removed works out the routes by the library, without the land. Where the volumes are
// not known, any find the faults of the spec.
func removed(s *Scenario, c *Contents, in *Sampled) (*removal.PlanResult, stage.Rows, error) {
	var f units.Faults
	var rows stage.Rows
	if s.Removal == nil {
		rows.Open = append(rows.Open, stage.Open{Key: "removal", Who: stage.Contractor, Stops: true,
			What:  units.Words("how liquid and sludge are taken out, in how many days and at what cost"),
			Needs: units.Words("pumps, trucks and diggers with their rates and prices, the solids of the sludge, and what agitation leaves behind")})
		return nil, rows, nil
	}
	at := f.At("removal")
	spec := s.Removal.PlanSpec
	for _, x := range []struct {
		field string
		given bool
	}{{"sludge", spec.Sludge != 0}, {"contents", spec.Contents != 0}, {"liquid", spec.Liquid != 0}, {"interval", spec.Interval != nil}, {"constituents", spec.Constituents != nil}} {
		if x.given {
			at.Say(x.field, "given", "left out: the plan finds it in the basin and the reports")
		}
	}
	spec.Liquid, spec.Constituents = 0, in.constituents()
	if spec.Solids == 0 && in.Sludge != nil {
		spec.Solids = share(&in.Sludge.Analysis)
	}
	if spec.LiquidSolids == 0 && in.Effluent != nil {
		spec.LiquidSolids = share(&in.Effluent.Analysis)
	}
	known := c.Sludge != nil && c.Liquid != nil
	if known {
		spec.Sludge, spec.Contents, spec.Interval = c.Sludge.Volume, c.Held, c.Sludge.Interval
		if spec.Floor == 0 {
			spec.Floor = c.floor()
		}
		if i := spec.Interval; i != nil {
			spec.Interval = &units.Range[units.Volume]{Low: i.Low, High: min(i.High, c.Held)}
		}
	} else {
		spec.Sludge, spec.Contents, spec.Interval = 100, 1000, nil
	}
	r, err := removal.Plan(spec)
	open, err := untold(&spec, err)
	rows.Open = append(rows.Open, open...)
	at.Sub("", err)
	if err == nil && open == nil && s.Removal.Route != 0 && !slices.ContainsFunc(r.Best().Routes, func(x removal.RouteResult) bool { return x.Route == s.Removal.Route }) {
		at.Add("route", s.Removal.Route, "a route that the spec describes")
	}
	if !known || open != nil || f.Err() != nil {
		return nil, rows, f.Err()
	}
	rows.Cautions = r.Cautions
	return &r, rows, nil
}

// untold returns an open point for each of the machines that spec has not, and the faults
// of err that are not about those.
func untold(spec *removal.PlanSpec, err error) (open []stage.Open, rest error) {
	var f units.Faults
	faults := units.FieldErrors(err)
	for _, x := range []struct {
		part        string
		by          removal.Equipment
		what, needs units.Phrase
	}{
		{"pumpOff", spec.PumpOff, units.Words("with what the liquid is pumped off"), units.Words("a hose or tankers with their rates and prices")},
		{"dig", spec.Dig.Equipment, units.Words("with what the sludge is dug"), units.Words("diggers and trucks with their rates and prices, and how much the sludge swells")},
	} {
		if x.by.Fleet != nil || x.by.Hose != nil {
			continue
		}
		open = append(open, stage.Open{Key: "removal." + x.part, Who: stage.Contractor, Stops: true, What: x.what, Needs: x.needs})
		faults = slices.DeleteFunc(faults, func(e *units.FieldError) bool {
			part, _, _ := strings.Cut(e.Field, ".")
			return part == x.part && (e.Kind == units.FaultMissing || e.Field == "dig.swell" && spec.Dig.Swell == 0)
		})
	}
	for _, e := range faults {
		f.Sub("", e)
	}
	return open, f.Err()
}

// floor is the ground that sludge lies on: of a basin whose banks meet below, the area at
// the top of the sludge.
func (c *Contents) floor() units.Area {
	if area := c.Solid.AreaAt(0); area > 0 {
		return area
	}
	top, err := volume.HeightFor(c.Solid, c.Sludge.Volume)
	if err != nil {
		return 0
	}
	return c.Solid.AreaAt(top)
}

// share is the solids of a material by weight.
func share(a *nutrient.Analysis) units.MassFraction {
	solids, _ := a.Solids.Concentration()
	return solids.OverDensity(a.Density)
}
