package main

import (
	"encoding/json"
	"net/url"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Request is what the user fills in. The names of the form fields are its paths,
// so that a fault of the library finds its field.
type Request struct {
	Report    nutrient.AnalyzeSpec `json:"report"`
	Query     nutrient.Query       `json:"query"`
	NeedN     *units.MassPerArea   `json:"needN"`     // N that the crop needs, less all credits
	AllowP2O5 *units.MassPerArea   `json:"allowP2O5"` // P2O5 that the field may take; 0 allows nothing
	Stock     nutrient.Amount      `json:"stock"`
}

// Answer is the result, as the page shows it and as the JSON.
type Answer struct {
	Set       string                   `json:"set"`
	Source    nutrient.Source          `json:"source"`
	Note      string                   `json:"note,omitempty"`
	Analysis  nutrient.Analysis        `json:"analysis"`
	Available nutrient.AvailableResult `json:"available"`
	Rate      nutrient.FieldRateResult `json:"rate"`
	Area      units.Area               `json:"area,omitzero"` // that the stock needs at that rate; none when nothing may be spread
}

// Calculate puts the request to the set. The rate uses the high end of a range
// of availability, so that no field gets more N than it needs.
func Calculate(set *nutrient.Set, r Request) (Answer, error) {
	a := Answer{Set: set.ID(), Source: set.Source(), Note: set.Note()}
	var f units.Faults
	for _, x := range []struct {
		field string
		given *units.MassPerArea
	}{{"needN", r.NeedN}, {"allowP2O5", r.AllowP2O5}} {
		if x.given == nil {
			f.Missing(x.field, "a mass per area, such as 60 lb/acre; 0 lb/acre when none may be brought")
		} else {
			f.NotNegative(x.field, *x.given)
		}
	}
	if r.Stock.IsZero() {
		f.Missing("stock", "an amount with its unit, such as 400,000 gal or 300 ton")
	}
	var err error
	a.Analysis, err = nutrient.Analyze(r.Report)
	f.Sub("report", err)
	if err == nil {
		a.Available, err = nutrient.Available(nutrient.AvailableSpec{Analysis: a.Analysis, Set: set, Query: r.Query, Years: 3})
		f.Sub("", err)
	}
	if f.Err() != nil {
		return a, f.Err()
	}
	first := a.Available.Years[0]
	a.Rate, err = nutrient.FieldRate(nutrient.FieldRateSpec{Limits: []nutrient.Limit{
		{Kind: nutrient.LimitNitrogen, Holds: first.N.High, Room: *r.NeedN, Source: set.Source().Title},
		{Kind: nutrient.LimitPhosphorus, Holds: a.Analysis.P2O5(), Room: *r.AllowP2O5, Source: "soil test or permit"},
	}})
	f.Sub("report", err)
	if f.Err() == nil && a.Rate.Rate.SI() > 0 {
		a.Area, err = r.Stock.Over(a.Rate.Rate)
		f.Sub("stock", err)
	}
	return a, f.Err()
}

// readForm turns form values into a request. Empty fields count as not given.
func readForm(values url.Values) (Request, error) {
	doc := map[string]any{}
	for path, v := range values {
		text := strings.TrimSpace(v[len(v)-1])
		if text == "" || path == "go" {
			continue
		}
		at := doc
		head, rest, nested := strings.Cut(path, ".")
		if nested {
			sub, ok := at[head].(map[string]any)
			if !ok {
				sub = map[string]any{}
				at[head] = sub
			}
			at, head = sub, rest
		}
		at[head] = text
	}
	var r Request
	data, err := json.Marshal(doc)
	if err == nil {
		err = strict.Decode(data, &r)
	}
	return r, err
}
