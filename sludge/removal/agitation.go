package removal

import (
	"math"

	"example.org/earthbasin/units"
)

// AgitatorAccess is where an agitator works from.
type AgitatorAccess = units.Enum[accessWords]

const (
	// AgitatorBoat, "boat", floats, or stands on a boom, and throws all around.
	AgitatorBoat AgitatorAccess = iota + 1
	// AgitatorOneBank, "one bank", works along one of the long banks.
	AgitatorOneBank
	// AgitatorBothBanks, "both banks", works along both of the long banks.
	AgitatorBothBanks
)

var accessNames = units.Names{"", "boat", "one bank", "both banks"}

type accessWords struct{}

func (accessWords) Names() units.Names { return accessNames }

// ResidualPoint is what stays after a number of turnovers.
type ResidualPoint struct {
	Turnovers float64 `json:"turnovers"` // 0 to 10,000, rising from point to point
	Residual  float64 `json:"residual"`  // share of the dry solids that stays, 0 to 1, not rising
}

// Agitator is what mixes up the sludge.
type Agitator struct {
	Flow     units.Flow  `json:"flow"`            // of one machine, through its jet or propeller
	Machines int         `json:"machines"`        // at work at one time, 1 to 100
	Power    units.Power `json:"power,omitempty"` // of one machine, brought into the liquid; 0: not known
	// LeastIntensity is the power per volume that the caller holds to be enough, with a
	// power.
	LeastIntensity units.PowerPerVolume `json:"leastIntensity,omitempty"`
	// LeastTurnovers is what the caller holds to be enough, 0 to 10,000. Below 1 not
	// even all of the volume has been through a machine once, whatever it says.
	LeastTurnovers float64 `json:"leastTurnovers,omitempty"`
	// Residual is what stays by turnovers, from a source or from experience: straight
	// lines between the points, the last one beyond them. Empty: not known.
	Residual []ResidualPoint `json:"residual,omitempty"`

	Reach  units.Length   `json:"reach,omitempty"`  // at which the jet still lifts sludge; 0 for no count of positions
	Access AgitatorAccess `json:"access,omitzero"`  // with a reach
	Length units.Length   `json:"length,omitempty"` // of the basin along its long banks, with a reach
	Width  units.Length   `json:"width,omitempty"`  // of the basin across, at most the length, with a reach
}

// AgitationSpec is a volume to be mixed up.
type AgitationSpec struct {
	Volume units.Volume   `json:"volume"` // that lies in the basin
	Time   units.Duration `json:"time"`   // of agitation, 0 for none yet
	Agitator
}

// AgitationResult is how often the volume passes through the machines and how much of
// the basin they reach.
type AgitationResult struct {
	Volume    units.Volume         `json:"volume"`              // as given
	Time      units.Duration       `json:"time"`                // as given
	Turnovers float64              `json:"turnovers"`           // machines x flow x time / volume
	OneTakes  units.Duration       `json:"oneTakes"`            // time of one turnover
	Intensity units.PowerPerVolume `json:"intensity,omitempty"` // machines x power / volume; 0 without a power
	Positions int                  `json:"positions,omitempty"` // from which the machines reach what can be reached; 0 without a reach
	Each      units.Duration       `json:"each,omitempty"`      // time in each position
	Unreached float64              `json:"unreached"`           // share of the area that no position reaches
	Residual  *float64             `json:"residual,omitempty"`  // share of the dry solids that stays, by the relation; nil without one
	Doubts    []units.Phrase       `json:"doubts,omitempty"`    // what speaks against it
}

// Agitation returns the turnovers of a volume, flow x time / volume, the positions
// that the size of the basin asks for, and what stays by the caller's relation. The
// positions are by geometry: a boat on a square grid whose circles of the reach cover
// the basin; from the banks, half circles whose strips meet. Where half circles do not
// meet in the middle a part stays unreached. Quantities out of range are
// [units.FieldError].
func Agitation(spec AgitationSpec) (AgitationResult, error) {
	var f units.Faults
	f.Between("volume", spec.Volume, minVolume, maxVolume)
	f.ZeroOr("time", spec.Time, minDuration, maxDuration)
	spec.check(&f)
	if err := f.Err(); err != nil {
		return AgitationResult{}, err
	}
	return spec.Agitator.agitate(spec.Volume, spec.Time), nil
}

// Lengths of a basin and of a jet.
const (
	minReach = units.Foot
	maxReach = 5 * units.Mile
)

// check records what is wrong with the agitator under the paths of its fields.
func (a Agitator) check(f *units.Faults) {
	f.Between("flow", a.Flow, minFlow, maxFlow)
	if a.Machines < 1 || a.Machines > 100 {
		f.Add("machines", a.Machines, "1 to 100")
	}
	f.ZeroOr("power", a.Power, minPower, maxPower)
	f.ZeroOr("leastIntensity", a.LeastIntensity, minIntensity, maxIntensity)
	if a.LeastIntensity > 0 && a.Power == 0 {
		f.Missing("power", "the power of a machine, for the intensity")
	}
	const most = 10000
	f.NumberBetween("leastTurnovers", a.LeastTurnovers, 0, most)
	f.CountBetween("residual", len(a.Residual), "points", 0, mostNames)
	for i, p := range a.Residual {
		f := f.At("residual", i)
		f.NumberBetween("turnovers", p.Turnovers, 0, most)
		f.Fraction("residual", p.Residual)
		if i == 0 {
			continue
		}
		if before := a.Residual[i-1]; !(p.Turnovers > before.Turnovers) {
			f.Add("turnovers", p.Turnovers, "more than in the point before it, %v", before.Turnovers)
		} else if p.Residual > before.Residual {
			f.Add("residual", p.Residual, "at most that of the point before it, %v", before.Residual)
		}
	}
	if a.Reach == 0 {
		if a.Access != 0 || a.Length != 0 || a.Width != 0 {
			f.Missing("reach", "how far the jet lifts sludge, for the number of positions")
		}
		return
	}
	f.Between("reach", a.Reach, minReach, maxReach)
	f.Between("length", a.Length, minReach, maxReach)
	f.Between("width", a.Width, minReach, maxReach)
	if a.Width > a.Length {
		f.Add("width", a.Width, "at most the length, %v", a.Length)
	}
	if !accessNames.Has(int(a.Access)) {
		f.Unknown("access", a.Access, accessNames)
	}
}

// agitate works out a checked agitator.
func (a Agitator) agitate(volume units.Volume, time units.Duration) AgitationResult {
	r := AgitationResult{Volume: volume, Time: noSign(time)}
	r.OneTakes = volume.OverFlow(units.Flow(a.Machines) * a.Flow)
	r.Turnovers = float64(r.Time / r.OneTakes)
	r.Intensity = noSign((units.Power(a.Machines) * a.Power).Over(volume))
	if len(a.Residual) > 0 {
		r.Residual = new(a.stays(r.Turnovers))
	}
	if less(r.Turnovers, 1) {
		r.Doubts = append(r.Doubts, units.Words("In %v not all of %v passes through the agitator once, but %.2f of it: more sludge stays than after full agitation.", r.Time, liquidVolume(volume), r.Turnovers))
	} else if less(r.Turnovers, a.LeastTurnovers) {
		r.Doubts = append(r.Doubts, units.Words("%.2f turnovers are less than the %.2f that are held to be enough.", r.Turnovers, a.LeastTurnovers))
	}
	if less(r.Intensity, a.LeastIntensity) {
		r.Doubts = append(r.Doubts, units.Words("%v of mixing is less than the %v that are held to be enough.", r.Intensity, a.LeastIntensity))
	}
	if n := len(a.Residual); n > 0 && less(a.Residual[n-1].Turnovers, r.Turnovers) {
		r.Doubts = append(r.Doubts, units.Words("The relation of what stays ends at %.2f turnovers; beyond it nothing is taken to improve.", a.Residual[n-1].Turnovers))
	}
	if a.Reach > 0 {
		a.positions(&r)
	}
	return r
}

// stays returns the share that stays after x turnovers.
func (a Agitator) stays(x float64) float64 {
	before := ResidualPoint{Turnovers: 0, Residual: 1} // without agitation all stays
	for _, p := range a.Residual {
		if x < p.Turnovers {
			t := (x - before.Turnovers) / (p.Turnovers - before.Turnovers)
			return before.Residual + t*(p.Residual-before.Residual)
		}
		before = p
	}
	return before.Residual
}

// positions counts the places to agitate from.
func (a Agitator) positions(r *AgitationResult) {
	length, width, reach := float64(a.Length), float64(a.Width), float64(a.Reach)
	n := 0.0
	switch across := width; a.Access {
	case AgitatorBoat:
		side := reach * math.Sqrt2 // of the square in the circle
		n = ceil(length/side) * ceil(width/side)
	default:
		banks := 1.0
		if a.Access == AgitatorBothBanks {
			banks, across = 2, width/2
		}
		// Half circles at a spacing of their reach meet at 0.87 of it.
		depth := min(across, reach*math.Sqrt(3)/2)
		n = banks * ceil(length/(2*math.Sqrt(reach*reach-depth*depth)))
		r.Unreached = noSign(1 - depth/across)
	}
	r.Positions = int(n)
	r.Each = units.Duration(float64(a.Machines)/n) * r.Time
	if r.Unreached > 0 {
		r.Doubts = append(r.Doubts, units.Words("From %v a reach of %v leaves %v of the area without a jet: a boat or a longer boom is needed there.", a.Access, a.Reach, units.As(units.MassFraction(r.Unreached), units.Percent, 0)))
	}
}

// Working returns the lines that lead to turnovers and positions.
func (r AgitationResult) Working() units.Working {
	var w units.Working
	w.Add("volume", liquidVolume(r.Volume), "")
	w.Add("one turnover", r.OneTakes, "volume / (machines x flow)")
	w.Put(units.Words("turnovers"), r.Turnovers, units.Words("in %v", r.Time))
	if r.Intensity > 0 {
		w.Add("intensity", r.Intensity, "machines x power / volume")
	}
	if r.Residual != nil {
		w.Add("stays", units.As(units.MassFraction(*r.Residual), units.Percent, 1), "of the dry solids, by the relation given")
	}
	if r.Positions > 0 {
		w.Add("positions", r.Positions, "%v in each; %v of the area unreached", r.Each, units.As(units.MassFraction(r.Unreached), units.Percent, 0))
	}
	for _, d := range r.Doubts {
		w.Put(units.Words("note"), "", d)
	}
	return w
}

// String returns the working as a table.
func (r AgitationResult) String() string { return r.Working().String() }
