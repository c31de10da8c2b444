package cover_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// The soil rules and cover factors once more, a line a row, typed from the sheets.
const (
	printedSoil = `colorado-dryland | untested 40-40-0
illinois-327 | below pH 5.5 lime to 6.2; P below 15 lb/acre: 60 lb/acre; K below 150 lb/acre: 200 lb/acre; N cool-season grass with legume: 30 lb/acre; N native warm-season grass: 0 lb/acre
indiana-county | untested 48-48-48
iowa-327 | untested 0-30-40; waived below 25 lb/acre; lime waived below 1 ton/acre
new-hampshire-native-grass | untested 0-0-0; lime 1 ton/acre
wake-nc | untested 100-200-100; lime 2 ton/acre`
	printedFactors = `fallow | bare ground | C 1
native-grass | native vegetation, established | C 0.01
perennial-ryegrass | perennial ryegrass | C 0.05
annual-ryegrass | annual ryegrass | C 0.1
permanent-seeding | permanent seeding, established | C 0.01
sod | sod | C 0.01
hay-0.5 | hay or straw 0.5 ton/acre | C 0.25, 0.5 ton/acre
hay-1 | hay or straw 1 ton/acre | C 0.13, 1 ton/acre
hay-1.5 | hay or straw 1.5 ton/acre | C 0.07, 1.5 ton/acre
hay-2 | hay or straw 2 ton/acre | C 0.02, 2 ton/acre
wood-chips-6 | wood chips 6 ton/acre | C 0.06, 6 ton/acre
wood-cellulose-1.75 | wood cellulose 1.75 ton/acre | C 0.1, 1.75 ton/acre
gravel | gravel | C 0.05
straw-tackified-2 | straw 2 ton/acre with tackifier on 3H:1V | C 0.017, 2 ton/acre
straw-crimped-2 | straw 2 ton/acre crimped on 3H:1V | C 0.04, 2 ton/acre
stripped | topsoil stripped | C 0.6
graded-spoil | graded spoil | C 0.5
graded-seeded | graded, topsoiled and seeded on the contour | C 0.6, P 0.85
year-1 | reclaimed ground, year 1 | C 0.18
year-3 | reclaimed ground, year 3 | C 0.05
year-5 | reclaimed ground, year 5 | C 0.003`
)

func asPrinted(t *testing.T, want string, line func(add func(cells ...string))) {
	t.Helper()
	var got []string
	line(func(cells ...string) { got = append(got, strings.Join(cells, " | ")) })
	require.Equal(t, strings.Split(want, "\n"), got)
}

// round6 drops what a conversion leaves behind the sixth decimal.
func round6(x float64) float64 { return float64(int64(x*1e6+0.5)) / 1e6 }

func TestEverySoilRuleIsAsPrinted(t *testing.T) {
	lb := func(q units.MassPerArea) string { return fmt.Sprintf("%g lb/acre", round6(q.In(units.PoundPerAcre))) }
	ton := func(q units.MassPerArea) string { return fmt.Sprintf("%g ton/acre", round6(q.In(units.TonPerAcre))) }
	asPrinted(t, printedSoil, func(add func(...string)) {
		for _, s := range cover.PublishedStates() {
			for _, r := range s.Spec().Soil {
				var list []string
				if r.MinPH != nil {
					list = append(list, fmt.Sprintf("below pH %g lime to %g", *r.MinPH, *r.LimeTo))
				}
				if r.P != nil {
					list = append(list, "P below "+lb(r.P.Below)+": "+lb(r.P.Apply))
				}
				if r.K != nil {
					list = append(list, "K below "+lb(r.K.Below)+": "+lb(r.K.Apply))
				}
				for _, n := range r.Nitrogen {
					list = append(list, "N "+n.Stand+": "+lb(n.N))
				}
				if u := r.Untested; u != nil {
					list = append(list, strings.ReplaceAll("untested "+lb(u.N)+"-"+lb(u.P2O5)+"-"+lb(u.K2O), " lb/acre", ""))
				}
				if r.UntestedLime != nil {
					list = append(list, "lime "+ton(*r.UntestedLime))
				}
				if r.WaiveFertilizer != nil {
					list = append(list, "waived below "+lb(*r.WaiveFertilizer))
				}
				if r.WaiveLime != nil {
					list = append(list, "lime waived below "+ton(*r.WaiveLime))
				}
				add(r.ID, strings.Join(list, "; "))
			}
		}
	})
}

func TestEveryCoverFactorIsAsPrinted(t *testing.T) {
	asPrinted(t, printedFactors, func(add func(...string)) {
		for _, c := range cover.PublishedCoverFactors() {
			text := fmt.Sprintf("C %g", c.C)
			if c.P != 1 {
				text += fmt.Sprintf(", P %g", c.P)
			}
			if c.Rate > 0 {
				text += fmt.Sprintf(", %g ton/acre", round6(c.Rate.In(units.TonPerAcre)))
			}
			add(c.ID, c.Cover, text)
		}
	})
}
