package nutrient

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestMetals(t *testing.T) {
	table, err := publishedState(t, "us-sludge").MetalTable(nil)
	require.NoError(t, err)
	s := MetalsSpec{
		Table: table, Annual: AnnualLimitsApply,
		Metals: []MetalLoad{
			{Metal: Copper, Dry: new(800 * units.MilligramPerKilogram), Holds: SolidContent(160 * units.MilligramPerKilogram), Before: 100 * units.KilogramPerHectare},
			{Metal: Zinc, Dry: new(2000 * units.MilligramPerKilogram), Holds: SolidContent(400 * units.MilligramPerKilogram), Before: 2400 * units.KilogramPerHectare, ThisYear: 20 * units.KilogramPerHectare},
			{Metal: Iron, Dry: new(units.MassFraction(0.02)), Holds: SolidContent(units.GramPerKilogram)},
		},
		Yearly: SolidRate(100 * units.TonnePerHectare),
	}
	r, err := Metals(s)
	require.NoError(t, err)
	cu, zn, fe := r.Metals[0], r.Metals[1], r.Metals[2]
	// 100 t/ha of 160 g/t are 16 kg/ha of Cu and 40 of Zn.
	require.InDelta(t, 1400.0/16, cu.Years, 1e-9)
	require.InDelta(t, 380.0/40, zn.Years, 1e-9)
	require.Equal(t, Zinc, r.Ends)
	require.InDelta(t, 9.5, r.Years, 1e-9)
	require.True(t, cu.Low)
	require.Contains(t, r.String(), "site life, years       9.5")
	require.InDelta(t, 120, zn.RoomYear.In(units.KilogramPerHectare), 1e-9)
	require.False(t, fe.Listed)
	require.True(t, fe.Endless)
	require.Len(t, r.Limits, 4)
	rate, err := FieldRate(FieldRateSpec{Limits: r.Limits})
	require.NoError(t, err)
	require.Equal(t, "Zn, this year", rate.Binding().Name)
	w, _ := rate.Rate.MassPerArea()
	require.InDelta(t, 300, w.In(units.TonnePerHectare), 1e-9) // 120 kg/ha over 0.4 kg/t

	s.Metals = []MetalLoad{{Metal: Molybdenum, Dry: new(76 * units.MilligramPerKilogram), Holds: SolidContent(0)}}
	r, err = Metals(s)
	require.NoError(t, err)
	require.True(t, r.Metals[0].OverCeiling)
	require.True(t, r.Endless)
	rate, err = FieldRate(FieldRateSpec{Limits: r.Limits})
	require.NoError(t, err)
	require.Zero(t, rate.Rate.SI())
	require.Contains(t, r.String(), "may not be spread")
}

// A metal over its ceiling is not let pass because its concentration in the dry
// matter was left out, and the limits of one year bind as the caller says.
func TestMetalsAskForWhatDecides(t *testing.T) {
	table, err := publishedState(t, "us-sludge").MetalTable(nil)
	require.NoError(t, err)
	zinc := MetalLoad{Metal: Zinc, Holds: SolidContent(0.008), ThisYear: 20 * units.KilogramPerHectare}
	_, err = Metals(MetalsSpec{Table: table, Metals: []MetalLoad{zinc}})
	require.Equal(t, []string{"annual", "metals[0].dry"}, faultFields(err))
	zinc.Dry = new(8000 * units.MilligramPerKilogram)
	for annual, limits := range map[AnnualLimits]int{AnnualLimitsApply: 3, AnnualLimitsDoNotApply: 2} {
		r, err := Metals(MetalsSpec{Table: table, Annual: annual, Metals: []MetalLoad{zinc}})
		require.NoError(t, err)
		require.True(t, r.Metals[0].OverCeiling)
		require.Len(t, r.Limits, limits)
		require.Equal(t, annual, r.Annual)
		require.Contains(t, r.String(), "limits of one year")
	}
	// A table without concentrations and without limits of a year asks for neither.
	table, err = publishedState(t, "us-epa-1983").MetalTable(Query{"cec": "10 meq/100 g", "ph": "7"})
	require.NoError(t, err)
	r, err := Metals(MetalsSpec{Table: table, Annual: AnnualLimitsApply, Metals: []MetalLoad{{Metal: Zinc, Holds: SolidContent(0.001)}}})
	require.NoError(t, err)
	require.Zero(t, r.Annual)
}

func TestMetalFaults(t *testing.T) {
	_, err := Metals(MetalsSpec{})
	require.Equal(t, []string{"metals", "table"}, faultFields(err))
	_, err = Metals(MetalsSpec{
		Table: MetalTable{Limits: []MetalLimit{{Metal: Zinc, Cumulative: -1}, {Metal: Zinc}}},
		Metals: []MetalLoad{
			{Metal: 0, Dry: new(units.MassFraction(2)), Holds: lb1000(1)},
			{Metal: Zinc, Holds: SolidContent(0.1), Before: units.MassPerArea(math.NaN())},
			{Metal: Copper, ThisYear: -1},
		},
		Yearly: SolidRate(-1),
	})
	require.Equal(t, []string{
		"table.limits[0].cumulative", "table.limits[1].metal", "metals[0].metal", "metals[0].dry", "metals[1].holds",
		"metals[1].before", "metals[2].holds", "metals[2].thisYear", "yearly",
	}, faultFields(err))
	_, err = publishedState(t, "minnesota").MetalTable(nil)
	require.Equal(t, []string{"metal"}, faultFields(err))
	_, err = DryLoad(1, 0)
	require.Equal(t, []string{"x"}, faultFields(err))
}

func TestMetalsByCationExchangeCapacity(t *testing.T) {
	state := publishedState(t, "us-epa-1983")
	for cec, zinc := range map[string]float64{"4.99": 280, "5": 560, "15": 560, "15.01": 1120} {
		table, err := state.MetalTable(Query{"cec": cec + " meq/100 g", "ph": "6.5"})
		require.NoError(t, err)
		l, ok := table.of(Zinc)
		require.True(t, ok)
		require.InDelta(t, zinc, l.Cumulative.In(units.KilogramPerHectare), 1e-9)
	}
	_, err := state.MetalTable(Query{"cec": "-1 meq/100 g", "ph": "x"})
	require.Equal(t, []string{"cec", "ph"}, faultFields(err))
	_, err = state.MetalTable(Query{"cec": "10 meq/100 g", "ph": "6.4"})
	require.Equal(t, []string{"ph"}, faultFields(err), "no limit is not the answer where the source has none to give")
	_, err = state.MetalTable(nil)
	require.Equal(t, []string{"cec", "ph"}, faultFields(err))
}

// A metal for which the rule has no limit is without one; a figure that was not legible
// is none.
func TestMetalsWithoutALimit(t *testing.T) {
	table, err := publishedState(t, "us-sludge").MetalTable(nil)
	require.NoError(t, err)
	mo, _ := table.of(Molybdenum)
	require.Equal(t, MetalLimit{Metal: Molybdenum, Ceiling: 75 * units.MilligramPerKilogram}, mo)
	se, _ := table.of(Selenium)
	require.Zero(t, se.Low)
	require.Positive(t, float64(se.Cumulative))
}

func TestMetalLoadsOfAnalysis(t *testing.T) {
	table, err := publishedState(t, "south-carolina").MetalTable(nil)
	require.NoError(t, err)
	a := Analysis{Form: Solid, Solids: SolidContent(20 * units.Percent), Elements: map[Element]Content{
		Zinc: SolidContent(400 * units.MilligramPerKilogram), Iron: SolidContent(units.GramPerKilogram),
	}}
	list, err := table.Loads(a)
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.InDelta(t, 2000, list[0].Dry.In(units.MilligramPerKilogram), 1e-9)
	_, err = table.Loads(Analysis{})
	require.Error(t, err)
}

// A table that prints no load of one year limits none.
func TestMetalsWithoutALimitOfAYear(t *testing.T) {
	table, err := publishedState(t, "us-epa-1983").MetalTable(Query{"cec": "10 meq/100 g", "ph": "6.5"})
	require.NoError(t, err)
	r, err := Metals(MetalsSpec{Table: table, Annual: AnnualLimitsApply, Metals: []MetalLoad{{Metal: Zinc, Holds: SolidContent(400 * units.MilligramPerKilogram)}}})
	require.NoError(t, err)
	require.Len(t, r.Limits, 1)
	require.Equal(t, "Zn, all years", r.Limits[0].Name)
	require.InDelta(t, 560, r.Limits[0].Room.In(units.KilogramPerHectare), 1e-9)
}

// What a rule leaves of random metals, by hand: limits less what was put on, the rate that
// each allows, and the years until the first of all-year limits is used up.
func TestMetalsReckonedAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	ended := 0
	for range 500 {
		s := MetalsSpec{Annual: []AnnualLimits{AnnualLimitsApply, AnnualLimitsDoNotApply}[r.IntN(2)]}
		if r.IntN(3) > 0 {
			s.Yearly = SolidRate(units.MassPerArea(20*r.Float64()) * units.TonnePerHectare)
		}
		some := func(x float64) float64 { return float64(r.IntN(2)) * x * (0.2 + r.Float64()) }
		anyAnnual := false
		for m := Copper; m <= Manganese; m++ {
			l := MetalLimit{Metal: m, Ceiling: units.MassFraction(some(0.004)), Low: units.MassFraction(some(0.002)), Cumulative: units.MassPerArea(some(0.1)), Annual: units.MassPerArea(some(0.01))}
			if m != Iron { // which is not in the table
				s.Table.Limits = append(s.Table.Limits, l)
				anyAnnual = anyAnnual || l.Annual > 0
			}
			dry := units.MassFraction(0.005 * r.Float64())
			if r.IntN(5) == 0 {
				dry = []units.MassFraction{0, l.Ceiling, l.Low}[r.IntN(3)]
			}
			s.Metals = append(s.Metals, MetalLoad{Metal: m, Dry: &dry, Holds: SolidContent(dry * units.MassFraction(float64(r.IntN(4))*0.1)), Before: units.MassPerArea(some(0.05)), ThisYear: units.MassPerArea(some(0.005))})
		}
		got, err := Metals(s)
		require.NoError(t, err)
		years, ends := math.Inf(1), Element(0)
		var limits []string
		for i, m := range s.Metals {
			l, listed := s.Table.of(m.Metal)
			require.Equal(t, m.Metal != Iron, listed)
			st := got.Metals[i]
			require.Equal(t, listed, st.Listed)
			require.Equal(t, l.Ceiling != 0 && *m.Dry > l.Ceiling, st.OverCeiling)
			require.Equal(t, l.Low != 0 && *m.Dry <= l.Low, st.Low, "%v up to %v", *m.Dry, l.Low)
			if st.OverCeiling {
				limits = append(limits, m.Metal.String()+", over the ceiling 0 0")
			}
			year, all := max(0, l.Annual-m.ThisYear), max(0, l.Cumulative-(m.Before+m.ThisYear))
			if l.Annual != 0 && s.Annual == AnnualLimitsApply {
				require.InDelta(t, float64(year), float64(st.RoomYear), 1e-15)
				limits = append(limits, fmt.Sprintf("%v, this year %.9g %.9g", m.Metal, m.Holds.value, float64(year)))
			} else {
				require.Zero(t, st.RoomYear)
			}
			brings := units.MassPerArea(s.Yearly.value * m.Holds.value)
			require.InDelta(t, float64(brings), float64(st.Yearly), 1e-15)
			if l.Cumulative != 0 {
				require.InDelta(t, float64(all), float64(st.Room), 1e-15)
				limits = append(limits, fmt.Sprintf("%v, all years %.9g %.9g", m.Metal, m.Holds.value, float64(all)))
			}
			require.Equal(t, l.Cumulative == 0 || brings == 0, st.Endless)
			if st.Endless {
				require.Zero(t, st.Years)
				continue
			}
			require.InDelta(t, float64(all/brings), st.Years, 1e-9)
			if life := float64(all / brings); life < years-1e-12 {
				years, ends = life, m.Metal
			}
		}
		var list []string
		for _, l := range got.Limits {
			require.Equal(t, LimitMetal, l.Kind)
			list = append(list, fmt.Sprintf("%s %.9g %.9g", l.Name, l.Holds.value, float64(l.Room)))
		}
		require.Equal(t, limits, list)
		require.Equal(t, math.IsInf(years, 1), got.Endless)
		require.Equal(t, ends, got.Ends)
		if !got.Endless {
			require.InDelta(t, years, got.Years, 1e-9)
			ended++
		}
		require.Equal(t, anyAnnual, got.Annual != 0)
	}
	require.Greater(t, ended, 100)
	x, err := DryLoad(1500*units.KilogramPerHectare, 1)
	require.NoError(t, err)
	require.InDelta(t, 1500, x.In(units.KilogramPerHectare), 1e-9)
	x, err = DryLoad(0, 0.001)
	require.NoError(t, err)
	require.Zero(t, x)
}
