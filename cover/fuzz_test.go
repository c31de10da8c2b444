package cover_test

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units/strict"
)

func seed(f *testing.F, path string, extra ...string) {
	f.Helper()
	data, err := os.ReadFile(path)
	require.NoError(f, err)
	f.Add(data)
	for _, s := range extra {
		f.Add([]byte(s))
	}
}

// What loads writes back to what loads the same, finds its species and judges any mix
// and mulch with a line for each rule.
func FuzzParseState(f *testing.F) {
	for _, s := range cover.PublishedStates() {
		seed(f, "data/states/"+s.Spec().ID+".json")
	}
	for _, s := range []string{`null`, `[]`, `{"species":[{"counts":[{"low":"NaN seeds/lb"}]}],"rules":[{"rules":[{"measure":"species","min":"-1"}]}]}`,
		`{"id":"a","jurisdiction":"b","sources":[{"id":"s","title":"t","publisher":"p"}],"rules":[{"id":"x","purpose":"x","source":"s","rules":[{"name":"a","measure":"share of seeds","of":{},"in":{"species":["oats"]},"min":"1e300 %"}]}]}`} {
		f.Add([]byte(s))
	}
	m, err := cover.Mix(randomMix(random(), 12))
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := cover.ParseState(data)
		if err != nil {
			return
		}
		text, err := json.Marshal(s.Spec())
		require.NoError(t, err)
		back, err := cover.ParseState(text)
		require.NoError(t, err)
		spec := s.Spec()
		require.Equal(t, spec, back.Spec())
		for _, row := range spec.Species {
			found, err := s.FindSpecies(row.Common)
			require.NoError(t, err)
			require.Equal(t, row, found)
		}
		for _, set := range s.RuleSets() {
			findings := set.Judge(m)
			require.Len(t, findings, len(set.Spec().Rules))
			for _, x := range findings {
				_, err := x.Verdict.MarshalText()
				require.NoError(t, err)
			}
		}
		_, err = cover.Mulch(cover.MulchSpec{Area: 1, Rate: 1, Slope: new(3.0), Anchoring: cover.AnchoringCrimped, Own: spec.Mulch})
		require.NoError(t, err)
	})
}

func FuzzMonthDay(f *testing.F) {
	for _, s := range []string{"15 May", "May 15", "29 February", "31 Apr", "0 May", "1 13", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var d cover.MonthDay
		if d.UnmarshalText([]byte(s)) != nil {
			return
		}
		text, err := d.MarshalText()
		require.NoError(t, err)
		var back cover.MonthDay
		require.NoError(t, back.UnmarshalText(text))
		require.Equal(t, d, back)
	})
}

// FuzzSpecs runs every computation on whatever decodes. A result that is given out
// has only finite numbers and named values, which is when it can be written.
func FuzzSpecs(f *testing.F) {
	for _, s := range []string{
		`{"mix":{"area":"2 acre","basis":"shares of seeds","method":"drilled","methodFactor":1,"criticalFactor":1,"seedsPerArea":"40 seeds/ft2","rowSpacing":"8 in","items":[{"species":"timothy","countSource":"W","share":0.5,"lot":{"purity":0.9,"germination":0.7},"price":"4 per lb","bag":"50 lb"},{"species":"Mexican hat","countSource":"T","share":0.5,"lot":{"purity":0.95,"viability":0.9}}]}}`,
		`{"ls":{"version":"AH-703","length":"9 ft","grade":0.1,"rill":"moderate"},"k":{"siltAndVeryFineSand":0.6,"clay":0.2,"organicMatter":0.02,"structure":2,"permeability":3}}`,
		`{"loss":{"system":"SI","r":3000,"k":0.04,"ls":1,"p":1,"bareC":1,"coveredC":0.01,"stages":[{"cover":"straw","c":0.1,"months":3}],"area":"1 ha","begin":5,"monthlyR":[0,0,0,0,1,0,0,0,0,0,0,0],"deliveryRatio":0.3,"tolerance":"4 ton/acre"}}`,
		`{"lime":{"basis":"ECCE","need":"2 ton/acre","referenceECCE":1,"area":"1 acre","material":{"cce":0.9,"fineness":{"pass20":0.9,"pass60":0.6,"pass100":0.4},"price":"30 per ton"}},"need":{"method":"North Carolina","ph":5,"goal":6,"acidity":1.2}}`,
		`{"fertilizer":{"need":{"n":"40 lb/acre","p2o5":"10 lb/acre"},"rule":"blend of least cost","grades":[{"name":"a","n":0.46,"price":"500 per ton"},{"name":"b","n":0.11,"p2o5":0.52,"price":"700 per ton","bag":"50 lb"}],"most":{"n":"50 lb/acre"},"area":"1 acre"}}`,
		`{"mulch":{"area":"1 acre","rate":"2 ton/acre","slope":4,"anchoring":"crimped","crimp":"3 in","bale":"50 lb","price":"90 per ton","rules":["denver-straw"]},"soil":{"rules":"iowa-327"}}`,
		`{"planting":{"ready":"2027-02-28","days":3,"windows":[{"name":"w","from":"29 February","to":"15 May"}]},"nurse":{"name":"oats","temporaryRate":"64 lb/acre","share":0.5,"mostShare":0.5,"area":"1 acre"}}`,
		`{"topsoil":{"area":"1 acre","depth":"6 in","loss":0.1,"stock":"100 yd3","price":"20 per yd3"},"payment":{"scenarios":[{"name":"a","rate":"129 per acre","area":"1.23 acre","share":1,"cap":100}],"acres":"tenth up","cost":500,"withinCost":true}}`,
		`{"bids":{"items":[{"name":"grading","quantity":2,"unit":"acre"}],"bids":[{"bidder":"one","unitPrices":[9],"stated":20},{"bidder":"two","unitPrices":[null]}],"payment":5,"area":"2 acre"}}`,
	} {
		f.Add([]byte(s))
	}
	var rules []*cover.RuleSet
	for _, s := range cover.PublishedStates() {
		rules = append(rules, s.RuleSets()...)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var s struct {
			Mix        *cover.MixSpec          `json:"mix"`
			LS         *cover.LSSpec           `json:"ls"`
			K          *cover.ErodibilitySpec  `json:"k"`
			Loss       *cover.SoilLossSpec     `json:"loss"`
			Lime       *cover.LimeSpec         `json:"lime"`
			Need       *cover.LimeNeedSpec     `json:"need"`
			Fertilizer *cover.FertilizerSpec   `json:"fertilizer"`
			Mulch      *cover.MulchSpec        `json:"mulch"`
			Soil       *cover.SoilNeedSpec     `json:"soil"`
			Planting   *cover.PlantingSpec     `json:"planting"`
			Nurse      *cover.NurseSpec        `json:"nurse"`
			Topsoil    *cover.TopsoilOrderSpec `json:"topsoil"`
			Payment    *cover.PaymentSpec      `json:"payment"`
			Bids       *cover.BidsSpec         `json:"bids"`
		}
		if strict.Decode(text, &s) != nil {
			return
		}
		fuzzed(t, s.Mix, func(spec cover.MixSpec) (cover.MixResult, error) {
			mix, err := cover.Mix(spec)
			for _, set := range rules {
				set.Judge(mix)
			}
			return mix, err
		})
		fuzzed(t, s.LS, cover.LS)
		fuzzed(t, s.K, cover.Erodibility)
		fuzzed(t, s.Loss, cover.SoilLoss)
		fuzzed(t, s.Lime, cover.Lime)
		fuzzed(t, s.Need, cover.LimeNeed)
		fuzzed(t, s.Fertilizer, cover.Fertilizer)
		fuzzed(t, s.Mulch, cover.Mulch)
		fuzzed(t, s.Soil, cover.SoilNeed)
		fuzzed(t, s.Planting, cover.Planting)
		fuzzed(t, s.Nurse, cover.Nurse)
		fuzzed(t, s.Topsoil, cover.TopsoilOrder)
		fuzzed(t, s.Payment, cover.Payment)
		fuzzed(t, s.Bids, cover.Bids)
	})
}

func fuzzed[S any, R fmt.Stringer](t *testing.T, spec *S, run func(S) (R, error)) {
	if spec == nil {
		return
	}
	r, err := run(*spec)
	if err != nil {
		return
	}
	_ = r.String()
	if _, err := json.Marshal(r); err != nil {
		t.Errorf("%T: %v", r, err)
	}
}
