package plan

import (
	"cmp"
	"context"
	"math"
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// Contents is what the basin is and what stands in it.
type Contents struct {
	stage.Rows `json:"-"`
	Solid      volume.Basin         `json:"-"`               // the basin
	Depth      units.Length         `json:"depth"`           // of the basin
	Stages     volume.StageTable    `json:"stages"`          // stage and storage
	Level      *units.Length        `json:"level,omitempty"` // of the liquid over the lowest point of the floor; nil: nobody read it
	Held       units.Volume         `json:"held"`            // liquid and sludge; 0 without a level
	Sludge     *SludgeResult        `json:"sludge,omitempty"`
	Liquid     *units.Volume        `json:"liquid,omitempty"` // over the sludge; nil without either
	Layers     *volume.LayersResult `json:"layers,omitempty"` // drawn as if the sludge lay level
}

// SludgeResult is how much sludge there is and how sure that is.
type SludgeResult struct {
	Volume   units.Volume                `json:"volume"`              // best figure
	Interval *units.Range[units.Volume]  `json:"interval,omitempty"`  // nil: nobody knows how sure
	Firm     bool                        `json:"firm"`                // Interval holds Volume with the confidence of the scenario
	From     units.Phrase                `json:"from"`                // what it rests on
	Estimate *sludge.VolumeResult        `json:"estimate,omitempty"`  // of the soundings
	Next     []sludge.NextSounding       `json:"next,omitempty"`      // places to sound next
	TIN      *sludge.SurfaceVolumeResult `json:"triangles,omitempty"` // of the soundings, cut at the floor
	Survey   *sludge.Survey              `json:"-"`
	Bands    []sludge.Band               `json:"-"` // of thickness, for a map
	Doubts   []units.Phrase              `json:"doubts,omitempty"`
}

// Bounds of an elevation that no site reaches.
const (
	lowestSite  = -500 * units.Metre
	highestSite = 9000 * units.Metre
)

// confidence is that of the scenario, or the usual one where it is left out or at fault.
func (s *Scenario) confidence() float64 {
	if c := s.Confidence; c >= leastConfidence && c <= mostConfidence {
		return c
	}
	return 0.95
}

// Bounds of a confidence on which anybody plans.
const (
	leastConfidence = 0.5
	mostConfidence  = 0.999
)

// contents works out the basin, the sludge in it with its interval, and the liquid
// over it.
func contents(ctx context.Context, s *Scenario) (Contents, error) {
	var c Contents
	var f units.Faults
	in := f.At("basin")
	var err error
	if c.Solid, err = volume.NewBasin(s.Basin.BasinSpec); err != nil {
		in.Sub("", err)
		c.Solid = nil
	} else {
		c.Depth = c.Solid.Depth()
		c.Stages, err = volume.StageStorage(volume.StageStorageSpec{Basin: c.Solid, Step: stageStep(c.Depth)})
		in.Sub("", err)
	}
	c.Level = level(&in, &s.Basin, c.Depth)
	if c.Level == nil && in.Err() == nil {
		c.Open = append(c.Open, stage.Open{Key: "basin.liquidDepth", Who: stage.Producer,
			What:  units.Words("how much liquid has to go, and the routes that need it"),
			Needs: units.Words("the depth, the elevation or the freeboard of the liquid, read at a marker on the day of the survey")})
	}
	if c.Level != nil && c.Solid != nil {
		c.Held = c.Solid.VolumeAt(*c.Level)
	}
	if s.Sludge == nil {
		c.Open = append(c.Open, noSludge)
	} else if err := c.sludge(ctx, s); err != nil {
		f.Sub("sludge", err)
	}
	if f.Err() == nil {
		f.Sub("", c.divide())
	}
	return c, f.Err()
}

var noSludge = stage.Open{Key: "sludge", Who: stage.Planner, Stops: true,
	What:  units.Words("how much sludge lies in the basin: no route, load, field or cost of it is planned"),
	Needs: units.Words("soundings of the sludge top and the floor on a grid, 12 or more places with some on the banks, by two people from a boat; or a volume from a survey that was made")}

// stageStep is the step of the stage table: about a foot, in the number of steps that a
// page holds.
func stageStep(depth units.Length) units.Length {
	step := units.Foot
	for depth > 40*step {
		step *= 2
	}
	for depth < 4*step {
		step /= 2
	}
	return step
}

// level reads how high the liquid stands over the lowest point of the floor; depth 0
// stands for a basin that is not known.
func level(f *units.Faults, b *Basin, depth units.Length) *units.Length {
	if b.Floor != nil {
		f.Between("floorElevation", *b.Floor, lowestSite, highestSite)
	}
	ways := 0
	for _, way := range []*units.Length{b.LiquidDepth, b.LiquidLevel, b.Freeboard} {
		if way != nil {
			ways++
		}
	}
	if ways > 1 {
		f.Count("liquidDepth", ways, "ways", "1 of liquidDepth, liquidLevel and freeboard")
		return nil
	}
	most := cmp.Or(depth, units.Length(1000))
	before := f.Len()
	var h units.Length
	switch {
	case b.LiquidDepth != nil:
		h = *b.LiquidDepth
		f.UpTo("liquidDepth", h, most)
	case b.Freeboard != nil:
		f.Between("freeboard", *b.Freeboard, units.Length(0), most)
		h = depth - *b.Freeboard
	case b.LiquidLevel != nil && b.Floor == nil:
		f.Missing("floorElevation", "the elevation of the lowest point of the floor, which liquidLevel is held against")
	case b.LiquidLevel != nil:
		h = *b.LiquidLevel - *b.Floor
		if depth > 0 {
			f.Between("liquidLevel", *b.LiquidLevel, *b.Floor, *b.Floor+depth)
		}
	default:
		return nil
	}
	if f.Len() > before || depth == 0 {
		return nil
	}
	return &h
}

// sludge works out the sludge by the way that the scenario gives; its faults have the
// paths of that part.
func (c *Contents) sludge(ctx context.Context, s *Scenario) error {
	var f units.Faults
	in := s.Sludge
	ways := 0
	for _, given := range []bool{in.Survey != nil, in.Volume != nil, in.Thickness != nil} {
		if given {
			ways++
		}
	}
	if ways != 1 {
		f.Count("survey", ways, "ways", "1 of survey, volume and thickness")
		return f.Err()
	}
	var r SludgeResult
	switch {
	case in.Survey != nil:
		f.Sub("", c.survey(ctx, s, &r))
	case in.Volume != nil:
		v := in.Volume
		at := f.At("volume")
		most := volume.Capacity(c.Solid)
		if most == 0 {
			most = 1e9
		}
		at.Between("volume", v.Volume, units.CubicFoot, most)
		if i := v.Interval; i != nil {
			at.Between("interval.low", i.Low, units.Volume(0), max(0, v.Volume))
			at.Between("interval.high", i.High, max(0, v.Volume), most)
		}
		if v.Source == "" {
			at.Missing("source", "who worked it out, how and when")
		}
		r = SludgeResult{Volume: v.Volume, Interval: v.Interval, From: units.Words("as told: %v", units.Word(v.Source))}
	default:
		t := in.Thickness
		at := f.At("thickness")
		most := cmp.Or(c.Depth, 1000)
		at.UpTo("mean", t.Mean, most)
		at.Between("sd", t.SD, units.Length(0), max(0, most))
		if t.Source == "" {
			at.Missing("source", "who measured it, how and when")
		}
		if at.Err() == nil && c.Solid != nil {
			r = SludgeResult{Volume: c.Solid.VolumeAt(t.Mean), From: units.Words("%v thick on the mean, laid level on the floor; as told: %v", t.Mean, units.Word(t.Source))}
			if t.SD > 0 {
				half := units.Length(math.Sqrt2*math.Erfinv(s.confidence())) * t.SD
				r.Interval = &units.Range[units.Volume]{Low: c.Solid.VolumeAt(t.Mean - half), High: c.Solid.VolumeAt(t.Mean + half)}
				r.Firm = true
			}
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	if c.Solid != nil && r.Volume > 0 {
		c.Sludge = &r
		if r.Interval == nil {
			c.Open = append(c.Open, stage.Open{Key: "sludge.interval", Who: stage.Planner,
				What:  units.Words("how sure the sludge volume is, and whether land, days and money do for the high end"),
				Needs: units.Words("soundings at 4 places or more, some of them on the banks, with what the boundary is (banks or vertical)")})
		}
	}
	return nil
}

// divide holds the sludge against the liquid and lays both into the basin; the basin and
// what is in it are sound.
func (c *Contents) divide() error {
	var f units.Faults
	v := c.Sludge
	if v == nil || c.Level == nil {
		return nil
	}
	if c.Held <= v.Volume {
		f.Add("basin.liquidDepth", *c.Level, "a depth that holds more than the sludge: %v hold %v, the sludge is %v", *c.Level, c.Held, v.Volume)
		return f.Err()
	}
	c.Liquid = new(c.Held - v.Volume)
	spec := volume.LayersSpec{Basin: c.Solid, FromFloor: []volume.LayerSpec{{Name: "sludge", Volume: v.Volume}, {Name: "liquid", Volume: *c.Liquid}}}
	if free := c.Depth - *c.Level; free > 0 {
		spec.FromTop = []volume.LayerSpec{{Name: "freeboard", Thickness: free}}
	}
	layers, err := volume.Layers(spec)
	f.Sub("basin", err)
	c.Layers = &layers
	return f.Err()
}

// sludgeRange is the low and the high volume that a plan is held against: the best
// figure where nobody knows how sure it is.
func (c *Contents) sludgeRange() units.Range[units.Volume] {
	if c.Sludge.Interval == nil {
		return units.Point(c.Sludge.Volume)
	}
	return *c.Sludge.Interval
}

// survey estimates the sludge from soundings. Its faults are those of the part sludge.
func (c *Contents) survey(ctx context.Context, s *Scenario, r *SludgeResult) error {
	var f units.Faults
	spec := *s.Sludge.Survey
	if spec.Sides == sludge.SidesBanks && c.Level != nil && c.Solid != nil {
		spec.Floor = floorUnder(spec, &s.Basin, *c.Level)
	}
	survey, err := sludge.NewSurvey(spec)
	f.Sub("survey", err)
	estimate := s.Sludge.Estimate
	estimate.Volume.Confidence = cmp.Or(estimate.Volume.Confidence, s.confidence())
	estimate.Most = cmp.Or(estimate.Most, nextSoundings)
	if err != nil {
		// The estimate is checked by a survey of any kind.
		_, err = sludge.Next(ctx, anySurvey(), estimate)
		f.Sub("estimate", err)
		return f.Err()
	}
	if c.Solid != nil && c.Level != nil {
		f.Sub("survey", surveyFits(c, &s.Basin, survey))
	}
	next, err := sludge.Next(ctx, survey, estimate)
	f.Sub("estimate", err)
	if f.Err() != nil {
		return f.Err()
	}
	v := next.Volume
	*r = SludgeResult{Volume: v.Volume, Interval: v.Interval, Firm: v.Interval != nil, Estimate: &v, Next: next.Places, Survey: survey,
		From: units.Words("%v soundings", survey.N())}
	if r.Interval == nil {
		r.Interval = v.Bracket
	}
	c.Cautions = append(c.Cautions, next.Cautions...)
	r.Doubts = append(slices.Clone(v.Notes), doubts(c, survey, v)...)
	return r.draw(ctx)
}

// draw works out the same volume by triangles and the bands of a map, where there are
// enough soundings for a surface.
func (r *SludgeResult) draw(ctx context.Context) error {
	if r.Survey.N() < 3 {
		return nil
	}
	edge := sludge.EdgeNearest
	if r.Survey.Sides() == sludge.SidesBanks {
		edge = sludge.EdgeZero
	}
	tin, err := sludge.NewTIN(r.Survey, sludge.TINSpec{Edge: edge})
	if err != nil {
		return nil // a row of soundings has no surface, and the plan does not need it
	}
	var f units.Faults
	cut, err := sludge.SurfaceVolume(ctx, r.Survey, sludge.SurfaceVolumeSpec{Surface: tin})
	f.Sub("survey", err)
	r.TIN = &cut
	thickest := slices.Max(r.Survey.Thicknesses())
	step := units.Foot / 2
	for thickest > 20*step {
		step *= 2
	}
	var levels []units.Length
	for h := step; h < thickest; h += step {
		levels = append(levels, h)
	}
	if levels == nil {
		return f.Err()
	}
	contours, err := tin.Contours(levels)
	f.Sub("survey", err)
	r.Bands = contours.Bands
	return f.Err()
}

// nextSoundings is how many places a plan names to sound next.
const nextSoundings = 3
