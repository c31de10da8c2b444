package plan

import (
	"cmp"
	"context"

	"example.org/earthbasin/examples/closure/stage"
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
	if c.Solid, err = volume.NewBasin(ctx, s.Basin.BasinSpec); err != nil {
		in.Sub("", err)
		c.Solid = nil
	} else {
		c.Depth = c.Solid.Depth()
		c.Stages, err = volume.StageStorage(volume.StageStorageSpec{Basin: c.Solid, Step: stageStep(c.Depth, units.Foot)})
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
