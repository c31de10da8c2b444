package nutrient

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// faultFields returns the fields of the faults in err.
func faultFields(err error) (list []string) {
	for _, e := range units.FieldErrors(err) {
		list = append(list, e.Field)
	}
	return list
}

func TestNitrogenRoom(t *testing.T) {
	lb := units.PoundPerAcre
	s := NitrogenRoomSpec{
		Need: 180 * lb, Legume: 40 * lb, IrrigationNitrate: 10 * units.MilligramPerLitre, IrrigationDepth: 6 * units.Inch,
		SoilNitrate: 3 * units.PartPerMillion, SoilNitrateCredit: NebraskaSoilNitrate, Starter: 5 * lb, EarlierManure: 12 * lb,
	}
	r, err := NitrogenRoom(s)
	require.NoError(t, err)
	// 40 + 13.6 + 24 + 5 + 12
	require.InDelta(t, 94.597, r.Credits.In(lb), 0.001)
	require.InDelta(t, 85.403, r.Room.In(lb), 0.001)
	require.Len(t, r.Working(), 7)
	s.Ceiling, s.Legume = 150*lb, 130*lb
	r, err = NitrogenRoom(s)
	require.NoError(t, err)
	require.True(t, r.Capped)
	require.Zero(t, r.Room)
	require.InDelta(t, 184.597-150, r.Excess.In(lb), 0.001)

	_, err = NitrogenRoom(NitrogenRoomSpec{
		Need: -1, Ceiling: units.MassPerArea(math.NaN()), Legume: -1, IrrigationNitrate: -1, IrrigationDepth: -1,
		SoilNitrate: 2, SoilNitrateCredit: -1, Starter: -1, EarlierManure: units.MassPerArea(math.Inf(1)),
	})
	require.Equal(t, []string{"need", "ceiling", "legume", "irrigationNitrate", "irrigationDepth", "soilNitrate", "soilNitrateCredit", "starter", "earlierManure"}, faultFields(err))
	_, err = NitrogenRoom(NitrogenRoomSpec{Need: lb, SoilNitrate: units.PartPerMillion})
	require.Equal(t, []string{"soilNitrateCredit"}, faultFields(err))
}

func TestForageRoom(t *testing.T) {
	s := ForageRoomSpec{K: 3 * units.Percent, Ca: 0.4 * units.Percent, Mg: 0.2 * units.Percent, MaxRatio: 2.2, Removal: 200 * units.PoundPerAcre, ShareHigh: 0.25, ShareLow: 1}
	r, err := ForageRoom(s)
	require.NoError(t, err)
	// 3/39.1 over 0.4/20.04 + 0.2/12.15: 0.07673 / 0.03642.
	require.InDelta(t, 2.107, r.Ratio, 0.001)
	require.False(t, r.High)
	require.Equal(t, s.Removal, r.Room)
	s.MaxRatio = 2
	r, err = ForageRoom(s)
	require.NoError(t, err)
	require.True(t, r.High)
	require.InDelta(t, 50, r.Room.In(units.PoundPerAcre), 1e-9)
	_, err = ForageRoom(ForageRoomSpec{})
	require.Equal(t, []string{"k", "mg", "maxRatio", "shareLow"}, faultFields(err))
}

func TestUnitPriceText(t *testing.T) {
	for text, want := range map[string]string{"12 per 1000 gal": "12.00 per 1000 gal", "5 per ton": "5.00 per ton", "0.012/gal": "12.00 per 1000 gal", "-1 per gal": "-1,000.00 per 1000 gal"} {
		var p UnitPrice
		require.NoError(t, p.UnmarshalText([]byte(text)))
		require.Equal(t, want, p.String())
		b, err := json.Marshal(p)
		require.NoError(t, err)
		var back UnitPrice
		require.NoError(t, json.Unmarshal(b, &back))
		require.Equal(t, p, back)
	}
	for _, bad := range []string{"", "12", "12 per acre", "NaN per gal"} {
		var p UnitPrice
		require.Error(t, p.UnmarshalText([]byte(bad)), bad)
		require.True(t, p.IsZero())
	}
	require.Equal(t, "nothing", UnitPrice{}.String())
	_, err := LiquidPrice(1).Of(SolidAmount(units.Ton))
	require.Equal(t, []string{"amount"}, faultFields(err))
}

// A kind of limit that a state adds is one word: it limits like the others, keeps
// its name and reads back.
func TestLimitOfAKindOfItsOwn(t *testing.T) {
	var l Limit
	require.NoError(t, strict.Decode([]byte(`{"kind":"Chloride","holds":"8 lb/1000 gal","room":"40 lb/ac"}`), &l))
	r, err := FieldRate(FieldRateSpec{Limits: []Limit{l}})
	require.NoError(t, err)
	require.Equal(t, "chloride", r.Binding().Name)
	require.Equal(t, "5,000 gal/acre", r.Rate.String())
	for _, k := range []LimitKind{"", " salt", "two\nlines", LimitKind(strings.Repeat("x", 61))} {
		l.Kind = k
		_, err = FieldRate(FieldRateSpec{Limits: []Limit{l}})
		require.Equal(t, []string{"limits[0].kind"}, faultFields(err))
	}
}

// A kind that is a slip of the pen would be left out where limits of the kind are taken
// together, as what they cost is.
func TestSlipsInKindsOfLimits(t *testing.T) {
	for slip, meant := range map[LimitKind]string{"nitrogn": "nitrogen", "phosphorous": "phosphorus", "potasium": "potassium", "nitrigen": "nitrogen", "nitrogen.": "nitrogen"} {
		require.ErrorContains(t, slip.Check(), "want "+meant, slip)
		l := Limit{Kind: slip, Holds: LiquidContent(1), Room: 1}
		_, err := FieldRate(FieldRateSpec{Limits: []Limit{l}})
		require.Equal(t, []string{"limits[0].kind"}, faultFields(err), slip)
	}
	for _, own := range []LimitKind{"nitrate", "chloride", "mass", "cap", "organic nitrogen", "nitrogen of the year", LimitPass, LimitPotassium} {
		require.NoError(t, own.Check(), own)
	}
	require.ErrorContains(t, LimitKind("Sulfur").Check(), "in lower case")
}

func TestLimitJSON(t *testing.T) {
	for _, text := range []string{
		`{"kind":"nitrogen","holds":"12 lb/1000 gal","room":"120 lb/ac"}`,
		`{"kind":"pass","rate":"9,000 gal/ac"}`,
	} {
		var l, back Limit
		require.NoError(t, strict.Decode([]byte(text), &l))
		b, err := json.Marshal(l)
		require.NoError(t, err)
		require.NoError(t, strict.Decode(b, &back))
		require.Equal(t, l, back)
	}
}
