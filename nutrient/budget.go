package nutrient

import (
	"math"

	"example.org/earthbasin/units"
)

// Loads that change a soil test by 1 ppm (Tri-State Fertilizer Recommendations
// for Ohio, Indiana and Michigan, as cited in a trade article on the season of
// 2012). That of K2O rises with the exchange capacity of the soil.
const (
	TriStateP2O5PerPPM    = 20 * units.PoundPerAcre
	TriStateK2OPerPPMLow  = 6 * units.PoundPerAcre
	TriStateK2OPerPPMHigh = 10 * units.PoundPerAcre
)

// BudgetApplication is P and K that one application brings to the field.
type BudgetApplication struct {
	Season int               `json:"season"`        // calendar year, within the seasons of the spec
	Manure bool              `json:"manure"`        // manure, effluent or sludge; else fertilizer
	P2O5   units.MassPerArea `json:"p2o5"`          // total
	K2O    units.MassPerArea `json:"k2o"`           // total
	NCap   units.MassPerArea `json:"nCap,omitzero"` // P2O5 that this material would bring at the N-based rate of the season's crop; 0: not checked
}

// BudgetSpec is a field over several seasons.
type BudgetSpec struct {
	First        int                            `json:"first"`            // first season
	Seasons      int                            `json:"seasons"`          // 1 to 50
	Rotation     []CropNutrients                `json:"rotation"`         // what the crops take off, in order from the first season, then again
	Applications []BudgetApplication            `json:"applications"`     // in any order
	Banking      *Banking                       `json:"banking,omitzero"` // rule to be checked; nil for none
	SoilP        *SoilTest                      `json:"soilP,omitzero"`   // before the first season
	SoilK        *SoilTest                      `json:"soilK,omitzero"`   // before the first season
	P2O5PerPPM   units.Range[units.MassPerArea] `json:"p2o5PerPpm"`       // load for 1 ppm of the soil test, such as [TriStateP2O5PerPPM]; needed with soilP
	K2OPerPPM    units.Range[units.MassPerArea] `json:"k2oPerPpm"`        // needed with soilK
	// RangeP is the soil tests, in ppm, between which the load for 1 ppm holds; the
	// projection stops at its ends. Nil: the source names none, and the working says that
	// the projection is no more than an indication.
	RangeP *units.Range[float64] `json:"rangeP,omitzero"`
	RangeK *units.Range[float64] `json:"rangeK,omitzero"` // the same for potassium
}

// BudgetSeason is one season of a [BudgetResult]. Balances are applied less
// removed, added up from the first season; a removal range makes them ranges.
type BudgetSeason struct {
	Season      int                            `json:"season"`              // calendar year
	Crop        string                         `json:"crop"`                // of the rotation
	AppliedP2O5 units.MassPerArea              `json:"appliedP2O5"`         // by all applications of the season
	AppliedK2O  units.MassPerArea              `json:"appliedK2O"`          // by all applications of the season
	RemovedP2O5 units.Range[units.MassPerArea] `json:"removedP2O5"`         // by the crop
	RemovedK2O  units.Range[units.MassPerArea] `json:"removedK2O"`          // by the crop
	BalanceP2O5 units.Range[units.MassPerArea] `json:"balanceP2O5"`         // below 0 when more was removed
	BalanceK2O  units.Range[units.MassPerArea] `json:"balanceK2O"`          // below 0 when more was removed
	SoilP       *units.Range[float64]          `json:"soilP,omitzero"`      // ppm after the season, by the extractant of the start
	SoilK       *units.Range[float64]          `json:"soilK,omitzero"`      // ppm after the season
	StopsP      bool                           `json:"stopsP,omitempty"`    // soilP stands at an end of the range of its rule, beyond which nothing is projected
	StopsK      bool                           `json:"stopsK,omitempty"`    // the same of soilK
	RestsUntil  int                            `json:"restsUntil,omitzero"` // last season that the banking rule keeps free of manure
}

// Violation is an application that a rule does not allow.
type Violation struct {
	Season int          `json:"season"` // calendar year
	Rule   units.Phrase `json:"rule"`   // in words
	Got    units.Phrase `json:"got"`    // what the plan does
	Want   units.Phrase `json:"want"`   // what the rule allows
}

// BudgetResult is the P and K budget of a field.
type BudgetResult struct {
	Seasons    []BudgetSeason        `json:"seasons"`             // in order
	Violations []Violation           `json:"violations,omitzero"` // of the banking rule, in order
	Banking    *Banking              `json:"banking,omitzero"`    // the rule that was checked; nil for none
	RangeP     *units.Range[float64] `json:"rangeP,omitzero"`     // as in the spec
	RangeK     *units.Range[float64] `json:"rangeK,omitzero"`     // as in the spec
}

// Budget follows P and K of a field through its rotation: applied, removed,
// balance, and the soil test, which changes by balance/load per ppm (Tri-State
// Fertilizer Recommendations) as far as the range of that rule goes. With a banking rule it lists the applications that
// break it: manure above the lesser removal of the years the rule allows, above
// the N-based rate of the crop, of which a season has one that its applications
// share, or in a season that has to rest. Faults are
// [units.FieldError].
func Budget(spec BudgetSpec) (BudgetResult, error) {
	if err := spec.check(); err != nil {
		return BudgetResult{}, err
	}
	r := BudgetResult{Banking: spec.Banking, RangeP: spec.RangeP, RangeK: spec.RangeK}
	var sumP, sumK units.Range[units.MassPerArea]
	rests := 0
	for i := range spec.Seasons {
		crop := spec.Rotation[i%len(spec.Rotation)]
		y := BudgetSeason{Season: spec.First + i, Crop: crop.Crop, RemovedP2O5: crop.P2O5, RemovedK2O: crop.K2O}
		var manure units.MassPerArea
		var ofCap float64 // parts of the N-based rate, added up
		for _, a := range spec.Applications {
			if a.Season != y.Season {
				continue
			}
			y.AppliedP2O5 += a.P2O5
			y.AppliedK2O += a.K2O
			if a.Manure {
				manure += a.P2O5
				if a.NCap > 0 {
					ofCap += float64(a.P2O5 / a.NCap)
				}
			}
		}
		if spec.Banking != nil && manure > 0 {
			r.Violations = append(r.Violations, spec.bank(i, manure, ofCap, rests)...)
			if counted := manure * units.MassPerArea(spec.Banking.Available); counted > crop.P2O5.Low && spec.Banking.Rest > 0 {
				rests = max(rests, y.Season+spec.Banking.Rest)
			}
		}
		if rests >= y.Season {
			y.RestsUntil = rests
		}
		sumP = takeOff(sumP, y.AppliedP2O5, crop.P2O5)
		sumK = takeOff(sumK, y.AppliedK2O, crop.K2O)
		y.BalanceP2O5, y.BalanceK2O = sumP, sumK
		y.SoilP, y.StopsP = drawDown(spec.SoilP, sumP, spec.P2O5PerPPM, spec.RangeP)
		y.SoilK, y.StopsK = drawDown(spec.SoilK, sumK, spec.K2OPerPPM, spec.RangeK)
		r.Seasons = append(r.Seasons, y)
	}
	return r, nil
}

// Removal returns the least P2O5 that the crops of n seasons from the season
// with index i on take off: what a banking rule lets one application bring.
func (s BudgetSpec) removal(i, n int) units.MassPerArea {
	var sum units.MassPerArea
	for j := range n {
		sum += s.Rotation[(i+j)%len(s.Rotation)].P2O5.Low
	}
	return sum
}

// bank lists how the manure of the season with index i breaks the banking rule.
func (s BudgetSpec) bank(i int, manure units.MassPerArea, ofCap float64, rests int) []Violation {
	b, season := s.Banking, s.First+i
	var list []Violation
	counted := manure * units.MassPerArea(b.Available)
	if room := s.removal(i, b.Years); counted > room*(1+1e-9) {
		list = append(list, Violation{season, units.Words("removal of %v", units.Count{N: b.Years, Of: "crops"}), units.Words("%v P2O5", counted), units.Words("at most %v", room)})
	}
	if ofCap > 1+1e-9 {
		list = append(list, Violation{season, units.Words("N-based rate of the crop"), units.Words("%.2f of it, all applications together", ofCap), units.Words("at most 1")})
	}
	if season <= rests {
		list = append(list, Violation{season, units.Words("rest after a banked application"), units.Words("%v P2O5", manure), units.Words("no manure until after %v", rests)})
	}
	return list
}

func (s BudgetSpec) check() error {
	var f units.Faults
	f.NumberBetween("first", float64(s.First), 1, 9999)
	f.NumberBetween("seasons", float64(s.Seasons), 1, maxYear)
	if len(s.Rotation) == 0 {
		f.Missing("rotation", "at least one crop")
	}
	for i, c := range s.Rotation {
		at := f.At("rotation", i)
		for _, x := range []struct {
			name string
			r    units.Range[units.MassPerArea]
		}{{"n", c.N}, {"p2o5", c.P2O5}, {"k2o", c.K2O}} {
			checkRange(&at, x.name, x.r, false)
		}
		if c.P2O5Lacks != "" {
			at.Missing("p2o5", "what the crop takes off, since the table says: %v", units.Word(c.P2O5Lacks))
		}
		if c.K2OLacks != "" {
			at.Missing("k2o", "what the crop takes off, since the table says: %v", units.Word(c.K2OLacks))
		}
		if c.NIs != 0 && !nColumnNames.Has(int(c.NIs)) {
			at.Add("nIs", c.NIs, nColumnNames.Want())
		}
		if c.Yield != (Yield{}) {
			yield := at.At("yield")
			c.Yield.check(&yield)
		}
	}
	for i, a := range s.Applications {
		at := f.At("applications", i)
		at.NumberBetween("season", float64(a.Season), float64(s.First), float64(s.First+s.Seasons-1))
		notNegative(&at, "p2o5", a.P2O5)
		notNegative(&at, "k2o", a.K2O)
		notNegative(&at, "nCap", a.NCap)
	}
	if b := s.Banking; b != nil {
		at := f.At("banking")
		b.check(&at)
	}
	for _, x := range []struct {
		field, per, within string
		t                  *SoilTest
		r                  units.Range[units.MassPerArea]
		in                 *units.Range[float64]
	}{{"soilP", "p2o5PerPpm", "rangeP", s.SoilP, s.P2O5PerPPM, s.RangeP}, {"soilK", "k2oPerPpm", "rangeK", s.SoilK, s.K2OPerPPM, s.RangeK}} {
		if x.in != nil {
			at := f.At(x.within)
			at.NumberBetween("low", x.in.Low, 0, 10000)
			at.NumberBetween("high", x.in.High, x.in.Low, 10000)
			if x.t == nil {
				f.Missing(x.field, "a soil test, since there is a range for it")
			} else if ppm, ok := x.t.PPM(); ok && x.t.Check() == nil && !(ppm >= x.in.Low && ppm <= x.in.High) {
				f.Fault(units.FaultConflict, x.field, ppm, "%v to %v ppm, where the load for 1 ppm holds", x.in.Low, x.in.High)
			}
		}
		if x.t != nil {
			f.Sub(x.field, x.t.Check())
			if _, ok := x.t.PPM(); !ok && x.t.Unit != "" {
				f.Add(x.field+".unit", string(x.t.Unit), "%v, since the load is for 1 ppm", oneOf([]SoilTestUnit{SoilPPM, SoilPoundPerAcre}))
			}
		}
		checkRange(&f, x.per, x.r, x.t != nil)
	}
	return f.Err()
}

func checkRange(f *units.Faults, path string, r units.Range[units.MassPerArea], above0 bool) {
	if above0 {
		positive(f, path+".low", r.Low)
	} else {
		notNegative(f, path+".low", r.Low)
	}
	notNegative(f, path+".high", r.High)
	if r.High < r.Low {
		f.Add(path+".high", r.High, "at least low")
	}
}

func takeOff(sum units.Range[units.MassPerArea], applied units.MassPerArea, removed units.Range[units.MassPerArea]) units.Range[units.MassPerArea] {
	return units.Range[units.MassPerArea]{Low: sum.Low + applied - removed.High, High: sum.High + applied - removed.Low}
}

// drawDown returns the soil test in ppm after a balance, not below 0 and within the
// range of the rule, and whether it stands at an end of that; nil without a start.
func drawDown(start *SoilTest, balance, per units.Range[units.MassPerArea], in *units.Range[float64]) (test *units.Range[float64], stops bool) {
	if start == nil {
		return nil, false
	}
	ppm, _ := start.PPM()
	low, high := 0.0, math.Inf(1)
	if in != nil {
		low, high = in.Low, in.High
	}
	out := units.Range[float64]{Low: math.Inf(1), High: math.Inf(-1)}
	for _, b := range []units.MassPerArea{balance.Low, balance.High} {
		for _, p := range []units.MassPerArea{per.Low, per.High} {
			x := ppm + float64(b/p)
			stops = stops || in != nil && (x < low || x > high)
			x = min(high, max(low, x))
			out.Low, out.High = math.Min(out.Low, x), math.Max(out.High, x)
		}
	}
	return &out, stops
}

// Working returns the seasons and the breaches as lines.
func (r BudgetResult) Working() units.Working {
	var w units.Working
	show := func(x units.Range[units.MassPerArea]) any { return Span[units.MassPerArea](x) }
	test := func(item string, x *units.Range[float64], in *units.Range[float64], stops bool) {
		if x == nil {
			return
		}
		how := units.Words("start + balance / load per ppm")
		switch {
		case stops:
			how = how.And("; the rule holds from %.0f to %.0f ppm, and the projection stops there", in.Low, in.High)
		case in == nil:
			how = how.And("; the range of the rule is not known: an indication")
		}
		w.Put(units.Words(item), units.Words("%.1f to %.1f ppm", x.Low, x.High), how)
	}
	for _, y := range r.Seasons {
		w.Put(units.Words("%d %s: P2O5 applied", y.Season, y.Crop), y.AppliedP2O5, units.Phrase{})
		w.Add("  removed", show(y.RemovedP2O5), "")
		w.Add("  balance", show(y.BalanceP2O5), "applied less removed since the first season")
		if y.AppliedK2O > 0 || y.RemovedK2O.High > 0 {
			w.Add("  K2O balance", show(y.BalanceK2O), "")
		}
		test("  soil test P", y.SoilP, r.RangeP, y.StopsP)
		test("  soil test K", y.SoilK, r.RangeK, y.StopsK)
	}
	for _, b := range r.Violations {
		w.Put(units.Words("%d breaks: %v", b.Season, b.Rule), b.Got, b.Want)
	}
	return w
}

// String returns the working as a table.
func (r BudgetResult) String() string { return r.Working().String() }
