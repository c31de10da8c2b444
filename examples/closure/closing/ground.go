package closing

import (
	"slices"

	"example.org/earthbasin/units"
)

// Ground is ground that the work lays open, and the tasks that go on there.
type Ground struct {
	Key  string       `json:"key"`           // such as "berm"
	What units.Phrase `json:"what"`          // in plain words
	Area units.Area   `json:"area,omitzero"` // 0 where nobody knows it
	// Tasks are those that move its soil, in their order; the first lays it open.
	Tasks []string `json:"tasks"`
	// Inside is ground whose rain stays in the open pit until it is pumped.
	Inside bool `json:"inside,omitempty"`
}

// grounds are those of the tasks of the outcome.
func (s *sheet) grounds() []Ground {
	var berm, pit, borrow units.Area
	if s.berm != nil {
		berm = s.berm.Footprint
	}
	if s.Topsoil != nil {
		berm += s.Topsoil.WorkArea
	}
	if s.soaked != nil {
		pit = s.soaked.Area
	}
	if s.o.Borrow != nil {
		borrow = s.o.Borrow.Area
	}
	list := []Ground{
		{Key: "berm", What: units.Words("berm and work area"), Area: berm, Tasks: []string{"closing.strip", "closing.fill", "closing.topsoil"}},
		{Key: "stockpile", What: units.Words("heap of topsoil"), Tasks: []string{"closing.strip", "closing.topsoil"}},
		{Key: "borrow", What: units.Words("borrow area"), Area: borrow, Tasks: []string{"closing.borrow", "closing.fill", "closing.topsoil"}},
		{Key: "pit", What: units.Words("floor and banks of the open basin"), Area: pit, Inside: true, Tasks: []string{"closing.soaked", "closing.liner", "closing.soft", "closing.fill"}},
		{Key: "basin", What: units.Words("basin, filled or graded"), Area: s.at, Tasks: []string{"closing.fill", "closing.topsoil"}},
	}
	for i := range list {
		list[i].Tasks = slices.DeleteFunc(list[i].Tasks, func(key string) bool { return !s.has(key) })
	}
	return slices.DeleteFunc(list, func(g Ground) bool {
		// What is not laid open does not lie bare: a heap and a borrow area without their stripping.
		return len(g.Tasks) == 0 || (g.Key == "stockpile" || g.Key == "borrow") && g.Tasks[0] != "closing.strip" && g.Tasks[0] != "closing.borrow"
	})
}
