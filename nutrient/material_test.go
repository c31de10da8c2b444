package nutrient

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestRateText(t *testing.T) {
	for _, c := range []struct {
		text string
		form Form
		want string
	}{
		{"8,000 gal/ac", Liquid, "8,000 gal/acre"},
		{"12 ton/ac", Solid, "12 ton/acre"},
		{"0.5 acre-in/acre", Liquid, "13,577 gal/acre"},
	} {
		var r Rate
		require.NoError(t, r.UnmarshalText([]byte(c.text)))
		require.Equal(t, c.form, r.Form())
		require.Equal(t, c.want, r.String())
		b, err := json.Marshal(r)
		require.NoError(t, err)
		var back Rate
		require.NoError(t, json.Unmarshal(b, &back))
		require.Equal(t, r, back)
	}
}

func TestContentAndAmountText(t *testing.T) {
	var c Content
	require.NoError(t, c.UnmarshalText([]byte("31 lb/1000 gal")))
	q, ok := c.Concentration()
	require.True(t, ok)
	require.InDelta(t, 31, q.In(units.PoundPer1000Gallon), 1e-12)
	require.NoError(t, c.UnmarshalText([]byte("12 lb/ton")))
	_, ok = c.Concentration()
	require.False(t, ok)
	x, ok := c.MassFraction()
	require.True(t, ok)
	require.InDelta(t, 12, x.In(units.PoundPerTon), 1e-12)

	var a Amount
	require.NoError(t, a.UnmarshalText([]byte("120,000 gal")))
	require.Equal(t, Liquid, a.Form())
	require.NoError(t, a.UnmarshalText([]byte("40 ton")))
	require.Equal(t, Solid, a.Form())
	require.ErrorContains(t, a.UnmarshalText([]byte("40")), "for a solid")
	require.ErrorContains(t, a.UnmarshalText([]byte("40 acre")), "for a liquid")
	require.Equal(t, Solid, a.Form(), "an error leaves the value as it was")
}

func TestMeasureProducts(t *testing.T) {
	rate := LiquidRate(8000 * units.GallonPerAcre)
	n := LiquidContent(31 * units.PoundPer1000Gallon)
	load, err := rate.Carrying(n)
	require.NoError(t, err)
	require.InDelta(t, 248, load.In(units.PoundPerAcre), 1e-9)

	back, err := RateFor(load, n)
	require.NoError(t, err)
	require.InDelta(t, rate.SI(), back.SI(), 1e-15)

	area, err := LiquidAmount(120000 * units.Gallon).Over(rate)
	require.NoError(t, err)
	require.InDelta(t, 15, area.In(units.Acre), 1e-9)
	put, err := rate.Times(area)
	require.NoError(t, err)
	require.InDelta(t, 120000*units.Gallon.SI(), put.SI(), 1e-9)

	held, err := n.Times(LiquidAmount(1000 * units.Gallon))
	require.NoError(t, err)
	require.InDelta(t, 31, held.In(units.Pound), 1e-9)
	_, err = n.Times(SolidAmount(units.Ton))
	require.ErrorContains(t, err, "amount: solid")

	_, err = rate.Carrying(SolidContent(12 * units.PoundPerTon))
	require.ErrorContains(t, err, "content: solid")
	_, err = SolidAmount(units.Ton).Over(rate)
	require.ErrorContains(t, err, "rate: liquid")
	_, err = LiquidAmount(units.Gallon).Over(LiquidRate(0))
	require.ErrorContains(t, err, "more than 0")
	_, err = RateFor(load, LiquidContent(0))
	require.ErrorContains(t, err, "more than 0")
	_, err = RateFor(-load, n)
	require.ErrorContains(t, err, "load")
	_, err = LiquidAmount(units.Volume(math.NaN())).Over(rate)
	require.ErrorContains(t, err, "amount")
	_, err = n.Times(LiquidAmount(units.Volume(math.Inf(1))))
	require.ErrorContains(t, err, "amount")
	_, err = rate.Carrying(LiquidContent(units.Concentration(math.NaN())))
	require.ErrorContains(t, err, "content")
	_, err = RateFor(1e300, LiquidContent(1e-300))
	require.Error(t, err)
}

func TestMeasureZeroValues(t *testing.T) {
	_, err := Rate{}.Carrying(Content{})
	require.Error(t, err)
	_, err = Amount{}.Over(Rate{})
	require.Error(t, err)
	_, err = json.Marshal(Rate{})
	require.Error(t, err)
	require.True(t, Rate{}.IsZero())
	require.False(t, LiquidRate(0).IsZero())
	require.Equal(t, "nothing", Rate{}.String())
	_, err = Amount{}.As(Liquid, units.GramPerMillilitre)
	require.Error(t, err)
	_, err = json.Marshal(LiquidRate(units.VolumePerArea(math.NaN())))
	require.Error(t, err)
}

func TestFormsConvertOnlyWithDensity(t *testing.T) {
	d := 8.5 * units.PoundPerGallon
	a, err := LiquidAmount(1000*units.Gallon).As(Solid, d)
	require.NoError(t, err)
	m, ok := a.Mass()
	require.True(t, ok)
	require.InDelta(t, 8500, m.In(units.Pound), 1e-9)

	c, err := SolidContent(10*units.PoundPerTon).As(Liquid, d)
	require.NoError(t, err)
	q, _ := c.Concentration()
	require.InDelta(t, 42.5, q.In(units.PoundPer1000Gallon), 1e-9)

	r, err := SolidRate(4.25*units.TonPerAcre).As(Liquid, d)
	require.NoError(t, err)
	v, _ := r.VolumePerArea()
	require.InDelta(t, 1000, v.In(units.GallonPerAcre), 1e-9)

	same, err := r.As(Liquid, 0)
	require.NoError(t, err, "no density is needed to stay")
	require.Equal(t, r, same)
	_, err = r.As(Solid, 0)
	require.ErrorContains(t, err, "density")
	_, err = r.As(0, d)
	require.ErrorContains(t, err, "form")
}

func TestCarryingDoesNotAllocate(t *testing.T) {
	rate, n := LiquidRate(8000*units.GallonPerAcre), LiquidContent(31*units.PoundPer1000Gallon)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		if _, err := rate.Carrying(n); err != nil {
			t.Fatal(err)
		}
	}))
}

// Contents, amounts and rates in either form, by the density of the material: 1 m3 of d
// kg/m3 weighs d kg, so that amounts and rates take it times and contents over.
func TestFormsByDensity(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		d := units.Density(50 + 2950*r.Float64())
		x := 0.01 + 0.9*r.Float64()
		for _, c := range []struct {
			as   func(from, to Form) (measure, error)
			want float64 // of the liquid as a solid
		}{
			{func(from, to Form) (measure, error) {
				a, err := Amount{measure{from, x}}.As(to, d)
				return a.measure, err
			}, x * float64(d)},
			{func(from, to Form) (measure, error) {
				a, err := Rate{measure{from, x}}.As(to, d)
				return a.measure, err
			}, x * float64(d)},
			{func(from, to Form) (measure, error) {
				a, err := Content{measure{from, x}}.As(to, d)
				return a.measure, err
			}, x / float64(d)},
		} {
			m, err := c.as(Liquid, Solid)
			require.NoError(t, err)
			require.Equal(t, Solid, m.form)
			require.InEpsilon(t, c.want, m.value, 1e-12)
			m, err = c.as(Solid, Liquid)
			require.NoError(t, err)
			require.Equal(t, Liquid, m.form)
			require.InEpsilon(t, x*x/c.want, m.value, 1e-12)
			m, err = c.as(Solid, Solid)
			require.NoError(t, err)
			require.Equal(t, measure{Solid, x}, m)
			_, err = c.as(0, Solid)
			require.Error(t, err)
		}
	}
	for _, d := range []units.Density{49.9, 3000.1, 0} {
		_, err := LiquidAmount(1).As(Solid, d)
		require.Equal(t, []string{"density"}, fields(err))
	}
	c, err := perTon(10).Scale(0.25)
	require.NoError(t, err)
	require.InDelta(t, 2.5, lbTon(c), 1e-12)
	_, err = percent(60).Scale(2)
	require.Error(t, err, "more than the whole")
	for _, k := range []float64{-1, math.NaN(), 1e7} {
		_, err = perTon(10).Scale(k)
		require.Equal(t, []string{"k"}, fields(err))
	}
	none, err := perTon(10).Scale(0)
	require.NoError(t, err)
	require.Equal(t, SolidContent(0), none)
	require.NoError(t, LiquidAmount(0).Check(Liquid))
	require.NoError(t, LiquidRate(0).Check(Liquid))
	rate, err := LiquidRate(2).Scale(3)
	require.NoError(t, err)
	require.Equal(t, LiquidRate(6), rate)
}

// Each form answers to its own quantity alone, and what is none is read and shown as such.
func TestFormsAnswerForThemselves(t *testing.T) {
	v, liquid := LiquidAmount(3).Volume()
	_, solid := LiquidAmount(3).Mass()
	require.True(t, v == 3 && liquid && !solid)
	m, solid := SolidAmount(3).Mass()
	_, liquid = SolidAmount(3).Volume()
	require.True(t, m == 3 && solid && !liquid)
	q, liquid := LiquidContent(3).Concentration()
	_, solid = LiquidContent(3).MassFraction()
	require.True(t, q == 3 && liquid && !solid)
	x, solid := SolidContent(0.3).MassFraction()
	_, liquid = SolidContent(0.3).Concentration()
	require.True(t, x == 0.3 && solid && !liquid)
	deep, liquid := LiquidRate(3).VolumePerArea()
	_, solid = LiquidRate(3).MassPerArea()
	require.True(t, deep == 3 && liquid && !solid)
	load, solid := SolidRate(3).MassPerArea()
	_, liquid = SolidRate(3).VolumePerArea()
	require.True(t, load == 3 && solid && !liquid)
	require.Equal(t, units.Volume(3), LiquidAmount(3).UnitsValue())
	require.Equal(t, units.Mass(3), SolidAmount(3).UnitsValue())
	require.Equal(t, units.Word("nothing"), Content{}.UnitsValue())
	require.Equal(t, [2]any{units.Concentration(3), units.MassFraction(0.3)}, [2]any{LiquidContent(3).UnitsValue(), SolidContent(0.3).UnitsValue()})
	require.Equal(t, [2]any{units.VolumePerArea(3), units.MassPerArea(3)}, [2]any{LiquidRate(3).UnitsValue(), SolidRate(3).UnitsValue()})
	for text, kind := range map[string]units.FaultKind{"40": units.FaultUnit, "40 acre": units.FaultUnit, "forty gal": units.FaultMalformed, "": units.FaultMalformed} {
		var a Amount
		err := a.UnmarshalText([]byte(text))
		require.Error(t, err)
		require.Equal(t, kind, units.FieldErrors(err)[0].Kind, "%q: %v", text, err)
	}
	money, err := LiquidPrice(-2).Of(LiquidAmount(3))
	require.NoError(t, err)
	require.InDelta(t, -6, money, 1e-15)
}
