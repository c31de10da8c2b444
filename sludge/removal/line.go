package removal

import (
	"math"

	"example.org/earthbasin/units"
)

// Friction is the formula of the friction of clear water in a hose.
type Friction = units.Enum[frictionWords]

const (
	// FrictionHazenWilliams, "hazen-williams": h = 10.67 L Q^1.852 / (C^1.852 D^4.8704) in metres and m3/s,
	// for water at usual temperatures in turbulent flow.
	FrictionHazenWilliams Friction = iota + 1
	// FrictionDarcyWeisbach, "darcy-weisbach": h = f L/D v^2/(2 g), f the Darcy friction factor.
	FrictionDarcyWeisbach
)

var frictionNames = units.Names{"", "hazen-williams", "darcy-weisbach"}

type frictionWords struct{}

func (frictionWords) Names() units.Names { return frictionNames }

// gravity is the standard acceleration of free fall, m/s2 (CGPM 1901).
const gravity = 9.80665

// HoseSection is a length of hose or pipe of one bore.
type HoseSection struct {
	Length   units.Length `json:"length"`   // 1 ft to 100 miles
	Diameter units.Length `json:"diameter"` // inside, 0.5 in to 10 ft
	// Coefficient is C of Hazen-Williams, 20 to 200, or the friction factor of
	// Darcy-Weisbach, 0.001 to 1, by the formula of the line.
	Coefficient float64 `json:"coefficient"`
}

// PumpPoint is a point of a pump's curve at the speed that it is run at.
type PumpPoint struct {
	Flow units.Flow   `json:"flow"` // rising from point to point; the first may be 0
	Head units.Length `json:"head"` // of what is pumped, falling
}

// Suction is the suction side of a pump, in heads of what is pumped.
type Suction struct {
	Atmosphere units.Length `json:"atmosphere"` // pressure of the air at the site, about 34 ft of water at sea level; 1 to 40 ft
	Vapour     units.Length `json:"vapour"`     // vapour pressure, which rises with temperature and gas in the liquid; 0 to 40 ft
	Lift       units.Length `json:"lift"`       // pump above the level, negative when flooded; -20 to 40 ft
	Loss       units.Length `json:"loss"`       // of strainer, hose and fittings at the flow; 0 to 40 ft
	Required   units.Length `json:"required"`   // net positive suction head of the pump at the flow, by its maker; 0 to 40 ft
}

// LineSpec is a line from a pump to a toolbar, gun or tank. Heads are lengths of what
// is pumped: a pressure p stands for p/(density x g), 2.31 ft for a psi of water.
type LineSpec struct {
	Sections []HoseSection `json:"sections"` // one after the other, 1 to 100
	Friction Friction      `json:"friction"` // formula for clear water
	// SlurryFactor is the friction of what is pumped over that of clear water at the same
	// flow, 0.5 to 50, by the contractor's experience: 1 for liquid, more with solids.
	SlurryFactor float64      `json:"slurryFactor"`
	Lift         units.Length `json:"lift"`              // outlet above the level that is pumped from, -2,000 to 2,000 ft; the lowest level is the hardest
	Outlet       units.Length `json:"outlet"`            // head that toolbar or nozzle needs, 0 to 2,000 ft
	Curve        []PumpPoint  `json:"curve"`             // of the pump, or of pumps in series together; 2 to 1000 points
	Suction      *Suction     `json:"suction,omitempty"` // nil: suction head is not checked
}

// LineResult is where the pump works.
type LineResult struct {
	Flow     units.Flow     `json:"flow"`               // at which the heads of pump and line are equal, or the end of the curve
	Head     units.Length   `json:"head"`               // of the pump at that flow
	Static   units.Length   `json:"static"`             // lift and outlet
	Friction []units.Length `json:"friction"`           // of each section
	Velocity []units.Speed  `json:"velocity"`           // in each section
	Throttle units.Length   `json:"throttle,omitempty"` // head beyond what the line takes at the end of the curve, to be throttled
	// SuctionHead is the net positive suction head that the site gives: atmosphere -
	// vapour - lift - loss.
	SuctionHead units.Length   `json:"suctionHead,omitempty"`
	Cavitates   bool           `json:"cavitates"`       // the pump requires more suction head than there is
	Notes       []units.Phrase `json:"notes,omitempty"` // what to doubt or mend
}

// Line returns the flow at which a pump works on a hose line: where its head equals
// lift, head at the outlet and friction. Between its points the curve is straight.
// Friction is that of clear water by Hazen-Williams or Darcy-Weisbach times the factor
// of the slurry. A pump that does not reach the outlet even at its least flow, and
// quantities out of range, are [units.FieldError].
func Line(spec LineSpec) (LineResult, error) {
	var f units.Faults
	spec.check(&f)
	if err := f.Err(); err != nil {
		return LineResult{}, err
	}
	r, ok := spec.work()
	if !ok {
		first := spec.Curve[0]
		f.Add("curve", first.Head, "a pump that gives %v at %v: lift, outlet and friction", spec.resists(first.Flow), first.Flow)
		return LineResult{}, f.Err()
	}
	return r, nil
}

// check records what is wrong with the line under the paths of its fields.
func (l LineSpec) check(f *units.Faults) {
	f.CountBetween("sections", len(l.Sections), "sections", 1, 100)
	if !frictionNames.Has(int(l.Friction)) {
		f.Add("friction", l.Friction, frictionNames.Want())
	}
	for i, s := range l.Sections {
		f := f.At("sections", i)
		f.Between("length", s.Length, units.Foot, 100*units.Mile)
		f.Between("diameter", s.Diameter, units.Inch/2, 10*units.Foot)
		switch l.Friction {
		case FrictionHazenWilliams:
			f.NumberBetween("coefficient", s.Coefficient, 20, 200)
		case FrictionDarcyWeisbach:
			f.NumberBetween("coefficient", s.Coefficient, 0.001, 1)
		}
	}
	const most = 2000 * units.Foot
	f.NumberBetween("slurryFactor", l.SlurryFactor, 0.5, 50)
	f.Between("lift", l.Lift, -most, most)
	f.Between("outlet", l.Outlet, units.Length(0), most)
	f.CountBetween("curve", len(l.Curve), "points", 2, 1000)
	for i, p := range l.Curve {
		f := f.At("curve", i)
		f.ZeroOr("flow", p.Flow, minFlow, maxFlow)
		f.Between("head", p.Head, units.Length(0), 10*most)
		if i == 0 {
			continue
		}
		if before := l.Curve[i-1]; !(p.Flow > before.Flow) {
			f.Add("flow", p.Flow, "more than in the point before it, %v", before.Flow)
		} else if !(p.Head < before.Head) {
			f.Add("head", p.Head, "less than in the point before it, %v", before.Head)
		}
	}
	if s := l.Suction; s != nil {
		const few, no = 40 * units.Foot, units.Length(0)
		f.Between("suction.atmosphere", s.Atmosphere, units.Foot, few)
		f.Between("suction.vapour", s.Vapour, no, few)
		f.Between("suction.lift", s.Lift, -60*units.Foot, few)
		f.Between("suction.loss", s.Loss, no, few)
		f.Between("suction.required", s.Required, no, few)
	}
}

// friction returns the head that section s takes at a flow.
func (l LineSpec) friction(s HoseSection, flow units.Flow) units.Length {
	q, d := float64(flow), float64(s.Diameter)
	if l.Friction == FrictionHazenWilliams {
		return units.Length(l.SlurryFactor*10.67*math.Pow(q/s.Coefficient, 1.852)/math.Pow(d, 4.8704)) * s.Length
	}
	v := float64(s.velocity(flow))
	return units.Length(l.SlurryFactor*s.Coefficient*v*v/(2*gravity*d)) * s.Length
}

func (s HoseSection) velocity(flow units.Flow) units.Speed {
	return units.Speed(float64(flow) / (math.Pi / 4 * float64(s.Diameter) * float64(s.Diameter)))
}

// resists returns the head that the line takes at a flow.
func (l LineSpec) resists(flow units.Flow) units.Length {
	h := l.Lift + l.Outlet
	for _, s := range l.Sections {
		h += l.friction(s, flow)
	}
	return h
}

// work returns where the pump works on a checked line; ok is false when it does not
// reach the outlet.
func (l LineSpec) work() (r LineResult, ok bool) {
	last := l.Curve[len(l.Curve)-1]
	over := func(p PumpPoint) bool { return p.Head >= l.resists(p.Flow) }
	switch {
	case !over(l.Curve[0]) || l.Curve[0].Flow == 0 && l.Curve[0].Head == l.resists(0):
		return r, false
	case over(last):
		r.Flow, r.Head = last.Flow, last.Head
		if takes := l.resists(last.Flow); less(takes, last.Head) {
			r.Throttle = last.Head - takes
			r.Notes = append(r.Notes, units.Words("At the end of the pump's curve %v of head are left over: throttle it, or slow it down, so that it does not run beyond its curve.", r.Throttle))
		}
	default:
		i := 1
		for over(l.Curve[i]) {
			i++
		}
		a, b := l.Curve[i-1], l.Curve[i]
		at := func(flow units.Flow) PumpPoint {
			return PumpPoint{flow, a.Head + units.Length((flow-a.Flow)/(b.Flow-a.Flow))*(b.Head-a.Head)}
		}
		low, high := a.Flow, b.Flow
		for range 60 {
			if mid := (low + high) / 2; over(at(mid)) {
				low = mid
			} else {
				high = mid
			}
		}
		p := at(low)
		r.Flow, r.Head = p.Flow, p.Head
	}
	r.Static = noSign(l.Lift + l.Outlet)
	for _, s := range l.Sections {
		r.Friction = append(r.Friction, l.friction(s, r.Flow))
		r.Velocity = append(r.Velocity, s.velocity(r.Flow))
	}
	if s := l.Suction; s != nil {
		r.SuctionHead = noSign(s.Atmosphere - s.Vapour - s.Lift - s.Loss)
		if r.Cavitates = less(r.SuctionHead, s.Required); r.Cavitates {
			r.Notes = append(r.Notes, units.Words("The site gives %v of suction head and the pump requires %v: it cavitates. Set it lower, shorten the suction, or pump less.", r.SuctionHead, s.Required))
		}
	} else {
		r.Notes = append(r.Notes, units.Words("Suction head is not checked."))
	}
	return r, true
}

// Working returns the lines that lead to the flow.
func (r LineResult) Working() units.Working {
	var w units.Working
	w.Add("static head", r.Static, "lift + outlet")
	for i, h := range r.Friction {
		w.Put(units.Words("friction %v", i+1), h, units.Words("clear water x slurry factor, at %v", units.As(r.Velocity[i], units.FootPerSecond, 1)))
	}
	w.Add("head of the pump", r.Head, "static head + friction")
	if r.Throttle > 0 {
		w.Add("to be throttled", r.Throttle, "")
	}
	w.Add("flow", r.Flow, "where pump and line have the same head")
	if r.SuctionHead != 0 {
		w.Add("suction head", r.SuctionHead, "atmosphere - vapour - lift - loss")
	}
	for _, n := range r.Notes {
		w.Put(units.Words("note"), "", n)
	}
	return w
}

// String returns the working as a table.
func (r LineResult) String() string { return r.Working().String() }
