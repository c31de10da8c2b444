package plan

import (
	"errors"
	"slices"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// GeoJSON is the plan as a map in longitude and latitude (RFC 7946). The property "kind"
// says what a feature is: "basin" (inside top of the bank), "floor", "berm" (outer toe) and
// the places of the site; "field", "spreadable" and "setback"; and "placement", what goes on
// a field in a season with material, rate and amount, over the ground that may be spread on.
// What lies at no place that the scenario tells has a geometry of null. It is an error where
// neither the site nor the fields are tied to the Earth. Rates and amounts are numbers in the
// units of the system, which stand beside them.
func (p *Plan) GeoJSON(system units.System) ([]byte, error) {
	list, err := p.Results.Layout.features()
	if r := p.Results.Fields; r != nil && err == nil {
		var fields []land.MapFeature
		fields, err = r.MapFeatures()
		list = append(list, fields...)
	}
	if err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(list, func(x land.MapFeature) bool { return x.Geometry != nil }) {
		return nil, units.Fault(units.FaultMissing, "layout.origin", nil, "longitude and latitude of the origin of the site, or fields with a map")
	}
	for i, x := range p.Results.placements() {
		g, err := p.Results.Fields.Spreadable(x.Field)
		if err != nil {
			return nil, err
		}
		rate, rateUnit := system.Number(rateOf(x.Rate))
		amount, amountUnit := system.Number(amountOf(x.Amount))
		list = append(list, land.NewMapFeature(g, map[string]any{"kind": "placement", "number": i + 1, "field": x.Field, "season": x.Season, "material": x.Material,
			"rate": rate, "rateUnit": rateUnit, "amount": amount, "amountUnit": amountUnit}))
	}
	return land.Map(list)
}

// rateOf is the volume or the mass that a rate puts on an area.
func rateOf(r nutrient.Rate) units.Quantity {
	if v, ok := r.VolumePerArea(); ok {
		return v
	}
	m, _ := r.MassPerArea()
	return m
}

// amountOf is the volume or the mass of an amount.
func amountOf(a nutrient.Amount) units.Quantity {
	if v, ok := a.Volume(); ok {
		return v
	}
	m, _ := a.Mass()
	return m
}

// placements are what goes out: what is left from the day of the account on, else all.
func (r *Results) placements() []allocation.Placement {
	s := r.Rest
	if r.Account == nil {
		if t := r.Taken(); t != nil {
			s = &t.Spread
		}
	}
	if s == nil || s.Allocated == nil {
		return nil
	}
	return s.Allocated.Placements
}

// features are the basin and what stands around it; none where nothing ties them to the
// Earth.
func (l *LayoutResult) features() ([]land.MapFeature, error) {
	if l == nil || l.plane == nil {
		return nil, nil
	}
	var list []land.MapFeature
	var faults []error
	add := func(g *land.MapGeometry, err error, kind, name string) {
		faults = append(faults, err)
		list = append(list, land.NewMapFeature(g, map[string]any{"kind": kind, "name": name}))
	}
	area := func(kind, name string, rings ...plane.Polygon) {
		if len(rings) > 0 && len(rings[0]) > 0 {
			g, err := land.MapAreas(l.plane, []plane.Region{{Outer: rings[0], Holes: rings[1:]}})
			add(g, err, kind, name)
		}
	}
	area("basin", "inside top of the bank", l.Crest...)
	area("floor", "foot of the banks", l.Floor...)
	area("berm", "outer toe of the berm", l.BermToe)
	for _, x := range l.Places {
		if x.Closed {
			area(x.Kind, x.Name, x.Points)
			continue
		}
		g, err := land.MapLine(l.plane, x.Points)
		add(g, err, x.Kind, x.Name)
	}
	return list, errors.Join(faults...)
}
