package cover

import (
	"fmt"

	"example.org/earthbasin/units"
)

// CoverStage is a stage of a growing cover. [PublishedCoverFactors] has values of
// C by mulch and by year.
type CoverStage struct {
	Cover  string  `json:"cover"`  // what covers the ground
	C      float64 `json:"c"`      // more than 0, at most BareC
	Months int     `json:"months"` // that it lasts, 1 to 60
}

// checkStages records the faults of the stages.
func checkStages(f *units.Faults, spec SoilLossSpec) {
	if n := len(spec.Stages); n > 20 {
		f.Add("stages", n, "at most 20 stages")
	}
	for i, s := range spec.Stages {
		at := fmt.Sprintf("stages[%d].", i)
		if s.Cover == "" {
			f.Missing(at+"cover", "text")
		}
		if !(s.C > 0 && s.C <= spec.BareC) {
			f.Add(at+"c", s.C, "more than 0 to bareC, "+figures(spec.BareC, 4))
		}
		if s.Months < 1 || s.Months > 60 {
			f.Add(at+"months", s.Months, "1 to 60")
		}
	}
}

// growing lists the stage of each month from laying the cover until CoveredC holds.
func (spec SoilLossSpec) growing() (stages []int) {
	for i, s := range spec.Stages {
		for range s.Months {
			stages = append(stages, i)
		}
	}
	return stages
}

// stage returns C and the cover in a month counted from laying it.
func (spec SoilLossSpec) stage(growing []int, month int) (c float64, cover string) {
	if month >= len(growing) {
		return spec.CoveredC, ""
	}
	s := spec.Stages[growing[month]]
	return s.C, s.Cover
}
