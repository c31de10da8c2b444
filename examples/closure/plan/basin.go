package plan

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// The fewest soundings of a plan, how many places it names to sound next, and how
// far a sounding may find the hard floor below that of the basin.
const (
	fewest        = 4
	nextSoundings = 3
	belowFloor    = units.Foot
)

// holds works out the basin, the sludge in it with its interval, and the liquid
// over it.
func (p *planner) holds(ctx context.Context) bool {
	s, d := p.s, p.other
	var err error
	p.Basin, err = volume.NewRectangular(s.Basin)
	basin := p.try("basin", err)
	spec := s.Survey
	if spec.Sides == sludge.SidesBanks && basin && s.LiquidDepth > 0 {
		spec.Floor = p.floor()
	}
	p.Survey, err = sludge.NewSurvey(spec)
	survey := p.try("survey", err)
	ok := p.sound(func() { p.faults.NumberBetween("confidence", s.Confidence, 0.5, 0.999) })
	if !ok {
		s.Confidence = d().s.Confidence
	}
	p.level = s.LiquidDepth
	level := p.sound(func() {
		if basin {
			p.faults.Between("liquidDepth", p.level, units.Length(0), p.Basin.Depth())
		}
		p.faults.Positive("liquidDepth", p.level)
	})
	if survey {
		survey = p.sound(func() { p.soundings(level) })
	}
	if basin && survey && level {
		survey = p.sound(p.surveyFits)
	}
	if basin && survey && level && p.contents(ctx) {
		return ok
	}
	if !basin {
		p.Basin = d().Basin
	}
	p.Survey, p.tin, p.Bands = d().Survey, d().tin, d().Bands
	p.r.Sludge, p.r.Basin, p.held = d().r.Sludge, d().r.Basin, d().held
	return false
}

// soundings checks what the survey measured; level says that the liquid is known.
func (p *planner) soundings(level bool) {
	if n := p.Survey.N(); n < fewest {
		p.faults.Count("survey.soundings", n, "places", "%v or more, since the plan rests on an interval", fewest)
	}
	for _, r := range p.Survey.Readings() {
		if level && r.HasDepths && r.ToFloor > p.level+belowFloor {
			p.faults.Add(fmt.Sprintf("survey.soundings[%d].toFloor", r.Index), r.ToFloor, "at most %v more than liquidDepth, %v", belowFloor, p.level)
		}
	}
}

// contents works out the sludge and the liquid over it.
func (p *planner) contents(ctx context.Context) bool {
	s, v := p.s, &p.r.Sludge
	spec := s.Estimate
	spec.Volume.Confidence = cmp.Or(spec.Volume.Confidence, s.Confidence)
	spec.Most = cmp.Or(spec.Most, nextSoundings)
	next, err := sludge.Next(ctx, p.Survey, spec)
	ok := p.try("estimate", err)
	v.Volume, v.Next = next.Volume, next.Places
	if ok && v.Volume.Interval == nil {
		want := units.Words("banks or vertical, with soundings that have a thickness, since the plan rests on an interval")
		for _, note := range v.Volume.Notes {
			want = want.And("; %v", note)
		}
		p.faults.Add("survey.sides", s.Survey.Sides, want.Text, want.Args...)
		return false
	}
	edge := sludge.EdgeNearest
	if s.Survey.Sides == sludge.SidesBanks {
		edge = sludge.EdgeZero
	}
	p.tin, err = sludge.NewTIN(p.Survey, sludge.TINSpec{Edge: edge})
	if ok = p.try("survey", err) && ok; !ok {
		return false
	}
	v.TIN, err = sludge.SurfaceVolume(ctx, p.Survey, sludge.SurfaceVolumeSpec{Surface: p.tin})
	if !p.try("survey", err) {
		return false
	}
	const step = units.Foot / 2
	var levels []units.Length
	for h := step; h < slices.Max(p.Survey.Thicknesses()); h += step {
		levels = append(levels, h)
	}
	contours, err := p.tin.Contours(levels)
	if !p.try("survey", err) {
		return false
	}
	p.Bands = contours.Bands
	contents := p.Basin.VolumeAt(p.level)
	p.held = contents
	if contents <= v.Volume.Volume {
		p.faults.Add("liquidDepth", p.level, "a depth that holds more than the sludge: %v hold %v, the sludge is %v", p.level, contents, v.Volume.Volume)
		return false
	}
	b := &p.r.Basin
	b.Stages, err = volume.StageStorage(volume.StageStorageSpec{Basin: p.Basin, Step: units.Foot})
	ok = p.try("basin", err) && ok
	b.Layers, err = volume.Layers(volume.LayersSpec{
		Basin:     p.Basin,
		FromFloor: []volume.LayerSpec{{Name: "sludge", Volume: v.Volume.Volume}, {Name: "liquid", Volume: contents - v.Volume.Volume}},
		FromTop:   []volume.LayerSpec{{Name: "freeboard", Thickness: p.Basin.Depth() - p.level}},
	})
	if ok = p.try("liquidDepth", err) && ok; ok {
		b.Liquid = b.Layers.Layers[1].Volume
		p.r.Doubts = p.doubts()
	}
	return ok
}

// floor is the floor of the basin under the survey, whose boundary is the waterline:
// nil where the boundary is no waterline, which the survey tells itself. Its edges have
// the slope of the bank that they face: start and end of the length are west and east,
// left and right of the width south and north.
func (p *planner) floor() sludge.Floor {
	slopes := p.Basin.Slopes()
	spec := sludge.SlopedFloorSpec{Waterline: p.s.Survey.Boundary, Islands: p.s.Survey.Islands, Depth: p.s.LiquidDepth}
	turn := 1.0
	if spec.Waterline.SignedArea() < 0 {
		turn = -1
	}
	for i, a := range spec.Waterline {
		b := spec.Waterline[(i+1)%len(spec.Waterline)]
		outX, outY := turn*float64(b.Y-a.Y), -turn*float64(b.X-a.X)
		bank := 0 // west
		switch {
		case math.Abs(outX) >= math.Abs(outY) && outX > 0:
			bank = 1
		case math.Abs(outX) < math.Abs(outY) && outY < 0:
			bank = 2
		case math.Abs(outX) < math.Abs(outY):
			bank = 3
		}
		spec.Slopes = append(spec.Slopes, slopes[bank])
	}
	floor, err := sludge.NewSlopedFloor(spec)
	if err != nil {
		return nil
	}
	return floor
}
