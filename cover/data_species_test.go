package cover_test

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// The species table once more, typed from the lists of the sources: numbers of seeds
// per pound as printed, with the rounding of those that were derived, or the weight of a
// thousand seeds (g) or of one (mg) where the source has that; flowering and height with
// their source.
const printedSpecies = `big bluestem | Andropogon gerardii | grass warm native | - | 6.0 P | 160,010+-145 S; 164,000-165,000 B; 144,240 P
sand bluestem | Andropogon hallii | grass warm native | - | 6.1 P | 113,000-113,500 B; 96,640 P
little bluestem | Schizachyrium scoparium | grass warm native | - | 3.0 P | 239,959+-95 S; 260,000-261,000 B; 240,670 P
indiangrass | Sorghastrum nutans | grass warm native | - | 6.0 P | 192,100+-218 S; 174,720 P
switchgrass | Panicum virgatum | grass warm native | - | 5.0 P | 259,000 P
side-oats grama | Bouteloua curtipendula | grass warm native | - | 3.0 P | 96,143+-156 S; 159,200 P
blue grama | Bouteloua gracilis | grass warm native | - | 1.0 P | 640,332+-436 S; 724,400 P
buffalograss | Bouteloua dactyloides | grass warm native | - | 0.5 P | 55,500-56,000 B; 38,000 H; 335,360 P
prairie junegrass | Koeleria macrantha | grass cool native | - | 1.5 P | 3,200,208+-1,452 S; 2,315,000 P
Canada wildrye | Elymus canadensis | grass cool native | - | 3.0 P | 83,200+-218 S; 114,000 P
Kalm's brome | Bromus kalmii | grass cool native | - | 3.0 P | 127,776+-242 S; 145,000 P
prairie dropseed | Sporobolus heterolepis | grass warm native | - | 2.3 P | 256,133+-871 S; 1,200,000 P
sand dropseed | Sporobolus cryptandrus | grass warm native | - | 3.0 P | 3,201,660+-2,722 S; 5,600,080 P
alkali sacaton | Sporobolus airoides | grass warm native | - | 3.0 PV | 1,755,000-1,762,000 B; 1,742,400-1,771,440 E; 1,750,000 PV
western wheatgrass | Pascopyrum smithii | grass cool native | - | 2.0 P | 110,000 D; 113,256 E; 113,840 P
slender wheatgrass | Elymus trachycaulus | grass cool native | - | 3.0 P | 159,000 D; 156,816 E; 110,207+-218 S; 135,000 P
thickspike wheatgrass | Elymus lanceolatus | grass cool native | - | 2.3 P | 154,000 D; 152,460 E; 153,000 P
streambank wheatgrass | Elymus lanceolatus ssp. psammophilus | grass cool native | - | - | 156,000 D; 156,816 E
beardless bluebunch wheatgrass | Pseudoroegneria spicata ssp. inermis | grass cool native | - | - | 117,000 D
bluebunch wheatgrass | Pseudoroegneria spicata | grass cool native | - | 3.0 PV | 139,392 E; 125,680 PV
mountain brome | Bromus marginatus | grass cool native | - | 4.0 P | 90,000 D; 70,000-80,000 B; 64,080 P
basin wildrye | Leymus cinereus | grass cool native | - | 5.0 P | 130,000 D; 144,000 P
big bluegrass | Poa ampla | grass cool native | - | - | 882,000 D; 880,000-920,000 B
Sandberg bluegrass | Poa secunda | grass cool native | - | 1.4 P | 914,760 E; 925,000-927,000 B; 1,046,960 P
Rocky Mountain fescue | Festuca saximontana | grass cool native | - | - | 680,000 D
Indian ricegrass | Achnatherum hymenoides | grass cool native | - | 2.0 P | 139,392 E; 161,920 P
needle-and-thread | Hesperostipa comata | grass cool native | - | - | 113,256-116,160 E
bottlebrush squirreltail | Elymus elymoides | grass cool native | - | 1.5 P | 191,664 E; 192,000 P
inland saltgrass | Distichlis spicata | grass warm native | - | 1.1 P | 522,720 E; 519,000 P
orchardgrass | Dactylis glomerata | grass cool introduced | - | 3.0 P | 654,000 W; 427,200 P
smooth brome | Bromus inermis | grass cool introduced | - | 2.5 P | 136,000 W; 125,000-140,000 B; 142,880 P
meadow brome | Bromus biebersteinii | grass cool introduced | - | - | 70,000-72,000 B
timothy | Phleum pratense | grass cool introduced | - | 3.0 P | 1,230,000 W; 1,163,200 P
tall fescue | Schedonorus arundinaceus | grass cool introduced | - | 3.0 P | 230,000 W; 205,720 P
Kentucky bluegrass | Poa pratensis | grass cool introduced | - | 1.5 P | 2,200,000 W; 1,800,000-2,200,000 B; 1,389,840 P
Canada bluegrass | Poa compressa | grass cool introduced | - | 2.0 PV | 2,300,000-2,500,000 B; 2,392,820 PV
redtop | Agrostis gigantea | grass cool introduced | - | 2.0 P | 5,100,000 W; 4,900,000-5,100,000 B; 4,851,200 P
reed canarygrass | Phalaris arundinacea | grass cool | - | 5.0 P | 533,000 W; 500,000-540,000 B; 537,920 P
perennial ryegrass | Lolium perenne | grass cool introduced | - | 3.5 P | 227,000 W; 240,400 P
annual ryegrass | Lolium multiflorum | grass cool introduced | - | 2.5 P | 227,000 W; 217,000 P
bermudagrass | Cynodon dactylon | grass warm introduced | - | 1.4 P | 1,800,000 W; 1,785,000-1,790,000 B; 2,071,120 P
bahiagrass | Paspalum notatum | grass warm introduced | - | 2.0 P | 153,000-166,000 B; 272,640 P
Russian wildrye | Psathyrostachys juncea | grass cool introduced | - | 3.0 PV | 174,240 E; 162,600 PV
alfalfa | Medicago sativa | legume introduced | early P | 2.0 P | 200,000 W; 200,000 K; 226,800 P
alsike clover | Trifolium hybridum | legume introduced | early PV | 2.0 PV | 680,000 W; 680,400 PV
red clover | Trifolium pratense | legume introduced | early PV | 2.0 PV | 275,000 W; 272,160 PV
white clover | Trifolium repens | legume introduced | early PV | 2.0 PV | 700,000 W; 776,000 PV
birdsfoot trefoil | Lotus corniculatus | legume introduced | early P | 2.4 P | 375,000 W; 369,840 P
Korean lespedeza | Kummerowia stipulacea | legume introduced | early P | 1.5 P | 240,000 W; 238,160 P
sericea lespedeza | Lespedeza cuneata | legume introduced | - | - | 335,000 W
cicer milkvetch | Astragalus cicer | legume introduced | - | 3.0 P | 145,000 D; 143,748 E; 122,560 P
Canada milkvetch | Astragalus canadensis | legume native | mid,late S | - | 228,690+-2,722 S; 270,500 P
purple prairie clover | Dalea purpurea | legume native | mid,late S | 3.0 P | 217,800+-1,815 S; 293,000 T; 317,000 P
white prairie clover | Dalea candida | legume native | mid,late S | 2.0 P | 261,360+-3,111 S; 278,000 P
leadplant | Amorpha canescens | shrub native | mid,late S | 4.0 P | 257,004+-2,178 S; 195,333 P
blue giant hyssop | Agastache foeniculum | forb native | mid,late S | - | 1,437,480+-4,356 S
whorled milkweed | Asclepias verticillata | forb native | mid,late S | - | 174,240+-4,356 S
prairie onion | Allium stellatum | forb native | mid S | - | 174,240+-7,260 S
western yarrow | Achillea millefolium | forb native | early botany | 3.0 P | 2,770,000 D; 2,852,012 P
Maximilian sunflower | Helianthus maximiliani | forb native | late PV | 5.0 PV | 226,512 E; 196,360 PV
Indian blanket | Gaillardia pulchella | forb native | early,mid T | 2.0 P | 153,000 T; 238,144 P
clasping coneflower | Rudbeckia amplexicaulis | forb native | early,mid T | 2.0 P | 800,000 T; 1,600,000 P
lemon mint | Monarda citriodora | forb native | early,mid,late T | - | 819,000 T
plains coreopsis | Coreopsis tinctoria | forb native | early,mid T | 3.0 P | 1,400,000 T; 3,222,222 P
Mexican hat | Ratibida columnifera | forb native | early,mid,late T | 3.1 P | 1,230,200 T; 737,104 P
Palmer penstemon | Penstemon palmeri | forb native | early PV | 3.5 PV | 609,840 E; 586,088 PV
scarlet globemallow | Sphaeralcea coccinea | forb native | early PV | 1.5 PV | 493,680 E; 500,000 PV
oats | Avena sativa | grass cool introduced | - | 2.0 P | 19,400 P
winter wheat | Triticum aestivum | grass cool introduced | - | 3.3 PV | 11,360 PV
cereal rye | Secale cereale | grass cool introduced | - | 3.5 PV | 18,160 PV
barley | Hordeum vulgare | grass cool introduced | - | 2.5 P | 13,600 P
sudangrass | Sorghum bicolor ssp. drummondii | grass warm introduced | - | 2.5 PV | 44,240 PV
foxtail millet | Setaria italica | grass warm introduced | - | 5.0 PV | 216,600 PV
proso millet | Panicum miliaceum | grass warm introduced | - | 3.0 P | 84,800 P
pearl millet | Pennisetum glaucum | grass warm introduced | - | 6.0 P | 82,320 P
browntop millet | Urochloa ramosa | grass warm introduced | - | 3.0 PV | 75,000 PV
billion-dollar grass | Echinochloa frumentacea | grass warm introduced | - | 3.9 P | 142,880 P
buckwheat | Fagopyrum esculentum | forb introduced | mid P | 2.0 P | 20,000 P
common milkweed | Asclepias syriaca | forb native | mid botany | - | 6.2 g SID; 5.5249 mg TR
swamp milkweed | Asclepias incarnata | forb native | - | 4.9 P | 153,761 P
butterfly milkweed | Asclepias tuberosa | forb native | mid P | 2.0 P | 70,000 P
showy milkweed | Asclepias speciosa | forb native | - | 6.0 P | 72,000 P
prairie milkweed | Asclepias sullivantii | forb native | - | - | 4.706 g SID
wild bergamot | Monarda fistulosa | forb native | mid P | 4.9 P | 1,272,500 P
purple coneflower | Echinacea purpurea | forb native | - | 1.2 P | 115,664 P
pale purple coneflower | Echinacea pallida | forb native | - | 1.2 P | 106,000 P
gray-headed coneflower | Ratibida pinnata | forb native | - | 4.0 P | 427,500 P
black-eyed Susan | Rudbeckia hirta | forb native | mid P | 1.0 P | 1,575,760 P
cutleaf coneflower | Rudbeckia laciniata | forb native | late P | 8.2 P | 252,222 P
New England aster | Symphyotrichum novae-angliae | forb native | late MT-108 | - | 0.5407 mg TR
smooth blue aster | Symphyotrichum laeve | forb native | - | 4.0 PV | 1,014,000 PV
stiff goldenrod | Oligoneuron rigidum | forb native | late P | 3.6 P | 1,009,000 P
showy goldenrod | Solidago speciosa | forb native | - | - | 0.2449 mg TR
gray goldenrod | Solidago nemoralis | forb native | - | 2.0 P | 1,008,000 P
Canada goldenrod | Solidago canadensis | forb native | late PV | 3.5 PV | 4,600,000 PV
smooth oxeye | Heliopsis helianthoides | forb native | mid PV | 4.0 PV | 116,410 PV
sawtooth sunflower | Helianthus grosseserratus | forb native | late P | 5.0 P | 630,000 P
lanceleaf coreopsis | Coreopsis lanceolata | forb native | - | 2.0 P | 221,000 P
blanketflower | Gaillardia aristata | forb native | - | 2.0 P | 186,436 P
prairie blazing star | Liatris pycnostachya | forb native | mid P | 3.5 P | 120,000 P
dotted blazing star | Liatris punctata | forb native | - | 2.0 P | 63,000 P
dense blazing star | Liatris spicata | forb native | - | 4.5 P | 100,000 P
foxglove beardtongue | Penstemon digitalis | forb native | early P | 4.0 P | 400,000 P
sneezeweed | Helenium autumnale | forb native | late P | 4.9 P | 1,464,516 P
bearded beggarticks | Bidens aristosa | forb native | late P | 3.5 P | 130,000 P
Lewis flax | Linum lewisii | forb native | - | 2.5 P | 294,848 P
Rocky Mountain beeplant | Cleome serrulata | forb native | - | 3.0 P | 64,000 P
common evening primrose | Oenothera biennis | forb native | - | 5.0 P | 1,376,000 P
pitcher sage | Salvia azurea | forb native | - | 3.0 PV | 300,000 PV
blue vervain | Verbena hastata | forb native | - | - | 0.225 mg TR
golden alexanders | Zizia aurea | forb native | - | - | 2.2215 mg TR
common boneset | Eupatorium perfoliatum | forb native | - | - | 0.0921 mg TR
Culver's root | Veronicastrum virginicum | forb native | - | - | 0.0529 mg TR
partridge pea | Chamaecrista fasciculata | legume native | - | 2.4 P | 65,000 P
Illinois bundleflower | Desmanthus illinoensis | legume native | - | 3.0 P | 85,000 P
roundhead lespedeza | Lespedeza capitata | legume native | late P | 2.6 P | 174,000 P
wild lupine | Lupinus perennis | legume native | - | - | 22.0805 mg TR
crimson clover | Trifolium incarnatum | legume introduced | early PV | 2.0 PV | 149,760 PV
hairy vetch | Vicia villosa | legume introduced | - | 1.5 PV | 16,320 PV
sweetclover | Melilotus officinalis | legume introduced | - | 5.0 P | 258,560 P
Japanese lespedeza | Kummerowia striata | legume introduced | - | 1.3 P | 340,240 P
crownvetch | Securigera varia | legume introduced | - | 3.0 P | 138,160 P
sainfoin | Onobrychis viciifolia | legume introduced | - | 2.5 P | 30,240 P
fox sedge | Carex vulpinoidea | sedge cool native | - | 3.2 P | 1,297,000 P
bluejoint | Calamagrostis canadensis | grass cool native | - | 4.9 P | 3,837,472 P
sand lovegrass | Eragrostis trichodes | grass warm native | - | 3.5 P | 1,625,680 P
prairie sandreed | Calamovilfa longifolia | grass warm native | - | 4.5 P | 274,000 P
Virginia wildrye | Elymus virginicus | grass cool native | - | 2.5 P | 100,000 P
eastern gamagrass | Tripsacum dactyloides | grass warm native | - | 5.0 P | 7,200 P
weeping lovegrass | Eragrostis curvula | grass warm introduced | - | 3.0 P | 1,482,320 P
centipedegrass | Eremochloa ophiuroides | grass warm introduced | - | 0.4 P | 568,480 P
prairie cordgrass | Spartina pectinata | grass warm native | - | 8.0 P | 638,863 P
composite dropseed | Sporobolus compositus | grass warm native | - | 3.0 PV | 759,362 PV
purpletop | Tridens flavus | grass warm native | - | 2.5 P | 465,000 P
deertongue | Dichanthelium clandestinum | grass native | - | 2.0 P | 350,000 P
green needlegrass | Nassella viridula | grass cool native | - | 2.0 P | 167,840 P
fringed brome | Bromus ciliatus | grass cool native | - | 4.0 P | 236,000 P
American sloughgrass | Beckmannia syzigachne | grass cool native | - | 3.0 PV | 238,000 PV
red fescue | Festuca rubra | grass cool | - | 2.0 P | 454,087 P
hard fescue | Festuca trachyphylla | grass cool introduced | - | 0.5 P | 591,920 P
sheep fescue | Festuca ovina | grass cool introduced | - | 0.5 P | 530,320 P
creeping foxtail | Alopecurus arundinaceus | grass cool introduced | - | 3.0 P | 786,064 P
intermediate wheatgrass | Thinopyrum intermedium | grass cool introduced | - | 4.5 PV | 80,080 PV
tall wheatgrass | Thinopyrum ponticum | grass cool introduced | - | 5.0 PV | 75,320 PV
crested wheatgrass | Agropyron cristatum | grass cool introduced | - | 3.0 PV | 311,200 PV
bitter panicgrass | Panicum amarum | grass warm native | - | 5.0 P | 325,000 P
dallisgrass | Paspalum dilatatum | grass warm introduced | - | 3.0 P | 281,200 P
Caucasian bluestem | Bothriochloa bladhii | grass warm introduced | - | 3.0 P | 860,000 P`

// Rates of species sown alone, lb/acre.
const printedStands = `big bluestem | 2 | 40 in rows, PLS | G
big bluestem | 6 | drilled or broadcast, PLS | G
little bluestem | 1.2 | 40 in rows, PLS | G
little bluestem | 3.4 | drilled or broadcast, PLS | G
indiangrass | 1.5 | 40 in rows, PLS | G
indiangrass | 4.5 | drilled or broadcast, PLS | G
switchgrass | 1.2 | 40 in rows, PLS | G
switchgrass | 3.5 | drilled or broadcast, PLS | G
side-oats grama | 1.5 | 40 in rows, PLS | G
side-oats grama | 4.5 | drilled or broadcast, PLS | G
buffalograss | 5 | 40 in rows, PLS | G
buffalograss | 16 | drilled or broadcast, PLS | G
alkali sacaton | 0.4 | 40 in rows, PLS | G
alkali sacaton | 1 | drilled or broadcast, PLS | G
western wheatgrass | 2.4 | 40 in rows, PLS | G
western wheatgrass | 7 | drilled or broadcast, PLS | G
orchardgrass | 8-12 | sown alone | W
smooth brome | 8-14 | sown alone | W
timothy | 8-10 | sown alone | W
tall fescue | 12-14 | sown alone | W
Kentucky bluegrass | 4-6 | sown alone | W
alfalfa | 15-20 | sown alone | W
red clover | 8-10 | sown alone | W
white clover | 3-5 | sown alone | W
barley | 100 | drilled, NC forage | NCF
barley | 140 | broadcast, NC forage | NCF
crimson clover | 15-20 | drilled, NC forage | NCF
crimson clover | 20-25 | broadcast, NC forage | NCF
Caucasian bluestem | 2 | drilled, PLS, NC forage | NCF
Caucasian bluestem | 4 | broadcast, PLS, NC forage | NCF`

// rows cuts a printed table into its lines and cells.
func rows(text string) (list [][]string) {
	for line := range strings.Lines(text) {
		list = append(list, strings.Split(strings.TrimSuffix(line, "\n"), " | "))
	}
	return list
}

// printed reads a number with commas in the thousands.
func printed(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
	require.NoError(t, err, s)
	return x
}

// span reads "5", "5-7" or "6+-1".
func span(t *testing.T, s string) (low, high float64) {
	t.Helper()
	if mid, half, ok := strings.Cut(s, "+-"); ok {
		return printed(t, mid) - printed(t, half), printed(t, mid) + printed(t, half)
	}
	if low, high, ok := strings.Cut(s, "-"); ok {
		return printed(t, low), printed(t, high)
	}
	return printed(t, s), printed(t, s)
}

// seedsPerPound reads a printed count and its source.
func seedsPerPound(t *testing.T, s string) (low, high float64, source string) {
	t.Helper()
	word := strings.Fields(s)
	source = word[len(word)-1]
	if len(word) == 2 {
		low, high = span(t, word[0])
		return low, high, source
	}
	x := printed(t, word[0])
	if word[1] == "mg" { // to five figures
		return 453_592.37 / x, 453_592.37 / x, source
	}
	_, decimals, _ := strings.Cut(word[0], ".") // g per thousand, half a unit of the last digit
	half := 0.5
	for range decimals {
		half /= 10
	}
	return 453_592.37 / (x + half), 453_592.37 / (x - half), source
}

func TestEverySpeciesIsAsPrinted(t *testing.T) {
	var want, got []string
	counts := map[string]string{}
	for _, c := range rows(printedSpecies) {
		want = append(want, strings.Join(c[:5], " | "))
		counts[c[0]] = c[5]
	}
	for _, s := range cover.PublishedSpecies() {
		class := []string{s.Form.String()}
		if s.Season != 0 {
			class = append(class, s.Season.String())
		}
		if s.Nativity != 0 {
			class = append(class, s.Nativity.String())
		}
		bloom, height := "-", "-"
		if len(s.Bloom) > 0 {
			var list []string
			for _, b := range s.Bloom {
				list = append(list, b.String())
			}
			bloom = strings.Join(list, ",") + " " + s.BloomSource
		}
		if s.Height > 0 {
			height = fmt.Sprintf("%.1f %s", s.Height.In(units.Foot), s.HeightSource)
		}
		got = append(got, strings.Join([]string{s.Common, s.Botanical, strings.Join(class, " "), bloom, height}, " | "))
		list := strings.Split(counts[s.Common], "; ")
		require.Len(t, s.Counts, len(list), s.Common)
		for i, text := range list {
			low, high, source := seedsPerPound(t, text)
			c := s.Counts[i]
			require.Equal(t, source, c.Source, s.Common)
			require.InDelta(t, low, c.Low.In(units.SeedPerPound), 0.6, "%s, %s", s.Common, text)
			require.InDelta(t, high, c.High.In(units.SeedPerPound), 0.6, "%s, %s", s.Common, text)
			require.Equal(t, slices.Contains([]string{"E", "S", "SID", "TR"}, source), c.Derived, "%s, %s", s.Common, text)
		}
	}
	require.Equal(t, want, got)
}

func TestEveryStandRateIsAsPrinted(t *testing.T) {
	list := rows(printedStands)
	for _, s := range cover.PublishedSpecies() {
		for _, r := range s.Rates {
			require.NotEmpty(t, list)
			c := list[0]
			list = list[1:]
			low, high := span(t, c[1])
			require.Equal(t, []string{s.Common, r.How, r.Source}, []string{c[0], c[2], c[3]})
			require.InDelta(t, low, r.Low.In(units.PoundPerAcre), 1e-9, s.Common)
			require.InDelta(t, high, r.High.In(units.PoundPerAcre), 1e-9, s.Common)
		}
	}
	require.Empty(t, list)
}
