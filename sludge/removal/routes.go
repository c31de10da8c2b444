package removal

import "example.org/earthbasin/units"

// Route is a way to empty a basin of liquid and sludge.
type Route = units.Enum[routeWords]

const (
	// RouteDrawOffDig, "draw off and dig", pumps the liquid off and digs the sludge.
	RouteDrawOffDig Route = iota + 1
	// RouteAgitatePump, "agitate and pump", agitates sludge with liquid, pumps the slurry, and digs what
	// stays.
	RouteAgitatePump
)

var routeNames = units.Names{"", "draw off and dig", "agitate and pump"}

type routeWords struct{}

func (routeWords) Names() units.Names { return routeNames }

// MixRule says how much of the liquid is agitated with the sludge.
type MixRule = units.Enum[mixWords]

const (
	// MixNeeded, "needed", keeps only the liquid that thins the sludge to the wanted solids; the
	// rest is pumped off first.
	MixNeeded MixRule = iota + 1
	// MixAll, "all", agitates all of the liquid.
	MixAll
)

var mixNames = units.Names{"", "needed", "all"}

type mixWords struct{}

func (mixWords) Names() units.Names { return mixNames }

// StageKind is what a stage does.
type StageKind = units.Enum[stageWords]

const (
	// StagePumpOff, "pump off", pumps off liquid that is not agitated.
	StagePumpOff StageKind = iota + 1
	// StageAgitate, "agitate", mixes sludge and liquid before pumping.
	StageAgitate
	// StagePump, "pump", pumps the agitated slurry.
	StagePump
	// StageDig, "dig", digs the sludge, or what agitation leaves of it.
	StageDig
	// StageDrain, "drain", pumps off what the sludge drains before it is dug.
	StageDrain
)

var stageNames = units.Names{"", "pump off", "agitate", "pump", "dig", "drain"}

type stageWords struct{}

func (stageWords) Names() units.Names { return stageNames }
