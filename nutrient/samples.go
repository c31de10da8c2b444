package nutrient

import (
	"maps"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/sample"
)

// Sample is one of several laboratory reports on one material.
type Sample struct {
	Report AnalyzeSpec `json:"report,omitzero"` // of the laboratory
	Amount Amount      `json:"amount,omitzero"` // that the sample stands for; all samples or none
}

// SamplesSpec is several samples of one material.
type SamplesSpec struct {
	Samples    []Sample `json:"samples"`    // at least one
	Confidence float64  `json:"confidence"` // of the intervals, above 0 and below 1, such as 0.95
}

// ContentSummary describes the samples of one constituent.
type ContentSummary struct {
	Name     string         `json:"name"`              // such as totalN, or a symbol
	N        int            `json:"n"`                 // samples
	Mean     Content        `json:"mean,omitzero"`     // every sample alike
	Weighted Content        `json:"weighted,omitzero"` // sum(amount x content) / sum(amount), when amounts are given
	SD       Content        `json:"sd,omitzero"`       // with two samples or more
	CV       float64        `json:"cv"`                // SD / mean
	Interval *ContentRange  `json:"interval,omitzero"` // two-sided Student t interval of the mean; its low end may be below 0; nil for one sample
	Outlier  *SampleOutlier `json:"outlier,omitzero"`  // with four samples or more that differ: the one farthest from the mean
}

// SampleOutlier is the sample that lies farthest from the mean, by Grubbs's test.
// With three samples the test would call any value out that stands beside two
// equal ones, so that it starts at four.
type SampleOutlier struct {
	Sample   int           `json:"sample"`            // index
	Value    Content       `json:"value,omitzero"`    // of the sample
	G        float64       `json:"g"`                 // distance from the mean in standard deviations
	Critical float64       `json:"critical"`          // G above which the sample stands out at the confidence
	IsOut    bool          `json:"isOut"`             // g above critical: look for a reason before leaving it out
	Without  Content       `json:"without,omitzero"`  // the mean of the others
	Interval *ContentRange `json:"interval,omitzero"` // of the mean of the others; nil for fewer than two
	Change   float64       `json:"change"`            // without over mean, less 1
}

// SamplesResult is the summary of the samples and the analysis to plan with.
type SamplesResult struct {
	Confidence float64          `json:"confidence"`        // as in the spec
	Weighted   bool             `json:"weighted"`          // whether the analysis is weighted by the amounts
	Analysis   Analysis         `json:"analysis,omitzero"` // of the means
	Contents   []ContentSummary `json:"contents"`          // of what every sample reports
}

// Samples brings several reports on one material together: the mean of each
// constituent with its t interval, weighted by the amounts that the samples stand
// for when these are given, and the sample that stands out with what leaving it
// out would change. All reports must be of one form and one pair of oxide
// factors. Constituents that some samples lack are left out. EC and pH of the
// analysis are zero: they do not average. Faults are [units.FieldError] with
// paths such as samples[2].report.tkn.
func Samples(spec SamplesSpec) (SamplesResult, error) {
	list, err := spec.analyses()
	if err != nil {
		return SamplesResult{}, err
	}
	r := SamplesResult{Confidence: spec.Confidence, Weighted: !spec.Samples[0].Amount.IsZero()}
	first := list[0]
	r.Analysis = Analysis{Form: first.Form, Oxides: first.Oxides, Density: meanDensity(list)}
	sum := func(name string, get func(Analysis) Content) (Content, error) {
		values := make([]float64, len(list))
		for i, a := range list {
			c := get(a)
			if c.IsZero() {
				return Content{}, nil
			}
			values[i] = c.value
		}
		c, err := spec.summarize(name, first.Form, values)
		if err != nil {
			return Content{}, err
		}
		r.Contents = append(r.Contents, c)
		if r.Weighted {
			return c.Weighted, nil
		}
		return c.Mean, nil
	}
	var f units.Faults
	for _, x := range []struct {
		name string
		get  func(Analysis) Content
		out  *Content
	}{
		{"solids", func(a Analysis) Content { return a.Solids }, &r.Analysis.Solids},
		{"totalN", func(a Analysis) Content { return a.TotalN }, &r.Analysis.TotalN},
		{"ammoniumN", func(a Analysis) Content { return a.AmmoniumN }, &r.Analysis.AmmoniumN},
		{"organicN", func(a Analysis) Content { return a.OrganicN }, &r.Analysis.OrganicN},
		{"nitrateN", func(a Analysis) Content { return a.NitrateN }, &r.Analysis.NitrateN},
		{"p", func(a Analysis) Content { return a.P }, &r.Analysis.P},
		{"k", func(a Analysis) Content { return a.K }, &r.Analysis.K},
	} {
		*x.out, err = sum(x.name, x.get)
		f.Sub("", err)
	}
	for _, e := range slices.Sorted(maps.Keys(first.Elements)) {
		c, err := sum(e.String(), func(a Analysis) Content { return a.Elements[e] })
		f.Sub("", err)
		if !c.IsZero() {
			if r.Analysis.Elements == nil {
				r.Analysis.Elements = map[Element]Content{}
			}
			r.Analysis.Elements[e] = c
		}
	}
	return r, f.Err()
}

// meanDensity returns the mean density, 0 when a sample has none.
func meanDensity(list []Analysis) units.Density {
	var sum units.Density
	for _, a := range list {
		if a.Density == 0 {
			return 0
		}
		sum += a.Density
	}
	return sum / units.Density(len(list))
}

// analyses checks the samples and analyzes each report.
func (s SamplesSpec) analyses() ([]Analysis, error) {
	var f units.Faults
	if len(s.Samples) == 0 {
		f.Missing("samples", "at least one sample")
	}
	f.Confidence("confidence", s.Confidence)
	var list []Analysis
	for i, x := range s.Samples {
		at := f.At("samples", i)
		a, err := Analyze(x.Report)
		at.Sub("report", err)
		list = append(list, a)
		first := s.Samples[0]
		if x.Report.Form != first.Report.Form {
			at.Add("report.form", x.Report.Form, "that of the first sample: %s", units.Word(first.Report.Form.String()))
		}
		if x.Report.Oxides != first.Report.Oxides {
			at.Add("report.oxides", x.Report.Oxides, "that of the first sample: %s", units.Word(first.Report.Oxides.String()))
		}
		switch {
		case x.Amount.IsZero() != first.Amount.IsZero():
			at.Add("amount", x.Amount, "an amount for every sample or for none")
		case !x.Amount.IsZero():
			at.Sub("amount", x.Amount.check(first.Amount.form, false, amountOf))
		}
	}
	return list, f.Err()
}

// summarize describes the values of one constituent.
func (s SamplesSpec) summarize(name string, form Form, values []float64) (ContentSummary, error) {
	content := func(x float64) Content { return Content{measure{form, x}} }
	interval := func(m sample.Summary[float64]) *ContentRange {
		if m.Interval == nil {
			return nil
		}
		return &ContentRange{content(m.Interval.Low), content(m.Interval.High)}
	}
	m, err := sample.Summarize(values, s.Confidence)
	if err != nil {
		return ContentSummary{}, err
	}
	c := ContentSummary{Name: name, N: m.N, Mean: content(m.Mean), CV: m.CV, Interval: interval(m)}
	if m.Interval != nil {
		c.SD = content(m.SD)
	}
	if !s.Samples[0].Amount.IsZero() {
		var mass, whole float64
		for i, x := range s.Samples {
			mass += x.Amount.value * values[i]
			whole += x.Amount.value
		}
		c.Weighted = content(mass / whole)
	}
	if len(values) < 4 {
		return c, nil
	}
	o, ok, err := sample.FindOutlier(values, s.Confidence)
	if err != nil || !ok {
		return c, err
	}
	c.Outlier = &SampleOutlier{
		Sample: o.Index, Value: content(o.Value), G: o.G, Critical: o.Critical, IsOut: o.IsOut,
		Without: content(o.Without.Mean), Interval: interval(o.Without),
	}
	if m.Mean > 0 {
		c.Outlier.Change = o.Without.Mean/m.Mean - 1
	}
	return c, nil
}

// contentLabels are the words of a report for the names of constituents.
var contentLabels = map[string]string{
	"solids": "total solids", "totalN": "total N", "ammoniumN": "ammonium N", "organicN": "organic N",
	"nitrateN": "nitrate N", "p": "P", "k": "K",
}

// Working returns the constituents that the material holds as lines.
func (r SamplesResult) Working() units.Working {
	var w units.Working
	for _, c := range r.Contents {
		if c.Mean.value == 0 {
			continue
		}
		how := units.Words("one sample, no interval")
		if c.Interval != nil {
			how = units.Words("%v to %v at %.0f %%, CV %.0f %%, n %v", c.Interval.Low, c.Interval.High, 100*r.Confidence, 100*c.CV, c.N)
		}
		name := contentLabels[c.Name]
		if name == "" {
			name = c.Name // an element
		}
		w.Put(units.Words("%s, mean", units.Word(name)), c.Mean, how)
		if r.Weighted {
			w.Add("  weighted by amount", c.Weighted, "sum(amount x content) / sum(amount)")
		}
		if o := c.Outlier; o != nil && o.IsOut {
			w.Put(units.Words("  sample %d stands out", o.Sample+1), o.Value, units.Words("G %.2f above %.2f; without it the mean is %v (%+.0f %%)", o.G, o.Critical, o.Without, 100*o.Change))
		}
	}
	return w
}

// String returns the working as a table.
func (r SamplesResult) String() string { return r.Working().String() }
