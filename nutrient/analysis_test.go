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
