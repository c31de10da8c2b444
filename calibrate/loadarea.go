package calibrate

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/sample"
)

// LoadRun is what some loads put down on the ground they covered, either a swath
// of a width and a distance or a measured area.
type LoadRun[M units.Mass | units.Volume] struct {
	Load     M            `json:"load"`               // what a full load holds, weighed or by [LoadCapacity]; more than 0
	Loads    float64      `json:"loads"`              // number of loads, part loads as decimals: 2.5
	Width    units.Length `json:"width,omitempty"`    // effective width of the swath
	Distance units.Length `json:"distance,omitempty"` // length of the swath
	Area     units.Area   `json:"area,omitempty"`     // the area actually covered, instead of width and distance
}

// LoadAreaSpec is a calibration by loads and area: one run or several.
type LoadAreaSpec[M units.Mass | units.Volume] struct {
	Runs       []LoadRun[M] `json:"runs"`       // 1 or more
	Confidence float64      `json:"confidence"` // of the interval, two-sided, above 0 and below 1, such as 0.95
}

// LoadAreaResult is the rate that loads and area show.
type LoadAreaResult[M units.Mass | units.Volume, R RateQuantity] struct {
	Spec     LoadAreaSpec[M]   `json:"spec"`               // what it was worked out from
	Amount   M                 `json:"amount"`             // all runs together
	Area     units.Area        `json:"area"`               // all runs together
	Rate     R                 `json:"rate"`               // Amount over Area
	Interval *units.Range[R]   `json:"interval,omitempty"` // of Rate, each run counting by its area; nil with one run
	Readings []RateReading[R]  `json:"readings"`           // of each run, weighted by its area
	Summary  sample.Summary[R] `json:"summary"`            // of the runs, each counting once
}

// LoadArea returns the rate of loads over the ground that they covered: rate =
// amount / (width x distance), the load-area method of University of
// Massachusetts, Manure Spreader Calibration, and Utah State University Extension,
// CNMP step 7. M is [units.Mass] or [units.Volume], which makes the rate a
// [units.MassPerArea] or a [units.VolumePerArea]:
//
//	calibrate.LoadArea(calibrate.LoadAreaSpec[units.Volume]{...})
//
// With a drawdown of the storage as the one load it is the storage check of a whole
// field. Loads, widths, distances and areas that are not above 0, and a run with
// both an area and a swath or with neither, are [units.FieldError].
func LoadArea[M LoadQuantity[R], R RateQuantity](spec LoadAreaSpec[M]) (LoadAreaResult[M, R], error) {
	var f units.Faults
	r := LoadAreaResult[M, R]{Spec: spec}
	f.CountBetween("runs", len(spec.Runs), "runs", 1, maxGauges)
	f.Confidence("confidence", spec.Confidence)
	var amounts, areas []float64
	var rates []R
	for i, run := range spec.Runs {
		at := f.At("runs", i)
		at.Positive("load", run.Load)
		at.PositiveNumber("loads", run.Loads)
		area := run.covered(&at)
		amount := M(run.Loads) * run.Load
		r.Amount += amount
		r.Area += area
		amounts, areas = append(amounts, float64(amount)), append(areas, float64(area))
		if area > 0 {
			rate := amount.Over(area)
			checkResult(&at, "load", rate)
			rates = append(rates, rate)
		}
	}
	checkResult(&f, "runs", r.Amount)
	checkResult(&f, "runs", r.Area)
	if err := f.Err(); err != nil {
		return LoadAreaResult[M, R]{}, err
	}
	r.Rate = r.Amount.Over(r.Area)
	var err error
	if r.Summary, err = sample.Summarize(rates, spec.Confidence); err != nil {
		return LoadAreaResult[M, R]{}, err
	}
	r.Interval = ratioInterval[R](amounts, areas, r.Summary.Confidence)
	for i, rate := range rates {
		r.Readings = append(r.Readings, RateReading[R]{rate, areas[i] / float64(r.Area)})
	}
	return r, nil
}

// covered returns the area of the run, and records what is wrong with it.
func (run LoadRun[M]) covered(f *units.Faults) units.Area {
	if run.Area != 0 {
		f.Positive("area", run.Area)
		if run.Width != 0 || run.Distance != 0 {
			f.Add("area", run.Area, "either an area or a width and a distance, not both")
		}
		return run.Area
	}
	if run.Width == 0 && run.Distance == 0 {
		f.Missing("area", "the area covered, or a width and a distance")
		return 0
	}
	f.Positive("width", run.Width)
	f.Positive("distance", run.Distance)
	area := run.Width.Times(run.Distance)
	checkResult(f, "distance", area)
	return area
}

// Working returns the lines that lead to the rate.
func (r LoadAreaResult[M, R]) Working() units.Working {
	var w units.Working
	w.Add("put down", r.Amount, "loads x load")
	w.Add("area covered", r.Area, "width x distance, or as measured")
	w.Add("rate", r.Rate, "put down / area covered")
	if i := r.Interval; i != nil {
		w.Put(units.Words("interval"), i, units.Words("%v, %v runs, each counting by its area", units.Share(r.Summary.Confidence), len(r.Readings)).And(belowZero(i.Low)))
		w.Add("spread of the runs", r.Summary.SD, "n - 1; CV %.1f %%", 100*r.Summary.CV)
	}
	return w
}

// String returns the working as a table.
func (r LoadAreaResult[M, R]) String() string { return r.Working().String() }

// EmptyDistance returns how far a load reaches at a rate behind a spreader of the
// given effective width: load / (width x rate). In trade units ft = gal/ft x 43,560
// / (gal/acre), Washington Administrative Code 173-308-270, equation (4). The
// three must be above 0; else the error holds [units.FieldError].
func EmptyDistance[M LoadQuantity[R], R RateQuantity](load M, width units.Length, rate R) (units.Length, error) {
	var f units.Faults
	f.Positive("load", load)
	f.Positive("width", width)
	f.Positive("rate", rate)
	if err := f.Err(); err != nil {
		return 0, err
	}
	d := load.OverRate(rate).OverLength(width)
	checkResult(&f, "load", d)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return d, nil
}
