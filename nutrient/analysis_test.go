package nutrient

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func perGallons(x float64) Content {
	return LiquidContent(units.Concentration(x) * units.PoundPer1000Gallon)
}
func perTon(x float64) Content { return SolidContent(units.MassFraction(x) * units.PoundPerTon) }
func perKilo(x float64) Content {
	return SolidContent(units.MassFraction(x) * units.MilligramPerKilogram)
}
func percent(x float64) Content { return SolidContent(units.MassFraction(x) * units.Percent) }

func fields(err error) []string {
	var list []string
	for _, e := range units.FieldErrors(err) {
		list = append(list, e.Field)
	}
	return list
}

func TestAnalyzeEveryUnit(t *testing.T) {
	for _, unit := range []string{"10 lb/1000 gal", "271.5429 lb/acre-in", "1198.264 mg/L", "1.198264 g/L"} {
		var n Content
		require.NoError(t, n.UnmarshalText([]byte(unit)))
		a, err := Analyze(AnalyzeSpec{Form: Liquid, TKN: n})
		require.NoError(t, err)
		q, ok := a.TotalN.Concentration()
		require.True(t, ok)
		require.InDelta(t, 10, q.In(units.PoundPer1000Gallon), 1e-5, unit)
	}
	for _, unit := range []string{"10 lb/ton", "5000 mg/kg", "0.5 %", "5 kg/t"} {
		var n Content
		require.NoError(t, n.UnmarshalText([]byte(unit)))
		a, err := Analyze(AnalyzeSpec{Form: Solid, TKN: n})
		require.NoError(t, err)
		x, _ := a.TotalN.MassFraction()
		require.InDelta(t, 10, x.In(units.PoundPerTon), 1e-12, unit)
	}
}

func TestAnalyzeNitrogenSplit(t *testing.T) {
	for name, c := range map[string]struct {
		spec                     AnalyzeSpec
		total, ammonium, organic float64
	}{
		"total includes nitrate": {AnalyzeSpec{TotalN: perGallons(30), AmmoniumN: perGallons(18), NitrateN: perGallons(2)}, 30, 18, 10},
		"TKN excludes nitrate":   {AnalyzeSpec{TKN: perGallons(30), AmmoniumN: perGallons(18), NitrateN: perGallons(2)}, 32, 18, 12},
		"organic given":          {AnalyzeSpec{OrganicN: perGallons(12), AmmoniumN: perGallons(18)}, 30, 18, 12},
		"ammonium follows":       {AnalyzeSpec{TotalN: perGallons(30), OrganicN: perGallons(12)}, 30, 18, 12},
		"ion":                    {AnalyzeSpec{TKN: perGallons(30), NH4: perGallons(18 / units.NPerNH4)}, 30, 18, 12},
	} {
		c.spec.Form = Liquid
		a, err := Analyze(c.spec)
		require.NoError(t, err, name)
		require.InDelta(t, perGallons(c.total).SI(), a.TotalN.SI(), 1e-12, name)
		require.InDelta(t, perGallons(c.ammonium).SI(), a.AmmoniumN.SI(), 1e-12, name)
		require.InDelta(t, perGallons(c.organic).SI(), a.OrganicN.SI(), 1e-12, name)
	}
	a, err := Analyze(AnalyzeSpec{Form: Liquid, TKN: perGallons(30)})
	require.NoError(t, err)
	require.True(t, a.AmmoniumN.IsZero() && a.OrganicN.IsZero(), "the split is not known")
}

func TestAnalyzeBasis(t *testing.T) {
	wet, err := Analyze(AnalyzeSpec{Form: Solid, Basis: ReportDry, Solids: percent(40), TKN: percent(2), P2O5: percent(3)})
	require.NoError(t, err)
	require.InDelta(t, 0.008, wet.TotalN.SI(), 1e-15)
	require.InDelta(t, 0.012, wet.P2O5().SI(), 1e-15)
	dry, err := wet.DryBasis(wet.TotalN)
	require.NoError(t, err)
	require.InDelta(t, 0.02, float64(dry), 1e-15)

	// A liquid may state solids per volume: then dry values need no density.
	l, err := Analyze(AnalyzeSpec{Form: Liquid, Basis: ReportDry, Solids: LiquidContent(50000 * units.MilligramPerLitre), Elements: map[Element]Content{Copper: perKilo(300)}})
	require.NoError(t, err)
	cu, _ := l.Elements[Copper].Concentration()
	require.InDelta(t, 15, cu.In(units.MilligramPerLitre), 1e-9)
}

func TestAnalyzeRefusesTheImpossible(t *testing.T) {
	for name, c := range map[string]struct {
		spec AnalyzeSpec
		want []string
	}{
		"nothing":                   {AnalyzeSpec{}, []string{"form"}},
		"no content":                {AnalyzeSpec{Form: Liquid}, []string{""}},
		"ammonium above total":      {AnalyzeSpec{Form: Liquid, TKN: perGallons(10), AmmoniumN: perGallons(12)}, []string{"ammoniumN"}},
		"organic below zero":        {AnalyzeSpec{Form: Liquid, TotalN: perGallons(10), AmmoniumN: perGallons(8), NitrateN: perGallons(3)}, []string{"totalN"}},
		"organic above total":       {AnalyzeSpec{Form: Liquid, TotalN: perGallons(10), OrganicN: perGallons(11)}, []string{"organicN"}},
		"P2O5 taken for P":          {AnalyzeSpec{Form: Liquid, P: perGallons(10), P2O5: perGallons(10)}, []string{"p"}},
		"K2O taken for K":           {AnalyzeSpec{Form: Liquid, K: perGallons(10), K2O: perGallons(10)}, []string{"k"}},
		"total against TKN":         {AnalyzeSpec{Form: Liquid, TotalN: perGallons(10), TKN: perGallons(12)}, []string{"totalN"}},
		"above solids":              {AnalyzeSpec{Form: Liquid, Solids: LiquidContent(1000 * units.MilligramPerLitre), K: LiquidContent(1200 * units.MilligramPerLitre)}, []string{"solids"}},
		"dry without solids":        {AnalyzeSpec{Form: Solid, Basis: ReportDry, TKN: percent(2), P: percent(1)}, []string{"solids"}},
		"mg/kg without density":     {AnalyzeSpec{Form: Liquid, TKN: perKilo(2000), P: perKilo(200)}, []string{"density"}},
		"mg/L of a solid":           {AnalyzeSpec{Form: Solid, TKN: LiquidContent(1)}, []string{"density"}},
		"more than its weight":      {AnalyzeSpec{Form: Solid, Density: 100, TKN: LiquidContent(200)}, []string{"tkn"}},
		"negative, NaN, over":       {AnalyzeSpec{Form: Solid, TKN: percent(-1), P: percent(math.NaN()), K: percent(101)}, []string{"p", "k", "tkn"}},
		"pH, EC, oxides, basis":     {AnalyzeSpec{Form: Solid, PH: 15, EC: -1, Oxides: 9, Basis: 9, Density: 8.5 * units.GramPerMillilitre}, []string{"basis", "oxides", "density", "ec", "ph"}},
		"EC in uS/cm":               {AnalyzeSpec{Form: Liquid, TKN: perGallons(10), EC: 4100}, []string{"ec"}},
		"unknown element":           {AnalyzeSpec{Form: Solid, Elements: map[Element]Content{99: percent(1)}}, []string{"elements.(99)", ""}},
		"dry, of a liquid, no data": {AnalyzeSpec{Form: Liquid, Basis: ReportDry, Solids: percent(5), TKN: percent(2)}, []string{"density"}},
	} {
		_, err := Analyze(c.spec)
		require.Equal(t, c.want, fields(err), "%s: %v", name, err)
	}
}

// A fault is of a figure that the report has, so that a form can mark it.
func TestAnalyzeFaultsNameWhatWasReported(t *testing.T) {
	nitrate := perGallons(30)
	for field, spec := range map[string]AnalyzeSpec{
		"tkn":       {TKN: perGallons(24), OrganicN: perGallons(3), AmmoniumN: perGallons(7), NitrateN: nitrate},
		"nh4":       {TotalN: perGallons(5), NH4: perGallons(24)},
		"ammoniumN": {TotalN: perGallons(5), AmmoniumN: perGallons(24)},
		"totalN":    {TotalN: perGallons(24), OrganicN: perGallons(3), AmmoniumN: perGallons(7)},
	} {
		spec.Form = Liquid
		_, err := Analyze(spec)
		require.Equal(t, []string{field}, faultFields(err))
	}
	_, err := Analyze(AnalyzeSpec{Form: Liquid, TKN: perGallons(5), AmmoniumN: perGallons(7), NitrateN: nitrate})
	require.EqualError(t, err, "tkn: got 5 lb/1000 gal, want at least the ammonium N, 7 lb/1000 gal: organic N would be below 0")
	_, err = Analyze(AnalyzeSpec{Form: Liquid, TKN: perGallons(10), OrganicN: perGallons(3), AmmoniumN: perGallons(7), NitrateN: nitrate})
	require.NoError(t, err)
}

func TestPairWithinRoundingIsTaken(t *testing.T) {
	a, err := Analyze(AnalyzeSpec{Form: Solid, P: perTon(2.9), P2O5: perTon(6.7)})
	require.NoError(t, err)
	require.InDelta(t, perTon(2.9).SI(), a.P.SI(), 1e-15)
}

func TestReportReadsFromJSON(t *testing.T) {
	var s AnalyzeSpec
	require.NoError(t, strict.Decode([]byte(`{"form": "liquid", "density": "8.5 lb/gal", "solids": "5 %",
		"tkn": "4,000 mg/L", "ammoniumN": "0.2 %", "p2o5": "12 lb/1000 gal", "elements": {"Cu": "20 mg/L", "Zn": "30 mg/L"}, "ph": 7.4, "ec": 9}`), &s))
	a, err := Analyze(s)
	require.NoError(t, err)
	require.Len(t, a.Elements, 2)
	require.InDelta(t, perGallons(12).SI(), a.P2O5().SI(), 1e-12)
	out, err := json.Marshal(a)
	require.NoError(t, err)
	var back Analysis
	require.NoError(t, json.Unmarshal(out, &back))
	require.Equal(t, a, back)

	err = strict.Decode([]byte(`{"tkn": "4000", "elements": {"Xx": "1 %"}}`), &s)
	require.Equal(t, []string{"tkn", "elements.Xx"}, fields(err))
}

// Whatever the basis and unit of the report, the material is the same.
func TestAnalyzeBasisProperty(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		density := units.Density(900 + 300*rng.Float64())
		solids := 0.01 + 0.4*rng.Float64()
		n := 0.05 * rng.Float64() // of the solids
		want := n * solids * float64(density)
		for _, s := range []AnalyzeSpec{
			{Basis: ReportDry, Solids: SolidContent(units.MassFraction(solids)), Density: density, TKN: SolidContent(units.MassFraction(n))},
			{Solids: SolidContent(units.MassFraction(solids)), Density: density, TKN: SolidContent(units.MassFraction(n * solids))},
			{TKN: LiquidContent(units.Concentration(want))},
		} {
			s.Form = Liquid
			a, err := Analyze(s)
			require.NoError(t, err)
			require.InEpsilon(t, want, a.TotalN.SI(), 1e-12)
		}
	}
}

func TestDryBasisFaults(t *testing.T) {
	a := analyze(t, AnalyzeSpec{Form: Liquid, TKN: perGallons(10)})
	_, err := a.DryBasis(a.TotalN)
	require.Equal(t, []string{"solids"}, fields(err))
	_, err = a.DryBasis(perTon(1))
	require.Equal(t, []string{"solids", "content"}, fields(err))
}

func TestAnalysisWorkingShowsWhatWasReported(t *testing.T) {
	a := analyze(t, AnalyzeSpec{Form: Solid, P: perTon(4), PH: 7.1, EC: 5, Elements: map[Element]Content{Zinc: perTon(0.2), Copper: perTon(0.1)}})
	var items []string
	for _, l := range a.Working() {
		items = append(items, l.Item.String())
	}
	require.Equal(t, []string{"P", "P2O5", "Cu", "Zn", "EC", "pH"}, items)
}

// A report of any numbers is an analysis of finite contents, or faults.
func FuzzAnalyze(f *testing.F) {
	f.Add(0.03, 0.02, 0.001, 0.05, 1000.0, true, true)
	f.Add(math.NaN(), math.Inf(1), -1.0, 1e308, 1e-308, false, true)
	f.Fuzz(func(t *testing.T, tkn, ammonium, p, solids, density float64, liquid, dry bool) {
		s := AnalyzeSpec{Form: Solid, Density: units.Density(density), Solids: SolidContent(units.MassFraction(solids)),
			TKN: SolidContent(units.MassFraction(tkn)), AmmoniumN: SolidContent(units.MassFraction(ammonium)), P: LiquidContent(units.Concentration(p))}
		if liquid {
			s.Form = Liquid
		}
		if dry {
			s.Basis = ReportDry
		}
		a, err := Analyze(s)
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err))
			return
		}
		for _, c := range []Content{a.Solids, a.TotalN, a.AmmoniumN, a.OrganicN, a.NitrateN, a.P2O5()} {
			require.True(t, c.SI() >= 0 && c.SI() < 1e5, "%v", c.SI())
			require.Equal(t, s.Form, c.Form())
		}
		require.InDelta(t, a.TotalN.SI(), a.AmmoniumN.SI()+a.OrganicN.SI()+a.NitrateN.SI(), 1e-9*a.TotalN.SI())
	})
}

// Whatever takes an analysis checks it first, since it may come from JSON: the
// form of every content, sign, size, and the parts against the whole.
func TestAnalysisIsCheckedWhereverItIsTaken(t *testing.T) {
	alberta := publishedState(t, "alberta")
	query := Query{"method": "injected", "compost": "fresh"}
	schedule, err := alberta.Schedule(query)
	require.NoError(t, err)
	table, err := publishedState(t, "us-sludge").MetalTable(nil)
	require.NoError(t, err)
	takers := map[string]func(Analysis) error{
		"analysis.": func(a Analysis) error {
			_, err := Available(AvailableSpec{Analysis: a, State: alberta, Query: query, Years: 1})
			return err
		},
		"analysis. of Nitrogen":   func(a Analysis) error { _, err := schedule.Nitrogen(a, 1); return err },
		"analysis. of Phosphorus": func(a Analysis) error { _, err := schedule.Phosphorus(a, 1); return err },
		"analysis. of Potassium":  func(a Analysis) error { _, err := schedule.Potassium(a, 1); return err },
		"applications[0].analysis.": func(a Analysis) error {
			_, err := CarryOver(CarryOverSpec{First: 2026, Seasons: 1, Applications: []Application{{Season: 2026, Rate: LiquidRate(0.001), Analysis: a, State: alberta, Query: query}}})
			return err
		},
		" of Loads":    func(a Analysis) error { _, err := table.Loads(a); return err },
		" of DryBasis": func(a Analysis) error { _, err := a.DryBasis(perGallons(0.01)); return err },
		" of Check":    Analysis.Check,
	}
	sound := `{"form":"liquid","solids":"500 lb/1000 gal","totalN":"30 lb/1000 gal","ammoniumN":"12 lb/1000 gal","organicN":"18 lb/1000 gal","nitrateN":"0 lb/1000 gal","p":"5 lb/1000 gal","k":"9 lb/1000 gal","elements":{"Cu":"0.05 lb/1000 gal"}}`
	for name, c := range map[string]struct{ old, new, field string }{
		"sound":               {"", "", ""},
		"content of a solid":  {`"ammoniumN":"12 lb/1000 gal"`, `"ammoniumN":"12 lb/ton"`, "ammoniumN"},
		"element of a solid":  {`"Cu":"0.05 lb/1000 gal"`, `"Cu":"50 mg/kg"`, "elements.Cu"},
		"below 0":             {`"p":"5 lb/1000 gal"`, `"p":"-5 lb/1000 gal"`, "p"},
		"above the whole":     {`"k":"9 lb/1000 gal"`, `"k":"1001 kg/m3"`, "k"},
		"huge":                {`"k":"9 lb/1000 gal"`, `"k":"1e308 kg/m3"`, "k"},
		"less than measured":  {`"k":"9 lb/1000 gal"`, `"k":"1e-310 kg/m3"`, "k"},
		"parts above total":   {`"totalN":"30 lb/1000 gal"`, `"totalN":"25 lb/1000 gal"`, "totalN"},
		"parts above solids":  {`"solids":"500 lb/1000 gal"`, `"solids":"20 lb/1000 gal"`, "solids"},
		"unknown form":        {`"form":"liquid",`, ``, "form"},
		"no density of water": {`"form":"liquid"`, `"form":"liquid","density":"1 kg/m3"`, "density"},
		"no pH":               {`"form":"liquid"`, `"form":"liquid","ph":15`, "ph"},
	} {
		var a Analysis
		require.NoError(t, strict.Decode([]byte(strings.Replace(sound, c.old, c.new, 1)), &a), name)
		for path, take := range takers {
			err := take(a)
			if c.field == "" {
				require.NoError(t, err, "%s%s", name, path)
				continue
			}
			path, _, _ = strings.Cut(path, " ")
			require.Contains(t, fields(err), path+c.field, "%s, %s: %v", name, path, err)
		}
	}
	a := Analysis{Form: Liquid, TotalN: LiquidContent(units.Concentration(math.NaN())), Elements: map[Element]Content{0: perGallons(1)}, Oxides: 99}
	require.Equal(t, []string{"oxides", "totalN", "elements.(0)"}, fields(a.Check()))
}

// What the report knows fills the query; what the query says otherwise is a fault
// that names both.
func TestQueryAgreesWithTheReport(t *testing.T) {
	state, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "form", "label": "F", "values": ["liquid", "solid"]}, {"name": "dryMatter", "label": "D", "unit": "%"}],
		"tables": [{"place": "1", "gives": "totalN", "of": "total", "unit": "%", "when": {"year": 1}, "by": ["form", "dryMatter"], "rows": [
			["liquid", "", 90], ["solid", "below 18", 50], ["solid", "from 18", 30]]}]}`))
	require.NoError(t, err)
	litter := analyze(t, AnalyzeSpec{Form: Solid, Solids: percent(40), TotalN: perTon(20)})
	slurry := analyze(t, AnalyzeSpec{Form: Liquid, Solids: perGallons(500), TotalN: perGallons(20)})
	weighed := analyze(t, AnalyzeSpec{Form: Liquid, Solids: percent(6), Density: 1010, TotalN: perGallons(20)})

	r, err := Available(AvailableSpec{Analysis: litter, State: state, Years: 1})
	require.NoError(t, err, "the report knows the form and the dry matter")
	require.InDelta(t, 6, lbTon(r.Years[0].N.High), 1e-9)
	require.Equal(t, Query{"form": "solid", "dryMatter": "40 %"}, r.Query)

	for name, c := range map[string]struct {
		a      Analysis
		q      Query
		fields []string
		both   []string
	}{
		"the same":                    {a: litter, q: Query{"form": "solid", "dryMatter": "39.5 %"}},
		"another form":                {a: slurry, q: Query{"form": "solid"}, fields: []string{"query.form"}, both: []string{"liquid", "solid"}},
		"another dry matter":          {a: litter, q: Query{"dryMatter": "5 %"}, fields: []string{"query.dryMatter"}, both: []string{"5 %", "40 %"}},
		"both":                        {a: litter, q: Query{"form": "liquid", "dryMatter": "5 %"}, fields: []string{"query.form", "query.dryMatter"}},
		"a liquid of known density":   {a: weighed, q: Query{"dryMatter": "8 %"}, fields: []string{"query.dryMatter"}, both: []string{"8 %", "6 %"}},
		"a liquid of unknown density": {a: slurry, q: Query{"dryMatter": "6 %"}},
		"no density makes it so":      {a: perThousand(t), q: Query{"dryMatter": "18 %"}, fields: []string{"query.dryMatter"}},
	} {
		_, err := Available(AvailableSpec{Analysis: c.a, State: state, Query: c.q, Years: 1})
		require.Equal(t, c.fields, fields(err), "%s: %v", name, err)
		for _, s := range c.both {
			require.ErrorContains(t, err, s, name)
		}
		_, err = CarryOver(CarryOverSpec{First: 2026, Seasons: 1, Applications: []Application{{Season: 2026, Rate: Rate{measure{c.a.Form, 0.001}}, Analysis: c.a, State: state, Query: c.q}}})
		require.Len(t, fields(err), len(c.fields), name)
		s, err := state.Schedule(c.q)
		require.NoError(t, err)
		_, err = s.Nitrogen(c.a, 1)
		for _, field := range c.fields {
			require.Contains(t, fields(err), field, name)
		}
	}
}

// perThousand is a thin liquid whose density nobody measured.
func perThousand(t *testing.T) Analysis {
	return analyze(t, AnalyzeSpec{Form: Liquid, Solids: perGallons(50), TotalN: perGallons(4)})
}

// A report whose form was not read still says what no form allows, and a content that
// was not read is not missing as another.
func TestReportFaultsInOneRound(t *testing.T) {
	var spec AnalyzeSpec
	err := strict.Check([]byte(`{"form": "gas", "p2o5": "-1 lb/1000 gal", "tkn": "20 lb/1000 gal"}`), &spec, func() error { _, err := Analyze(spec); return err })
	require.Equal(t, []string{"form", "p2o5"}, fields(err), "%v", err)
	err = strict.Check([]byte(`{"form": "liquid", "tkn": "20"}`), new(AnalyzeSpec), func() error { _, err := Analyze(AnalyzeSpec{Form: Liquid}); return err })
	require.Equal(t, []string{"tkn"}, fields(err), "%v", err)
}

// What was made of a material of known contents, read again from any statement of them: as
// is or dry, as elements, oxides or ions, total N with what it is made of.
func TestReportsOfAKnownMaterial(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		form := []Form{Liquid, Solid}[r.IntN(2)]
		density := units.Density(900 + 200*r.Float64())
		whole := 1.0 // kg in a kg, or in a m3
		if form == Liquid {
			whole = float64(density)
		}
		solids := (0.05 + 0.3*r.Float64()) * whole
		ammonium, organic, nitrate := 0.01*r.Float64()*solids, 0.02*r.Float64()*solids, 0.002*r.Float64()*solids
		p, k, zinc := 0.03*r.Float64()*solids, 0.04*r.Float64()*solids, 0.001*r.Float64()*solids
		dry := r.IntN(2) == 0
		oxides := []units.Oxides{units.OxidesRounded, units.OxidesCoarse}[r.IntN(2)]
		s := AnalyzeSpec{Form: form, Density: density, Oxides: oxides}
		bare := func(x float64) Content { return Content{measure{form, x}} }
		s.Solids = bare(solids)
		if r.IntN(2) == 0 { // per mass
			s.Solids = Content{measure{Solid, solids / whole}}
		}
		say := func(x float64) Content { // as is per mass or in the form, or dry
			switch {
			case dry:
				return Content{measure{Solid, x / solids}}
			case r.IntN(2) == 0:
				return Content{measure{Solid, x / whole}}
			}
			return bare(x)
		}
		if dry {
			s.Basis = ReportDry
		}
		tested := r.IntN(2) == 0
		if !tested {
			nitrate = 0
		}
		ofNitrogen := r.IntN(5)
		switch ofNitrogen {
		case 0:
			s.TotalN = say(ammonium + organic + nitrate)
		case 1:
			s.TKN = say(ammonium + organic)
		case 2:
			s.OrganicN = say(organic)
		case 3:
			s.TotalN, s.TKN, s.OrganicN = say(ammonium+organic+nitrate), say(ammonium+organic), say(organic)
		case 4: // ammonium follows
			s.TotalN, s.OrganicN = say(ammonium+organic+nitrate), say(organic)
		}
		if ofNitrogen != 4 {
			switch r.IntN(3) {
			case 0:
				s.AmmoniumN = say(ammonium)
			case 1:
				s.NH4 = say(ammonium * 18.039 / 14.007) // molar masses, IUPAC 2021
			default:
				s.AmmoniumN, s.NH4 = say(ammonium), say(ammonium*18.039/14.007)
			}
		}
		if tested {
			if r.IntN(2) == 0 {
				s.NitrateN = say(nitrate)
			} else {
				s.NO3 = say(nitrate * 62.004 / 14.007)
			}
		}
		if r.IntN(2) == 0 {
			s.P, s.K2O = say(p), say(k*oxides.K2OPerK())
		} else {
			s.P2O5, s.K = say(p*oxides.P2O5PerP()), say(k)
		}
		s.Elements = map[Element]Content{Zinc: say(zinc)}
		a, err := Analyze(s)
		require.NoError(t, err, "%+v", s)
		for name, x := range map[string][2]float64{
			"solids": {solids, a.Solids.value}, "total": {ammonium + organic + nitrate, a.TotalN.value}, "ammonium": {ammonium, a.AmmoniumN.value}, "organic": {organic, a.OrganicN.value}, "nitrate": {nitrate, a.NitrateN.value},
			"p": {p, a.P.value}, "k": {k, a.K.value}, "zinc": {zinc, a.Elements[Zinc].value}, "p2o5": {p * oxides.P2O5PerP(), a.P2O5().value}, "k2o": {k * oxides.K2OPerK(), a.K2O().value},
		} {
			require.InDelta(t, x[0], x[1], 5e-5*(x[0]+ammonium+nitrate)+1e-12*whole, "%s of %+v", name, s)
		}
		for _, c := range []Content{a.Solids, a.TotalN, a.AmmoniumN, a.OrganicN, a.NitrateN, a.P, a.K, a.Elements[Zinc]} {
			require.Equal(t, form, c.form)
		}
		share, ok := a.dryMatter()
		require.True(t, ok)
		require.InDelta(t, solids/whole, float64(share), 1e-12)
		if k <= solids {
			x, err := a.DryBasis(a.K)
			require.NoError(t, err)
			require.InDelta(t, k/solids, float64(x), 1e-12)
		}
	}
}

// How far two statements of one content may be apart, and the parts from the whole.
func TestStatementsThatAgree(t *testing.T) {
	gram := func(x float64) Content { return LiquidContent(units.Concentration(x)) }
	for _, c := range []struct {
		spec  AnalyzeSpec
		fault string
	}{
		{AnalyzeSpec{AmmoniumN: gram(1), NH4: gram(0.951 / units.NPerNH4)}, ""}, {AnalyzeSpec{AmmoniumN: gram(1), NH4: gram(0.949 / units.NPerNH4)}, "ammoniumN"},
		{AnalyzeSpec{AmmoniumN: gram(0.951), NH4: gram(1 / units.NPerNH4)}, ""}, {AnalyzeSpec{AmmoniumN: gram(0.949), NH4: gram(1 / units.NPerNH4)}, "ammoniumN"},
		{AnalyzeSpec{NitrateN: gram(1), NO3: gram(0.949 / units.NPerNO3)}, "nitrateN"}, {AnalyzeSpec{K: gram(1), K2O: gram(1.2)}, ""}, {AnalyzeSpec{K: gram(1), K2O: gram(1.3)}, "k"},
		{AnalyzeSpec{TotalN: gram(2), TKN: gram(1), NitrateN: gram(1.09)}, ""}, {AnalyzeSpec{TotalN: gram(2), TKN: gram(1), NitrateN: gram(1.11)}, "totalN"},
		{AnalyzeSpec{TotalN: gram(2), OrganicN: gram(1), AmmoniumN: gram(0.901)}, ""}, {AnalyzeSpec{TotalN: gram(2), OrganicN: gram(1), AmmoniumN: gram(0.899)}, "totalN"},
		{AnalyzeSpec{TKN: gram(2), OrganicN: gram(1), AmmoniumN: gram(0.901), NitrateN: gram(50)}, ""}, {AnalyzeSpec{TKN: gram(2), OrganicN: gram(1), AmmoniumN: gram(0.899), NitrateN: gram(50)}, "tkn"},
		{AnalyzeSpec{TotalN: gram(2), AmmoniumN: gram(2)}, ""}, {AnalyzeSpec{TotalN: gram(2), AmmoniumN: gram(1.5), NitrateN: gram(0.5)}, ""}, {AnalyzeSpec{TotalN: gram(2), AmmoniumN: gram(1.5), NitrateN: gram(0.51)}, "totalN"},
		{AnalyzeSpec{TotalN: gram(2), OrganicN: gram(2)}, ""}, {AnalyzeSpec{TotalN: gram(2), OrganicN: gram(1.5), NitrateN: gram(0.51)}, "organicN"}, {AnalyzeSpec{TotalN: gram(2), OrganicN: gram(2.001)}, "organicN"},
		{AnalyzeSpec{Solids: gram(10), P: gram(4), K: gram(6)}, ""}, {AnalyzeSpec{Solids: gram(10), P: gram(4), K: gram(5), Elements: map[Element]Content{Zinc: gram(1.001)}}, "solids"},
		{AnalyzeSpec{Solids: gram(10), TotalN: gram(8), AmmoniumN: gram(6), P: gram(4), K: gram(4)}, ""}, // ammonium leaves with the water
		{AnalyzeSpec{Solids: gram(10), TotalN: gram(8), AmmoniumN: gram(6), NitrateN: gram(1), P: gram(4), K: gram(4.001)}, "solids"},
		{AnalyzeSpec{K: gram(1000)}, ""}, {AnalyzeSpec{K: gram(1000.1)}, "k"}, {AnalyzeSpec{K: gram(-1)}, "k"},
	} {
		c.spec.Form = Liquid
		_, err := Analyze(c.spec)
		if c.fault == "" {
			require.NoError(t, err, "%+v", c.spec)
		} else {
			require.Equal(t, []string{c.fault}, fields(err), "%+v: %v", c.spec, err)
		}
	}
	_, err := Analyze(AnalyzeSpec{Form: Solid, K: SolidContent(1)})
	require.NoError(t, err)
	empty, err := Analyze(AnalyzeSpec{Form: Solid, TotalN: percent(0), AmmoniumN: percent(0)})
	require.NoError(t, err)
	require.Equal(t, percent(0), empty.OrganicN)
	minus := math.Copysign(0, -1)
	zero, err := Analyze(AnalyzeSpec{Form: Solid, TKN: SolidContent(units.MassFraction(minus)), EC: minus, PH: minus, Density: units.Density(minus)})
	require.NoError(t, err)
	for _, x := range []float64{zero.TotalN.value, zero.EC, zero.PH, float64(zero.Density)} {
		require.False(t, math.Signbit(x), "-0 is 0")
	}
	_, err = Analyze(AnalyzeSpec{Form: Solid, K: SolidContent(1.001)})
	require.Equal(t, []string{"k"}, fields(err))
}

// The ends of what an analysis may hold are in it, and its parts are added up there, too.
func TestAnalysisAtItsEnds(t *testing.T) {
	sound := Analysis{Form: Liquid, TotalN: gramPerLitre(2), AmmoniumN: gramPerLitre(1), OrganicN: gramPerLitre(1), NitrateN: gramPerLitre(0)}
	for _, c := range []struct {
		set   func(a *Analysis, x float64)
		field string
		in    []float64
		out   []float64
	}{
		{func(a *Analysis, x float64) { a.Density = units.Density(x) }, "density", []float64{0, 50, 1000, 3000}, []float64{-1, 49.9, 3000.1, math.NaN()}},
		{func(a *Analysis, x float64) { a.EC = x }, "ec", []float64{0, 0.5, 300}, []float64{-0.1, 300.1, math.NaN()}},
		{func(a *Analysis, x float64) { a.PH = x }, "ph", []float64{0, 0.5, 7, 14}, []float64{-0.1, 14.1, math.NaN()}},
	} {
		for _, x := range c.in {
			a := sound
			c.set(&a, x)
			require.NoError(t, a.Check(), "%s %v", c.field, x)
			a.AmmoniumN = gramPerLitre(2)
			require.Equal(t, []string{"totalN"}, fields(a.Check()), "%s %v", c.field, x)
		}
		for _, x := range c.out {
			a := sound
			c.set(&a, x)
			require.Equal(t, []string{c.field}, fields(a.Check()), "%v", x)
		}
	}
	require.Equal(t, []string{"oxides"}, fields(Analysis{Form: Liquid, Oxides: 99}.Check()))
	// Five percent above the total is rounding.
	require.NoError(t, Analysis{Form: Liquid, TotalN: gramPerLitre(2), AmmoniumN: gramPerLitre(2.1)}.Check())
	for ammonium, fault := range map[float64]bool{1.0999: false, 1.1001: true} {
		a := sound
		a.AmmoniumN = gramPerLitre(ammonium)
		require.Equal(t, fault, a.Check() != nil, ammonium)
	}
	for _, c := range []struct {
		a    Analysis
		want float64
		ok   bool
	}{
		{Analysis{Form: Solid, Solids: percent(40)}, 0.4, true}, {Analysis{Form: Solid, Density: 800, Solids: percent(40)}, 0.4, true}, {Analysis{Form: Solid}, 0, false}, {Analysis{Form: Liquid, Density: 1000}, 0, false},
		{Analysis{Form: Liquid, Solids: gramPerLitre(60)}, 0, false}, {Analysis{Form: Liquid, Density: 1200, Solids: gramPerLitre(60)}, 0.05, true},
	} {
		x, ok := c.a.dryMatter()
		require.Equal(t, c.ok, ok)
		require.InDelta(t, c.want, float64(x), 1e-15)
	}
	litter := Analysis{Form: Solid, Solids: percent(40)}
	x, err := litter.DryBasis(percent(40))
	require.NoError(t, err)
	require.InDelta(t, 1, float64(x), 1e-15, "all of the solids")
	_, err = Analysis{Form: Solid, Solids: percent(0)}.DryBasis(percent(0))
	require.Equal(t, []string{"solids"}, fields(err), "nothing over nothing")
	_, err = litter.DryBasis(percent(40.1))
	require.Equal(t, []string{"content"}, fields(err))
}

// What an analysis knows fills what a state asks for, and nothing that it does not know.
func TestFillOfAQuery(t *testing.T) {
	s, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "unchecked": "invented",
		"keys": [{"name": "form", "label": "F", "values": ["liquid", "solid"]}, {"name": "dryMatter", "label": "D", "unit": "%"}, {"name": "readilyAvailable", "label": "R", "unit": "%"}],
		"tables": [{"place": "1", "gives": "time", "unit": "d", "by": ["form", "dryMatter", "readilyAvailable"], "rows": [["liquid; solid", "from 0", "from 0", 1]]}]}`))
	require.NoError(t, err)
	for _, c := range []struct {
		a    Analysis
		q    Query
		want Query
	}{
		{Analysis{Form: Solid, Solids: percent(40), TotalN: percent(2), AmmoniumN: percent(0.5), NitrateN: percent(0.1)}, nil, Query{"form": "solid", "dryMatter": "40 %", "readilyAvailable": "30 %"}},
		{Analysis{Form: Solid, TotalN: percent(2), AmmoniumN: percent(0)}, nil, Query{"form": "solid", "readilyAvailable": "0 %"}},
		{Analysis{Form: Solid, TotalN: percent(2)}, Query{"form": ""}, Query{"form": "solid"}},
		{Analysis{Form: Solid, TotalN: percent(0), AmmoniumN: percent(0)}, nil, Query{"form": "solid"}},
		{Analysis{Form: Liquid, Solids: gramPerLitre(60), TotalN: gramPerLitre(4), AmmoniumN: gramPerLitre(1)}, Query{"readilyAvailable": "20 %", "other": "x"}, Query{"form": "liquid", "readilyAvailable": "20 %", "other": "x"}},
		{Analysis{Form: Liquid, Density: 1000, Solids: gramPerLitre(60)}, Query{"form": "solid"}, Query{"form": "solid", "dryMatter": "6 %"}},
	} {
		require.Equal(t, c.want, s.Fill(c.q, c.a))
	}
	for share, want := range map[float64]string{0.07: "7 %", 0.29: "29 %", 0.3: "30 %", 1.0 / 3: "33.3333333333333 %"} {
		require.Equal(t, want, percentText(share))
	}
	only := publishedState(t, "us-epa-1983")
	require.Nil(t, only.Fill(nil, Analysis{Form: Solid, Solids: percent(40)}), "a state that asks for none of it")
	// How far the query may be from the report: 5 % either way, and for a liquid of unknown
	// density what 50 and 3000 kg/m3 make of its solids.
	for _, c := range []struct {
		a     Analysis
		dry   string
		fault bool
	}{
		{Analysis{Form: Solid, Solids: percent(40)}, "38.01 %", false}, {Analysis{Form: Solid, Solids: percent(40)}, "37.99 %", true}, {Analysis{Form: Solid, Solids: percent(40)}, "41.99 %", false}, {Analysis{Form: Solid, Solids: percent(40)}, "42.01 %", true},
		{Analysis{Form: Liquid, Solids: gramPerLitre(30)}, "0.951 %", false}, {Analysis{Form: Liquid, Solids: gramPerLitre(30)}, "0.949 %", true}, {Analysis{Form: Liquid, Solids: gramPerLitre(30)}, "62.99 %", false}, {Analysis{Form: Liquid, Solids: gramPerLitre(30)}, "63.01 %", true},
		{Analysis{Form: Solid}, "5 %", false}, {Analysis{Form: Solid, Solids: percent(40)}, "", false}, {Analysis{Form: Solid, Solids: percent(40)}, "much", false},
	} {
		var f units.Faults
		Query{"dryMatter": c.dry}.agree(&c.a, &f)
		require.Equal(t, c.fault, f.Err() != nil, "%s of %v", c.dry, c.a.Solids)
	}
}

// A fault of a content is told at its own field, whether the form of the report is known or
// not, and so is one of an analysis.
func TestEachContentIsToldApart(t *testing.T) {
	for name, set := range map[string]func(s *AnalyzeSpec, c Content){
		"solids": func(s *AnalyzeSpec, c Content) { s.Solids = c }, "totalN": func(s *AnalyzeSpec, c Content) { s.TotalN = c }, "tkn": func(s *AnalyzeSpec, c Content) { s.TKN = c }, "organicN": func(s *AnalyzeSpec, c Content) { s.OrganicN = c },
		"ammoniumN": func(s *AnalyzeSpec, c Content) { s.AmmoniumN = c }, "nh4": func(s *AnalyzeSpec, c Content) { s.NH4 = c }, "nitrateN": func(s *AnalyzeSpec, c Content) { s.NitrateN = c }, "no3": func(s *AnalyzeSpec, c Content) { s.NO3 = c }, "p": func(s *AnalyzeSpec, c Content) { s.P = c },
		"p2o5": func(s *AnalyzeSpec, c Content) { s.P2O5 = c }, "k": func(s *AnalyzeSpec, c Content) { s.K = c }, "k2o": func(s *AnalyzeSpec, c Content) { s.K2O = c }, "elements.Zn": func(s *AnalyzeSpec, c Content) { s.Elements = map[Element]Content{Zinc: c} },
	} {
		for _, form := range []Form{0, Liquid, Solid} {
			s := AnalyzeSpec{Form: form, Density: 1000}
			if name == "solids" {
				s.Elements = map[Element]Content{Zinc: perGallons(0.1)}
			}
			set(&s, LiquidContent(-1))
			_, err := Analyze(s)
			want := []string{name}
			if form == 0 {
				want = []string{"form", name}
			}
			require.ElementsMatch(t, want, fields(err), "%v", form)
			set(&s, LiquidContent(1001))
			_, err = Analyze(s)
			require.Contains(t, fields(err), name)
		}
	}
	for name, set := range map[string]func(a *Analysis, c Content){
		"solids": func(a *Analysis, c Content) { a.Solids = c }, "totalN": func(a *Analysis, c Content) { a.TotalN = c }, "organicN": func(a *Analysis, c Content) { a.OrganicN = c }, "ammoniumN": func(a *Analysis, c Content) { a.AmmoniumN = c },
		"nitrateN": func(a *Analysis, c Content) { a.NitrateN = c }, "p": func(a *Analysis, c Content) { a.P = c }, "k": func(a *Analysis, c Content) { a.K = c }, "elements.Zn": func(a *Analysis, c Content) { a.Elements = map[Element]Content{Zinc: c} },
	} {
		for _, c := range []Content{percent(1), LiquidContent(-1), LiquidContent(1001)} {
			a := Analysis{Form: Liquid}
			set(&a, c)
			require.Equal(t, []string{name}, fields(a.Check()), "%v", c)
		}
	}
}
