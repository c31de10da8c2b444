package closing

import "example.org/earthbasin/units"

// Alternative is a way to close the emptied basin. The zero value is refused.
type Alternative = units.Enum[alternativeWords]

// Ways to close.
const (
	AlternativeFill   Alternative = iota + 1 // "fill and crown": berm down, soil brought in, a crown that sheds water
	AlternativeBreach                        // "breach and grade": berm opened and spread in the basin, which drains; no soil brought in
	AlternativePond                          // "convert to a pond": rinsed, refilled and kept as a freshwater pond
)

var alternativeNames = units.Names{AlternativeFill: "fill and crown", AlternativeBreach: "breach and grade", AlternativePond: "convert to a pond"}

type alternativeWords struct{}

func (alternativeWords) Names() units.Names { return alternativeNames }

// LinerWay is what becomes of the liner. The zero value is refused.
type LinerWay = units.Enum[linerWords]

// Ways with the liner.
const (
	LinerWayTill   LinerWay = iota + 1 // "dig out and till": the soaked soil goes, the rest is broken up so that it drains
	LinerWayPierce                     // "leave, pierce and cover": it stays, with ways through it
	LinerWayLeave                      // "leave whole": it stays closed, as in a pond
)

var linerNames = units.Names{LinerWayTill: "dig out and till", LinerWayPierce: "leave, pierce and cover", LinerWayLeave: "leave whole"}

type linerWords struct{}

func (linerWords) Names() units.Names { return linerNames }

// PipeWay is what becomes of a pipe. The zero value is refused.
type PipeWay = units.Enum[pipeWords]

// Ways with a pipe.
const (
	PipeWayPull PipeWay = iota + 1 // "pull": dug out, the trench filled and compacted
	PipeWayPlug                    // "break off and plug": ends broken off below the ground and closed
)

var pipeNames = units.Names{PipeWayPull: "pull", PipeWayPlug: "break off and plug"}

type pipeWords struct{}

func (pipeWords) Names() units.Names { return pipeNames }

// Verdict says whether an alternative can be done.
type Verdict = units.Enum[verdictWords]

// Verdicts.
const (
	VerdictOpen   Verdict = iota // "open": something that decides it is missing
	VerdictCan                   // "can be done": on the conditions that it names
	VerdictCannot                // "cannot be done": for the reason that it names
)

var verdictNames = units.Names{"open", "can be done", "cannot be done"}

type verdictWords struct{}

func (verdictWords) Names() units.Names { return verdictNames }
