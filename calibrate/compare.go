package calibrate

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// CompareSpec asks what changed from calibration to calibration.
type CompareSpec struct {
	Records    []Record `json:"records"`    // 2 to 10,000 of one machine, all solid or all liquid; any order
	Confidence float64  `json:"confidence"` // of a change, above 0 and below 1, such as 0.95
}

// CompareRow is one calibration against the one before it.
type CompareRow struct {
	Date     time.Time           `json:"date"`             // of the calibration
	Material string              `json:"material"`         // as in the record
	Method   RateMethod          `json:"method"`           // as in the record
	Solid    units.MassPerArea   `json:"solid,omitempty"`  // rate of a solid
	Liquid   units.VolumePerArea `json:"liquid,omitempty"` // or of a liquid
	OfTarget float64             `json:"ofTarget"`         // rate/target, 0 without a target
	Change   float64             `json:"change"`           // rate/rate before - 1; 0 in the first row
	// P is the two-sided probability of a change of the rate at least this large when
	// nothing changed, by Welch's t test with the standard errors of the two rates; nil
	// in the first row and where either calibration has no spread.
	P       *float64 `json:"p,omitempty"`
	Changed bool     `json:"changed"` // P is known and below 1 - confidence
	// Reset lists what was not as in the row before: material, method, gear, speed,
	// flow, gate, width. A change of the rate may come from there.
	Reset []string `json:"reset,omitempty"`
}

// Rate returns the mean rate, a [units.MassPerArea] or a [units.VolumePerArea].
func (r CompareRow) Rate() units.Quantity {
	if r.Liquid != 0 {
		return r.Liquid
	}
	return r.Solid
}

// CompareResult is the history of one machine, oldest first.
type CompareResult struct {
	Spec CompareSpec  `json:"spec"` // what it was worked out from
	Rows []CompareRow `json:"rows"` // by date
}

// maxRecords bounds a history: a calibration a day for 27 years.
const maxRecords = 10_000

// Compare puts the records of one machine in the order of their dates and says how
// the rate changed, whether that is more than the spread of the measurements
// explains, and what else was changed. Records that fail [Record.Check], that name
// different machines or that mix solid and liquid are [units.FieldError].
func Compare(spec CompareSpec) (CompareResult, error) {
	var f units.Faults
	f.CountBetween("records", len(spec.Records), "records", 2, maxRecords)
	f.Confidence("confidence", spec.Confidence)
	for i, r := range spec.Records {
		at := f.At("records", i)
		at.Sub("", r.Check())
		if first := spec.Records[0]; r.Machine != first.Machine {
			at.Add("machine", r.Machine, "the machine of the first record, %q", first.Machine)
		} else if (r.Solid == nil) != (first.Solid == nil) {
			at.Say("solid", "solid and liquid in one comparison", "records of one kind")
		}
	}
	if err := f.Err(); err != nil {
		return CompareResult{}, err
	}
	records := slices.Clone(spec.Records)
	slices.SortStableFunc(records, func(a, b Record) int { return a.Date.Compare(b.Date) })
	out := CompareResult{Spec: spec}
	for i, r := range records {
		now := r.moments()
		row := CompareRow{Date: r.Date, Material: r.Material, Method: r.Method}
		if r.Solid != nil {
			row.Solid = r.Solid.Rate
		} else {
			row.Liquid = r.Liquid.Rate
		}
		if now.target > 0 {
			row.OfTarget = now.rate / now.target
		}
		if i > 0 {
			before := records[i-1].moments()
			row.Change = now.rate/before.rate - 1
			if p, ok := welch(before, now); ok {
				row.P, row.Changed = &p, p < 1-spec.Confidence
			}
			row.Reset = r.differs(records[i-1])
		}
		if !finite(row.OfTarget) || !finite(row.Change) {
			f.Add("records", units.Words("rates on %v", units.Word(row.Date.Format(time.DateOnly))), "rates and targets of like order")
		}
		out.Rows = append(out.Rows, row)
	}
	if err := f.Err(); err != nil {
		return CompareResult{}, err
	}
	return out, nil
}

// moments is a measured rate in plain numbers.
type moments struct {
	n                           int
	rate, standardError, target float64
}

func (r Record) moments() moments {
	if m := r.Solid; m != nil {
		return moments{m.N, float64(m.Rate), m.standardError(), float64(m.Target)}
	}
	m := r.Liquid
	return moments{m.N, float64(m.Rate), m.standardError(), float64(m.Target)}
}

// welch returns the two-sided p of Welch's t test (B. L. Welch, The Generalization
// of Student's Problem when Several Different Population Variances are Involved,
// Biometrika 34, 1947; from memory).
func welch(a, b moments) (p float64, ok bool) {
	if a.n < 2 || b.n < 2 {
		return 0, false
	}
	// Standard errors relative to a rate keep tiny and huge rates in range.
	ea, eb := math.Pow(a.standardError/a.rate, 2), math.Pow(b.standardError/a.rate, 2)
	if !(ea+eb > 0) || math.IsInf(ea+eb, 0) {
		return 0, false
	}
	t := math.Abs(b.rate/a.rate-1) / math.Sqrt(ea+eb)
	ra, rb := ea/(ea+eb), eb/(ea+eb)
	nu := 1 / (ra*ra/float64(a.n-1) + rb*rb/float64(b.n-1))
	p = 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Survival(t)
	return p, finite(p)
}

// differs lists what was not as in the record before.
func (r Record) differs(before Record) []string {
	var list []string
	add := func(name string, same bool) {
		if !same {
			list = append(list, name)
		}
	}
	add("material", r.Material == before.Material)
	add("method", r.Method == before.Method)
	add("gear", r.Gear == before.Gear)
	add("speed", r.Speed == before.Speed)
	add("flow", r.Flow == before.Flow)
	add("gate", r.Gate == before.Gate)
	add("width", r.Width == before.Width)
	return list
}

// Working returns one line for each calibration.
func (r CompareResult) Working() units.Working {
	var w units.Working
	for i, row := range r.Rows {
		how := units.Words(row.Method.String())
		if row.OfTarget > 0 {
			how = how.And(", %.1f %% of the target", 100*row.OfTarget)
		}
		if i > 0 {
			how = how.And(", %+.1f %% since the one before", 100*row.Change)
			switch {
			case row.P == nil:
				how = how.And(" (no spread to judge it by)")
			case row.Changed:
				how = how.And(" (p %.3f: changed)", *row.P)
			default:
				how = how.And(" (p %.3f: within the spread)", *row.P)
			}
		}
		for _, name := range row.Reset {
			how = how.And("; other %v", units.Word(name))
		}
		w.Put(units.Words(row.Date.Format(time.DateOnly)), row.Rate(), how)
	}
	return w
}

// String returns the working as a table.
func (r CompareResult) String() string { return r.Working().String() }
