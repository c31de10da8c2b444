package removal

import (
	"gonum.org/v1/gonum/stat"

	"example.org/earthbasin/units"
)

// HaulRun is a round trip that was timed or is known from its speed.
type HaulRun struct {
	Distance units.Length   `json:"distance"` // out and back, 1 ft to 10,000 miles
	Time     units.Duration `json:"time"`     // 1 s to 3,650 d
}

// HaulLineSpec is round trips over two different distances or more.
type HaulLineSpec struct {
	Runs []HaulRun `json:"runs"` // at least two
}

// HaulLine is travel time as a straight line over the distance: a short haul is
// slower per mile than a long one.
type HaulLine struct {
	Fixed units.Duration `json:"fixed"` // time of a trip of no distance
	Speed units.Speed    `json:"speed"` // at which each further distance is driven
}

// FitHaulTime fits travel time = fixed + distance / speed by least squares
// (a course on solid waste collection, module 5). Fewer than two different distances,
// and times that do not rise with distance, are [units.FieldError].
func FitHaulTime(spec HaulLineSpec) (HaulLine, error) {
	var f units.Faults
	runs := spec.Runs
	x, y := make([]float64, len(runs)), make([]float64, len(runs))
	differ := false
	for i, r := range runs {
		at := f.At("runs", i)
		at.Between("distance", r.Distance, minRoute, maxRoute)
		at.Between("time", r.Time, minDuration, maxDuration)
		x[i], y[i] = float64(r.Distance), float64(r.Time)
		differ = differ || x[i] != x[0]
	}
	if !differ {
		f.Count("runs", len(runs), "runs", "runs over two different distances or more")
	}
	if err := f.Err(); err != nil {
		return HaulLine{}, err
	}
	a, b := stat.LinearRegression(x, y, nil, false)
	if !(b > 0) {
		f.Add("runs", units.Duration(b*float64(units.Mile)), "times that rise with distance")
		return HaulLine{}, f.Err()
	}
	return HaulLine{Fixed: units.Duration(a), Speed: units.Speed(1 / b)}, nil
}

// Time returns the travel time of a round trip, for [Fleet.Travel]. Outside the
// fitted distances it is an extrapolation.
func (l HaulLine) Time(roundTrip units.Length) units.Duration {
	return l.Fixed + roundTrip.OverSpeed(l.Speed)
}
