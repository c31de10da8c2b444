package cover

import (
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
	f.CountBetween("stages", len(spec.Stages), "stages", 0, 20)
	for i, s := range spec.Stages {
		at := f.At("stages", i)
		required(&at, "cover", s.Cover)
		if !(s.C > 0 && s.C <= spec.BareC) {
			at.Add("c", s.C, "more than 0 and at most bareC, %v", spec.BareC)
		}
		if s.Months < 1 || s.Months > 60 {
			at.Add("months", s.Months, "1 to 60")
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
