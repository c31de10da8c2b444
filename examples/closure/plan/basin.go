package plan

import (
	"fmt"
	"slices"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// The fewest soundings of a plan, how many places it names to sound next, and how
// far a sounding may find the hard floor below that of the basin.
const (
	fewest        = 3
	nextSoundings = 3
	belowFloor    = units.Foot
)

// holds works out the basin, the sludge in it with its interval, and the liquid
// over it.
func (p *planner) holds() bool {
	s := p.s
	var err error
	p.Basin, err = volume.NewRectangular(s.Basin)
	ok := p.try("basin", err)
	p.Survey, err = sludge.NewSurvey(s.Survey)
	ok = p.try("survey", err) && ok
	if ok {
		p.faults.Between("liquidDepth", s.LiquidDepth, units.Length(0), p.Basin.Depth())
	}
	p.faults.NumberBetween("confidence", s.Confidence, 0.5, 0.999)
	if !ok || p.faults.Err() != nil {
		return false
	}
	if n := p.Survey.N(); n < fewest {
		p.faults.Say("survey.soundings", fmt.Sprint(n), fmt.Sprintf("%d places or more, since the plan rests on an interval", fewest))
		return false
	}
	for _, r := range p.Survey.Readings() {
		if r.HasDepths && r.ToFloor > s.LiquidDepth+belowFloor {
			p.faults.Add(fmt.Sprintf("survey.soundings[%d].toFloor", r.Index), r.ToFloor, "at most "+belowFloor.Trade()+" more than liquidDepth, "+s.LiquidDepth.Trade())
		}
	}
	if p.faults.Err() != nil {
		return false
	}
	v := &p.r.Sludge
	v.Volume, err = sludge.VolumeWithInterval(p.Survey, sludge.VolumeSpec{Confidence: s.Confidence})
	ok = p.try("survey", err)
	p.tin, err = sludge.NewTIN(p.Survey, sludge.TINSpec{Edge: sludge.EdgeNearest})
	ok = p.try("survey", err) && ok
	if !ok {
		return false
	}
	v.TIN = p.tin.Volume()
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
	if v.Volume.Kriged != nil {
		boundary, islands := p.Survey.Boundary()
		v.Next, err = v.Volume.Kriged.Kriging().Next(geostat.NextSpec{Block: geostat.BlockSpec{Boundary: boundary, Islands: islands}, Most: nextSoundings})
		ok = p.try("survey", err)
	} else {
		gaps, err := p.Survey.Gaps(sludge.GapsSpec{Most: nextSoundings})
		ok = p.try("survey", err)
		v.Gaps = &gaps
	}
	contents := p.Basin.VolumeAt(s.LiquidDepth)
	if contents <= v.Volume.Volume {
		p.faults.Add("liquidDepth", s.LiquidDepth, fmt.Sprintf("a depth that holds more than the sludge: %s hold %s, the sludge is %s", s.LiquidDepth.Trade(), gallons(contents), gallons(v.Volume.Volume)))
		return false
	}
	b := &p.r.Basin
	b.Stages, err = volume.StageStorage(p.Basin, units.Foot)
	ok = p.try("basin", err) && ok
	b.Layers, err = volume.Layers(volume.LayersSpec{
		Basin:     p.Basin,
		FromFloor: []volume.LayerSpec{{Name: "sludge", Volume: v.Volume.Volume}, {Name: "liquid", Volume: contents - v.Volume.Volume}},
		FromTop:   []volume.LayerSpec{{Name: "freeboard", Thickness: p.Basin.Depth() - s.LiquidDepth}},
	})
	ok = p.try("liquidDepth", err) && ok
	if ok {
		b.Liquid = b.Layers.Layers[1].Volume
	}
	return ok
}

func gallons(v units.Volume) string { return v.Text(units.Gallon, 0) }
