package earthwork

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// ProctorTest is the laboratory test whose greatest dry density a percentage of
// compaction counts from. The zero value is refused: 95 % of one is not 95 % of the
// other.
type ProctorTest = units.Enum[proctorWords]

// Laboratory tests.
const (
	ProctorTestStandard ProctorTest = iota + 1 // "standard Proctor": ASTM D698
	ProctorTestModified                        // "modified Proctor": ASTM D1557, more effort and a higher density
)

var proctorNames = units.Names{ProctorTestStandard: "standard Proctor", ProctorTestModified: "modified Proctor"}

type proctorWords struct{}

func (proctorWords) Names() units.Names { return proctorNames }

// RollerSpec is what a roller does.
type RollerSpec struct {
	Width units.Length `json:"width"` // of a strip less the overlap, more than 0 to 20 m
	Speed units.Speed  `json:"speed"` // at work, more than 0 to 30 km/h
	// Efficiency is the share of an hour in which it rolls, 0.1 to 1.
	Efficiency float64 `json:"efficiency"`
}

// CompactionSpec is how a fill is placed.
type CompactionSpec struct {
	Volume units.Volume `json:"volume"` // of the fill, compacted
	Depth  units.Length `json:"depth"`  // of the deepest fill, at least one lift
	Lift   units.Length `json:"lift"`   // thickness of a lift, compacted: 1 cm to 2 m
	Passes int          `json:"passes"` // of the roller over each lift, 1 to 100
	Test   ProctorTest  `json:"test"`   // that Percent counts from
	// Percent is the share of the greatest dry density of the test, 0.7 to 1.1: 0.95 for 95 %.
	Percent float64 `json:"percent"`
	// MaxDensity is that greatest dry density, from the laboratory; 0 when it is not known
	// yet.
	MaxDensity units.Density `json:"maxDensity,omitzero"`
	// BankDensity is the dry density in place where the soil is dug; 0 when it is not known.
	BankDensity units.Density `json:"bankDensity,omitzero"`
	// Moisture is the water content, by dry mass, within which the soil is compacted, 0 to
	// 1; the zero value when the laboratory has not said yet.
	Moisture units.Range[float64] `json:"moisture,omitzero"`
	// TestEvery is the compacted volume for which one density test is made, as the engineer
	// or the contract says; 0 when nobody has said.
	TestEvery units.Volume `json:"testEvery,omitzero"`
	Roller    *RollerSpec  `json:"roller,omitzero"` // nil when hours are not asked
}

// CompactionResult is the work of compacting and what is left to settle.
type CompactionResult struct {
	Spec  CompactionSpec `json:"spec"`  // what was asked
	Lifts int            `json:"lifts"` // over the deepest place, rounded up
	// Tests of the density: one for each TestEvery, rounded up, and one for each lift at
	// least; 0 without TestEvery.
	Tests int `json:"tests,omitzero"`
	// DryDensity is what a test has to show; 0 without MaxDensity.
	DryDensity units.Density `json:"dryDensity,omitzero"`
	// Shrink of the soil that follows from the densities, nil without both of them.
	Shrink *float64 `json:"shrink,omitzero"`
	// Settlement is the most that the fill settles by growing denser: until it has the
	// greatest density of the test.
	Settlement SettlementSpec `json:"settlement"`
	Rolled     units.Flow     `json:"rolled,omitzero"` // compacted volume in the time of work; 0 without a roller
	Hours      units.Duration `json:"hours,omitzero"`  // of the roller; 0 without one
	Cautions   []string       `json:"cautions"`        // what can hurt people, and who decides
}

// Compaction returns lifts, tests and hours of a fill and what its density leaves to
// settle. A fill at the share p of the greatest dry density has 1 - p of its height
// to lose until it is as dense as the test makes it, sideways strain left out; what
// the ground below it gives comes besides. Shrink is 1 - bank density / (p greatest
// density). A roller of width w at speed v over n passes of a lift t does w v t e / n
// (all geometry). One test for each lift at least is common practice, no source.
// Errors are [units.FieldError] with the json field.
func Compaction(spec CompactionSpec) (CompactionResult, error) {
	var f units.Faults
	f.UpTo("volume", spec.Volume, units.MaxVolume)
	f.Between("lift", spec.Lift, units.Centimetre, 2*units.Metre)
	f.Between("depth", spec.Depth, spec.Lift*(1-slack), units.Kilometre)
	f.CountBetween("passes", spec.Passes, "passes", 1, 100)
	if !proctorNames.Has(int(spec.Test)) {
		f.Add("test", spec.Test, proctorNames.Want())
	}
	f.NumberBetween("percent", spec.Percent, 0.7, 1.1)
	dry := func(field string, d units.Density) {
		if d != 0 {
			f.Between(field, d, 500*units.KilogramPerCubicMetre, 4000*units.KilogramPerCubicMetre)
		}
	}
	dry("maxDensity", spec.MaxDensity)
	dry("bankDensity", spec.BankDensity)
	if m := spec.Moisture; m.Low != 0 || m.High != 0 {
		f.NumberBetween("moisture.low", m.Low, 0, 1)
		f.NumberBetween("moisture.high", m.High, m.Low, 1)
	}
	if spec.TestEvery != 0 {
		f.Between("testEvery", spec.TestEvery, units.CubicMetre, units.MaxVolume)
	}
	if r := spec.Roller; r != nil {
		at := f.At("roller")
		at.Between("width", r.Width, units.Centimetre, 20*units.Metre)
		at.Between("speed", r.Speed, units.KilometrePerHour/100, 30*units.KilometrePerHour)
		at.NumberBetween("efficiency", r.Efficiency, 0.1, 1)
	}
	if err := f.Err(); err != nil {
		return CompactionResult{}, err
	}
	r := CompactionResult{Spec: spec, Lifts: ceil(float64(spec.Depth / spec.Lift)), DryDensity: spec.MaxDensity * units.Density(spec.Percent),
		Settlement: SettlementSpec{Rule: SettlementRulePlaced, Share: max(1-spec.Percent, 0)},
		Cautions:   []string{cautions.Rollers, cautions.Services, cautions.Quantities}}
	if spec.TestEvery > 0 {
		n := float64(spec.Volume / spec.TestEvery)
		if !(n <= maxLoads) {
			f.Add("testEvery", spec.TestEvery, "a volume that asks for at most 1e9 tests")
			return CompactionResult{}, f.Err()
		}
		r.Tests = max(ceil(n), r.Lifts)
	}
	if spec.MaxDensity > 0 && spec.BankDensity > 0 {
		r.Shrink = new(1 - float64(spec.BankDensity/r.DryDensity))
	}
	if o := spec.Roller; o != nil {
		r.Rolled = units.Flow(float64(o.Width) * float64(o.Speed) * float64(spec.Lift) * o.Efficiency / float64(spec.Passes))
		r.Hours = spec.Volume.OverFlow(r.Rolled)
	}
	return r, nil
}

// Working shows lifts, density, tests, hours and what is left to settle.
func (r CompactionResult) Working() units.Working {
	var w units.Working
	s := r.Spec
	w.Add("fill, compacted", earth(s.Volume), "")
	w.Add("lifts", r.Lifts, "%v / %v, rounded up, %v passes each", s.Depth, s.Lift, s.Passes)
	w.Add("compaction", s.Percent, "share of the greatest dry density of the %v test", s.Test)
	if r.DryDensity > 0 {
		w.Add("dry density to reach", r.DryDensity, "%v x %v", s.Percent, s.MaxDensity)
	}
	if s.Moisture.High > 0 {
		w.Add("moisture", s.Moisture, "water by dry mass while it is compacted")
	}
	if r.Shrink != nil {
		w.Add("shrink", *r.Shrink, "1 - %v in place / dry density to reach", s.BankDensity)
	}
	if r.Tests > 0 {
		w.Add("density tests", r.Tests, "one for each %v, and one for each lift at least", earth(s.TestEvery))
	}
	if o := s.Roller; o != nil {
		w.Add("rolled in an hour, compacted", earth(r.Rolled.Times(units.Hour)), "width x speed x lift x %v / passes", o.Efficiency)
		w.Add("hours of the roller", r.Hours, "fill / rolled")
	}
	w.Add("most that it settles by growing denser", r.Settlement.Share, "1 - compaction, %v", r.Settlement.Rule)
	return w
}

// String prints the working.
func (r CompactionResult) String() string { return r.Working().String() }
