package sludge

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/field"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// volumeCase is a survey of a 100 m by 60 m basin with what an independent program
// of dense formulas makes of it on a lattice of 15 by 9 cells, in metres.
type volumeCase struct {
	Name        string
	Told        string
	ReadSD      float64
	SharedSD    float64
	Group       []int
	Soundings   [][]float64 // x, y, thickness, and the floor as read
	EveryPart   volumeFigures
	ChosenParts volumeFigures

	WeightOfLambda     map[string]float64
	ThreeHeaviestParts []struct {
		Beta, DF, Lambda, LogMarginal, Range, Scale, Share, Sigma2, Volume, Weight float64
		Family                                                                     string
		Log                                                                        bool
	}
	Floors [][3]float64 // slope, depth, weight
}

type volumeFigures struct {
	Banks, Gaps, High, Low, SD, Volume, WeightOfLog float64
	Parts                                           int
}

// bankedFloor is the floor of the cases: banks of 3 : 1 down to 3 m.
type bankedFloor struct{}

func (bankedFloor) Depth(p plane.Point) (units.Length, bool) {
	return units.Length(banked(float64(p.X), float64(p.Y))), true
}

func banked(x, y float64) float64 {
	return max(0, min(x/3, (100-x)/3, y/3, (60-y)/3, 3))
}

func (c *volumeCase) survey(t *testing.T) *Survey {
	spec := SurveySpec{Boundary: rectangle(0, 0, 100, 60), Duplicates: DuplicatesMean, Sides: SidesBanks}
	switch {
	case strings.HasPrefix(c.Told, "vertical"):
		spec.Sides = SidesVertical
	case strings.HasPrefix(c.Told, "floor known"):
		spec.Floor = bankedFloor{}
	}
	if c.Soundings == nil {
		for r := range 6 {
			for i := range 50 {
				x, y := 4+92*(float64(i)+0.5)/50, 4+52*(float64(r)+0.5)/6
				z := max(0, 1.2+0.25*math.Sin(x/9)+0.2*math.Cos(y/7)-(3-banked(x, y)))
				s := core(x, y, z)
				s.Track = r
				spec.Soundings = append(spec.Soundings, s)
			}
		}
	}
	for i, r := range c.Soundings {
		s := core(r[0], r[1], r[2])
		if len(r) == 4 {
			s = depths(r[0], r[1], r[3]-r[2], r[3])
		}
		if c.Group != nil {
			s.Track = c.Group[i]
		}
		spec.Soundings = append(spec.Soundings, s)
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	return s
}

var familyNames = map[string]field.Family{"exp": field.Matern05, "m15": field.Matern15, "m25": field.Matern25}

// caseShares are the shares of the nugget that the cases were worked out with.
var caseShares = []float64{0.001, 0.01, 0.05, 0.2, 0.5}

// The whole computation against an independent program of dense formulas: every part
// to the digits that are printed, the parts that are drawn to 1 %.
func TestVolumeCases(t *testing.T) {
	text, err := os.ReadFile("testdata/volume-cases.json")
	require.NoError(t, err)
	var cases []volumeCase
	require.NoError(t, json.Unmarshal(text, &cases))
	require.Len(t, cases, 8)
	for _, c := range cases {
		t.Run(c.Name, func(t *testing.T) {
			spec := VolumeSpec{Confidence: 0.95, ReadingSD: units.Length(c.ReadSD), SharedSD: units.Length(c.SharedSD)}
			survey := c.survey(t)
			e, err := newEstimate(context.Background(), survey, spec, estimateOptions{cells: 135, round: true, plain: true, every: true, shares: caseShares})
			require.NoError(t, err)
			require.Equal(t, [2]int{15, 9}, [2]int{e.cells.Cols, e.cells.Rows})
			for k, g := range c.Floors {
				require.InDelta(t, g[0], e.floors[k].slope, 1e-9)
				require.InDelta(t, g[1], e.floors[k].flat, 1e-9)
				require.InDelta(t, g[2], e.floors[k].weight, 1e-9)
			}
			heavy := slices.Clone(e.parts)
			slices.SortStableFunc(heavy, func(a, b portion) int {
				if a.weight > b.weight {
					return -1
				}
				return 1
			})
			for k, want := range c.ThreeHeaviestParts {
				at := slices.IndexFunc(heavy, func(p portion) bool {
					st := p.structure()
					return st.Family == familyNames[want.Family] && math.Abs(st.Range-want.Range) < 1e-6*st.Range && st.Share == want.Share &&
						p.of.share == want.Lambda && p.of.log == want.Log && (len(c.Floors) == 0 || math.Abs(p.volume/want.Volume-1) < 1e-3)
				})
				require.GreaterOrEqual(t, at, 0, "part %d", k)
				p := heavy[at]
				require.InEpsilon(t, want.LogMarginal, p.fit.LogLikelihood, 1e-9, "log L %d", k)
				require.InEpsilon(t, want.Beta, p.fit.Beta, 1e-8, "beta %d", k)
				require.InEpsilon(t, want.Sigma2, p.fit.Sigma2, 1e-8, "sigma2 %d", k)
				require.Equal(t, want.DF, p.fit.DF, "nu %d", k)
				require.InEpsilon(t, want.Volume, p.volume, 1e-6, "volume %d", k)
				require.InEpsilon(t, want.Scale, p.scale, 1e-6, "scale %d", k)
				require.InEpsilon(t, want.Weight, p.weight, 1e-6, "weight %d", k)
			}
			require.Len(t, e.parts, c.EveryPart.Parts)
			compareFigures(t, c.EveryPart, e.result(spec), 1e-6)
			chosen, err := newEstimate(context.Background(), survey, spec, estimateOptions{cells: 135, round: true, plain: true, parts: 24, shares: caseShares})
			require.NoError(t, err)
			compareFigures(t, c.ChosenParts, chosen.result(spec), 0.01)
			require.Len(t, chosen.parts, c.ChosenParts.Parts)
		})
	}
}

func compareFigures(t *testing.T, want volumeFigures, got VolumeResult, tol float64) {
	require.InEpsilon(t, want.Volume, float64(got.Volume), tol, "volume")
	require.InEpsilon(t, want.SD, float64(got.SD), tol, "sd")
	require.InEpsilon(t, want.Low, float64(got.Interval.Low), tol, "low")
	require.InEpsilon(t, want.High, float64(got.Interval.High), tol, "high")
	require.InDelta(t, want.Banks, got.BanksShare, tol, "banks")
	require.InDelta(t, want.Gaps, got.GapsShare, tol, "gaps")
	require.InDelta(t, want.WeightOfLog, got.Log, tol, "weight of the logarithm")
}
