package cover_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// The tables of the states once more, a line a row, typed from the sheets.
const (
	printedWindows = `Colorado, dryland | 1 November-30 April dormant | CO-518541 | page 3
Iowa, introduced cool-season grass and legumes, spring | 1 March-15 May | IA-34 | table 1
Iowa, warm-season grass and prairie mixtures | 1 April-1 July | IA-34 | table 1
Iowa, roadside permanent seeding, spring | 1 March-31 May | IA-CM7 | -
Iowa, roadside permanent seeding, late summer | 10 August-30 September | IA-CM7 | -
Iowa, roadside native grass and wildflowers, spring | 1 April-31 May | IA-CM7 | -
Iowa, wetland species | 1 April-30 June | IA-CM7 | -
Minnesota, native mixes | 15 May-30 June | MN-BWSR | -
Missouri, northern, natives, spring | 16 March-31 May | MO-grower | -
Missouri, southern, natives, spring | 1 March-15 May | MO-grower | -
Missouri, northern, natives, dormant | 16 November-15 March dormant | MO-grower | -
Missouri, southern, natives, dormant | 1 December-29 February dormant | MO-grower | -
North Carolina, tall fescue alone or with white clover | 1 September-30 November | NC-Washington | page 45.05
North Carolina, bermudagrass, hulled seed | 1 April-31 July | NC-Washington | page 45.05
North Carolina, bermudagrass, unhulled seed | 1 January-31 March dormant | NC-Washington | page 45.05
North Carolina, bahiagrass | 15 March-15 June | NC-Washington | page 45.05
North Carolina, piedmont, tall fescue mixes, fall, best | 25 August-15 September | NC-6.11-1998 | table 6.11k, seeding 1P
North Carolina, piedmont, tall fescue mixes, late winter, best | 15 February-21 March | NC-6.11-1998 | table 6.11k, seeding 1P
North Carolina, mountains, big bluestem | 1 December-15 April dormant | NC-6.11-2008 | -
North Carolina, piedmont, big bluestem | 1 December-1 April dormant | NC-6.11-2008 | -
North Carolina, coastal plain, big bluestem | 1 December-1 May dormant | NC-6.11-2008 | -
North Carolina, mountains, little bluestem | 1 December-15 April dormant | NC-6.11-2008 | -
North Carolina, mountains, big bluestem for forage, best | 25 May-15 June | NCF-guide | -
North Carolina, piedmont, indiangrass | 1 December-1 May dormant | NC-6.11-2008 | -
North Carolina, coastal plain, indiangrass | 1 January-1 May dormant | NC-6.11-2008 | -
North Carolina, Wake County, tall fescue on roadsides | 15 August-1 November | Wake | -
warm-season natives | 1 May-30 June | nursery | -`
	printedMulch = `colorado-1982 | Colorado | hay or straw | 4000 lb/acre
colorado-crimped | Colorado | hay or straw, crimped | 5000 lb/acre, crimped
colorado-dryland | Colorado | straw, crimped | 4000 lb/acre, crimped
colorado-drought-straw | Colorado | hay or straw | 1-2 ton/acre
colorado-drought-fibre | Colorado | wood fibre | 1000-2000 lb/acre
colorado-leaflet | Colorado | straw | 1-2 in thick
denver-straw | Denver area | straw, crimped | 2 ton/acre, crimped, crimp 3 in
indiana-straw | Indiana, a county | straw | 2 ton/acre
indiana-fibre | Indiana, a county | wood fibre | 1 ton/acre
north-carolina | North Carolina | straw | 1-2 ton/acre, 85 % cover, 2:1
wake-straw | North Carolina, Wake County | small grain straw | 2 ton/acre, tackified
pennsylvania-crimped | Pennsylvania | straw, crimped | 3 ton/acre, crimped, crimp 3 in, 3:1
pennsylvania-tackified | Pennsylvania | straw with tackifier | 3 ton/acre, tackified
pennsylvania-compost | Pennsylvania | compost | 0.5-0.75 in thick, 2:1
484-moisture | national | any | 60 % cover
484-temperature | national | any | 100 % cover
washington-straw | Washington, a city | straw | 2-3 ton/acre, 2-3 in thick
washington-hydromulch | Washington, a city | wood fibre hydromulch | 1500-2000 lb/acre
wisconsin-seeded | Wisconsin | straw or hay, seeded ground | 1.5-2 ton/acre, 70 % cover, 0.5-1.5 in thick
wisconsin-crimped | Wisconsin | straw or hay, crimped | 1.5-2 ton/acre, 70 % cover, crimped, crimp 1 in
wisconsin-unseeded | Wisconsin | straw or hay, ground not seeded | 2-3 ton/acre, 80 % cover, 1.5-3 in thick
wisconsin-chips | Wisconsin | wood chips or bark, ground not seeded | 6-9 ton/acre, 80 % cover, 0.5-1.5 in thick`
	printedRules = `indiana-pollinator-2012 | flowering species | species | forb/legume/shrub | >= 9
indiana-pollinator-2012 | early bloom | species | forb/legume/shrub early | >= 3
indiana-pollinator-2012 | mid bloom | species | forb/legume/shrub mid | >= 3
indiana-pollinator-2012 | late bloom | species | forb/legume/shrub late | >= 3
indiana-pollinator-2012 | native flowering species | species | forb/legume/shrub native | >= 7
indiana-pollinator-2012 | each introduced legume | each share of seeds | legume introduced | <= 10 %
indiana-pollinator-2012 | introduced legumes together | share of seeds | legume introduced | <= 20 %
indiana-pollinator-2012 | forbs and legumes | rate | forb/legume/shrub | >= 16 oz/acre
indiana-pollinator-2012 | cap of alfalfa and true clovers | each rate | Medicago sativa/Trifolium hybridum/Trifolium repens/Trifolium pratense | <= 2 oz/acre
indiana-pollinator-2012 | least rate of a flowering species | each rate | forb/legume/shrub | >= 1 oz/acre
iowa-pollinator-2016 | live seeds | seeds | all | >= 40 seeds/ft2
iowa-pollinator-2016 | grass | share of seeds | grass | <= 25 %
iowa-pollinator-2016 | forbs | share of seeds | forb/legume/shrub | >= 75 %
missouri-monarch-2017 | native flowering species | species | forb/legume native | >= 20
missouri-monarch-2017 | spring bloom | species | forb/legume early | >= 3
missouri-monarch-2017 | summer bloom | species | forb/legume mid | >= 3
missouri-monarch-2017 | fall bloom | species | forb/legume late | >= 3
missouri-monarch-2017 | milkweed | share of seeds | Asclepias incarnata/Asclepias syriaca/Asclepias tuberosa | >= 3 %
missouri-monarch-2017 | common milkweed of the milkweed | share of seeds | Asclepias syriaca in Asclepias incarnata/Asclepias syriaca/Asclepias tuberosa | >= 66.6 %
new-mexico-pollinator-2011 | flowering species | species | forb/legume/shrub | >= 4
new-mexico-pollinator-2011 | periods in which two begin to flower | bloom periods | forb/legume/shrub each 2 | >= 2
new-mexico-pollinator-2011 | area | area | all | >= 0.5 acre
new-mexico-pollinator-2011 | width of strips | width | all | >= 20 ft
ohio-native-grass-2010 | grass species | species | grass | >= 3
ohio-native-grass-2010 | live grass seeds | seeds | grass | >= 18 seeds/ft2 <= 22 seeds/ft2
ohio-native-grass-2010 | short grasses | share of seeds | grass 4 ft in grass | >= 60 %
ohio-native-grass-2010 | forb or legume species | species | forb/legume/shrub | >= 5
ohio-native-grass-2010 | live forb and legume seeds | seeds | forb/legume/shrub | >= 12 seeds/ft2 <= 16 seeds/ft2
ohio-native-grass-2010 | introduced legumes | only | legume introduced | Medicago sativa/Trifolium hybridum/Kummerowia stipulacea
monarch-e327136z2-2017 | area | area | all | >= 0.5 acre
monarch-e327136z2-2017 | milkweed species | species | Asclepias incarnata/Asclepias speciosa/Asclepias sullivantii/Asclepias syriaca/Asclepias tuberosa/Asclepias verticillata | >= 1
monarch-e327136z2-2017 | milkweed | share of seeds | Asclepias incarnata/Asclepias speciosa/Asclepias sullivantii/Asclepias syriaca/Asclepias tuberosa/Asclepias verticillata | >= 1.5 %
cp42-2011 | flowering species | species | forb/legume/shrub | >= 9
cp42-2011 | early bloom | species | forb/legume/shrub early | >= 3
cp42-2011 | mid bloom | species | forb/legume/shrub mid | >= 3
cp42-2011 | late bloom | species | forb/legume/shrub late | >= 3
cp42-2011 | grass | share of seeds | grass | <= 25 %`
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

// ends writes a range once where its ends are equal.
func ends[Q ~float64](r units.Range[Q], in func(Q) float64, unit string) string {
	if r.Low == r.High {
		return fmt.Sprintf("%g %s", round6(in(r.Low)), unit)
	}
	return fmt.Sprintf("%g-%g %s", round6(in(r.Low)), round6(in(r.High)), unit)
}

// round6 drops what a conversion leaves behind the sixth decimal.
func round6(x float64) float64 { return float64(int64(x*1e6+0.5)) / 1e6 }

func TestEveryWindowIsAsPrinted(t *testing.T) {
	asPrinted(t, printedWindows, func(add func(...string)) {
		for _, s := range cover.PublishedStates() {
			for _, w := range s.Spec().Windows {
				days, place := w.From.String()+"-"+w.To.String(), w.Place
				if w.Dormant {
					days += " dormant"
				}
				if place == "" {
					place = "-"
				}
				add(w.Name, days, w.Source, place)
			}
		}
	})
}

func TestEveryMulchRuleIsAsPrinted(t *testing.T) {
	printed := map[string]string{}
	for _, c := range rows(printedMulch) {
		printed[c[0]] = c[3]
	}
	asPrinted(t, printedMulch, func(add func(...string)) {
		for _, s := range cover.PublishedStates() {
			for _, r := range s.Spec().Mulch {
				var list []string
				if x := r.Rate; x != nil {
					unit, name := units.PoundPerAcre, "lb/acre"
					if strings.Contains(printed[r.ID], " ton/acre") {
						unit, name = units.TonPerAcre, "ton/acre"
					}
					list = append(list, ends(*x, func(q units.MassPerArea) float64 { return q.In(unit) }, name))
				}
				if x := r.MinCover; x != nil {
					list = append(list, fmt.Sprintf("%g %% cover", 100**x))
				}
				if x := r.Thickness; x != nil {
					list = append(list, ends(*x, func(q units.Length) float64 { return q.In(units.Inch) }, "in thick"))
				}
				for _, a := range r.Anchoring {
					list = append(list, a.String())
				}
				if x := r.CrimpDepth; x != nil {
					list = append(list, fmt.Sprintf("crimp %g in", round6(x.In(units.Inch))))
				}
				if x := r.MinSlope; x != nil {
					list = append(list, fmt.Sprintf("%g:1", *x))
				}
				add(r.ID, r.Jurisdiction, r.Material, strings.Join(list, ", "))
			}
		}
	})
}

// selected writes a selector.
func selected(s cover.SpeciesSelector) string {
	var list []string
	var forms []string
	for _, f := range s.Forms {
		forms = append(forms, f.String())
	}
	if len(forms) > 0 {
		list = append(list, strings.Join(forms, "/"))
	}
	if s.Season != 0 {
		list = append(list, s.Season.String())
	}
	if s.Nativity != 0 {
		list = append(list, s.Nativity.String())
	}
	if s.Bloom != 0 {
		list = append(list, s.Bloom.String())
	}
	if s.MaxHeight != 0 {
		list = append(list, fmt.Sprintf("%g ft", round6(s.MaxHeight.In(units.Foot))))
	}
	if len(s.Species) > 0 {
		list = append(list, strings.Join(s.Species, "/"))
	}
	if len(list) == 0 {
		return "all"
	}
	return strings.Join(list, " ")
}

func TestEveryMixRuleIsAsPrinted(t *testing.T) {
	asPrinted(t, printedRules, func(add func(...string)) {
		for _, s := range cover.PublishedStates() {
			for _, set := range s.Spec().Rules {
				for _, r := range set.Rules {
					of := selected(r.Of)
					if r.In != nil {
						of += " in " + selected(*r.In)
					}
					if r.Each != 0 {
						of += fmt.Sprintf(" each %d", r.Each)
					}
					var bounds []string
					if r.Min != "" {
						bounds = append(bounds, ">= "+r.Min)
					}
					if r.Max != "" {
						bounds = append(bounds, "<= "+r.Max)
					}
					if len(r.Allowed) > 0 {
						bounds = append(bounds, strings.Join(r.Allowed, "/"))
					}
					add(set.ID, r.Name, r.Measure.String(), of, strings.Join(bounds, " "))
				}
			}
		}
	})
}

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
