package closing

import "example.org/earthbasin/units"

// Alternative is a way to close the emptied basin. The zero value is refused.
type Alternative int

// Ways to close.
const (
	AlternativeFill   Alternative = iota + 1 // "fill and crown": berm down, soil brought in, a crown that sheds water
	AlternativeBreach                        // "breach and grade": berm opened and spread in the basin, which drains; no soil brought in
	AlternativePond                          // "convert to a pond": rinsed, refilled and kept as a freshwater pond
)

var alternativeNames = units.Names{AlternativeFill: "fill and crown", AlternativeBreach: "breach and grade", AlternativePond: "convert to a pond"}

// String returns the name that MarshalText writes.
func (a Alternative) String() string { return alternativeNames.String(int(a)) }

// MarshalText writes the name; a value that is no alternative is an error.
func (a Alternative) MarshalText() ([]byte, error) { return alternativeNames.Marshal(int(a)) }

// UnmarshalText reads a name; the error lists the names.
func (a *Alternative) UnmarshalText(text []byte) error {
	return units.UnmarshalName(alternativeNames, text, a)
}

// LinerWay is what becomes of the liner. The zero value is refused.
type LinerWay int

// Ways with the liner.
const (
	LinerWayTill   LinerWay = iota + 1 // "dig out and till": the soaked soil goes, the rest is broken up so that it drains
	LinerWayPierce                     // "leave, pierce and cover": it stays, with ways through it
	LinerWayLeave                      // "leave whole": it stays closed, as in a pond
)

var linerNames = units.Names{LinerWayTill: "dig out and till", LinerWayPierce: "leave, pierce and cover", LinerWayLeave: "leave whole"}

// String returns the name that MarshalText writes.
func (l LinerWay) String() string { return linerNames.String(int(l)) }

// MarshalText writes the name; a value that is no way is an error.
func (l LinerWay) MarshalText() ([]byte, error) { return linerNames.Marshal(int(l)) }

// UnmarshalText reads a name; the error lists the names.
func (l *LinerWay) UnmarshalText(text []byte) error { return units.UnmarshalName(linerNames, text, l) }

// PipeWay is what becomes of a pipe. The zero value is refused.
type PipeWay int

// Ways with a pipe.
const (
	PipeWayPull PipeWay = iota + 1 // "pull": dug out, the trench filled and compacted
	PipeWayPlug                    // "break off and plug": ends broken off below the ground and closed
)

var pipeNames = units.Names{PipeWayPull: "pull", PipeWayPlug: "break off and plug"}

// String returns the name that MarshalText writes.
func (p PipeWay) String() string { return pipeNames.String(int(p)) }

// MarshalText writes the name; a value that is no way is an error.
func (p PipeWay) MarshalText() ([]byte, error) { return pipeNames.Marshal(int(p)) }

// UnmarshalText reads a name; the error lists the names.
func (p *PipeWay) UnmarshalText(text []byte) error { return units.UnmarshalName(pipeNames, text, p) }

// Verdict says whether an alternative can be done.
type Verdict int

// Verdicts.
const (
	VerdictOpen   Verdict = iota // "open": something that decides it is missing
	VerdictCan                   // "can be done": on the conditions that it names
	VerdictCannot                // "cannot be done": for the reason that it names
)

var verdictNames = units.Names{"open", "can be done", "cannot be done"}

// String returns the name that MarshalText writes.
func (v Verdict) String() string { return verdictNames.String(int(v)) }

// MarshalText writes the name; a value that is no verdict is an error.
func (v Verdict) MarshalText() ([]byte, error) { return verdictNames.Marshal(int(v)) }

// UnmarshalText reads a name; the error lists the names.
func (v *Verdict) UnmarshalText(text []byte) error {
	return units.UnmarshalName(verdictNames, text, v)
}
