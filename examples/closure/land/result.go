package land

import (
	"cmp"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
)

// Result is the land with its rooms, windows and open points.
type Result struct {
	// Jurisdictions says whose rules the land goes by; nil without a rule.
	Jurisdictions *nutrient.JurisdictionsResult `json:"jurisdictions,omitzero"`
	Seasons       []SeasonResult                `json:"seasons"` // in the order of time
	Fields        []FieldResult                 `json:"fields"`  // in the order of the spec
	Windows       []Window                      `json:"windows"` // of each field in each season, by field and season
	Notes         []units.Phrase                `json:"notes,omitzero"`
	Open          []stage.Open                  `json:"open,omitzero"`

	plane   *sludge.TangentPlane
	spec    *Spec
	weather []nutrient.DayWeather
	closed  []nutrient.ClosedDays // of every year
}

// SeasonResult is a season and the name of its crop year.
type SeasonResult struct {
	Season
	Year string `json:"year"` // such as "crop year 2026"
}

// FieldResult is what one field may take.
type FieldResult struct {
	Name    string       `json:"name"`
	Whole   units.Area   `json:"whole"`           // with what setbacks take
	Off     units.Area   `json:"off"`             // within the setbacks, each place once
	Area    units.Area   `json:"area"`            // that may be spread on
	OffBy   []FeatureOff `json:"offBy,omitzero"`  // by feature, in their order: what overlaps counts for each
	Shapes  *Shapes      `json:"shapes,omitzero"` // nil without an outline
	Years   []YearResult `json:"years"`           // crop years of the seasons, in order
	Answers Answers      `json:"answers"`
	// Critical are the levels by which nutrients count or not, P2O5 before K2O.
	Critical []CriticalOn `json:"critical,omitzero"`
	// Out says why nothing is planned on the field; nil: it is in the plan.
	Out *units.Phrase `json:"out,omitzero"`
}

// Answers says whether the crops of a field answer to more of a nutrient, and so whether
// it has a worth there.
type Answers struct {
	P2O5 Answer `json:"p2o5"`
	K2O  Answer `json:"k2o"`
}

// Answer is whether a nutrient counts.
type Answer string

// Only what counts has a worth.
const (
	AnswerUnknown Answer = "not known" // the critical level or the soil test is missing
	AnswerCounts  Answer = "counts"    // the soil test is up to the critical level, or the caller counts it
	AnswerEnough  Answer = "enough"    // the soil has enough
)

// YearResult is a field in one crop year.
type YearResult struct {
	Year       int                            `json:"year"`
	Crop       nutrient.CropNutrients         `json:"crop"`
	Nitrogen   nutrient.NitrogenRoomResult    `json:"nitrogen"`
	Phosphorus *nutrient.PhosphorusRoomResult `json:"phosphorus,omitzero"` // nil where the rule or the test is missing
}

// Window is the days of a season on which a field may be spread on.
type Window struct {
	Field  string     `json:"field"`
	Season string     `json:"season"`
	From   stage.Date `json:"from"` // first of Days
	Days   []Day      `json:"days"` // to the last day of the season
	// Water is the balance behind the days from the first of the weather on, before any
	// pass; nil where the soil, the weather or the rule is missing.
	Water *nutrient.SoilWaterResult `json:"-"`
	// Most is the depth that goes down in the season when every fit day takes what its soil
	// has room for: no plan can bring more. 0 without a balance.
	Most units.Length `json:"most"`
}

// Day is one day of a window.
type Day struct {
	Fit    bool           `json:"fit"`
	Reason nutrient.Unfit `json:"reason"`
	Room   units.Length   `json:"room"` // for water, before any pass; 0 without a balance
}

// Fit is whether each day from From on is fit, for a calendar.
func (w *Window) Fit() []bool {
	list := make([]bool, len(w.Days))
	for i, d := range w.Days {
		list[i] = d.Fit
	}
	return list
}

// FitDays is how many days are fit.
func (w *Window) FitDays() int {
	n := 0
	for _, d := range w.Days {
		if d.Fit {
			n++
		}
	}
	return n
}

// Window returns the window of a field in a season; nil when there is none.
func (r *Result) Window(field, season string) *Window {
	for i := range r.Windows {
		if w := &r.Windows[i]; w.Field == field && w.Season == season {
			return w
		}
	}
	return nil
}

// Field returns a field by its name; nil when there is none.
func (r *Result) Field(name string) *FieldResult {
	for i := range r.Fields {
		if r.Fields[i].Name == name {
			return &r.Fields[i]
		}
	}
	return nil
}

// Working shows the area, the rooms and the fit days of every field.
func (r *Result) Working() units.Working {
	var w units.Working
	if r.Jurisdictions != nil {
		w = append(w, r.Jurisdictions.Working()...)
	}
	for i := range r.Fields {
		f := &r.Fields[i]
		name := units.Word(f.Name)
		w.Put(units.Words("%s: area", name), f.Whole, units.Phrase{})
		for _, x := range f.OffBy {
			w.Put(units.Words("  within %v of %s", x.Setback, units.Word(cmp.Or(x.Feature, x.Kind))), x.Within, units.Words("%v of it within no other setback", x.Only))
		}
		w.Add("  less setbacks", f.Off, "each place once")
		if f.Out != nil {
			w.Put(units.Words("  not planned"), "", *f.Out)
			continue
		}
		w.Add("  that may be spread on", f.Area, "")
		for _, y := range f.Years {
			w.Put(units.Words("  %v %s: room for available N", y.Year, units.Word(y.Crop.Crop)), y.Nitrogen.Room, units.Words("once, in whatever season of the crop year"))
			if p := y.Phosphorus; p != nil && p.Limited {
				w.Put(units.Words("  %v %s: room for P2O5", y.Year, units.Word(y.Crop.Crop)), p.Room, units.Words("%v of removal", units.Count{N: p.Years, Of: "years"}))
			}
		}
		w.Put(units.Words("  worth of P2O5"), units.Word(f.Answers.P2O5), f.worth(OfP2O5))
		w.Put(units.Words("  worth of K2O"), units.Word(f.Answers.K2O), f.worth(OfK2O))
		for j := range r.Windows {
			if x := &r.Windows[j]; x.Field == f.Name {
				how := units.Words("")
				if x.Most > 0 {
					how = units.Words("the soil takes at most %v of liquid on them", units.As(x.Most, units.Inch, 1))
				}
				w.Put(units.Words("  %s: days fit for spreading", units.Word(x.Season)), units.Words("%v of %v", x.FitDays(), len(x.Days)), how)
			}
		}
	}
	return w
}

// String is the table of the working.
func (r *Result) String() string { return r.Working().String() }
