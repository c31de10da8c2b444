package volume

import (
	"slices"

	"example.org/earthbasin/units"
)

// LayerSpec is one layer, given by its thickness, by its volume, or by a surface
// of its thickness at every place, such as a sludge survey finds. The volume of a
// surface is laid out level, since the rest of the basin is.
type LayerSpec struct {
	Name      string       `json:"name"`               // sludge, liquid, storm, freeboard
	Thickness units.Length `json:"thickness,omitzero"` // more than 0; or
	Volume    units.Volume `json:"volume,omitzero"`    // more than 0; or
	Surface   Triangles    `json:"-"`                  // thickness at every place
}

// LayersSpec is how the depth of a basin is divided.
type LayersSpec struct {
	Basin Basin `json:"-"` // that is divided
	// FromFloor are the layers that lie on the floor, lowest first.
	FromFloor []LayerSpec `json:"fromFloor"`
	// FromTop are the layers kept free below the top of the bank, highest
	// first: freeboard, then the storm.
	FromTop []LayerSpec `json:"fromTop"`
}

// Layer is a level slice of a basin.
type Layer struct {
	Name   string       `json:"name"`   // as in the spec
	Bottom units.Length `json:"bottom"` // height over the floor
	Top    units.Length `json:"top"`    // height over the floor
	Volume units.Volume `json:"volume"` // exact
	// MidArea is the volume by MethodMidArea, as some permit forms have it.
	MidArea units.Volume `json:"midArea"`
}

// Thickness returns the height of the layer.
func (l Layer) Thickness() units.Length { return l.Top - l.Bottom }

// LayersResult is a divided basin, from the floor upward without gaps.
type LayersResult struct {
	Layers []Layer `json:"layers"` // those from the floor, then those from the top, lowest first
	// Unused lies between the two stacks; its top is the highest level to
	// which the basin may be filled.
	Unused Layer `json:"unused"`
}

// Layers divides a basin into level layers. A layer has a name and one of
// thickness, volume and surface, of more than 0. Layers that together are deeper than the
// basin, or hold more than it, are faults that say what room there was.
func Layers(spec LayersSpec) (LayersResult, error) {
	var f units.Faults
	checkBasin(&f, spec.Basin)
	if len(spec.FromFloor)+len(spec.FromTop) == 0 {
		f.Missing("fromFloor", "one layer or more")
	}
	fromFloor := readLayers(&f, "fromFloor", spec.FromFloor)
	fromTop := readLayers(&f, "fromTop", spec.FromTop)
	if err := f.Err(); err != nil {
		return LayersResult{}, err
	}
	b := spec.Basin
	var low, high []Layer
	bottom, top := units.Length(0), b.Depth()
	for i, l := range fromFloor {
		end := bottom + l.Thickness
		if l.Volume > 0 {
			h, err := HeightFor(b, b.VolumeAt(bottom)+l.Volume)
			if err != nil {
				at := f.At("fromFloor", i)
				at.Add("volume", l.Volume, "at most %v, the room left above the layers below", Capacity(b)-b.VolumeAt(bottom))
				return LayersResult{}, f.Err()
			}
			end = h
		}
		if end > b.Depth()+b.Depth()*slack {
			at := f.At("fromFloor", i)
			at.Add("thickness", l.Thickness, "at most %v, the depth left above the layers below", b.Depth()-bottom)
			return LayersResult{}, f.Err()
		}
		end = min(end, b.Depth())
		low = append(low, layerOf(b, l.Name, bottom, end))
		bottom = end
	}
	for i, l := range fromTop {
		start := top - l.Thickness
		if l.Volume > 0 {
			below := b.VolumeAt(top) - l.Volume
			if below < -units.Volume(slack)*Capacity(b) {
				at := f.At("fromTop", i)
				at.Add("volume", l.Volume, "at most %v, the room left below the layers above", b.VolumeAt(top))
				return LayersResult{}, f.Err()
			}
			h, err := HeightFor(b, max(below, 0))
			if err != nil {
				return LayersResult{}, err
			}
			start = h
		}
		if start < bottom-b.Depth()*slack {
			at := f.At("fromTop", i)
			at.Add("", top-start, "at most %v, what the other layers leave of the depth of %v", top-bottom, b.Depth())
			return LayersResult{}, f.Err()
		}
		start = max(start, bottom)
		high = append([]Layer{layerOf(b, l.Name, start, top)}, high...)
		top = start
	}
	return LayersResult{Layers: append(low, high...), Unused: layerOf(b, "unused", bottom, top)}, nil
}

// readLayers checks the layers and returns them with surfaces as volumes.
func readLayers(f *units.Faults, field string, list []LayerSpec) []LayerSpec {
	read := slices.Clone(list)
	for i, l := range list {
		g := f.At(field, i)
		if l.Name == "" {
			g.Missing("name", "what the layer is")
		}
		g.ZeroTo("thickness", l.Thickness, units.MaxLength)
		g.ZeroTo("volume", l.Volume, units.MaxVolume)
		given := 0
		for _, has := range []bool{l.Thickness != 0, l.Volume != 0, !units.IsNil(l.Surface)} {
			if has {
				given++
			}
		}
		if given != 1 {
			g.Count("thickness", given, "measures", "1 of thickness, volume and surface")
		} else if !units.IsNil(l.Surface) {
			v, err := VolumeUnder(l.Surface, 0)
			g.Sub("", err)
			if err == nil && v == 0 {
				g.Add("surface", v, "a thickness above 0 somewhere")
			}
			read[i].Volume = v
		}
	}
	return read
}

func layerOf(b Basin, name string, bottom, top units.Length) Layer {
	return Layer{
		Name: name, Bottom: bottom, Top: top,
		Volume:  b.VolumeAt(top) - b.VolumeAt(bottom),
		MidArea: b.AreaAt(bottom + (top-bottom)/2).Times(top - bottom),
	}
}

// Working shows each layer from the top of the bank down.
func (r LayersResult) Working() units.Working {
	var w units.Working
	show := func(l Layer) {
		w.Add(l.Name, l.Volume, "%s to %s above the floor; %s by mid-area", l.Bottom, l.Top, l.MidArea)
	}
	for _, l := range slices.Backward(r.Layers) {
		if l.Bottom >= r.Unused.Top {
			show(l)
		}
	}
	show(r.Unused)
	for _, l := range slices.Backward(r.Layers) {
		if l.Top <= r.Unused.Bottom {
			show(l)
		}
	}
	return w
}

// String prints the working.
func (r LayersResult) String() string { return r.Working().String() }
