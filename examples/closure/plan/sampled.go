package plan

import (
	"maps"
	"slices"

	"gonum.org/v1/gonum/stat"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// Sampled is what the laboratory found in the basin.
type Sampled struct {
	stage.Rows `json:"-"`
	Effluent   *nutrient.SamplesResult `json:"effluent,omitempty"` // the liquid over the sludge; nil: no report
	Sludge     *nutrient.SamplesResult `json:"sludge,omitempty"`   // the sludge as it lies; nil: no report
	metals     []nutrient.Element      // that both tell, in order
}

// mostParts is how many of each thing a scenario may list, far more than a farm has.
const (
	mostMaterials = 20
	mostMachines  = 100
	mostParts     = 1000
)

// sampling is what is asked of the reports: a summary with intervals and the sample that
// stands out, or the mean alone, which takes a tenth of the time.
type sampling bool

const (
	summarized sampling = false
	meansOnly  sampling = true
)

// sampled takes the laboratory reports together and checks how the materials are told.
func sampled(s *Scenario, how sampling) (Sampled, error) {
	var r Sampled
	var f units.Faults
	if len(s.Materials) > mostMaterials {
		f.Count("materials", len(s.Materials), "materials", "at most %v", mostMaterials)
		return r, f.Err()
	}
	if len(s.Materials) == 0 {
		r.Open = append(r.Open, stage.Open{Key: "materials", Who: stage.Laboratory, Stops: true,
			What:  units.Words("what the liquid and the sludge hold: no rate, field or worth is planned"),
			Needs: units.Words("composite samples of the liquid and of the sludge, several of each, with total solids, total and ammonium N, P, K, copper, zinc and density")})
	}
	names, taken := map[string]bool{}, map[removal.StreamKind]bool{}
	for i := range s.Materials {
		m, at := &s.Materials[i], f.At("materials", i)
		m.check(&at, s, names, taken)
	}
	r.Effluent = s.mean(&f, true, how)
	r.Sludge = s.mean(&f, false, how)
	if r.Effluent != nil && r.Sludge != nil {
		for _, e := range slices.Sorted(maps.Keys(r.Sludge.Analysis.Elements)) {
			if _, ok := r.Effluent.Analysis.Elements[e]; ok {
				r.metals = append(r.metals, e)
			}
		}
	}
	for _, x := range []struct {
		of     *nutrient.SamplesResult
		key    string
		what   string
		liquid bool
	}{
		{r.Effluent, "materials.effluent.reports", "what the liquid over the sludge holds", true},
		{r.Sludge, "materials.sludge.reports", "what the sludge holds", false},
	} {
		if x.of == nil && f.Err() == nil && len(s.Materials) > 0 {
			r.Open = append(r.Open, stage.Open{Key: x.key, Who: stage.Laboratory, What: units.Words(x.what + ", and the rates and fields of all that leaves the basin"),
				Needs: units.Words("composite samples, several, with total solids, total and ammonium N, P, K, copper, zinc and density")})
		}
	}
	return r, f.Err()
}

// check records what is wrong with a material apart from its reports; names and the
// streams that are taken are those of the materials before it.
func (m *Material) check(f *units.Faults, s *Scenario, names map[string]bool, taken map[removal.StreamKind]bool) {
	f.Name("name", m.Name, "material", names)
	switch {
	case m.Works != 0 && len(m.Streams) > 0:
		f.Say("works", "beside streams", "streams of the removal, or what the works bring")
	case m.Works != 0 && !worksNames.Has(int(m.Works)):
		f.Add("works", m.Works, worksNames.Want())
	case m.Works != 0:
		if slices.ContainsFunc(s.Materials, func(o Material) bool { return o.Works == m.Works && o.Name != m.Name }) {
			f.Say("works", "those of another material", "one material for each")
		}
		_, err := m.asItLies()
		f.Sub("", err)
	case len(m.Streams) == 0:
		f.Missing("streams", "one stream of the removal or more: effluent, slurry, filtrate, sludge, residual")
	}
	for i, kind := range m.Streams {
		if taken[kind] {
			at := f.At("streams", i)
			at.Say("", "taken already", "each stream in one material")
		}
		taken[kind] = true
	}
	if len(m.Ways) > mostParts {
		f.Count("ways", len(m.Ways), "ways", "at most %v", mostParts)
	}
	f.CountBetween("passes", m.Passes, "passes", 0, 100)
	if len(m.Reports) > mostParts {
		f.Count("reports", len(m.Reports), "reports", "at most %v", mostParts)
	}
	if m.Machine != "" && !slices.ContainsFunc(s.Machines, func(x Machine) bool { return x.Name == m.Machine }) {
		f.Fault(units.FaultName, "machine", m.Machine, "the name of one of the machines")
	}
	form := m.form()
	if !m.Load.IsZero() {
		f.Sub("load", m.Load.Check(form))
	}
	for _, p := range []struct {
		field string
		price *nutrient.UnitPrice
	}{{"spread", m.Spread}, {"haulPerMile", m.Haul}, {"leavePrice", m.Leave}} {
		if p.price != nil {
			f.Sub(p.field, p.price.Check(form))
		}
	}
	for i, season := range m.Seasons {
		if s.Land == nil || !slices.ContainsFunc(s.Land.Seasons, func(x land.Season) bool { return x.Name == season }) {
			at := f.At("seasons", i)
			at.Fault(units.FaultName, "", season, "the name of one of the seasons of land")
		}
	}
}

// form is how the material is handled: by volume, unless its query says by weight.
func (m *Material) form() nutrient.Form {
	if m.Query[nutrient.KeyForm] == nutrient.Solid.String() {
		return nutrient.Solid
	}
	return nutrient.Liquid
}

// liquid says that the reports of a material are on the liquid over the sludge.
func (m *Material) liquid() bool { return slices.Contains(m.Streams, removal.StreamEffluent) }

// mean takes the reports on the liquid, or on the sludge, together; nil where there are
// none. Reports that do not tell the solids, N, P and K are at fault.
func (s *Scenario) mean(f *units.Faults, liquid bool, how sampling) *nutrient.SamplesResult {
	var list []nutrient.Analysis
	spec := nutrient.SamplesSpec{Confidence: s.confidence()}
	type place struct{ material, report int }
	var from []place
	before := f.Len()
	for i := range s.Materials {
		m := &s.Materials[i]
		if m.Works != 0 || m.liquid() != liquid || len(m.Reports) > mostParts {
			continue
		}
		if list == nil {
			list, from = make([]nutrient.Analysis, 0, len(m.Reports)), make([]place, 0, len(m.Reports))
		}
		for j, report := range m.Reports {
			in := f.At("materials", i)
			at := in.At("reports", j)
			a, err := nutrient.Analyze(report)
			at.Sub("", err)
			if report.Form == nutrient.Solid {
				at.Say("form", "by weight", "liquid: what lies in the basin is reported by volume, with its density")
			}
			told(&at, &report, &a, err)
			if how == summarized {
				spec.Samples = append(spec.Samples, nutrient.Sample{Report: report})
			}
			list = append(list, a)
			from = append(from, place{i, j})
		}
	}
	if len(list) == 0 || f.Len() > before {
		return nil
	}
	if how == meansOnly {
		return &nutrient.SamplesResult{Analysis: average(list)}
	}
	r, err := nutrient.Samples(spec)
	if err != nil {
		first := f.At("materials", from[0].material)
		for _, e := range units.FieldErrors(err) {
			first.Sub("reports", e.At(""))
		}
		return nil
	}
	return &r
}

// told finds what a report must tell and does not; err is that of its analysis.
func told(f *units.Faults, report *nutrient.AnalyzeSpec, a *nutrient.Analysis, err error) {
	if err == nil && (a.AmmoniumN.IsZero() || a.OrganicN.IsZero()) {
		f.Missing("ammoniumN", "ammonium N beside total N, TKN or organic N, since both count otherwise")
	}
	if report.Density == 0 {
		f.Missing("density", "the density as it lies, by which solids are weighed")
	}
	for _, c := range []struct {
		holds []nutrient.Content
		field string
		want  string
	}{{[]nutrient.Content{report.P2O5, report.P}, "p2o5", "P or P2O5"}, {[]nutrient.Content{report.K2O, report.K}, "k2o", "K or K2O"}, {[]nutrient.Content{report.Solids}, "solids", "the total solids"}} {
		if !slices.ContainsFunc(c.holds, func(c nutrient.Content) bool { return !c.IsZero() }) {
			f.Missing(c.field, c.want+" in every report")
		}
	}
}

// average is the mean of each content that all analyses have, as [nutrient.Samples] takes
// it.
func average(list []nutrient.Analysis) nutrient.Analysis {
	out := list[0]
	out.EC, out.PH = 0, 0 // which do not average
	values := make([]float64, len(list))
	mean := func(of func(*nutrient.Analysis) nutrient.Content) nutrient.Content {
		for i := range list {
			c := of(&list[i])
			if c.IsZero() {
				return nutrient.Content{}
			}
			values[i] = c.SI()
		}
		return nutrient.LiquidContent(units.Concentration(stat.Mean(values, nil)))
	}
	for _, of := range []func(*nutrient.Analysis) *nutrient.Content{
		func(a *nutrient.Analysis) *nutrient.Content { return &a.Solids }, func(a *nutrient.Analysis) *nutrient.Content { return &a.TotalN },
		func(a *nutrient.Analysis) *nutrient.Content { return &a.OrganicN }, func(a *nutrient.Analysis) *nutrient.Content { return &a.AmmoniumN },
		func(a *nutrient.Analysis) *nutrient.Content { return &a.NitrateN }, func(a *nutrient.Analysis) *nutrient.Content { return &a.P },
		func(a *nutrient.Analysis) *nutrient.Content { return &a.K },
	} {
		*of(&out) = mean(func(a *nutrient.Analysis) nutrient.Content { return *of(a) })
	}
	out.Elements, out.Density = nil, 0
	for e := range list[0].Elements {
		if c := mean(func(a *nutrient.Analysis) nutrient.Content { return a.Elements[e] }); !c.IsZero() {
			if out.Elements == nil {
				out.Elements = map[nutrient.Element]nutrient.Content{}
			}
			out.Elements[e] = c
		}
	}
	for i := range list {
		out.Density += list[i].Density
	}
	out.Density /= units.Density(len(list))
	return out
}
