package earthwork

import (
	"example.org/earthbasin/units"
)

// SettlementRule says what a settlement allowance is a share of. The zero value is
// refused: at 5 % the two differ by 0.26 % of the height.
type SettlementRule = units.Enum[settlementWords]

// Settlement conventions.
const (
	// SettlementRuleDesign, "share of design height", builds h (1 + s): the allowance is a share of the design
	// height, as in Md. Code Regs. 26.20.21.08 ("at least 5 % of design height").
	SettlementRuleDesign SettlementRule = iota + 1
	// SettlementRulePlaced, "share of placed height", builds h / (1 - s): the share of the placed height that
	// goes when it settles.
	SettlementRulePlaced
)

var settlementNames = units.Names{SettlementRuleDesign: "share of design height", SettlementRulePlaced: "share of placed height"}

type settlementWords struct{}

func (settlementWords) Names() units.Names { return settlementNames }

// SettlementSpec is a settlement allowance. There is no default: published rules
// run from 5 % (compacted embankment) to 40 % and more (peat).
type SettlementSpec struct {
	Rule  SettlementRule `json:"rule"`  // what Share is a share of
	Share float64        `json:"share"` // 0 to 0.6
}

// check records the faults of the spec.
func (s SettlementSpec) check(f *units.Faults) {
	if !settlementNames.Has(int(s.Rule)) {
		f.Add("rule", s.Rule, settlementNames.Want())
	}
	f.NumberZeroTo("share", s.Share, 0.6)
}

// built returns the height to build for each height that shall remain.
func (s SettlementSpec) built() float64 {
	if s.Rule == SettlementRulePlaced {
		return 1 / (1 - s.Share)
	}
	return 1 + s.Share
}

// how says the formula of built.
func (s SettlementSpec) how() string {
	if s.Rule == SettlementRulePlaced {
		return "design / (1 - s)"
	}
	return "design x (1 + s)"
}

// OverbuildSpec asks for what to build so that a design remains.
type OverbuildSpec struct {
	Design     units.Length   `json:"design"`          // thickness of fill that shall remain
	Volume     units.Volume   `json:"volume,omitzero"` // of the fill that shall remain, 0 when only the thickness is asked
	Settlement SettlementSpec `json:"settlement"`      // the allowance
}

// OverbuildResult is what to build and the allowance in it.
type OverbuildResult struct {
	Spec            OverbuildSpec `json:"spec"`            // what was asked
	Built           units.Length  `json:"built"`           // thickness to place
	Allowance       units.Length  `json:"allowance"`       // Built - Design
	BuiltVolume     units.Volume  `json:"builtVolume"`     // of compacted fill, every thickness of it with its allowance
	AllowanceVolume units.Volume  `json:"allowanceVolume"` // BuiltVolume - Volume
}

// Overbuild returns the thickness and the volume to place so that the design
// remains after settlement, by the named convention. Errors are
// [units.FieldError] with the json field.
func Overbuild(spec OverbuildSpec) (OverbuildResult, error) {
	var f units.Faults
	f.ZeroTo("design", spec.Design, units.MaxLength)
	f.ZeroTo("volume", spec.Volume, units.MaxVolume)
	settlement := f.At("settlement")
	spec.Settlement.check(&settlement)
	if err := f.Err(); err != nil {
		return OverbuildResult{}, err
	}
	s := spec.Settlement
	k := s.built()
	r := OverbuildResult{Spec: spec, Built: spec.Design * units.Length(k), BuiltVolume: spec.Volume * units.Volume(k)}
	r.Allowance, r.AllowanceVolume = r.Built-spec.Design, r.BuiltVolume-spec.Volume
	return r, nil
}

// Working shows what to build and the allowance in it.
func (r OverbuildResult) Working() units.Working {
	var w units.Working
	s := r.Spec.Settlement
	w.Add("design thickness", r.Spec.Design, "")
	w.Add("settlement s", s.Share, "%v", s.Rule)
	w.Add("thickness to build", r.Built, s.how())
	w.Add("allowance", r.Allowance, "built - design")
	if r.Spec.Volume > 0 {
		w.Add("volume to build", earth(r.BuiltVolume), "of %v, every thickness with its allowance", earth(r.Spec.Volume))
	}
	return w
}

// String prints the working.
func (r OverbuildResult) String() string { return r.Working().String() }

// SettlementRow is a published allowance.
type SettlementRow struct {
	Fill   string               `json:"fill"`          // what is filled
	Share  units.Range[float64] `json:"share"`         // of the height that Rule names
	Rule   SettlementRule       `json:"rule,omitzero"` // 0 where the source could be read only in part and does not say
	Source string               `json:"source"`        // title, number and place
}

// SettlementTable returns published allowances, to choose from with whoever answers
// for the fill; nothing in this package picks one.
func SettlementTable() []SettlementRow {
	return []SettlementRow{
		{"impoundment embankment, at least", units.Point(0.05), SettlementRuleDesign, "Md. Code Regs. 26.20.21.08"},
		{"small dam", units.Point(0.10), SettlementRuleDesign, "Indian agricultural e-course, lesson 25, after FAO Irrigation and Drainage Paper 64"},
		{"pond dyke, built by machine", units.Range[float64]{Low: 0.05, High: 0.10}, 0, "Indian agricultural e-course, pond dykes"},
		{"pond dyke, coastal soil rich in peat", units.Range[float64]{Low: 0.20, High: 0.25}, 0, "Indian agricultural e-course, pond dykes; 40 % or more where organic matter is high"},
	}
}

// RolledSettlementSpec is fill that heavy rollers work on.
type RolledSettlementSpec struct {
	Depth  units.Length `json:"depth"`  // that they compact, 0 to 100 km
	Shrink float64      `json:"shrink"` // of the soil from bank to compacted, 0 to 1
}

// RolledSettlement returns the settlement of fill that heavy rollers work on:
// depth that they compact x shrink / 2 (Moving the Earth: The Workbook of
// Excavation, p. 2.51). Errors are [units.FieldError] with the json field.
func RolledSettlement(spec RolledSettlementSpec) (units.Length, error) {
	var f units.Faults
	f.ZeroTo("depth", spec.Depth, units.MaxLength)
	f.NumberZeroTo("shrink", spec.Shrink, 1)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return spec.Depth * units.Length(spec.Shrink/2), nil
}
