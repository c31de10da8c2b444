package cover_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// The blend against all its corner points: at a least-cost blend as many needs are
// met exactly as there are grades in it.
func TestBlendIsLeast(t *testing.T) {
	r := random()
	for range 400 {
		need := [3]float64{100 * r.Float64(), 100 * r.Float64(), 100 * r.Float64()}
		if r.IntN(3) == 0 {
			need[r.IntN(3)] = 0
		}
		spec := cover.FertilizerSpec{Rule: cover.FertilizerBlendLeastCost, Area: units.Acre, Need: cover.Nutrients{
			N: units.MassPerArea(need[0]) * units.PoundPerAcre, P2O5: units.MassPerArea(need[1]) * units.PoundPerAcre, K2O: units.MassPerArea(need[2]) * units.PoundPerAcre}}
		n := 3 + r.IntN(4)
		for i := range n {
			g := cover.FertilizerGrade{Name: "g", N: share(r), P2O5: share(r), K2O: share(r), Price: units.PricePer(0.1+r.Float64(), units.Pound)}
			switch i {
			case 0:
				g.P2O5, g.K2O = 0, 0
			case 1:
				g.N, g.K2O = 0, 0
			case 2:
				g.N, g.P2O5 = 0, 0
			}
			spec.Grades = append(spec.Grades, g)
		}
		got, err := cover.Fertilizer(spec)
		require.NoError(t, err)
		require.Equal(t, cover.Nutrients{}, got.Short)
		require.InEpsilon(t, cheapestCorner(spec, need), got.Cost, 1e-7)
	}
}

func cheapestCorner(spec cover.FertilizerSpec, need [3]float64) float64 {
	best := math.Inf(1)
	n := len(spec.Grades)
	for set := 1; set < 1<<n; set++ {
		var use []int
		for i := range n {
			if set>>i&1 == 1 {
				use = append(use, i)
			}
		}
		if len(use) > 3 {
			continue
		}
		for tight := 1; tight < 8; tight++ {
			var rows []int
			for k := range 3 {
				if tight>>k&1 == 1 {
					rows = append(rows, k)
				}
			}
			if len(rows) != len(use) {
				continue
			}
			a, b := mat.NewDense(len(use), len(use), nil), mat.NewVecDense(len(use), nil)
			for i, k := range rows {
				for j, g := range use {
					a.Set(i, j, part(spec.Grades[g], k))
				}
				b.SetVec(i, need[k])
			}
			var x mat.VecDense
			if x.SolveVec(a, b) != nil {
				continue
			}
			cost, ok := 0.0, true
			var supplied [3]float64
			for j, g := range use {
				ok = ok && x.AtVec(j) >= 0
				cost += x.AtVec(j) * spec.Grades[g].Price.Of(units.Pound)
				for k := range 3 {
					supplied[k] += x.AtVec(j) * part(spec.Grades[g], k)
				}
			}
			for k := range 3 {
				ok = ok && supplied[k] >= need[k]*(1-1e-9)
			}
			if ok {
				best = min(best, cost)
			}
		}
	}
	return best
}

func part(g cover.FertilizerGrade, k int) float64 { return [3]float64{g.N, g.P2O5, g.K2O}[k] }

// share is one of a nutrient in a grade.
func share(r *rand.Rand) float64 { return 0.001 + 0.3*r.Float64() }

// Grades with alike shares make corners at which several grades are 0 at once; a
// solver that does not expect them goes round in circles. By hand: the 80 lb of P2O5
// come from the two grades that have it, at 2.50 a pound in both, and bring 80 lb of the
// others along.
func TestBlendOfAlikeGrades(t *testing.T) {
	lb := units.PoundPerAcre
	price := func(x float64) units.Price[units.Mass] { return units.PricePer(x, units.Pound) }
	spec := cover.FertilizerSpec{Rule: cover.FertilizerBlendLeastCost, Area: units.Acre, Need: cover.Nutrients{N: 70 * lb, P2O5: 80 * lb, K2O: 80 * lb},
		Grades: []cover.FertilizerGrade{{Name: "0-0-60", K2O: 0.60, Price: price(0.30)}, {Name: "10-10-10", N: 0.10, P2O5: 0.10, K2O: 0.10, Price: price(0.25)},
			{Name: "12-12-12", N: 0.12, P2O5: 0.12, K2O: 0.12, Price: price(0.30)}}}
	r, err := cover.Fertilizer(spec)
	require.NoError(t, err)
	require.InDelta(t, 200, r.Cost, 1e-6)
	require.Equal(t, cover.Nutrients{}, r.Short)

	// Many grades alike, with needs and caps alike.
	for i := range 150 {
		spec.Grades = append(spec.Grades, cover.FertilizerGrade{Name: "x", N: 0.05 * float64(i%3), P2O5: 0.05 * float64(i%4), K2O: 0.05 * float64(1+i%2), Price: price(0.1 * float64(1+i%5))})
	}
	most := 80 * lb
	spec.Most = cover.NutrientCaps{N: &most, P2O5: &most, K2O: &most}
	_, err = cover.Fertilizer(spec)
	require.NoError(t, err)

	spec.Grades[0].K2O = 1e-310
	_, err = cover.Fertilizer(spec)
	require.Equal(t, []string{"grades[0].k2o"}, fields(err))
}

// Neither the currency nor the unit in which a need is told changes a blend: prices and
// needs times any factor give the same rates, times that of the needs.
func TestBlendHasNoScale(t *testing.T) {
	r := random()
	for range 100 {
		spec := cover.FertilizerSpec{Rule: cover.FertilizerBlendLeastCost, Area: units.Acre, Need: cover.Nutrients{N: units.MassPerArea(10+90*r.Float64()) * lbAcre, P2O5: units.MassPerArea(100*r.Float64()) * lbAcre, K2O: units.MassPerArea(100*r.Float64()) * lbAcre}}
		for range 4 {
			spec.Grades = append(spec.Grades, cover.FertilizerGrade{Name: "g", N: share(r), P2O5: share(r), K2O: share(r), Price: units.PricePer(0.1+r.Float64(), units.Pound)})
		}
		want := evidence.Done(t, cover.Fertilizer, spec)
		for _, by := range []struct {
			price units.Price[units.Mass]
			need  units.MassPerArea
		}{{1e-11, 1}, {1e6, 1}, {1, 1e-3}, {1e-7, 1e3}} {
			other := spec
			other.Need = cover.Nutrients{N: spec.Need.N * by.need, P2O5: spec.Need.P2O5 * by.need, K2O: spec.Need.K2O * by.need}
			other.Grades = append([]cover.FertilizerGrade(nil), spec.Grades...)
			for i := range other.Grades {
				other.Grades[i].Price *= by.price
			}
			got := evidence.Done(t, cover.Fertilizer, other)
			require.InEpsilon(t, (want.Rate * by.need).SI(), got.Rate.SI(), 1e-7)
			require.Len(t, got.Rows, len(want.Rows))
			for i := range got.Rows {
				require.InEpsilon(t, (want.Rows[i].Rate * by.need).SI(), got.Rows[i].Rate.SI(), 1e-6)
			}
		}
	}
	// The least weight is not the least cost: 100 lb at 3 or 200 lb at 1 a pound.
	lb := units.Pound
	spec := cover.FertilizerSpec{Need: cover.Nutrients{N: 40 * lbAcre}, Area: units.Acre, Grades: []cover.FertilizerGrade{{Name: "rich", N: 0.4, Price: units.PricePer(3, lb)}, {Name: "cheap", N: 0.2, Price: units.PricePer(1, lb)}}}
	for rule, want := range map[cover.FertilizerRule][2]float64{cover.FertilizerBlendLeastCost: {200, 200}, cover.FertilizerBlendLeastWeight: {100, 300}} {
		spec.Rule = rule
		r := evidence.Done(t, cover.Fertilizer, spec)
		require.InDeltaSlice(t, want[:], []float64{r.Rate.In(lbAcre), r.Cost}, 1e-9)
	}
}

// The grade of ammonium nitrate, 32 to 36 percent of nitrogen alone and dry, is warned of.
func TestNitrateIsWarnedOf(t *testing.T) {
	for _, c := range []struct {
		grade  cover.FertilizerGrade
		warned bool
	}{
		{cover.FertilizerGrade{N: 0.34}, true}, {cover.FertilizerGrade{N: 0.32}, true}, {cover.FertilizerGrade{N: 0.36}, true}, {cover.FertilizerGrade{N: 0.319}, false}, {cover.FertilizerGrade{N: 0.361}, false},
		{cover.FertilizerGrade{N: 0.34, P2O5: 0.1}, false}, {cover.FertilizerGrade{N: 0.34, K2O: 0.1}, false}, {cover.FertilizerGrade{N: 0.34, P2O5: 0.1, K2O: 0.1}, false}, {cover.FertilizerGrade{N: 0.32, Density: 11 * units.PoundPerGallon}, false},
	} {
		c.grade.Name = "g"
		r := evidence.Done(t, cover.Fertilizer, cover.FertilizerSpec{Need: cover.Nutrients{N: 40 * lbAcre}, Rule: cover.FertilizerSingleNoExcess, Area: units.Acre, Grades: []cover.FertilizerGrade{c.grade}})
		require.Len(t, r.Cautions, map[bool]int{true: 3, false: 2}[c.warned], "%+v", c.grade)
	}
}

// Needs and caps over eight orders of magnitude, caps at the need among them:
// caps hold, and a need that its caps leave room for is met.
func TestBlendKeepsCaps(t *testing.T) {
	r := random()
	lb := units.PoundPerAcre
	for range 3000 {
		var need [3]units.MassPerArea
		for k := range need {
			if r.IntN(4) > 0 {
				need[k] = units.MassPerArea(math.Pow(10, -6+8*r.Float64())) * lb
			}
		}
		if need == [3]units.MassPerArea{} {
			continue
		}
		var caps [3]*units.MassPerArea
		for k := range caps {
			c := need[k]
			switch r.IntN(4) {
			case 0:
				caps[k] = &c
			case 1:
				c *= units.MassPerArea(2 * r.Float64())
				caps[k] = &c
			}
		}
		spec := cover.FertilizerSpec{
			Rule: cover.FertilizerRule(1 + r.IntN(2)), Area: units.Acre,
			Need:   cover.Nutrients{N: need[0], P2O5: need[1], K2O: need[2]},
			Most:   cover.NutrientCaps{N: caps[0], P2O5: caps[1], K2O: caps[2]},
			Grades: []cover.FertilizerGrade{{Name: "n", N: 0.46}, {Name: "p", P2O5: 0.46}, {Name: "k", K2O: 0.6}},
		}
		for range r.IntN(20) {
			spec.Grades = append(spec.Grades, cover.FertilizerGrade{Name: "blend", N: share(r), P2O5: share(r), K2O: share(r)})
		}
		for j := range spec.Grades {
			spec.Grades[j].Price = units.PricePer(math.Pow(10, -2+3*r.Float64()), units.Pound)
		}
		got, err := cover.Fertilizer(spec)
		require.NoError(t, err)
		supplied := [3]units.MassPerArea{got.Supplied.N, got.Supplied.P2O5, got.Supplied.K2O}
		short := [3]units.MassPerArea{got.Short.N, got.Short.P2O5, got.Short.K2O}
		for k := range need {
			if caps[k] != nil {
				require.LessOrEqual(t, supplied[k].SI(), caps[k].SI()*(1+1e-6)+1e-9*lb.SI())
			}
			if caps[k] == nil || *caps[k] >= need[k] {
				require.LessOrEqual(t, short[k].SI(), need[k].SI()*1e-6)
			}
		}
	}
}

func TestFertilizerCapsAndFaults(t *testing.T) {
	lb := units.PoundPerAcre
	price := units.PricePer(500.0, units.Ton)
	zero, ten := units.MassPerArea(0), 10*lb
	spec := cover.FertilizerSpec{
		Need: cover.Nutrients{N: 40 * lb, P2O5: 30 * lb}, Rule: cover.FertilizerBlendLeastWeight, Area: units.Acre,
		Grades: []cover.FertilizerGrade{{Name: "phosphate", N: 0.18, P2O5: 0.46, Price: price}, {Name: "urea", N: 0.46, Price: price}},
		Most:   cover.NutrientCaps{P2O5: &ten},
	}
	r, err := cover.Fertilizer(spec)
	require.NoError(t, err)
	require.InDelta(t, 10, r.Supplied.P2O5.In(lb), 1e-9)
	require.InDelta(t, 20, r.Short.P2O5.In(lb), 1e-9)
	require.InDelta(t, 40, r.Supplied.N.In(lb), 1e-9)
	spec.Most.P2O5 = &zero
	r, err = cover.Fertilizer(spec)
	require.NoError(t, err)
	require.Len(t, r.Rows, 1)
	require.Equal(t, "urea", r.Rows[0].Grade.Name)
	spec.Most.N = &zero
	r, err = cover.Fertilizer(spec)
	require.NoError(t, err)
	require.Empty(t, r.Rows)
	require.Equal(t, spec.Need, r.Short)

	all := cover.FertilizerSpec{Need: cover.Nutrients{N: 40 * lb, P2O5: 60 * lb}, Rule: cover.FertilizerSingleMeetsAll, Area: units.Acre,
		Grades: []cover.FertilizerGrade{{Name: "12-12-12", N: 0.12, P2O5: 0.12, K2O: 0.12, Bag: 50 * units.Pound, Price: price}}}
	r, err = cover.Fertilizer(all)
	require.NoError(t, err)
	require.InDelta(t, 500, r.Rate.In(lb), 1e-9)
	require.Equal(t, 10, r.Rows[0].Bags)
	require.InDelta(t, 20, r.Over.N.In(lb), 1e-9)
	require.InDelta(t, 60, r.Over.K2O.In(lb), 1e-9)

	liquid, err := cover.Fertilizer(cover.FertilizerSpec{Need: cover.Nutrients{N: 28 * lb}, Rule: cover.FertilizerSingleNoExcess, Area: 2 * units.Acre,
		Grades: []cover.FertilizerGrade{{Name: "28-0-0", N: 0.28, Density: 10.7 * units.PoundPerGallon}}})
	require.NoError(t, err)
	require.InDelta(t, 100/10.7, liquid.Rows[0].Liquid.In(units.GallonPerAcre), 1e-9)
	require.InDelta(t, 200/10.7, liquid.Rows[0].Volume.In(units.Gallon), 1e-9)

	_, err = cover.Fertilizer(cover.FertilizerSpec{Need: cover.Nutrients{N: -1, K2O: 5}, Rule: cover.FertilizerBlendLeastCost,
		Grades: []cover.FertilizerGrade{{Name: "", N: 0.9, P2O5: 0.9, Bag: -1}}, Area: units.Area(math.Inf(1))})
	require.Equal(t, []string{"area", "need.n", "grades[0].name", "grades[0].n", "grades[0].price", "grades[0].bag", "need.k2o"}, fields(err))
	_, err = cover.Fertilizer(cover.FertilizerSpec{Need: cover.Nutrients{N: 1}, Rule: cover.FertilizerSingleNoExcess, Most: cover.NutrientCaps{N: &ten},
		Grades: []cover.FertilizerGrade{{Name: "a", N: 0.9}, {Name: "b", N: 0.9}}, Area: units.Acre})
	require.Equal(t, []string{"grades", "most"}, fields(err))
}

func TestSoilRules(t *testing.T) {
	lb := units.PoundPerAcre
	r, err := cover.SoilNeed(cover.SoilNeedSpec{Rules: "illinois-327", Tested: true, PH: 5.6, P: 20 * lb, K: 100 * lb, Stand: "native warm-season grass"})
	require.NoError(t, err)
	require.Equal(t, cover.Nutrients{K2O: 200 * lb}, r.Need)
	require.Zero(t, r.LimeTo)
	r, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "iowa-327"})
	require.NoError(t, err)
	require.Equal(t, cover.Nutrients{P2O5: 30 * lb, K2O: 40 * lb}, r.Need)
	require.Contains(t, r.Cautions[0], "No soil test")
	r, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "new-hampshire-native-grass"})
	require.NoError(t, err)
	require.Equal(t, units.TonPerAcre, r.Lime)
	r, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "iowa-327", Tested: true, PH: 6, Lime: 1500 * lb})
	require.NoError(t, err)
	require.Equal(t, []string{"lime"}, r.Waived)
	r, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "iowa-327", Tested: true, PH: 6, Fertilizer: cover.Nutrients{N: 10 * lb, K2O: 14 * lb}})
	require.NoError(t, err)
	require.Equal(t, cover.Nutrients{N: 10 * lb, K2O: 14 * lb}, r.Need)
	require.Equal(t, []string{"fertilizer"}, r.Waived)
	// What nobody says is no need of 0.
	_, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "illinois-327"})
	require.Equal(t, []string{"tested"}, fields(err))
	_, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "colorado-dryland", Tested: true, PH: 6})
	require.Equal(t, []string{"fertilizer"}, fields(err))
	_, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "illinois-327", Tested: true, PH: 6, P: 20 * lb, Fertilizer: cover.Nutrients{P2O5: lb}})
	require.Equal(t, []string{"fertilizer.p2o5", "k"}, fields(err))
	_, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "illinois-327", PH: 6, Stand: "corn"})
	require.Equal(t, []string{"tested", "stand"}, fields(err))
	_, err = cover.SoilNeed(cover.SoilNeedSpec{Own: &cover.SoilRules{P: &cover.SoilStep{Apply: -1}, Untested: &cover.Nutrients{N: -1}}, Rules: "x"})
	require.Equal(t, []string{"rules", "own.p.below", "own.p.apply", "own.untested.n"}, fields(err))
}
