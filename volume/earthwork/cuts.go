package earthwork

import (
	"example.org/earthbasin/units"
)

// EarthPart is one cut of the earthwork: a berm taken down, topsoil stripped.
type EarthPart struct {
	Name   string       `json:"name"`   // for the working, such as north berm
	Volume units.Volume `json:"volume"` // 0 or more
	State  State        `json:"state"`  // of Volume: usually bank
	// Unsuitable is the part of it, in the same state, that may not go into a fill:
	// roots, liner soaked with waste.
	Unsuitable units.Volume `json:"unsuitable,omitzero"`
}

// EarthVolume is one quantity of soil in its three states.
type EarthVolume struct {
	Bank      units.Volume `json:"bank"`      // in place
	Loose     units.Volume `json:"loose"`     // in the truck
	Compacted units.Volume `json:"compacted"` // placed
}

func checkCuts(f *units.Faults, path string, cuts []EarthPart) {
	for i, p := range cuts {
		at := f.At(path, i)
		at.ZeroTo("volume", p.Volume, units.MaxVolume)
		checkState(&at, "state", p.State)
		if !(p.Unsuitable >= 0 && p.Unsuitable <= p.Volume) {
			at.Add("unsuitable", p.Unsuitable, "0 to %v, the volume of the cut", p.Volume)
		}
	}
}

// states returns v, counted in the state from, in all three.
func (s *Soil) states(v units.Volume, from State) EarthVolume {
	return EarthVolume{s.convert(v, from, StateBank), s.convert(v, from, StateLoose), s.convert(v, from, StateCompacted)}
}
