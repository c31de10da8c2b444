package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

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
	Surface  *sludge.TIN                 `json:"-"` // triangles between the soundings; nil where there are too few
	Doubts   []units.Phrase              `json:"doubts,omitempty"`
}

var noSludge = stage.Open{Key: "sludge", Who: stage.Planner, Stops: true,
	What:  units.Words("how much sludge lies in the basin: no route, load, field or cost of it is planned"),
	Needs: units.Words("soundings of the sludge top and the floor on a grid, 12 or more places with some on the banks, by two people from a boat; or a volume from a survey that was made")}

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

// survey estimates the sludge from soundings. Its faults are those of the part sludge.
func (c *Contents) survey(ctx context.Context, s *Scenario, r *SludgeResult) error {
	var f units.Faults
	spec := *s.Sludge.Survey
	var off *units.Phrase
	if spec.Sides == sludge.SidesBanks && c.Level != nil && c.Solid != nil {
		spec.Floor, off = floorUnder(c, &spec)
	}
	survey, err := sludge.NewSurvey(ctx, spec)
	for _, e := range units.FieldErrors(err) {
		if c.Solid == nil && e.Kind == units.FaultMissing && strings.HasSuffix(e.Field, ".toFloor") {
			continue // the floor of the basin stands in for it, once that is sound
		}
		f.Sub("survey", e)
	}
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
	if off != nil {
		r.Doubts = append(r.Doubts, *off)
	}
	return r.draw(ctx)
}

// draw works out the same volume by triangles, where there are enough soundings for a
// surface.
func (r *SludgeResult) draw(ctx context.Context) error {
	if r.Survey.N() < 3 {
		return nil
	}
	edge := sludge.EdgeNearest
	if r.Survey.Sides() == sludge.SidesBanks {
		edge = sludge.EdgeZero
	}
	tin, err := sludge.NewTIN(ctx, r.Survey, sludge.TINSpec{Edge: edge})
	if err != nil {
		return nil // a row of soundings has no surface, and the plan does not need it
	}
	var f units.Faults
	cut, err := r.triangles(ctx, tin)
	f.Sub("survey", err)
	r.TIN = &cut
	r.Surface = tin
	return f.Err()
}

// triangles returns the volume by triangles: of the sludge tops where the soundings show a
// top that is level over the banks, since triangles of thicknesses would carry it up to
// the waterline; of the thicknesses tin elsewhere.
func (r *SludgeResult) triangles(ctx context.Context, tin *sludge.TIN) (sludge.SurfaceVolumeResult, error) {
	level := 0.0
	for _, b := range r.Estimate.Banks {
		if b.Share > 0.5 {
			level += b.Weight
		}
	}
	if level > 0.5 {
		if tops, err := r.Survey.Uncut(ctx, sludge.BankLevel); err == nil {
			if flat, err := sludge.NewTIN(ctx, tops, sludge.TINSpec{Edge: sludge.EdgeNearest}); err == nil {
				return sludge.SurfaceVolume(ctx, tops, sludge.SurfaceVolumeSpec{Surface: flat})
			}
		}
	}
	return sludge.SurfaceVolume(ctx, r.Survey, sludge.SurfaceVolumeSpec{Surface: tin})
}

// nextSoundings is how many places a plan names to sound next.
const nextSoundings = 3
