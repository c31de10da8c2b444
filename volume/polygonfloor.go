package volume

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/skeleton"
)

// polygonRoofs is what the height of the floor at a place comes from.
type polygonRoofs struct {
	below, above *skeleton.Roof // of the outline
	core         []skeleton.Vec // the outline less its rounded corners; nil where they are mitred
}

func (p *Polygon) makeRoofs() polygonRoofs {
	r := polygonRoofs{below: skeleton.NewRoof(p.inward, false), above: skeleton.NewRoof(p.outward, true)}
	if b := p.banks; b.radius > 0 {
		n := len(b.outline)
		for i, c := range b.outline {
			in, out := inward(b.outline[(i+n-1)%n], c), inward(c, b.outline[(i+1)%n])
			both := in.Add(out, 1)
			r.core = append(r.core, c.Add(both, b.radius/(1+in.X*out.X+in.Y*out.Y)))
		}
	}
	return r
}

// inward returns the way of length 1 to the left of the edge from a to b.
func inward(a, b skeleton.Vec) skeleton.Vec {
	l := a.Dist(b)
	return skeleton.Vec{X: (a.Y - b.Y) / l, Y: (b.X - a.X) / l}
}

// FloorAt returns the height at q of floor or bank over the floor, 0 to the depth, and
// false outside of the top of the bank, of which the edge belongs to the basin. Places
// are those of the outline. It looks at each edge once for each doubling of their number.
func (p *Polygon) FloorAt(q plane.Point) (units.Length, bool) {
	b := p.banks
	at := skeleton.Vec{X: float64(q.X - p.centre.X), Y: float64(q.Y - p.centre.Y)}
	if p.roofs == nil {
		return 0, false // not made by NewPolygon
	}
	r := p.roofs()
	var h float64
	if beyond := b.beyond(r.core, at); beyond > 0 {
		// A section is all that lies within a distance of the core.
		return onBanks(b.depth, toe{beyond - b.radius + b.slopes[0]*b.level, b.slopes[0]})
	}
	if t, within := r.below.TimeAt(at); within {
		h = b.level - t
	} else if t, within := r.above.TimeAt(at); within {
		h = b.level + t
	} else {
		return 0, false
	}
	return units.Length(min(max(h, 0), b.depth)), true
}

// beyond returns the distance of a place from a convex core, 0 inside of it and where
// there is none.
func (b banks) beyond(core []skeleton.Vec, at skeleton.Vec) float64 {
	least, inside := math.Inf(1), true
	for i, c := range core {
		j := (i + 1) % len(core)
		way := inward(b.outline[i], b.outline[j])
		off := at.Add(c, -1)
		if off.X*way.X+off.Y*way.Y < 0 {
			inside = false
		}
		along, length := off.X*way.Y-off.Y*way.X, c.Dist(core[j])
		along = min(max(along, 0), length)
		least = min(least, at.Dist(c.Add(skeleton.Vec{X: way.Y, Y: -way.X}, along)))
	}
	if inside {
		return 0
	}
	return least
}
