package nutrient

import (
	"time"

	"example.org/earthbasin/units"
)

// CropCoefficient is how much water a crop uses of what the reference crop uses, from
// a date on.
type CropCoefficient struct {
	From   time.Time `json:"from"`   // first day; the first of a list counts before it too
	Factor float64   `json:"factor"` // 0 to 2
}

// WaterApplied is the water of one pass: effluent, slurry or irrigation.
type WaterApplied struct {
	Date     time.Time    `json:"date"`              // within the weather
	Depth    units.Length `json:"depth"`             // over the area that was spread on, above 0
	Material string       `json:"material,omitzero"` // of which it was a pass
}

// SoilWaterSpec is the soil of a field and what its weather, its crop and all passes of
// all materials do to the water in it.
type SoilWaterSpec struct {
	Layers   []SoilLayer `json:"layers"`   // of the root zone, from the top down; the low end of what they hold counts
	Depleted float64     `json:"depleted"` // part of the available water missing on the morning of the first day, 0 to 1
	// Drainable is the part of the depth that fills above field capacity before water
	// stands on the field, 0 to 0.5.
	Drainable float64 `json:"drainable"`
	// Drainage is how fast the root zone loses what it holds above field capacity, 0.0001
	// mm/h to 1 m/h.
	Drainage units.DepthRate `json:"drainage"`
	// Coefficients of the crop by date, in order, at least one.
	Coefficients []CropCoefficient `json:"coefficients"`
	// Easy is the part of the available water that the crop takes without stress, 0.01 to
	// 1; below it the crop takes less in proportion to what is left.
	Easy float64 `json:"easy"`
	// Of each day's rain above RunoffLoss the share RunoffShare runs off.
	RunoffLoss  units.Length   `json:"runoffLoss,omitzero"`  // 0 to 2 m
	RunoffShare float64        `json:"runoffShare,omitzero"` // 0 to 1
	Weather     []DayWeather   `json:"weather"`              // every day, as [DailyWeather] makes it
	Applied     []WaterApplied `json:"applied,omitzero"`     // in any order
	Rule        SpreadingRule  `json:"rule"`                 // of fitness
}

// SoilWaterDay is one day of a [SoilWaterResult]. Water is available water, above
// wilting, and lies between 0 and what the root zone holds with what still drains.
type SoilWaterDay struct {
	Date     time.Time    `json:"date"`     // at midnight UTC
	Water    units.Length `json:"water"`    // in the morning
	Rain     units.Length `json:"rain"`     // of the day
	Soaks    units.Length `json:"soaks"`    // of the rain, less what runs off by the rule
	Applied  units.Length `json:"applied"`  // by all passes of the day
	Runoff   units.Length `json:"runoff"`   // by the rule, and what the full soil sheds
	Used     units.Length `json:"used"`     // by crop and sun
	Drained  units.Length `json:"drained"`  // below the root zone
	Room     units.Length `json:"room"`     // for more on this day, before the passes: field capacity less margin, water and the rain of the day
	Over     units.Length `json:"over"`     // passes above the room
	Fit      bool         `json:"fit"`      // for spreading
	Reason   Unfit        `json:"reason"`   // why not; none when it is
	Evidence units.Phrase `json:"evidence"` // figures of the reason, empty when it is fit
}

// Limit returns what one pass on this day may bring, for [FieldRateSpec]: the room, or
// nothing on a day that is not fit.
func (d SoilWaterDay) Limit() Limit {
	l := Limit{Kind: LimitWater, Name: "water the soil can hold", Rate: LiquidRate(0)}
	if d.Fit {
		l.Rate = LiquidRate(d.Room.Applied())
	}
	return l
}

// SoilWaterResult is the water of a root zone day by day.
type SoilWaterResult struct {
	Holds units.Length   `json:"holds"` // available water at field capacity
	Free  units.Length   `json:"free"`  // the margin of the rule, kept free below it
	Rule  SpreadingRule  `json:"rule"`  // as in the spec
	Days  []SoilWaterDay `json:"days"`  // of the weather
	End   units.Length   `json:"end"`   // water on the evening of the last day
}

// soilState is the water of the layers and what drains, in metres.
type soilState struct {
	holds, water []float64
	top          int     // layers that lie within the top of the rule
	over         float64 // above field capacity
	mostOver     float64
}

func (s *soilState) total() float64 {
	sum := s.over
	for _, w := range s.water {
		sum += w
	}
	return sum
}

// add lets water in from the top down and returns what does not find room.
func (s *soilState) add(x float64) (rest float64) {
	for i, h := range s.holds {
		in := min(x, h-s.water[i])
		s.water[i] += in
		x -= in
	}
	in := min(x, s.mostOver-s.over)
	s.over += in
	return x - in
}

// use takes water: first what drains anyhow, then of each layer in proportion to what
// is in it. It returns what was taken.
func (s *soilState) use(want, easy float64) float64 {
	drains := min(want, s.over)
	s.over -= drains
	want -= drains
	var holds, water float64
	for i := range s.holds {
		holds += s.holds[i]
		water += s.water[i]
	}
	if water <= 0 {
		return drains
	}
	// Ks = (TAW - Dr)/((1 - p) TAW).
	want = min(want*min(1, water/(max(1-easy, 1e-9)*holds)), water)
	for i := range s.water {
		s.water[i] = max(0, s.water[i]-want*s.water[i]/water)
	}
	return drains + want
}

// SoilWater keeps the daily balance of the water in a root zone:
//
//	water tomorrow = water today + rain - runoff + passes - crop use - drainage
//
// Rain and passes fill the layers from the top down to field capacity; what they
// cannot hold drains below, and what does not find room runs off. The crop uses
// reference evapotranspiration x its coefficient, less when most of the water is gone
// (the balance and the stress coefficient are those of FAO Irrigation and Drainage
// Paper 56, 1998, eq. 84 and 85, from memory). Each day says whether it is fit for
// spreading by the rule, and how much the soil can take. Faults are
// [units.FieldError].
func SoilWater(spec SoilWaterSpec) (SoilWaterResult, error) {
	passes, err := spec.check()
	if err != nil {
		return SoilWaterResult{}, err
	}
	return spec.run(func(d *SoilWaterDay) units.Length { return passes[d.Date] }), nil
}

// SoilFillSpec is a soil that takes on every fit day what it has room for.
type SoilFillSpec struct {
	SoilWaterSpec
	First time.Time    `json:"first"` // day on which that may begin; only its date counts
	Last  time.Time    `json:"last"`  // day, at most ten years after it
	Least units.Length `json:"least"` // depth below which nobody goes out, 0.01 mm to 1.5 in
}

// SoilFill is [SoilWater] with one pass more on each fit day from First to Last: all
// that the soil has room for on that day, where it is Least or more. What was applied in
// the days of the result is the most that the time can bring on to the field. Faults are
// those of [SoilWater].
func SoilFill(spec SoilFillSpec) (SoilWaterResult, error) {
	var f units.Faults
	checkDays(&f, "first", "last", spec.First, spec.Last)
	f.Between("least", spec.Least, leastRuleRain, mostRuleRain)
	passes, err := spec.check()
	if f.Sub("", err); f.Err() != nil {
		return SoilWaterResult{}, f.Err()
	}
	first, last := midnight(spec.First), midnight(spec.Last)
	return spec.run(func(d *SoilWaterDay) units.Length {
		x := passes[d.Date]
		if d.Fit && d.Room-x >= spec.Least && !d.Date.Before(first) && !d.Date.After(last) {
			return d.Room
		}
		return x
	}), nil
}

// run keeps the balance of a checked spec; passes says what goes on a day of which all
// but that is known.
func (spec *SoilWaterSpec) run(passes func(*SoilWaterDay) units.Length) SoilWaterResult {
	s := soilState{}
	var depth float64
	for _, l := range spec.Layers {
		h := float64(l.water().Low)
		above := min(1, max(0, float64((spec.Rule.Top-units.Length(depth))/l.Depth))) // part of it in the top
		for _, part := range []float64{above, 1 - above} {
			if part > 0 {
				s.holds = append(s.holds, h*part)
				s.water = append(s.water, h*part*(1-spec.Depleted))
			}
		}
		depth += float64(l.Depth)
		if above > 0 {
			s.top++
		}
	}
	s.mostOver = depth * spec.Drainable
	r := SoilWaterResult{Rule: spec.Rule, Days: make([]SoilWaterDay, len(spec.Weather))}
	for _, h := range s.holds {
		r.Holds += units.Length(h)
	}
	r.Free = r.Holds * units.Length(spec.Rule.Margin)
	perDay := float64(spec.Drainage.Times(units.Day))
	crop := 0
	for i := range spec.Weather {
		w := &spec.Weather[i]
		day := midnight(w.Date)
		for crop+1 < len(spec.Coefficients) && !midnight(spec.Coefficients[crop+1].From).After(day) {
			crop++
		}
		runoff := spec.RunoffShare * max(0, float64(w.Rain-spec.RunoffLoss))
		d := SoilWaterDay{Date: day, Water: units.Length(s.total()), Rain: w.Rain + 0, Soaks: w.Rain - units.Length(runoff)}
		d.Room = max(0, r.Holds-r.Free-d.Water-d.Soaks)
		d.Reason, d.Evidence = spec.Rule.judgeSoil(spec.Weather, i, &s, d.Room)
		d.Fit = d.Reason == UnfitNone
		d.Applied = passes(&d)
		d.Over = max(0, d.Applied-d.Room)
		runoff += s.add(float64(d.Soaks))
		runoff += s.add(float64(d.Applied))
		d.Runoff = units.Length(runoff)
		d.Used = units.Length(s.use(float64(w.Evapotranspiration)*spec.Coefficients[crop].Factor, spec.Easy))
		drained := min(s.over, perDay)
		s.over -= drained
		d.Drained = units.Length(drained)
		r.Days[i] = d
	}
	r.End = units.Length(s.total())
	return r
}

// check returns the water of the passes by date.
func (spec *SoilWaterSpec) check() (map[time.Time]units.Length, error) {
	var f units.Faults
	checkLayers(&f, spec.Layers)
	upTo(&f, "depleted", spec.Depleted, 1)
	upTo(&f, "drainable", spec.Drainable, 0.5)
	f.Between("drainage", spec.Drainage, units.MillimetrePerHour/1e4, units.Metre.OverTime(units.Hour))
	f.CountBetween("coefficients", len(spec.Coefficients), "coefficients", 1, 1000)
	for i, c := range spec.Coefficients[:min(len(spec.Coefficients), 1000)] {
		at := f.At("coefficients", i)
		upTo(&at, "factor", c.Factor, 2)
		if i > 0 && !midnight(c.From).After(midnight(spec.Coefficients[i-1].From)) {
			at.Fault(units.FaultConflict, "from", midnight(c.From), "a day after that of the one before it")
		}
	}
	f.NumberBetween("easy", spec.Easy, 0.01, 1)
	f.Between("runoffLoss", spec.RunoffLoss, units.Length(0), mostDayRain)
	upTo(&f, "runoffShare", spec.RunoffShare, 1)
	rule := f.At("rule")
	spec.Rule.check(&rule)
	if checkWeather(&f, spec.Weather); len(spec.Weather) == 0 {
		return nil, f.Err()
	}
	passes := map[time.Time]units.Length{}
	first, last := midnight(spec.Weather[0].Date), midnight(spec.Weather[len(spec.Weather)-1].Date)
	f.CountBetween("applied", len(spec.Applied), "passes", 0, mostDatedWeather)
	for i, a := range spec.Applied[:min(len(spec.Applied), mostDatedWeather)] {
		at := f.At("applied", i)
		at.Between("depth", a.Depth, units.Millimetre/1000, mostDayRain)
		if day := midnight(a.Date); day.Before(first) || day.After(last) {
			at.Fault(units.FaultConflict, "date", day, "%v to %v, the days of the weather", first, last)
		} else {
			passes[day] += a.Depth
		}
	}
	return passes, f.Err()
}

// checkWeather records the faults of the weather of every day.
func checkWeather(f *units.Faults, weather []DayWeather) {
	if n := len(weather); n == 0 || n > mostDatedWeather {
		f.Count("weather", n, "days", "1 to %v, as DailyWeather makes them", mostDatedWeather)
		return
	}
	for i := range weather {
		at := f.At("weather", i)
		weather[i].check(&at)
		if i > 0 && !midnight(weather[i].Date).Equal(midnight(weather[i-1].Date).AddDate(0, 0, 1)) {
			at.Fault(units.FaultConflict, "date", midnight(weather[i].Date), "the day after the one before it")
		}
	}
}

// FitDays returns the days from first to last that are fit for spreading.
func (r SoilWaterResult) FitDays(first, last time.Time) (fit []SoilWaterDay) {
	for _, d := range r.Days {
		if d.Fit && !d.Date.Before(midnight(first)) && !d.Date.After(midnight(last)) {
			fit = append(fit, d)
		}
	}
	return fit
}

// Working shows the balance of all days, and how many are fit and how many not, by
// reason.
func (r SoilWaterResult) Working() units.Working {
	var w units.Working
	if len(r.Days) == 0 {
		return w
	}
	inches := func(x units.Length) units.Shown { return units.As(x, units.Inch, 2) }
	var sum SoilWaterDay
	var count [unfitKinds]int
	over := 0
	for _, d := range r.Days {
		sum.Rain += d.Rain
		sum.Applied += d.Applied
		sum.Runoff += d.Runoff
		sum.Used += d.Used
		sum.Drained += d.Drained
		if unfitNames.Has(int(d.Reason)) {
			count[d.Reason]++
		}
		if d.Over > 0 {
			over++
		}
	}
	w.Add("available water at field capacity", inches(r.Holds), "low end of what the layers hold")
	w.Add("kept free", inches(r.Free), "margin of the rule")
	w.Add("water on the first morning", inches(r.Days[0].Water), "")
	w.Add("rain", inches(sum.Rain), "")
	w.Add("passes", inches(sum.Applied), "of all materials")
	w.Add("less runoff", inches(sum.Runoff), "")
	w.Add("less crop use", inches(sum.Used), "reference x crop coefficient, less under stress")
	w.Add("less drainage", inches(sum.Drained), "below the root zone")
	w.Add("water on the last evening", inches(r.End), "")
	w.Add("days fit for spreading", count[UnfitNone], "of %v", len(r.Days))
	for u := UnfitNone + 1; u < unfitKinds; u++ {
		if count[u] > 0 {
			w.Put(units.Words("days not fit: %s", units.Word(u.String())), count[u], units.Phrase{})
		}
	}
	if over > 0 {
		w.Add("days with passes above the room", over, "they leach or run off")
	}
	return w
}

// DayWorking shows how the room of one day comes about; nothing for a day outside the
// weather.
func (r SoilWaterResult) DayWorking(day time.Time) units.Working {
	var w units.Working
	inches := func(x units.Length) units.Shown { return units.As(x, units.Inch, 2) }
	for _, d := range r.Days {
		if !d.Date.Equal(midnight(day)) {
			continue
		}
		w.Put(units.Words("%v: available water at field capacity", d.Date), inches(r.Holds), units.Phrase{})
		w.Add("less margin", inches(r.Free), "")
		w.Add("less water in the morning", inches(d.Water), "of the balance up to that day")
		w.Add("less rain of the day", inches(d.Soaks), "of %v, what does not run off", inches(d.Rain))
		w.Add("room", inches(d.Room), "not below 0")
		if d.Fit {
			w.Add("fit for spreading", "yes", "")
		} else {
			w.Put(units.Words("fit for spreading"), units.Words("no: %s", units.Word(d.Reason.String())), d.Evidence)
		}
	}
	return w
}

// String is the table of the working.
func (r SoilWaterResult) String() string { return r.Working().String() }
