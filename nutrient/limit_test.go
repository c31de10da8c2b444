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

// Where the credits or the ceiling meet the need, and where the ratio of the forage meets
// the greatest.
func TestRoomsAtTheirEdges(t *testing.T) {
	for _, c := range []struct{ need, ceiling, credits, room, excess float64 }{
		{100, 0, 0, 100, 0}, {100, 0, 100, 0, 0}, {100, 0, 99, 1, 0}, {100, 0, 101, 0, 1}, {100, 100, 30, 70, 0}, {100, 99, 30, 69, 0}, {100, 101, 30, 70, 0}, {100, 0.5, 0, 0.5, 0}, {0.5, 0, 0.2, 0.3, 0}, {0.5, 0, 0.7, 0, 0.2},
	} {
		r, err := NitrogenRoom(NitrogenRoomSpec{Need: lbAcre(c.need), Ceiling: lbAcre(c.ceiling), Legume: lbAcre(c.credits)})
		require.NoError(t, err)
		require.InDelta(t, c.room, r.Room.In(units.PoundPerAcre), 1e-9, "%+v", c)
		require.InDelta(t, c.excess, r.Excess.In(units.PoundPerAcre), 1e-9, "%+v", c)
		require.Equal(t, c.ceiling > 0 && c.ceiling < c.need, r.Capped, "%+v", c)
		require.Equal(t, lbAcre(c.need), r.CropNeed)
	}
	// Each credit by itself, lb/acre: 4.4 mg/L in 10 in of water are 4.4 x 10 x 0.2266.
	lb := units.PoundPerAcre
	for _, c := range []struct {
		spec NitrogenRoomSpec
		want [5]float64
	}{
		{NitrogenRoomSpec{Legume: 7 * lb}, [5]float64{7, 0, 0, 0, 0}}, {NitrogenRoomSpec{IrrigationNitrate: 4.4 * units.MilligramPerLitre, IrrigationDepth: 10 * units.Inch}, [5]float64{0, 9.97, 0, 0, 0}},
		{NitrogenRoomSpec{SoilNitrate: 5 * units.MilligramPerKilogram, SoilNitrateCredit: NebraskaSoilNitrate}, [5]float64{0, 0, 40, 0, 0}}, {NitrogenRoomSpec{Starter: 8 * lb}, [5]float64{0, 0, 0, 8, 0}}, {NitrogenRoomSpec{EarlierManure: 9 * lb}, [5]float64{0, 0, 0, 0, 9}},
	} {
		c.spec.Need = 100 * lb
		r, err := NitrogenRoom(c.spec)
		require.NoError(t, err)
		sum := 0.0
		for i, got := range []units.MassPerArea{r.Legume, r.Irrigation, r.Soil, r.Starter, r.EarlierManure} {
			require.InDelta(t, c.want[i], got.In(lb), 0.005)
			sum += got.In(lb)
		}
		require.InDelta(t, sum, r.Credits.In(lb), 1e-9)
		require.InDelta(t, 100-sum, r.Room.In(lb), 1e-9)
	}
	s := ForageRoomSpec{K: 3.90983 * units.Percent, Ca: 0.40078 * units.Percent, Mg: 0.243055 * units.Percent, Removal: 200 * lb, ShareHigh: 0.25, ShareLow: 1.5} // 0.1 over 0.02 + 0.02
	for most, want := range map[float64]float64{2.5000001: 300, 2.4999999: 50} {
		s.MaxRatio = most
		r, err := ForageRoom(s)
		require.NoError(t, err)
		require.InDelta(t, 2.5, r.Ratio, 1e-12)
		require.InDelta(t, want, r.Room.In(lb), 1e-9)
	}
	r, err := ForageRoom(s)
	require.NoError(t, err)
	s.MaxRatio = r.Ratio
	r, err = ForageRoom(s)
	require.NoError(t, err)
	require.False(t, r.High, "at the greatest ratio")
}

// What is a limit: a room for what the material holds, or a rate, of its form; and the words
// of its kind.
func TestWhatIsALimit(t *testing.T) {
	for _, c := range []struct {
		l    Limit
		want []string
	}{
		{Limit{Kind: LimitNitrogen, Holds: lb1000(3), Room: 1}, nil}, {Limit{Kind: LimitNitrogen, Holds: lb1000(0)}, nil}, {Limit{Kind: LimitPass, Rate: LiquidRate(0)}, nil},
		{Limit{Kind: LimitNitrogen, Room: 1}, []string{"limits[0].holds"}}, {Limit{Kind: LimitPass, Rate: LiquidRate(1), Room: 1}, []string{"limits[0].holds"}}, {Limit{Kind: LimitPass, Rate: LiquidRate(1), Holds: lb1000(3)}, []string{"limits[0].holds"}},
		{Limit{Kind: LimitPass, Rate: LiquidRate(101)}, []string{"limits[0].rate"}}, {Limit{Kind: LimitNitrogen, Holds: lb1000(3), Room: 1e5}, []string{"limits[0].room"}}, {Limit{Kind: "Salt", Rate: LiquidRate(1)}, []string{"limits[0].kind"}},
	} {
		s := FieldRateSpec{Limits: []Limit{c.l, {Kind: LimitWater, Rate: LiquidRate(1)}}}
		_, err := FieldRate(s)
		require.Equal(t, c.want, faultFields(err), "%+v", c.l)
	}
	for _, other := range []Limit{{Kind: LimitPass, Rate: LiquidRate(1)}, {Kind: LimitPass, Rate: SolidRate(1)}} { // the form is that of the first that has one
		_, err := FieldRate(FieldRateSpec{Limits: []Limit{other, {Kind: LimitSalt, Room: 1}}})
		require.Equal(t, []string{"limits[1].holds"}, faultFields(err))
		_, err = FieldRate(FieldRateSpec{Limits: []Limit{{Kind: LimitSalt, Room: 1}, other}})
		require.Equal(t, []string{"limits[0].holds"}, faultFields(err))
	}
	for word, want := range map[string]bool{"a": true, "two words": true, "zinc, all years": true, "größe": true, "": false, " a": false, "a ": false, "A": false, "aB": false, "a\nb": false, "a\x7f": false, "Ö": false, strings.Repeat("x", 60): true, strings.Repeat("x", 61): false} {
		require.Equal(t, want, isWord(word), "%q", word)
	}
	require.Equal(t, "own", LimitSalt.label("own"))
	require.Equal(t, "salt", LimitSalt.label(""))
}
