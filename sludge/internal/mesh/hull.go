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

// extremes returns the places farthest out in eight directions.
func extremes(places []XY) (list [8]int32) {
	for j := range list {
		sin, cos := math.Sincos(float64(j) * math.Pi / 4)
		best := math.Inf(-1)
		for i, p := range places {
			if v := cos*p.X + sin*p.Y; v > best {
				best, list[j] = v, int32(i)
			}
		}
	}
	return list
}

// hullCandidates leaves out places that lie inside the polygon of the extremes in
// eight directions, which are most of a large set (Akl and Toussaint).
func hullCandidates(places []XY) []XY {
	var extreme [8]XY
	for j, i := range extremes(places) {
		extreme[j] = places[i]
	}
	list := make([]XY, 0, 64)
	for _, p := range places {
		inside := true
		for j := range extreme {
			a, b := extreme[j], extreme[(j+1)%8]
			if a != b && Orient(a, b, p) <= 0 {
				inside = false
				break
			}
		}
		if !inside {
			list = append(list, p)
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
