package plan

import (
	"maps"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// Stream is what goes out as one material on one route, with what it holds.
type Stream struct {
	Material string             `json:"material"`           // by name; empty where no material of the scenario takes it
	Kind     removal.StreamKind `json:"kind,omitzero"`      // of the first of its streams; none for what the works bring
	Works    WorksKind          `json:"works,omitzero"`     // that it comes from
	Slurry   removal.Slurry     `json:"slurry"`             // as it lies in the basin, with the rain of the draw-off
	Analysis *nutrient.Analysis `json:"analysis,omitempty"` // by volume; nil where the laboratory has not told
}

// streams puts the streams of a route together by the materials that take them.
func streams(s *Scenario, in *Sampled, route *removal.RouteResult) []Stream {
	var list []Stream
	for i := range s.Materials {
		var of []removal.Stream
		for _, x := range route.Streams {
			if x.Material.Volume > 0 && slices.Contains(s.Materials[i].Streams, x.Kind) {
				of = append(of, x)
			}
		}
		if of != nil {
			list = append(list, together(in, s.Materials[i].Name, of))
		}
	}
	for _, x := range route.Streams {
		if x.Material.Volume > 0 && !slices.ContainsFunc(s.Materials, func(m Material) bool { return slices.Contains(m.Streams, x.Kind) }) {
			list = append(list, together(in, "", []removal.Stream{x}))
		}
	}
	return list
}

// together is several streams as one.
func together(in *Sampled, name string, of []removal.Stream) Stream {
	out := Stream{Material: name, Kind: of[0].Kind, Slurry: of[0].Material}
	for _, x := range of[1:] {
		m := &out.Slurry
		m.Volume, m.Mass = m.Volume+x.Material.Volume, m.Mass+x.Material.Mass
		m.Dry, m.Water = m.Dry+x.Material.Dry, m.Water+x.Material.Water
	}
	out.settle()
	if len(of[0].Constituents) == 0 {
		return out
	}
	a := in.analysis(out.Slurry, func(name string) (sum units.Mass) {
		for _, x := range of {
			c, _ := x.Of(name)
			sum += c.Mass
		}
		return sum
	})
	out.Analysis = &a
	return out
}

// settle sets the figures of a slurry that follow from its volume and its masses.
func (s *Stream) settle() {
	m := &s.Slurry
	m.Solids = m.Dry.OverMass(m.Mass)
	m.Gravity = float64(m.Mass.OverVolume(m.Volume) / m.WaterDensity)
}

// diluted adds clean water, such as the rain of the days on which a stream is pumped, or
// takes water away where less than 0 (evaporation), down to a tenth of what there was.
func (s Stream) diluted(water units.Volume) Stream {
	water = max(water, -0.9*s.Slurry.Volume)
	if s.Slurry.Volume == 0 || water == 0 {
		return s
	}
	m := &s.Slurry
	scale := m.Volume / (m.Volume + water)
	mass := m.WaterDensity.Times(water)
	m.Volume, m.Water, m.Mass = m.Volume+water, m.Water+mass, m.Mass+mass
	s.settle()
	if s.Analysis == nil {
		return s
	}
	a := turned(*s.Analysis, func(c nutrient.Content) nutrient.Content {
		of, _ := c.Concentration()
		return nutrient.LiquidContent(units.Concentration(scale) * of)
	})
	a.Density = m.Density()
	s.Analysis = &a
	return s
}

// more adds as much again of what the stream is, such as wastewater that still comes in.
func (s Stream) more(of units.Volume) Stream {
	if s.Slurry.Volume == 0 || of == 0 {
		return s
	}
	m, k := &s.Slurry, units.Mass(1+of/s.Slurry.Volume)
	m.Volume, m.Mass, m.Dry, m.Water = m.Volume+of, k*m.Mass, k*m.Dry, k*m.Water
	return s
}

// turned is an analysis with each content turned into another.
func turned(a nutrient.Analysis, turn func(nutrient.Content) nutrient.Content) nutrient.Analysis {
	for _, c := range []*nutrient.Content{&a.Solids, &a.TotalN, &a.OrganicN, &a.AmmoniumN, &a.NitrateN, &a.P, &a.K} {
		*c = turn(*c)
	}
	a.Elements = maps.Clone(a.Elements)
	for e, c := range a.Elements {
		a.Elements[e] = turn(c)
	}
	return a
}

// in returns what a stream holds in the form in which the material is handled, and how
// much there is of it.
func (s Stream) in(form nutrient.Form) (nutrient.Analysis, nutrient.Amount, error) {
	var f units.Faults
	amount, err := nutrient.LiquidAmount(s.Slurry.Volume).As(form, s.Analysis.Density)
	f.Sub("", err)
	if form == nutrient.Liquid {
		return *s.Analysis, amount, f.Err()
	}
	a := turned(*s.Analysis, func(c nutrient.Content) nutrient.Content {
		if c.IsZero() {
			return c
		}
		c, err := c.As(form, s.Analysis.Density)
		f.Sub("", err)
		return c
	})
	a.Form = form
	return a, amount, f.Err()
}
