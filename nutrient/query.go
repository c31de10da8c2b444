package nutrient

import (
	"maps"
	"strconv"

	"example.org/earthbasin/units"
)

// Query is what is asked of a state, by the names of its keys: choices in its words,
// quantities with their unit, days as 2026-10-20 or 20 Oct. What decides nothing may be
// left out. Its JSON is flat text: {"species": "dairy", "incorporation": "12 h"}.
type Query map[string]string

// Keys that an analysis or a [Site] fills where a state declares them under these
// names.
const (
	KeyForm             = "form"             // liquid or solid, of the analysis
	KeyDryMatter        = "dryMatter"        // of the mass, of the analysis
	KeyReadilyAvailable = "readilyAvailable" // ammonium and nitrate N of the total, of the analysis
	KeySoilP            = "soilP"            // soil test of phosphorus
	KeyExtractant       = "extractant"       // of the soil test
	KeyDistance         = "distance"         // to surface water
	KeyFilterStrip      = "filterStrip"      // yes or no
	KeySoilLoss         = "soilLoss"         // in a year
	KeySoilLossOverT    = "soilLossOverT"    // over the tolerable loss
	KeyRiskIndex        = "riskIndex"        // of the index that the rule names
	KeySaturation       = "saturation"       // degree of P saturation
	KeyCrop             = "crop"             // of a crop table
	KeyYield            = "yield"            // of the crop, such as 150 bu/acre; need not be declared
	KeyMetal            = "metal"            // by symbol
)

// Fill returns the query with what an analysis knows and the state asks for: the form,
// the dry matter and the readily available N, where the query does not say them.
func (s *State) Fill(q Query, a Analysis) Query { return q.filled(s, &a) }

func (q Query) filled(s *State, a *Analysis) Query {
	known := map[string]string{KeyForm: a.Form.String()}
	if dry, ok := a.dryMatter(); ok {
		known[KeyDryMatter] = percentText(float64(dry))
	}
	if a.TotalN.value > 0 && !a.AmmoniumN.IsZero() {
		known[KeyReadilyAvailable] = percentText((a.AmmoniumN.value + a.NitrateN.value) / a.TotalN.value)
	}
	out := maps.Clone(q)
	for name, text := range known {
		i := s.keyIndex(name)
		if i < 0 || q[name] != "" {
			continue
		}
		if _, ok := s.keys[i].spotOf(text); ok {
			if out == nil {
				out = Query{}
			}
			out[name] = text
		}
	}
	return out
}

// percentText writes a share as a query holds it.
func percentText(share float64) string { return strconv.FormatFloat(share*100, 'g', 15, 64) + " %" }

// agree records what the query says otherwise than the analysis, with both.
func (q Query) agree(a *Analysis, f *units.Faults) {
	var form Form
	if text := q[KeyForm]; text != "" && form.UnmarshalText([]byte(text)) == nil && form != a.Form {
		f.Add("query.form", units.Words("%v", units.Word(text)), "nothing, or the form of the analysis, which is %v", units.Word(a.Form.String()))
	}
	var dry units.MassFraction
	if text := q[KeyDryMatter]; text == "" || a.Solids.value == 0 || dry.UnmarshalText([]byte(text)) != nil {
		return
	}
	low, known := a.dryMatter()
	high := low
	if !known { // a liquid whose density lies anywhere between these
		low, high = units.MassFraction(a.Solids.value/float64(heaviest)), units.MassFraction(a.Solids.value/float64(lightest))
	}
	if dry < low*(1-pairTolerance) || dry > high*(1+pairTolerance) {
		f.Add("query.dryMatter", dry, "nothing, or within 5 %% of the solids of the analysis, which are %v", units.Range[units.MassFraction]{Low: low, High: high})
	}
}
