package land

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Shapes is a field as a map shows it, in local coordinates.
type Shapes struct {
	Outline []plane.Region `json:"outline"` // of the whole field
	Kept    []plane.Region `json:"kept"`    // that may be spread on, with chords for arcs
	Taken   []plane.Region `json:"taken"`   // within setbacks, with chords for arcs
}

// FeatureOff is what one feature takes of one field.
type FeatureOff struct {
	Feature string       `json:"feature"`
	Kind    string       `json:"kind"`
	Setback units.Length `json:"setback"`
	Within  units.Area   `json:"within"` // its setback
	Only    units.Area   `json:"only"`   // its setback and that of no other feature
}

const (
	mostFeatures = 1000
	// chords is how far chords that stand for arcs on the map may be from them.
	chords = 0.1 * units.Foot
	// sameArea is how far the area told and that of the outline may be apart.
	sameArea = 0.05
)

// setback is a feature that is ready to be kept off.
type setback struct {
	Feature
	distance units.Length
}

// features reads the map and finds the distance of each feature.
func (p *planner) features() {
	s, f := p.spec, &p.f
	local := slices.ContainsFunc(s.Fields, func(x Field) bool { return len(x.Outline) > 0 }) || len(s.Features) > 0
	if s.Origin != nil {
		var err error
		p.r.plane, err = sludge.NewTangentPlane(sludge.TangentPlaneSpec{Origin: *s.Origin})
		f.Sub("", err)
	}
	m, err := readMap(s.Map, p.r.plane)
	f.Sub("map", err)
	if s.Map != nil && s.Origin == nil && local {
		f.Missing("origin", "where the local coordinates have their origin, since the map is in longitude and latitude")
	}
	if p.r.plane == nil {
		p.r.plane = m.plane
	}
	p.outlines = m.fields
	for i, x := range s.Fields {
		if _, both := p.outlines[x.Name]; both && len(x.Outline) > 0 {
			at := f.At("fields", i)
			at.Say("outline", "on the map too", "one outline")
		}
	}
	for _, name := range m.names {
		if !slices.ContainsFunc(s.Fields, func(x Field) bool { return x.Name == name }) {
			f.Fault(units.FaultName, "map", name, "a field of the map that is among fields, by its name")
		}
	}
	list := slices.Concat(s.Features, m.features)
	f.CountBetween("features", len(list), "features with those of the map", 0, mostFeatures)
	for i := range list[:min(len(list), mostFeatures)] {
		x := list[i]
		field, n := "features", i
		if i >= len(s.Features) {
			field, n = "map.features", m.at[i-len(s.Features)]
		}
		at := f.At(field, n)
		if x.Kind == "" {
			at.Missing("kind", "what it is, such as stream, well, ditch or house")
		}
		b := setback{Feature: x}
		d, ok := s.SetbackTable[x.Kind]
		switch {
		case x.Setback != nil:
			b.distance = *x.Setback
		case ok:
			b.distance = d
		default:
			p.r.Open = append(p.r.Open, stage.Open{Key: "features." + cmp.Or(x.Name, x.Kind), Who: stage.Regulator, Stops: true,
				What:  units.Words("how far spreading keeps from %s: nothing is taken off for it", units.Word(cmp.Or(x.Name, x.Kind))),
				Needs: units.Words("the distance that the rule in force asks of a %s, by the method of spreading", units.Word(x.Kind))})
			continue
		}
		p.setbacks = append(p.setbacks, b)
	}
}

// area finds what setbacks leave of a field, by its outline where it has one.
func (p *planner) area(f *units.Faults, in *Field, out *FieldResult) {
	outline := in.Outline
	if m, ok := p.outlines[in.Name]; ok {
		outline = m
	}
	if len(outline) == 0 {
		f.Between("area", in.Area, 0.01*units.Acre, units.Area(mostField))
		f.Between("setback", in.Setback, units.Area(0), max(0, in.Area))
		out.Whole, out.Off, out.Area = in.Area, in.Setback, in.Area-in.Setback
		if len(p.setbacks) > 0 && in.Setback == 0 {
			p.open("fields."+in.Name+".outline", stage.Planner, units.Words("how much of %s lies within setbacks: nothing is taken off", units.Word(in.Name)), "its outline, or the area within the setbacks")
		}
		return
	}
	if in.Setback != 0 {
		f.Say("setback", "given beside an outline", "an outline with features, or an area")
	}
	spec := plane.SetbacksSpec{Areas: outline, Tolerance: chords}
	for _, b := range p.setbacks {
		spec.Setbacks = append(spec.Setbacks, plane.Setback{Points: b.Points, Closed: b.Closed, Distance: b.distance})
	}
	r, err := plane.Setbacks(spec)
	for _, x := range units.FieldErrors(err) {
		p.shapeFault(f, x)
	}
	if err != nil {
		return
	}
	if in.Area != 0 && !(math.Abs(float64(in.Area/r.Whole-1)) <= sameArea) {
		f.Fault(units.FaultConflict, "area", in.Area, "none, or the %v of the outline within %v", r.Whole, units.Share(sameArea))
	}
	out.Whole, out.Off, out.Area = r.Whole, r.Off, r.Left
	out.Shapes = &Shapes{Outline: outline, Kept: r.Kept, Taken: r.Taken}
	for i, b := range p.setbacks {
		if r.Each[i] > 0 {
			out.OffBy = append(out.OffBy, FeatureOff{Feature: b.Name, Kind: b.Kind, Setback: b.distance, Within: r.Each[i], Only: r.Only[i]})
		}
	}
}

// shapeFault puts a fault of the shapes where the caller finds it; one of a feature is
// told once.
func (p *planner) shapeFault(f *units.Faults, x *units.FieldError) {
	var i int
	var rest string
	if n, _ := fmt.Sscanf(x.Field, "setbacks[%d]%s", &i, &rest); n > 0 && i < len(p.setbacks) {
		if !p.told[i] {
			p.told[i] = true
			p.f.Sub("features", x.At(p.setbacks[i].Name+rest))
		}
		return
	}
	if rest, ok := cutPrefix(x.Field, "areas"); ok {
		f.Sub("outline", x.At(rest))
		return
	}
	f.Sub("", x)
}

func cutPrefix(s, prefix string) (string, bool) {
	if len(s) < len(prefix) || s[:len(prefix)] != prefix {
		return s, false
	}
	return s[len(prefix):], true
}
