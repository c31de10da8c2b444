package geostat

import (
	"math"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units/plane"
)

// voronoiShares returns for each sample the share of the area that is nearer to
// it than to any other. Samples at one place divide theirs.
func voronoiShares(samples []Sample, boundary plane.Polygon, islands []plane.Polygon) []float64 {
	at := map[plane.Point][]int{}
	var sites []Sample
	for i, s := range samples {
		if at[s.At] == nil {
			sites = append(sites, s)
		}
		at[s.At] = append(at[s.At], i)
	}
	shares := make([]float64, len(samples))
	var total float64
	near := mesh.NewNeighbours(placesOf(sites))
	for _, s := range sites {
		cell := cellArea(near, sites, s.At, boundary)
		for _, island := range islands {
			cell -= cellArea(near, sites, s.At, island)
		}
		cell = max(0, cell)
		total += cell
		for _, i := range at[s.At] {
			shares[i] = cell / float64(len(at[s.At]))
		}
	}
	for i := range shares {
		shares[i] /= total
	}
	return shares
}

// cellArea returns the area of the part of the ring that is nearer to the site
// than to any other site: the ring is cut along the bisectors with the sites
// around it, nearest first, until none farther away can reach it. Parts of a
// concave ring stay joined by edges that run there and back, without area.
func cellArea(near *mesh.Neighbours, sites []Sample, site plane.Point, ring plane.Polygon) float64 {
	// About the site, so that large coordinates lose nothing.
	cell := make(plane.Polygon, len(ring))
	for i, p := range ring {
		cell[i] = p.Sub(site)
	}
	for k := min(16, len(sites)); ; k = min(4*k, len(sites)) {
		index := make([]int32, k)
		near.Find(mesh.Of(site), index, make([]float64, k))
		for _, j := range index[1:] { // the first is the site itself
			d := sites[j].At.Sub(site)
			half := math.Hypot(float64(d.X), float64(d.Y)) / 2
			if len(cell) == 0 || half > reach(cell) {
				return math.Abs(float64(cell.SignedArea()))
			}
			nearer := plane.Cut[plane.Point]{Between: plane.Point.Toward, Side: func(p plane.Point) float64 {
				return float64(d.X/2-p.X)*float64(d.X) + float64(d.Y/2-p.Y)*float64(d.Y)
			}}
			cell = nearer.Keep(make(plane.Polygon, 0, len(cell)+2), cell)
		}
		if k == len(sites) {
			return math.Abs(float64(cell.SignedArea()))
		}
	}
}

// reach returns the distance from the origin to the farthest corner.
func reach(p plane.Polygon) float64 {
	var far float64
	for _, c := range p {
		far = max(far, math.Hypot(float64(c.X), float64(c.Y)))
	}
	return far
}
