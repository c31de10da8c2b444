package nutrient

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// eightLimits is a field with a limit of every kind.
func eightLimits() FieldRateSpec {
	lb := units.PoundPerAcre
	return FieldRateSpec{
		Limits: []Limit{
			{Kind: LimitNitrogen, Holds: lb1000(12), Room: 120 * lb},                           // 10,000 gal/ac
			{Kind: LimitPhosphorus, Holds: lb1000(15), Room: 75 * lb},                          // 5,000
			{Kind: LimitPotassium, Holds: lb1000(20), Room: 240 * lb},                          // 12,000
			{Kind: LimitMetal, Name: "Cu, this year", Holds: lb1000(0.5), Room: 67 * lb},       // 134,000
			{Kind: LimitMetal, Name: "Cd, this year", Holds: lb1000(0), Room: 1 * lb},          // free
			{Kind: LimitSalt, Name: "sodium", Holds: lb1000(8), Room: 200 * lb},                // 25,000
			{Kind: LimitWater, Rate: LiquidRate(0.5 * units.AcreInchPerAcre)},                  // 13,577
			{Kind: LimitPass, Rate: LiquidRate(9000 * units.GallonPerAcre), Source: "machine"}, // 9,000
			{Kind: "permit", Rate: LiquidRate(9000 * units.GallonPerAcre)},                     // 9,000
		},
		Needs: []NutrientNeed{{"available N", lb1000(12), 120 * lb}, {"P2O5", lb1000(15), 50 * lb}},
	}
}

func TestFieldRateListsEveryLimit(t *testing.T) {
	r, err := FieldRate(eightLimits())
	require.NoError(t, err)
	v, ok := r.Rate.VolumePerArea()
	require.True(t, ok)
	require.InDelta(t, 5000, v.In(units.GallonPerAcre), 1e-9)
	var order []string
	for _, l := range r.Limits {
		order = append(order, l.Name)
		if !l.Free {
			require.GreaterOrEqual(t, l.Slack.SI(), 0.0)
			require.InDelta(t, l.Allows.SI(), r.Rate.SI()+l.Slack.SI(), 1e-15)
		}
		require.InDelta(t, float64(l.Room), float64(l.Applied+l.Left), 1e-15)
	}
	require.Equal(t, []string{"phosphorus", "pass", "permit", "nitrogen", "potassium", "water", "sodium", "Cu, this year", "Cd, this year"}, order)
	require.Equal(t, "machine", r.Limits[1].Source)
	require.True(t, r.Limits[8].Free)
	require.InDelta(t, 60, r.Nutrients[0].Missing.In(units.PoundPerAcre), 1e-9)
	require.Zero(t, r.Nutrients[0].Excess)
	require.InDelta(t, 25, r.Nutrients[1].Excess.In(units.PoundPerAcre), 1e-9)
}

// The rate breaks no limit, and more of it would break the binding one.
func TestFieldRateIsTheMost(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var got FieldRateResult
	for range 2000 {
		s := eightLimits()
		for i := range s.Limits {
			l := &s.Limits[i]
			l.Room = units.MassPerArea(r.Float64())
			l.Holds.value, l.Rate.value = l.Holds.value*r.Float64(), l.Rate.value*r.Float64()
			if l.Rate.form != 0 {
				l.Room = 0
			}
		}
		require.NoError(t, got.Evaluate(&s))
		for _, l := range s.Limits {
			if l.Rate.form != 0 {
				require.LessOrEqual(t, got.Rate.value, l.Rate.value)
			} else {
				require.LessOrEqual(t, got.Rate.value*l.Holds.value, float64(l.Room)*(1+1e-14))
			}
		}
		require.Zero(t, got.Binding().Slack.value)
	}
}

func TestFieldRateOfNoRoom(t *testing.T) {
	r, err := FieldRate(FieldRateSpec{Limits: []Limit{{Kind: LimitPhosphorus, Holds: lb1000(3), Room: 0}}})
	require.NoError(t, err)
	require.Zero(t, r.Rate.SI())
	require.Equal(t, Liquid, r.Rate.Form())
}

func TestFieldRateFaults(t *testing.T) {
	fields := func(s FieldRateSpec) (list []string) {
		_, err := FieldRate(s)
		require.Error(t, err)
		for _, e := range units.FieldErrors(err) {
			list = append(list, e.Field)
		}
		return list
	}
	require.Equal(t, []string{"limits"}, fields(FieldRateSpec{}))
	require.Equal(t, []string{"limits[0].kind", "limits[0].holds"}, fields(FieldRateSpec{Limits: []Limit{{}}}))
	// Nothing that the material holds is limited.
	require.Equal(t, []string{"limits"}, fields(FieldRateSpec{Limits: []Limit{{Kind: LimitMetal, Holds: lb1000(0), Room: 1}}}))
	s := eightLimits()
	s.Limits[0].Room = units.MassPerArea(math.NaN())
	s.Limits[1].Holds = lb1000(-1)
	s.Limits[2].Holds = SolidContent(units.PoundPerTon)
	s.Limits[6].Room = 1
	s.Limits[7].Rate = LiquidRate(units.VolumePerArea(math.Inf(1)))
	s.Limits[8].Kind = ""
	s.Needs[0].Need = -1
	require.Equal(t, []string{"limits[0].room", "limits[1].holds", "limits[2].holds", "limits[6].holds", "limits[7].rate", "limits[8].kind", "needs[0].need"}, fields(s))
	s = eightLimits()
	s.Limits[0].Holds = lb1000(1e-200)
	require.Equal(t, []string{"limits[0].holds"}, fields(s))
}

func TestEvaluateOfNothing(t *testing.T) {
	var r FieldRateResult
	require.Error(t, r.Evaluate(nil))
	require.Error(t, (*FieldRateResult)(nil).Evaluate(&FieldRateSpec{}))
	require.NoError(t, r.Evaluate(&FieldRateSpec{Limits: []Limit{{Kind: LimitPass, Rate: LiquidRate(units.VolumePerArea(math.Copysign(0, -1)))}}}))
	require.False(t, math.Signbit(r.Rate.SI()), "-0 is 0")
}

func TestEvaluateAllocatesNothing(t *testing.T) {
	s := eightLimits()
	var r FieldRateResult
	require.NoError(t, r.Evaluate(&s))
	require.Zero(t, testing.AllocsPerRun(100, func() {
		s.Limits[0].Room += 1e-9
		if err := r.Evaluate(&s); err != nil {
			t.Fatal(err)
		}
	}))
	kept := r.Clone()
	s.Limits[1].Room = 0
	require.NoError(t, r.Evaluate(&s))
	require.NotZero(t, kept.Rate.SI())
	require.NotZero(t, kept.Limits[0].Allows.SI())
}

func BenchmarkEvaluate(b *testing.B) {
	s := eightLimits()
	var r FieldRateResult
	b.ReportAllocs()
	for b.Loop() {
		if err := r.Evaluate(&s); err != nil {
			b.Fatal(err)
		}
	}
}

// Random limits, sorted a second time: the least allows the rate, free ones stand last, and
// what each allows and leaves is the quotient and the rest of its own figures.
func TestFieldRateReckonedAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		form := []Form{Liquid, Solid}[r.IntN(2)]
		var s FieldRateSpec
		allows := map[string]float64{}
		for i := range 2 + r.IntN(7) {
			l := Limit{Kind: []LimitKind{LimitNitrogen, LimitMetal, "permit"}[r.IntN(3)], Name: string(rune('a' + i)), Source: fmt.Sprint("source ", i)}
			if r.IntN(4) == 0 {
				l.Rate = Rate{measure{form, 0.01 * float64(1+r.IntN(5))}}
				allows[l.Name] = l.Rate.value
			} else {
				l.Holds, l.Room = Content{measure{form, 0.2 * float64(r.IntN(4))}}, units.MassPerArea(0.01*float64(r.IntN(4)))
				allows[l.Name] = math.Inf(1)
				if l.Holds.value > 0 {
					allows[l.Name] = float64(l.Room) / l.Holds.value
				}
			}
			s.Limits = append(s.Limits, l)
		}
		for range r.IntN(3) {
			s.Needs = append(s.Needs, NutrientNeed{"need", Content{measure{form, 0.5 * r.Float64()}}, units.MassPerArea(0.02 * r.Float64())})
		}
		order := slices.Clone(s.Limits)
		slices.SortStableFunc(order, func(a, b Limit) int { return cmp.Compare(allows[a.Name], allows[b.Name]) })
		least := allows[order[0].Name]
		got, err := FieldRate(s)
		if math.IsInf(least, 1) {
			require.Equal(t, []string{"limits"}, faultFields(err))
			continue
		}
		require.NoError(t, err)
		require.Equal(t, Rate{measure{form, least}}, got.Rate)
		require.Equal(t, order[0].Name, got.Binding().Name)
		for i, want := range order {
			st := got.Limits[i]
			require.Equal(t, []any{want.Name, want.Kind, want.Source, math.IsInf(allows[want.Name], 1)}, []any{st.Name, st.Kind, st.Source, st.Free})
			if st.Free {
				require.True(t, st.Allows.IsZero() && st.Slack.IsZero())
			} else {
				require.Equal(t, Rate{measure{form, allows[want.Name]}}, st.Allows)
				require.InDelta(t, allows[want.Name]-least, st.Slack.value, 1e-15)
				require.Equal(t, form, st.Slack.form)
			}
			require.Equal(t, want.Room, st.Room)
			applied := 0.0
			if want.Rate.IsZero() {
				applied = least * want.Holds.value
			}
			require.InDelta(t, applied, float64(st.Applied), 1e-15)
			require.InDelta(t, max(0, float64(want.Room)-applied), float64(st.Left), 1e-15)
		}
		for i, n := range s.Needs {
			applied, st := least*n.Holds.value, got.Nutrients[i]
			require.InDelta(t, applied, float64(st.Applied), 1e-15)
			require.InDelta(t, max(0, float64(n.Need)-applied), float64(st.Missing), 1e-15)
			require.InDelta(t, max(0, applied-float64(n.Need)), float64(st.Excess), 1e-15)
			require.Equal(t, n.Need, st.Need)
		}
	}
	require.Zero(t, FieldRateResult{}.Binding())
}
