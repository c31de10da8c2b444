package mesh

import "math"

// ConvexHull returns the corners of the hull, counterclockwise, without places on
// its sides (Andrew's monotone chain).
func ConvexHull(places []XY) []XY {
	list := hullCandidates(places)
	if len(list) < 3 {
		return list
	}
	sortPlaces(list, make([]int32, len(list)))
	var hull []XY
	for pass := range 2 {
		from := len(hull)
		for i := range list {
			p := list[i]
			if pass == 1 {
				p = list[len(list)-1-i]
			}
			for len(hull) >= from+2 && Orient(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, p)
		}
		hull = hull[:len(hull)-1]
	}
	return hull
}

// extremes returns the places farthest out in eight directions, counterclockwise from
// east.
func extremes(places []XY) (list [8]int32) {
	best := [8]float64{}
	for j := range best {
		best[j] = math.Inf(-1)
	}
	for i, p := range places {
		sum, difference := p.X+p.Y, p.X-p.Y
		if p.X > best[0] {
			best[0], list[0] = p.X, int32(i)
		}
		if sum > best[1] {
			best[1], list[1] = sum, int32(i)
		}
		if p.Y > best[2] {
			best[2], list[2] = p.Y, int32(i)
		}
		if -difference > best[3] {
			best[3], list[3] = -difference, int32(i)
		}
		if -p.X > best[4] {
			best[4], list[4] = -p.X, int32(i)
		}
		if -sum > best[5] {
			best[5], list[5] = -sum, int32(i)
		}
		if -p.Y > best[6] {
			best[6], list[6] = -p.Y, int32(i)
		}
		if difference > best[7] {
			best[7], list[7] = difference, int32(i)
		}
	}
	return list
}

// hullCandidates leaves out places that lie inside the polygon of the extremes in
// eight directions, which are most of a large set (Akl and Toussaint), and most of
// them by a look: a place that has an extreme in each quadrant around it lies inside.
func hullCandidates(places []XY) []XY {
	var extreme [8]XY
	for j, i := range extremes(places) {
		extreme[j] = places[i]
	}
	ne, nw, sw, se := extreme[1], extreme[3], extreme[5], extreme[7]
	west, east := max(nw.X, sw.X), min(ne.X, se.X)
	south, north := max(sw.Y, se.Y), min(nw.Y, ne.Y)
	list := make([]XY, 0, 64)
	for _, p := range places {
		if p.X > west && p.X < east && p.Y > south && p.Y < north {
			continue
		}
		for j := range extreme {
			a, b := extreme[j], extreme[(j+1)%8]
			if a != b && Orient(a, b, p) <= 0 {
				list = append(list, p)
				break
			}
		}
	}
	return list
}

// InConvex reports whether p lies in the hull or on its edge.
func InConvex(hull []XY, p XY) bool {
	if len(hull) < 3 {
		return false
	}
	for i, a := range hull {
		if Orient(a, hull[(i+1)%len(hull)], p) < 0 {
			return false
		}
	}
	return true
}
