package sludge

import (
	"context"
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Uncut returns the survey as it would read if the floor were level and as deep
// throughout as its deepest place, of a floor that was read its deepest sounding, so that surfaces and means do not take what the banks do to
// the sludge for the sludge. With [BankLevel] its thicknesses are the heights of the
// sludge top over the deepest floor, with [BankDraped] the thicknesses as they are.
// Soundings that show the bank and not the sludge are left out: bare ones and those at
// the waterline under a level top, full ones and those at the waterline where it is
// draped. [SurfaceVolume] cuts a surface of such a survey at floor and banks again.
//
// Faults are on survey (none, an uncut one, no floor known, nothing left) and bankRule,
// which has to be told; it ends with the error of ctx when that is done.
func (s *Survey) Uncut(ctx context.Context, rule BankRule) (*Survey, error) {
	var f units.Faults
	s.checkSounded(&f)
	if rule != BankLevel && rule != BankDraped {
		f.Add("bankRule", rule.String(), "level or draped")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	c, err := s.cuts(ctx)
	if err != nil {
		return nil, err
	}
	u := *s
	u.sounded = s
	u.uncut, u.x, u.y, u.z, u.toSludge, u.index, u.merged, u.flags, u.tracks, u.n = rule, nil, nil, nil, nil, nil, nil, nil, nil, 0
	if s.sides == SidesVertical && s.floor == nil {
		u = *s
		u.uncut = BankDraped // walls: nothing is cut
		return &u, nil
	}
	if len(c.floors) == 0 {
		f.Missing("survey", "a survey whose floor is told, or read at %v soundings", leastFree)
		return nil, f.Err()
	}
	depth := make([]float64, s.n)
	for i := range depth {
		if d := s.toSludge[i] + s.z[i]; s.flags[i]&floorAssumed == 0 && !math.IsNaN(d) {
			depth[i] = d
		} else {
			depth[i] = float64(c.depth(s.at(i)))
		}
		c.deepest = max(c.deepest, depth[i])
	}
	u.deepest = c.deepest
	for i, d := range depth {
		z := s.z[i]
		if d < c.deepest-shallow { // over a bank
			full, bare := z >= d-shallow, z <= shallow
			if d <= 2*shallow || full || bare && u.uncut == BankLevel {
				continue
			}
		}
		if u.uncut == BankLevel {
			z += c.deepest - d
		}
		u.x, u.y, u.z = append(u.x, s.x[i]), append(u.y, s.y[i]), append(u.z, z)
		u.toSludge, u.index, u.merged = append(u.toSludge, s.toSludge[i]), append(u.index, s.index[i]), append(u.merged, s.merged[i])
		u.flags = append(u.flags, s.flags[i])
		if s.tracks != nil {
			u.tracks = append(u.tracks, s.tracks[i])
		}
	}
	if u.n = len(u.x); u.n == 0 {
		f.Say("survey", "no sounding that shows more than the bank", "at least 1")
		return nil, f.Err()
	}
	return &u, nil
}

// checkSounded records a fault when s is missing or uncut.
func (s *Survey) checkSounded(f *units.Faults) {
	s.checkUsable(f)
	if s != nil && s.uncut != BankOpen {
		f.Say("survey", "an uncut survey", "one as it was sounded")
	}
}

// cuts are the floors that surfaces are cut at.
type cuts struct {
	floors  []cut
	deepest float64 // of the floor as told, metres
	note    string  // what is not known
}

// cut is a floor with its weight.
type cut struct {
	weight float64
	depth  func(p plane.Point) units.Length
}

// depth returns the mean depth of the floors, infinite where there is none.
func (c *cuts) depth(p plane.Point) units.Length {
	if len(c.floors) == 0 {
		return units.Length(math.Inf(1))
	}
	var d units.Length
	for _, g := range c.floors {
		d += units.Length(g.weight) * g.depth(p)
	}
	return d
}

// cuts returns the floors of the survey, those of its volume: as told, as read, none
// with walls.
func (s *Survey) cuts(ctx context.Context) (*cuts, error) {
	switch {
	case s.sides == SidesVertical && s.floor == nil:
		return &cuts{}, nil
	case s.sides == SidesUnknown && s.floor == nil:
		return &cuts{note: sidesOpen}, nil
	}
	if s.sounded != nil {
		s = s.sounded
	}
	e := newGround(ctx, s, VolumeSpec{}, estimateOptions{})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if !e.told && !e.knownFloor {
		return &cuts{note: sidesOpen}, nil
	}
	floors := e.floors
	if e.told && !e.knownFloor {
		one := *floors[0]
		one.weight, floors = 1, []*floorGuess{&one} // its banks are a guess
	}
	c := &cuts{}
	for _, g := range floors {
		if e.told {
			c.deepest = max(c.deepest, g.deepest)
		}
		c.floors = append(c.floors, cut{g.weight, func(p plane.Point) units.Length {
			if e.told {
				if d, ok := depthAt(s.floor, p); ok {
					return max(0, d)
				}
			}
			at := p.Sub(e.cells.origin)
			return units.Length(fittedFloor{slope: g.slope, flat: g.flat}.depth(s.toEdge(p)) * g.undulation.at(float64(at.X), float64(at.Y)))
		}})
	}
	return c, nil
}

const sidesOpen = "not cut at banks: nothing is known of the sides or of the floor"
