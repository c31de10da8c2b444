package removal

import "example.org/earthbasin/units"

// Route is a way to empty a basin of liquid and sludge.
type Route int

const (
	_ Route = iota
	// RouteDrawOffDig pumps the liquid off and digs the sludge.
	RouteDrawOffDig
	// RouteAgitatePump agitates sludge with liquid, pumps the slurry, and digs what
	// stays.
	RouteAgitatePump
)

var routeNames = units.Names{"", "draw off and dig", "agitate and pump"}

// String returns the name that MarshalText writes.
func (r Route) String() string { return routeNames.String(int(r)) }

// MarshalText writes the name.
func (r Route) MarshalText() ([]byte, error) { return routeNames.Marshal(int(r)) }

// UnmarshalText reads a name; the error lists the names.
func (r *Route) UnmarshalText(text []byte) error { return units.UnmarshalName(routeNames, text, r) }

// MixRule says how much of the liquid is agitated with the sludge.
type MixRule int

const (
	_ MixRule = iota
	// MixNeeded keeps only the liquid that thins the sludge to the wanted solids; the
	// rest is pumped off first.
	MixNeeded
	// MixAll agitates all of the liquid.
	MixAll
)

var mixNames = units.Names{"", "needed", "all"}

// String returns the name that MarshalText writes.
func (r MixRule) String() string { return mixNames.String(int(r)) }

// MarshalText writes the name.
func (r MixRule) MarshalText() ([]byte, error) { return mixNames.Marshal(int(r)) }

// UnmarshalText reads a name; the error lists the names.
func (r *MixRule) UnmarshalText(text []byte) error { return units.UnmarshalName(mixNames, text, r) }

// StageKind is what a stage does.
type StageKind int

const (
	_ StageKind = iota
	// StagePumpOff pumps off liquid that is not agitated.
	StagePumpOff
	// StageAgitate mixes sludge and liquid before pumping.
	StageAgitate
	// StagePump pumps the agitated slurry.
	StagePump
	// StageDig digs the sludge, or what agitation leaves of it.
	StageDig
	// StageDrain pumps off what the sludge drains before it is dug.
	StageDrain
)

var stageNames = units.Names{"", "pump off", "agitate", "pump", "dig", "drain"}

// String returns the name that MarshalText writes.
func (k StageKind) String() string { return stageNames.String(int(k)) }

// MarshalText writes the name.
func (k StageKind) MarshalText() ([]byte, error) { return stageNames.Marshal(int(k)) }

// UnmarshalText reads a name; the error lists the names.
func (k *StageKind) UnmarshalText(text []byte) error {
	return units.UnmarshalName(stageNames, text, k)
}
