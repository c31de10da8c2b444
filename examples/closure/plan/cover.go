package plan

import (
	"time"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// Cover is the vegetation and what it needs. Areas come from the plan.
type Cover struct {
	Area       units.Area             `json:"area,omitzero"` // to seed; 0: the topsoil returned
	Mix        *cover.MixSpec         `json:"mix,omitzero"`
	Rules      string                 `json:"rules,omitzero"` // id of a rule set of the library
	LimeTest   *cover.LimeNeedSpec    `json:"limeTest,omitzero"`
	Lime       *cover.LimeMaterial    `json:"lime,omitzero"`
	Fertilizer *cover.FertilizerSpec  `json:"fertilizer,omitzero"`
	Mulch      *cover.MulchSpec       `json:"mulch,omitzero"`
	Windows    []cover.PlantingWindow `json:"windows,omitzero"`
	Nurse      *cover.NurseSpec       `json:"nurse,omitzero"`    // sown with the mix or, when the window is far, at once
	SeedDays   int                    `json:"seedDays,omitzero"` // to drill and mulch, 1 to 365; 0 stands for 2
	Slope      *cover.LSSpec          `json:"slope,omitzero"`    // of the longest fall of the finished ground
	SoilLoss   *cover.SoilLossSpec    `json:"soilLoss,omitzero"` // LS, area and first month come from the plan
}

// CoverResult is what is sown and what the bare ground would lose.
type CoverResult struct {
	stage.Rows `json:"-"`
	Area       units.Area              `json:"area"` // 0: not known
	Mix        *cover.MixResult        `json:"mix,omitempty"`
	Findings   []cover.Finding         `json:"findings,omitempty"`
	Nurse      *cover.NurseResult      `json:"nurse,omitempty"`
	LimeNeed   *cover.LimeNeedResult   `json:"limeNeed,omitempty"`
	Lime       *cover.LimeResult       `json:"lime,omitempty"`
	Fertilizer *cover.FertilizerResult `json:"fertilizer,omitempty"`
	Mulch      *cover.MulchResult      `json:"mulch,omitempty"`
	Planting   *cover.PlantingResult   `json:"planting,omitempty"`
	SoilLoss   *cover.SoilLossResult   `json:"soilLoss,omitempty"`
	// Temporary says that the nurse crop is sown at once, since the window is far off.
	Temporary bool `json:"temporary,omitempty"`
	// Bare is the days on which worked ground lies without any cover, and what they lose;
	// nil where the days or the soil loss are not known.
	Bare *BareGround `json:"bare,omitempty"`
	// Stops are the times without work on the ground that the closing lays open, until
	// something covers it.
	Stops []Stop `json:"stops,omitempty"`
}

// BareGround is worked ground from the first stripping until a cover is laid.
type BareGround struct {
	From stage.Date        `json:"from"` // first day of stripping or filling
	To   stage.Date        `json:"to"`   // last day before temporary cover or seed is in
	Lost units.MassPerArea `json:"lost"` // by each month's loss of bare ground, in step with its days
	Mass units.Mass        `json:"mass"` // from the whole area
}

// bareGround adds up the soil loss of the bare days; r begins with the month of from.
func bareGround(r *cover.SoilLossResult, from, to stage.Date) *BareGround {
	if r == nil || from.IsZero() || to.Before(from) || from.Until(to) > 3660 {
		return nil
	}
	b := &BareGround{From: from, To: to}
	for i := range from.Until(to) + 1 {
		day := time.Time(from.Plus(i))
		for _, m := range r.Months {
			if m.Month == day.Month() {
				days := time.Date(day.Year(), day.Month()+1, 0, 0, 0, 0, 0, time.UTC).Day()
				b.Lost += m.Bare / units.MassPerArea(days)
			}
		}
	}
	b.Mass = b.Lost.Times(r.Spec.Area)
	return b
}

// seedDays is how long the seeding takes.
func (c *Cover) seedDays() int {
	if c.SeedDays == 0 {
		return 2
	}
	return c.SeedDays
}

// vegetation works out the cover of an area, 0 where it is not known.
func vegetation(s *Scenario, lib library, area units.Area) (CoverResult, error) {
	var r CoverResult
	var f units.Faults
	in := s.Cover
	open := func(missing bool, key string, who stage.Who, what, needs string) {
		if missing {
			r.Open = append(r.Open, stage.Open{Key: key, Who: who, What: units.Words(what), Needs: units.Words(needs)})
		}
	}
	if in == nil {
		open(true, "cover", stage.Producer, "what grows on the closed basin: seed, mulch, lime, fertilizer and the soil that runs off before it stands", "a mix that the state's rules take, its planting windows, and a soil test of the topsoil")
		return r, nil
	}
	if in.Area != 0 {
		f.Between("cover.area", in.Area, units.SquareFoot, 1e4*units.Acre)
		area = in.Area
	}
	r.Area = area
	open(area == 0, "cover.area", stage.Engineer, "how much seed, mulch, lime and fertilizer is needed", "the area that is graded and sown")
	if area == 0 {
		area = units.Acre // any finds the faults
	}
	at := f.At("cover")
	if in.Mix != nil {
		spec := *in.Mix
		spec.Area = area
		r.Mix = answered(&at, "mix", &spec, cover.Mix)
	}
	if r.Mix != nil && lib.mixes != nil {
		r.Findings = lib.mixes.Judge(*r.Mix)
	}
	if in.Nurse != nil {
		spec := *in.Nurse
		spec.Area = area
		r.Nurse = answered(&at, "nurse", &spec, cover.Nurse)
	}
	r.LimeNeed = answered(&at, "limeTest", in.LimeTest, cover.LimeNeed)
	if in.Lime != nil {
		spec := cover.LimeSpec{Basis: cover.LimeCCE, Need: 1, Material: *in.Lime, Area: area}
		if r.LimeNeed != nil {
			spec.Basis, spec.Need = r.LimeNeed.Basis, r.LimeNeed.Need
		}
		lime, err := cover.Lime(spec)
		for _, e := range units.FieldErrors(err) {
			if part := "material"; units.PathWithin(e.Field, part) && len(e.Field) > len(part) {
				e = e.At(e.Field[len(part)+1:])
			}
			at.Sub("lime", e)
		}
		if err == nil && r.LimeNeed != nil {
			r.Lime = &lime
		}
	}
	if in.Fertilizer != nil {
		spec := *in.Fertilizer
		spec.Area = area
		r.Fertilizer = answered(&at, "fertilizer", &spec, cover.Fertilizer)
	}
	if in.Mulch != nil {
		spec := *in.Mulch
		spec.Area = area
		r.Mulch = answered(&at, "mulch", &spec, cover.Mulch)
	}
	at.CountBetween("seedDays", in.SeedDays, "days", 0, 365)
	slope := answered(&at, "slope", in.Slope, cover.LS)
	if in.SoilLoss != nil {
		spec := *in.SoilLoss
		spec.Area, spec.LS, spec.Begin = area, 1, time.January
		if slope != nil {
			spec.LS = slope.LS
		}
		r.SoilLoss = answered(&at, "soilLoss", &spec, cover.SoilLoss)
	}
	if in.Windows != nil {
		// Any day finds the faults of the windows; the calendar finds the window.
		_, err := cover.Planting(cover.PlantingSpec{Ready: time.Date(2001, time.March, 1, 0, 0, 0, 0, time.UTC), Days: 1, Windows: in.Windows})
		at.Sub("", err)
	}
	if r.Area == 0 || slope == nil {
		r.SoilLoss = nil
	}
	if r.Area == 0 {
		r = CoverResult{Rows: r.Rows}
	}
	open(in.Mix == nil, "cover.mix", stage.Planner, "the seed order", "a mix with the lots' purity and germination, suited to site and season")
	open(in.LimeTest == nil || in.Lime == nil, "cover.lime", stage.Laboratory, "how much lime the new topsoil needs", "pH and buffer pH of the topsoil, and the lime's neutralizing value")
	open(in.Fertilizer == nil, "cover.fertilizer", stage.Laboratory, "how much fertilizer the stand needs", "P and K of the new topsoil")
	open(in.Mulch == nil, "cover.mulch", stage.Engineer, "how the seed is held until it grows", "mulch or blanket by the rules for the slope")
	open(len(in.Windows) == 0, "cover.windows", stage.Planner, "when the mix may be sown", "the planting windows of the mix at the site")
	open(in.Nurse == nil, "cover.nurse", stage.Planner, "what covers the ground where the window of the mix is far off", "a crop for temporary cover")
	open(in.SoilLoss == nil || in.Slope == nil, "cover.soilLoss", stage.Engineer, "how much soil runs off before the stand holds it", "length and grade of the longest fall, R and K of the site")
	caution(&r.Rows, r.Mix, func(x *cover.MixResult) []string { return x.Cautions })
	caution(&r.Rows, r.Lime, func(x *cover.LimeResult) []string { return x.Cautions })
	caution(&r.Rows, r.Fertilizer, func(x *cover.FertilizerResult) []string { return x.Cautions })
	caution(&r.Rows, r.Mulch, func(x *cover.MulchResult) []string { return x.Cautions })
	caution(&r.Rows, r.SoilLoss, func(x *cover.SoilLossResult) []string { return x.Cautions })
	return r, f.Err()
}

// caution adds the cautions of a result that may be missing.
func caution[R any](rows *stage.Rows, r *R, of func(*R) []string) {
	if r != nil {
		rows.Add(stage.Rows{Cautions: of(r)})
	}
}

// sowing finds the first window after the ground is ready; nil where no window is told.
func sowing(s *Scenario, ready stage.Date) *cover.PlantingResult {
	if s.Cover == nil || len(s.Cover.Windows) == 0 || ready.IsZero() {
		return nil
	}
	r, err := cover.Planting(cover.PlantingSpec{Ready: time.Time(ready), Days: s.Cover.seedDays(), Windows: s.Cover.Windows})
	if err != nil {
		return nil // the windows are sound, and too short for the days of seeding
	}
	return &r
}
