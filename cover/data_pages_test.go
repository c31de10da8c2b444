package cover_test

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// The planting windows as the sheets have them: the source and its columns, then its rows. A
// month alone is all of it, NR is not recommended, and * marks sowing that waits for spring.
const windowPages = `
= CO-518541, page 3:
dryland: Nov.-Apr. *
= IA-34, table 1:
introduced cool-season grass and legumes, spring: Mar. 1-May 15
warm-season grass and prairie mixtures: Apr. 1-July 1
= IA-CM7:
roadside permanent seeding, spring: Mar. 1-May 31
roadside permanent seeding, late summer: Aug. 10-Sept. 30
roadside native grass and wildflowers, spring: Apr. 1-May 31
wetland species: Apr. 1-June 30
= MN-BWSR:
native mixes: May 15-June 30
= MO-grower: natives, spring; natives, dormant
northern: Mar. 16-May 31; Nov. 16-Mar. 15 *
southern: Mar. 1-May 15; Dec.-Feb. *
= NC-Washington, page 45.05:
tall fescue alone or with white clover: Sept.-Nov.
bermudagrass, hulled seed: Apr.-July
bermudagrass, unhulled seed: Jan.-Mar. *
bahiagrass: Mar. 15-June 15
= NC-6.11-1998, table 6.11k, seeding 1P: piedmont
tall fescue mixes, fall, best: Aug. 25-Sept. 15
tall fescue mixes, late winter, best: Feb. 15-Mar. 21
= NC-6.11-2008: mountains; piedmont; coastal plain
big bluestem: Dec. 1-Apr. 15 *; Dec. 1-Apr. 1 *; Dec. 1-May 1 *
little bluestem: Dec. 1-Apr. 15 *; NR; NR
indiangrass: NR; Dec. 1-May 1 *; Jan. 1-May 1 *
= NCF-guide: mountains
big bluestem for forage, best: May 25-June 15
= Wake:
tall fescue on roadsides, Wake County: Aug. 15-Nov. 1
= nursery:
warm-season natives: May-June
`

// day reads "Mar. 16", or a month alone as its first or last day.
func day(t *testing.T, s string, last bool) string {
	t.Helper()
	word, number, _ := strings.Cut(strings.TrimSpace(s), " ")
	for m := time.January; m <= time.December; m++ {
		if !strings.HasPrefix(m.String(), strings.TrimSuffix(word, ".")[:3]) {
			continue
		}
		switch {
		case number != "":
		case last:
			number = fmt.Sprint(time.Date(2024, m+1, 0, 0, 0, 0, 0, time.UTC).Day())
		default:
			number = "1"
		}
		return number + " " + m.String()
	}
	t.Fatalf("no month: %q", s)
	return ""
}

// parts are the parts of a name in the order of the alphabet.
func parts(list ...string) string {
	all := strings.Split(strings.Join(list, ", "), ", ")
	all = slices.DeleteFunc(all, func(s string) bool { return s == "" })
	slices.Sort(all)
	return strings.Join(all, ", ")
}

func TestEveryWindowIsAsPrinted(t *testing.T) {
	want := map[string]bool{}
	source := ""
	var columns []string
	for _, line := range strings.Split(strings.TrimSpace(windowPages), "\n") {
		name, text, ok := strings.Cut(line, ":")
		require.True(t, ok, line)
		cells := strings.Split(strings.TrimSpace(text), "; ")
		if head, ok := strings.CutPrefix(name, "= "); ok {
			source, columns = head, cells
			continue
		}
		for i, cell := range cells {
			if cell == "NR" {
				continue
			}
			cell, dormant := strings.CutSuffix(cell, " *")
			from, to, ok := strings.Cut(cell, "-")
			require.True(t, ok, line)
			want[fmt.Sprint(source, " | ", parts(name, columns[i]), " | ", day(t, from, false), " to ", day(t, to, true), " ", dormant)] = true
		}
	}
	got := map[string]bool{}
	for _, s := range cover.PublishedStates() {
		for _, w := range s.Spec().Windows {
			name := strings.TrimPrefix(w.Name, s.Spec().Jurisdiction+", ")
			source := w.Source
			if w.Place != "" {
				source += ", " + w.Place
			}
			got[fmt.Sprint(source, " | ", parts(name), " | ", w.From, " to ", w.To, " ", w.Dormant)] = true
		}
	}
	require.Equal(t, slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(got)))
}

// What the sheets say of mulch, by rule, in their own measures.
const mulchPages = `
colorado-1982: hay or straw, 4,000 lb per acre, air dry
colorado-crimped: 5,000 lb per acre if crimped
colorado-dryland: straw, 4,000 lb, crimped
colorado-drought-straw: hay or straw 1.0-2.0 tons
colorado-drought-fibre: wood fibre 1,000-2,000 lb
colorado-leaflet: straw 1-2 in thick
denver-straw: 2 tons, crimped 3 in
indiana-straw: straw 2 tons
indiana-fibre: or wood fibre 1 ton
north-carolina: straw 1-2 tons on slopes below 2:1, at least 85 % cover
wake-straw: 2 tons of small grain straw, tackified with asphalt emulsion
pennsylvania-crimped: 3 tons; crimped 3 in, on slopes no steeper than 3H:1V
pennsylvania-tackified: 3 tons; tackified
pennsylvania-compost: compost 1/2-3/4 in thick, on slopes no steeper than 2:1
484-moisture: at least 60 % cover
484-temperature: 100 % cover
washington-straw: straw 2-3 in thick, 2-3 tons
washington-hydromulch: 1,500-2,000 lb
wisconsin-seeded: 1.5-2 tons, 70 % cover, 0.5-1.5 in thick
wisconsin-crimped: 1.5-2 tons, 70 % cover, crimped 1 in
wisconsin-unseeded: 2-3 tons, 80 % cover, 1.5-3 in thick
wisconsin-chips: 6-9 tons, 80 % cover, 0.5-1.5 in thick
`

var mulchFigures = map[string]*regexp.Regexp{
	"rate":  regexp.MustCompile(`([0-9,.]+)(?:-([0-9,.]+))? (ton|lb)`),
	"thick": regexp.MustCompile(`([0-9./]+)(?:-([0-9./]+))? in thick`),
	"cover": regexp.MustCompile(`([0-9]+)() % cover`),
	"slope": regexp.MustCompile(`(?:below|than) ([0-9])()H?:1`),
	"crimp": regexp.MustCompile(`crimped ([0-9]+)() in`),
}

// figure reads a number with commas, or a fraction.
func figure(t *testing.T, s string) float64 {
	t.Helper()
	if top, bottom, ok := strings.Cut(s, "/"); ok {
		return printed(t, top) / printed(t, bottom)
	}
	return printed(t, s)
}

func TestEveryMulchRuleIsAsPrinted(t *testing.T) {
	pages := map[string]string{}
	for _, line := range strings.Split(strings.TrimSpace(mulchPages), "\n") {
		id, text, _ := strings.Cut(line, ": ")
		pages[id] = text
	}
	for _, s := range cover.PublishedStates() {
		for _, r := range s.Spec().Mulch {
			text, ok := pages[r.ID]
			require.True(t, ok, r.ID)
			delete(pages, r.ID)
			want := map[string][2]float64{}
			for what, re := range mulchFigures {
				m := re.FindStringSubmatch(text)
				if m == nil {
					continue
				}
				low := figure(t, m[1])
				high := low
				if m[2] != "" {
					high = figure(t, m[2])
				}
				if what == "rate" && m[3] == "ton" {
					low, high = 2000*low, 2000*high
				}
				want[what] = [2]float64{low, high}
			}
			got := map[string][2]float64{}
			if x := r.Rate; x != nil {
				got["rate"] = [2]float64{round6(x.Low.In(units.PoundPerAcre)), round6(x.High.In(units.PoundPerAcre))}
			}
			if x := r.Thickness; x != nil {
				got["thick"] = [2]float64{round6(x.Low.In(units.Inch)), round6(x.High.In(units.Inch))}
			}
			if x := r.MinCover; x != nil {
				got["cover"] = [2]float64{round6(100 * *x), round6(100 * *x)}
			}
			if x := r.MinSlope; x != nil {
				got["slope"] = [2]float64{*x, *x}
			}
			if x := r.CrimpDepth; x != nil {
				got["crimp"] = [2]float64{round6(x.In(units.Inch)), round6(x.In(units.Inch))}
			}
			require.Equal(t, want, got, r.ID)
			var anchoring []string
			for _, word := range []string{"crimped", "tackified"} {
				if strings.Contains(text, word) {
					anchoring = append(anchoring, word)
				}
			}
			var is []string
			for _, a := range r.Anchoring {
				is = append(is, a.String())
			}
			require.Equal(t, anchoring, is, r.ID)
		}
	}
	require.Empty(t, pages)
}

// What the sheets ask of mixes: by rule, of what, how much, species by the names that the
// sheets use.
const mixPages = `
indiana-pollinator-2012
flowering species: number of flowering species: at least 9
early bloom: number of flowering species in early bloom: at least 3
mid bloom: number of flowering species in mid bloom: at least 3
late bloom: number of flowering species in late bloom: at least 3
native flowering species: number of native flowering species: at least 7
each introduced legume: live seeds of each introduced legume: at most 10 %
introduced legumes together: live seeds of introduced legume: at most 20 %
forbs and legumes: rate of flowering species: at least 16 oz/acre
cap of alfalfa and true clovers: rate of each alfalfa, alsike clover, white clover, red clover: at most 2 oz/acre
least rate of a flowering species: rate of each flowering species: at least 1 oz/acre
iowa-pollinator-2016, 10 grass and 30 forb seeds
live seeds: seeds per area of all: at least 40 seeds/ft2
grass: live seeds of grass: at most 25 %
forbs: live seeds of flowering species: at least 75 %
missouri-monarch-2017
native flowering species: number of native forbs and legumes: at least 20
spring bloom: number of forbs and legumes in early bloom: at least 3
summer bloom: number of forbs and legumes in mid bloom: at least 3
fall bloom: number of forbs and legumes in late bloom: at least 3
milkweed: live seeds of swamp milkweed, common milkweed, butterfly milkweed: at least 3 %
common milkweed of the milkweed: live seeds of common milkweed within swamp milkweed, common milkweed, butterfly milkweed: at least 66.6 %
new-mexico-pollinator-2011
flowering species: number of flowering species: at least 4
periods in which two begin to flower: bloom periods of 2 flowering species: at least 2
area: area: at least 0.5 acre
width of strips: width: at least 20 ft
ohio-native-grass-2010
grass species: number of grass: at least 3
live grass seeds: seeds per area of grass: at least 18 seeds/ft2, at most 22 seeds/ft2
short grasses: live seeds of grass up to 4 ft within grass: at least 60 %
forb or legume species: number of flowering species: at least 5
live forb and legume seeds: seeds per area of flowering species: at least 12 seeds/ft2, at most 16 seeds/ft2
introduced legumes: only introduced legume: alfalfa, alsike clover, Korean clover
monarch-e327136z2-2017
area: area: at least 0.5 acre
milkweed species: number of swamp milkweed, showy milkweed, prairie milkweed, common milkweed, butterfly milkweed, whorled milkweed: at least 1
milkweed: live seeds of swamp milkweed, showy milkweed, prairie milkweed, common milkweed, butterfly milkweed, whorled milkweed: at least 1.5 %
cp42-2011
flowering species: number of flowering species: at least 9
early bloom: number of flowering species in early bloom: at least 3
mid bloom: number of flowering species in mid bloom: at least 3
late bloom: number of flowering species in late bloom: at least 3
grass: live seeds of grass: at most 25 %
`

// botanical puts in place of the common names of species their botanical ones, in the
// order of the alphabet.
func botanical(t *testing.T, list string) string {
	t.Helper()
	all := strings.Split(list, ", ")
	for i, name := range all {
		found := false
		for _, s := range species() {
			if s.Is(name) {
				all[i], found = s.Botanical, true
			}
		}
		if !found {
			return list
		}
	}
	slices.Sort(all)
	return strings.Join(all, ", ")
}

func species() (list []cover.Species) {
	for _, s := range cover.PublishedStates() {
		list = append(list, s.Spec().Species...)
	}
	return list
}

// told writes what a rule is about in the words of the pages.
func told(s cover.SpeciesSelector) string {
	if len(s.Species) > 0 {
		return strings.Join(slices.Sorted(slices.Values(s.Species)), ", ")
	}
	var forms []string
	for _, f := range s.Forms {
		forms = append(forms, f.String())
	}
	text := map[string]string{"": "all", "forb legume shrub": "flowering species", "forb legume": "forbs and legumes"}[strings.Join(forms, " ")]
	if text == "" {
		text = strings.Join(forms, " ")
	}
	if s.Nativity != 0 {
		text = s.Nativity.String() + " " + text
	}
	if s.Season != 0 {
		text = s.Season.String() + " " + text
	}
	if s.Bloom != 0 {
		text += " in " + s.Bloom.String() + " bloom"
	}
	if s.MaxHeight != 0 {
		text += fmt.Sprintf(" up to %g ft", round6(s.MaxHeight.In(units.Foot)))
	}
	return text
}

func TestEveryMixRuleIsAsPrinted(t *testing.T) {
	measures := map[string]string{"species": "number of ", "share of seeds": "live seeds of ", "each share of seeds": "live seeds of each ", "rate": "rate of ",
		"each rate": "rate of each ", "seeds": "seeds per area of ", "bloom periods": "bloom periods of ", "area": "area", "width": "width", "only": "only "}
	var want, got []string
	set := ""
	names := regexp.MustCompile(`^(.*(?:of each |of |within |only .*: ))(.*)$`)
	for _, line := range strings.Split(strings.TrimSpace(mixPages), "\n") {
		cells := strings.Split(line, ": ")
		if len(cells) == 1 {
			set, _, _ = strings.Cut(line, ",")
			continue
		}
		of := cells[1]
		if outer, inner, ok := strings.Cut(of, " within "); ok {
			m := names.FindStringSubmatch(outer)
			of = m[1] + botanical(t, m[2]) + " within " + botanical(t, inner)
		} else if m := names.FindStringSubmatch(of); m != nil {
			of = m[1] + botanical(t, m[2])
		}
		want = append(want, strings.Join([]string{set, cells[0], of, botanical(t, cells[2])}, ": "))
	}
	for _, s := range cover.PublishedStates() {
		for _, rules := range s.Spec().Rules {
			for _, r := range rules.Rules {
				measure, ok := measures[r.Measure.String()]
				require.True(t, ok, r.Measure)
				of := told(r.Of)
				if of == "all" && !strings.HasSuffix(measure, " ") {
					of = "" // the measure itself
				}
				if r.Each != 0 {
					of = fmt.Sprintf("%d %s", r.Each, of)
				}
				if r.In != nil {
					of += " within " + told(*r.In)
				}
				var bounds []string
				if r.Min != "" {
					bounds = append(bounds, "at least "+r.Min)
				}
				if r.Max != "" {
					bounds = append(bounds, "at most "+r.Max)
				}
				if len(r.Allowed) > 0 {
					bounds = slices.Sorted(slices.Values(r.Allowed))
				}
				got = append(got, strings.Join([]string{rules.ID, r.Name, measure + of, strings.Join(bounds, ", ")}, ": "))
			}
		}
	}
	require.Equal(t, slices.Sorted(slices.Values(want)), slices.Sorted(slices.Values(got)))
}
