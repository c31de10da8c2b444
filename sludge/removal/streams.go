package removal

import "example.org/earthbasin/units"

// StreamKind is what leaves the basin.
type StreamKind = units.Enum[streamWords]

const (
	// StreamEffluent, "effluent", is liquid that is not agitated, with the rain and inflow of its stage.
	StreamEffluent StreamKind = iota + 1
	// StreamSlurry, "slurry", is sludge agitated with liquid.
	StreamSlurry
	// StreamFiltrate, "filtrate", is what sludge drains before it is dug. It has to be pumped and
	// spread like any liquid, and holds what goes with the water.
	StreamFiltrate
	// StreamSludge, "sludge", is sludge that is dug, as it lies or drained.
	StreamSludge
	// StreamResidual, "residual", is what agitation left and is dug: a material of its own.
	StreamResidual
)

var streamNames = units.Names{"", "effluent", "slurry", "filtrate", "sludge", "residual"}

type streamWords struct{}

func (streamWords) Names() units.Names { return streamNames }

// Stream is a material that leaves the basin and has to go somewhere.
type Stream struct {
	Kind         StreamKind   `json:"kind"`                   // what it is
	Name         string       `json:"name"`                   // for people, such as what drains off
	Stage        StageKind    `json:"stage"`                  // that moves it
	Handling     Handling     `json:"handling"`               // as the stage moves it
	Material     Slurry       `json:"material"`               // solids, water, volume and density before it swells
	Moved        units.Volume `json:"moved"`                  // with swell
	Constituents []Carried    `json:"constituents,omitempty"` // in the order of the spec
}

// Carried is what a stream holds of a constituent. Its contents are 0 where there is
// nothing to divide by.
type Carried struct {
	Name      string              `json:"name"`      // of the constituent
	Mass      units.Mass          `json:"mass"`      // in all
	WithWater units.Mass          `json:"withWater"` // the part that goes with the water; for liquid, all of it
	PerVolume units.Concentration `json:"perVolume"` // of what is moved, with swell
	PerMass   units.MassFraction  `json:"perMass"`   // of the material as it is
	PerDry    units.MassFraction  `json:"perDry"`    // of the dry solids
}

// Of returns what the stream holds of the named constituent.
func (s Stream) Of(name string) (c Carried, ok bool) {
	for _, c := range s.Constituents {
		if c.Name == name {
			return c, true
		}
	}
	return Carried{}, false
}

// Density returns the density of the stream as it is moved, 0 when there is none of it.
func (s Stream) Density() units.Density {
	if s.Moved == 0 {
		return 0
	}
	return s.Material.Mass.OverVolume(s.Moved)
}

// BalanceResult is what came in and went out of a constituent.
type BalanceResult struct {
	Name string     `json:"name"` // of the constituent
	In   units.Mass `json:"in"`   // in sludge and liquid, and with what joined them
	Out  units.Mass `json:"out"`  // in all streams; equal to In
}

// stream adds what a stage moves to the streams and the balances.
func (r *RouteResult) stream(kind StreamKind, s StageResult, b body) {
	x := Stream{Kind: kind, Name: s.Name, Stage: s.Kind, Handling: HandlingPump, Material: b.Slurry, Moved: s.Moved}
	if s.Kind == StageDig && s.Haul != nil {
		x.Handling = HandlingDig
	}
	for i := range r.Balance {
		c := Carried{Name: r.Balance[i].Name, Mass: b.mass(i), WithWater: b.held[i].water, PerVolume: b.mass(i).Dissolved(s.Moved), PerMass: b.mass(i).OverMass(b.Mass)}
		if b.Dry > 0 {
			c.PerDry = c.Mass.OverMass(b.Dry)
		}
		r.Balance[i].Out += c.Mass
		x.Constituents = append(x.Constituents, c)
	}
	r.Streams = append(r.Streams, x)
}

// in counts what comes into the route.
func (r *RouteResult) in(b body) {
	for i := range r.Balance {
		r.Balance[i].In += b.mass(i)
	}
}
