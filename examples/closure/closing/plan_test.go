package closing_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

var alternatives = []closing.Alternative{closing.AlternativeFill, closing.AlternativeBreach, closing.AlternativePond}

// keys of the open points of an outcome.
func open(o closing.Outcome) []string {
	var keys []string
	for _, x := range o.Open {
		keys = append(keys, x.Key)
	}
	return keys
}

// With basin, ground and alternative alone there are three outcomes, no cost and no hours,
// and everything that hangs on a missing part is an open point.
func TestOnlyTheBasinIsRequired(t *testing.T) {
	r := plan(t, closing.Spec{Basin: whole(t).Basin, Ground: 9 * ft, Chosen: closing.AlternativeFill})
	for _, a := range alternatives {
		o := r.Of(a)
		require.Equal(t, a, o.Alternative)
		require.Equal(t, closing.VerdictOpen, o.Verdict, a)
		require.NotEmpty(t, o.Why.String())
		require.Zero(t, o.Cost)
		require.Zero(t, o.Hours)
		for _, i := range o.Items {
			require.Nil(t, i.Cost, i.Key)
		}
		for _, e := range o.Evidence {
			require.True(t, e.Task == "" || slices.ContainsFunc(o.Tasks, func(k stage.Task) bool { return k.Key == e.Task }), e.Task)
		}
		require.Subset(t, open(o), []string{"closing.pipes", "closing.soaked", "closing.pit", "closing.prices.contingency", "closing.prices.engineer"})
	}
	require.Subset(t, open(r.Of(closing.AlternativeFill)), []string{"closing.soil", "closing.topsoil", "closing.crown", "closing.liner", "closing.softFloor", "closing.berm", "closing.compaction"})
	require.Contains(t, open(r.Of(closing.AlternativeBreach)), "closing.breach")
	require.Contains(t, open(r.Of(closing.AlternativePond)), "closing.pond")
	_, err := closing.Plan(closing.Spec{})
	require.Equal(t, []string{"basin", "alternative"}, fields(err))
	_, err = closing.Plan(closing.Spec{Basin: whole(t).Basin, Ground: 13 * ft, Chosen: 9, HighestLevel: -1})
	require.Equal(t, []string{"alternative", "ground", "highestLevel"}, fields(err))
}

func fields(err error) []string {
	var list []string
	for _, f := range units.FieldErrors(err) {
		list = append(list, f.Field)
	}
	return list
}

// Any one part may be left out: the plan stands, and says what is open because of it.
func TestAnyPartMayBeMissing(t *testing.T) {
	says := map[string]string{"Berm": "closing.berm", "Soil": "closing.soil", "Truck": "closing.truck", "Crown": "closing.crown", "Compaction": "closing.settlement", "SoftFloor": "closing.softFloor",
		"Topsoil": "closing.topsoil", "Soaked": "closing.soaked", "Liner": "closing.liner", "Pipes": "closing.pipes", "Breach": "closing.breach", "Pond": "closing.pond", "HighestLevel": "closing.highestLevel", "LabDays": "closing.labDays", "TicketLife": "closing.ticketLife", "EarthDoubt": "closing.earthDoubt", "Answers": "closing.answers.breach.allowed"}
	kind := reflect.TypeFor[closing.Spec]()
	for i := range kind.NumField() {
		name := kind.Field(i).Name
		if slices.Contains([]string{"Basin", "Ground", "Chosen", "Figures"}, name) {
			continue
		}
		spec := whole(t)
		reflect.ValueOf(&spec).Elem().Field(i).SetZero()
		r := plan(t, spec)
		if key := says[name]; key != "" {
			found := false
			for _, o := range r.Outcomes {
				found = found || slices.Contains(open(o), key)
			}
			require.True(t, found, "%s left out: %s is not open", name, key)
		}
	}
	// A price or a rate that is missing leaves its rows without one, and says which.
	for part, at := range map[string]string{"Prices": "closing.prices.", "Rates": "closing.rates."} {
		kind, _ := reflect.TypeFor[closing.Spec]().FieldByName(part)
		for i := range kind.Type.NumField() {
			spec := whole(t)
			spec.Borrow = &closing.Borrow{Depth: 8 * ft, Slope: 3}
			spec.Liner = &closing.Liner{Way: closing.LinerWayPierce, Ways: &earthwork.DrainSpec{Kind: earthwork.DrainKindHoles, Size: 3 * ft, Spacing: 25 * ft, Depth: 3 * ft}}
			if n := kind.Type.Field(i).Name; n == "Till" {
				spec.Liner = whole(t).Liner
			} else if n == "Water" || n == "DirtyWater" {
				spec.Pit = pit(t, spec.Basin, 3*units.Inch)
			}
			if kind.Type.Field(i).Name == "Import" {
				spec.Borrow = nil
			}
			reflect.ValueOf(&spec).Elem().FieldByName(part).Field(i).SetZero()
			json, _, _ := strings.Cut(kind.Type.Field(i).Tag.Get("json"), ",")
			found := false
			for _, o := range plan(t, spec).Outcomes {
				found = found || slices.Contains(open(o), at+json)
			}
			require.True(t, found, "%s%s is not open", at, json)
		}
	}
}

// pit is the open pit of a fortnight with a storm on two days.
func pit(t testing.TB, b volume.Basin, rain units.Length) *volume.OpenPitResult {
	day := func(d int) time.Time { return time.Date(2027, 5, d, 0, 0, 0, 0, time.UTC) }
	storm := volume.Weather{Rain: rain}
	r, err := volume.OpenPit(volume.OpenPitSpec{Basin: b, Start: day(1), Filled: day(14), Pump: 600 * units.GallonPerMinute, HoursPerDay: 8 * units.Hour, Months: make([]volume.Weather, 12),
		Days: []volume.DatedWeather{{Date: day(4), Weather: storm}, {Date: day(5), Weather: storm}}})
	require.NoError(t, err)
	return &r
}

// 3 in on two days after the draw-off are 6 in on the 34,500 ft2 inside the top of the
// bank: 17,250 ft3, 129,039 gal, at $14 per 1000 gal $1,807 (geometry).
func TestStormAfterTheDrawOff(t *testing.T) {
	spec := whole(t)
	spec.Pit = pit(t, spec.Basin, 0)
	before := plan(t, spec)
	spec.Pit = pit(t, spec.Basin, 3*units.Inch)
	after := plan(t, spec)
	for _, a := range alternatives {
		row := after.Of(a).Item("closing.dirtyWater")
		require.InDelta(t, 17250*7.480519, row.What.Value.(units.Volume).In(units.Gallon), 1)
		require.InDelta(t, 1807, row.Cost.Likely, 1)
		require.InDelta(t, row.Cost.Likely*1.1, after.Of(a).Cost.Likely-before.Of(a).Cost.Likely, 1e-6)
	}
}

// The demo's earthwork by hand (geometry): the pit up to the ground is 164 x 90 ft at the
// floor, 9 ft deep, with slopes of 5.5 along and 5 across together; the berm a ring of 3
// ft with a crest of 10 ft and slopes of 2.5 and 3 around 230 x 150 ft at its inner edge;
// the crown a hip over 213.5 x 135 ft.
func TestFillByHand(t *testing.T) {
	spec := whole(t)
	spec.Topsoil, spec.SoftFloor, spec.Pipes = nil, nil, nil
	o := plan(t, spec).Of(closing.AlternativeFill)
	const ft3 = 1 / 27.0
	near := func(what string, want float64, got units.Volume) {
		require.InEpsilon(t, want, got.In(yd3), 1e-9, what)
	}
	// V = LWh + (aW + bL)h²/2 + abh³/3
	pit := (164*90*9 + (5.5*90+5*164)*81/2 + 5.5*5*729/3) * ft3
	got, _ := o.Account.Placed("basin up to the ground")
	near("pit", pit, got)
	// A (2 (L + W) + 8 x): area 3 (10 + 3 x 2.75), centroid from the inner toe, which lies 7.5 ft inside the edge.
	area := 3 * (10 + 3*2.75)
	x := (7.5*3/2*5 + 30*12.5 + 13.5*(17.5+3)) / area
	berm := area * (2*(230+150) + 8*(x-7.5)) * ft3
	near("berm", berm, o.Berm.Volume)
	crown := 0.045 * 135 * 135 * (3*213.5 - 135) / 12 * ft3
	near("crown", crown, o.Crown.Build.Volume)
	// Soaked soil 6 in thick, up to 9 ft and to 10.5 ft: the solid behind less the basin,
	// the floor 6 in lower and larger by t/(sqrt(1+z²)+z) at each bank.
	e := func(z float64) float64 { return 0.5 / (math.Sqrt(1+z*z) + z) }
	box := func(l, w, h float64) float64 { return l*w*h + (5.5*w+5*l)*h*h/2 + 5.5*5*h*h*h/3 }
	layer := func(h float64) float64 {
		return (box(164+e(3)+e(2.5), 90+2*e(2.5), h+0.5) - box(164, 90, h)) * ft3
	}
	below, _ := o.Account.Placed("where soaked soil was dug out")
	near("soaked soil below the ground", layer(9), below)
	near("soaked soil", layer(10.5), o.Soaked.Volume)
	// What the berm gives, less its soaked face, at a shrink of 10 %; the rest is brought in,
	// loose 1.25/0.9 of what it fills, in loads of 14 yd3.
	short := pit + crown + layer(9) - (berm-layer(10.5)+layer(9))*0.9
	near("soil brought in", short/0.9*1.25, o.Account.Row("soil brought in").Import.Loose)
	require.Equal(t, int(math.Ceil(short/0.9*1.25/14)), o.Account.Row("soil brought in").ImportLoads)
	require.InEpsilon(t, short/0.9*1.25*7.5, o.Item("closing.fill.import").Cost.Likely, 1e-9)
	require.InEpsilon(t, short/0.9*1.25*7.5*1.5*1.1, o.Item("closing.fill.import").Cost.High, 1e-9) // dearer, and a tenth more of it
	require.InEpsilon(t, short/0.9*1.25*1.1, o.Item("closing.fill.import").High.(units.Shown).Quantity.(units.Volume).In(yd3), 1e-9)
	// 95 % of the density of the test leaves 5 % of the placed height to settle: over the
	// banks 0.95 x 0.045 - 0.05/2.5 is left.
	require.InDelta(t, 0.95*0.045-0.05/2.5, o.Crown.Left.GradeOverBank, 1e-12)
	require.True(t, o.Crown.Left.ShedsWater)
}

// Settlement of 8 % leaves the demo's crown too flat: it is built steeper, the soil and the
// cost follow, and the plan says so.
func TestCrownIsBuiltForItsSettlement(t *testing.T) {
	spec := whole(t)
	spec.Settlement = &earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign, Share: 0.05}
	five := plan(t, spec).Of(closing.AlternativeFill)
	require.NotContains(t, open(five), "closing.crown.grade")
	spec.Settlement.Share = 0.08
	eight := plan(t, spec).Of(closing.AlternativeFill)
	require.Contains(t, open(eight), "closing.crown.grade")

	// A settlement of the caller's that is less than the compaction may leave is asked about.
	spec = whole(t)
	spec.Settlement = &earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign, Share: 0.05}
	require.NotContains(t, open(plan(t, spec).Of(closing.AlternativeFill)), "closing.settlement.low")
	spec.Compaction.Percent = 0.92
	require.Contains(t, open(plan(t, spec).Of(closing.AlternativeFill)), "closing.settlement.low")
	require.True(t, eight.Crown.Left.ShedsWater)
	more := eight.Account.Row("soil brought in").Import.Compacted - five.Account.Row("soil brought in").Import.Compacted
	require.InEpsilon(t, float64(eight.Crown.Extra), float64(more), 1e-9)
	require.Greater(t, eight.Cost.Likely, five.Cost.Likely)
}

// Topsoil counts once: off the berm and the work area, back on the crown, where the berm
// stood and on the work area; and fill gives way to it under the finished grade.
func TestTopsoilIsCountedOnce(t *testing.T) {
	spec := whole(t)
	spec.Topsoil.WorkArea = 0.5 * units.Acre
	o := plan(t, spec).Of(closing.AlternativeFill)
	row := o.Account.Row("topsoil")
	strip := (o.Berm.Footprint + spec.Topsoil.WorkArea).Times(8 * units.Inch)
	back := (spec.Basin.AreaAt(9*ft) + o.Berm.Footprint + spec.Topsoil.WorkArea).Times(6 * units.Inch)
	require.InEpsilon(t, float64(strip), float64(row.Cut.Bank), 1e-9)
	require.InEpsilon(t, float64(back), float64(row.Placed.Bank), 1e-9)
	require.InEpsilon(t, float64(o.Berm.Volume-o.Berm.Footprint.Times(8*units.Inch)), float64(o.Account.Row("soil of the berm").Cut.Bank), 1e-9)
	crown, _ := o.Account.Placed("crown")
	require.InEpsilon(t, float64(o.Crown.Build.Volume-spec.Basin.AreaAt(9*ft).Times(6*units.Inch)), float64(crown), 1e-9)
	require.InEpsilon(t, float64(back)/float64(6*units.Inch), float64(o.Bare), 1e-9, "what topsoil covers is seeded")
	pond := plan(t, spec).Of(closing.AlternativePond)
	require.InEpsilon(t, 230*150-(164+5.5*9)*(90+5*9)+0.5*43560, pond.Bare.In(units.SquareFoot), 1e-9)
	spec.Topsoil = nil
	bare := plan(t, spec).Of(closing.AlternativeFill)
	crown, _ = bare.Account.Placed("crown")
	require.InEpsilon(t, float64(bare.Crown.Build.Volume), float64(crown), 1e-9)
}

// The borrow area has its own stripping and closing, and its topsoil is in the account.
func TestBorrowArea(t *testing.T) {
	spec := whole(t)
	spec.Borrow = &closing.Borrow{Depth: 8 * ft, Slope: 3, Topsoil: 8 * units.Inch}
	o := plan(t, spec).Of(closing.AlternativeFill)
	require.InEpsilon(t, float64(o.Account.Row("soil brought in").Import.Bank), float64(o.Borrow.Bank), 1e-9)
	back, _ := o.Account.Placed("topsoil back on the borrow area")
	require.InEpsilon(t, float64(o.Borrow.Stripped)*0.95, float64(back), 1e-9)
	require.Contains(t, o.Cautions, o.Borrow.Cautions[len(o.Borrow.Cautions)-1])
	require.Equal(t, spec.Prices.Borrow.Likely.Of(o.Account.Row("soil brought in").Import.Loose), o.Item("closing.fill.borrow").Cost.Likely)
	require.Zero(t, o.Item("closing.fill.import").Key)
}

// Every account of every outcome balances.
func TestAccountsBalance(t *testing.T) {
	for name, b := range basins(t) {
		for _, o := range plan(t, of(t, b)).Outcomes {
			if o.Account == nil {
				continue
			}
			for _, row := range o.Account.Rows {
				require.Less(t, row.Off(), 1e-9, "%s, %v, %s", name, o.Alternative, row.Name)
			}
		}
	}
}

// of is the whole closing of another basin.
func of(t testing.TB, b volume.Basin) closing.Spec {
	spec := whole(t)
	spec.Basin, spec.Ground, spec.HighestLevel = b, 0.75*b.Depth(), 0.9*b.Depth()
	spec.Berm.Sides[0].Height = b.Depth() - spec.Ground
	spec.Pond.WaterLevel = 0.7 * b.Depth()
	spec.Pond.Rinse, spec.Pond.Left = volume.Capacity(b)/10, volume.Capacity(b)/200
	spec.Pond.DepthRules = nil
	return spec
}

func basins(t testing.TB) map[string]volume.Basin {
	must := func(b volume.Basin, err error) volume.Basin {
		require.NoError(t, err)
		return b
	}
	box := whole(t).Basin
	ell := plane.Polygon{{}, {X: 70}, {X: 70, Y: 35}, {X: 35, Y: 35}, {X: 35, Y: 70}, {Y: 70}}
	levels := make([][]units.Length, 21)
	for i := range levels {
		levels[i] = make([]units.Length, 31)
		for j := range levels[i] {
			levels[i][j] = max(0, 3-units.Length(min(i, j, 20-i, 30-j))*0.8)
		}
	}
	return map[string]volume.Basin{
		"rectangular": box,
		"circular":    must(volume.NewBasin(context.Background(), volume.BasinSpec{Circular: &volume.CircularSpec{Diameter: 50, At: volume.ReferenceTop, Depth: 3, Slopes: []float64{2.5}}})),
		"L-shaped":    must(volume.NewBasin(context.Background(), volume.BasinSpec{Polygon: &volume.PolygonSpec{Outline: ell, At: volume.ReferenceTop, Depth: 3, Slopes: []float64{2.5}}})),
		"surveyed":    must(volume.NewBasin(context.Background(), volume.BasinSpec{Surveyed: &volume.SurveyedSpec{Areas: []volume.SurveyedArea{{Elevation: 0, Area: 800}, {Elevation: 1.5, Area: 1250}, {Elevation: 3, Area: 1800}}, Method: volume.MethodPrismoidal}})),
		"floor":       must(volume.NewBasin(context.Background(), volume.BasinSpec{Floor: &volume.FloorSpec{Grid: &volume.LevelGrid{StepX: 2, StepY: 2, Levels: levels}, Top: 3}})),
	}
}

// Every kind of basin is filled up to the ground with what its sections hold; those that do
// not know their outline ask for it, and then have a crown too.
func TestEveryKindOfBasin(t *testing.T) {
	outline := plane.Polygon{{}, {X: 45}, {X: 45, Y: 35}, {Y: 35}}
	for name, b := range basins(t) {
		spec := of(t, b)
		o := plan(t, spec).Of(closing.AlternativeFill)
		if name == "surveyed" || name == "floor" {
			require.Equal(t, closing.VerdictOpen, o.Verdict, name)
			require.Subset(t, open(o), []string{"closing.crown.outline", "closing.berm.plan"}, name)
			spec.Crown.Outline, spec.Crown.BankSlope = outline, 2.5
			spec.Berm.Line, spec.Berm.Plan = earthwork.BermLineInnerEdge, outline
			o = plan(t, spec).Of(closing.AlternativeFill)
		}
		require.Equal(t, closing.VerdictCan, o.Verdict, name)
		require.NotNil(t, o.Crown, name)
		require.NotNil(t, o.Berm, name)
		require.NotNil(t, o.Soaked, name)
		basin, _ := o.Account.Placed("basin up to the ground")
		crown, _ := o.Account.Placed("crown")
		cover := b.AreaAt(spec.Ground).Times(6 * units.Inch)
		require.InEpsilon(t, float64(b.VolumeAt(spec.Ground)+max(o.Crown.Build.Volume, cover)-cover), float64(basin+crown)+float64(max(cover-o.Crown.Build.Volume, 0)), 1e-9, name)
		require.Empty(t, o.Unpriced, name)
	}
}

// A rectangle given as a polygon is closed by the same figures.
func TestRectangleAsPolygon(t *testing.T) {
	box := plan(t, whole(t))
	spec := whole(t)
	var err error
	spec.Basin, err = volume.NewPolygon(volume.PolygonSpec{Outline: plane.Polygon{{}, {X: 230 * ft}, {X: 230 * ft, Y: 150 * ft}, {Y: 150 * ft}}, At: volume.ReferenceTop, Depth: 12 * ft, Slopes: []float64{2.5, 2.5, 2.5, 3}})
	require.NoError(t, err)
	poly := plan(t, spec)
	for _, a := range alternatives {
		require.Len(t, poly.Of(a).Items, len(box.Of(a).Items))
		require.InEpsilon(t, box.Of(a).Cost.Likely, poly.Of(a).Cost.Likely, 1e-6, a)
		require.InEpsilon(t, float64(box.Of(a).Hours), float64(poly.Of(a).Hours), 1e-6, a)
	}
}

// A breach without import is out where the outlet lies above what the berm fills, and the
// reason says how much soil would be missing.
func TestBreachThatDoesNotDrain(t *testing.T) {
	spec := whole(t)
	o := plan(t, spec).Of(closing.AlternativeBreach)
	require.Equal(t, closing.VerdictCan, o.Verdict)
	require.Zero(t, o.Account.Row("soil brought in").Import.Bank)
	// The soil of the berm stands in what was dug out and on the floor.
	left := (o.Account.Row("soil of the berm").Placed.Compacted - mustPlaced(o, "where soaked soil was dug out"))
	require.InEpsilon(t, float64(left), float64(spec.Basin.VolumeAt(o.FillLevel)), 1e-9)
	spec.Breach.Outlet = new(4 * ft)
	o = plan(t, spec).Of(closing.AlternativeBreach)
	require.Equal(t, closing.VerdictCannot, o.Verdict)
	need := spec.Basin.VolumeAt(4*ft+200*ft*0.01/2) - left
	require.Contains(t, o.Why.String(), need.Text(yd3, 0)+" more would have to be brought in")
	spec.Breach.Outlet = nil
	require.Equal(t, closing.VerdictOpen, plan(t, spec).Of(closing.AlternativeBreach).Verdict)
	spec.Answers["breach.allowed"] = false
	o = plan(t, spec).Of(closing.AlternativeBreach)
	require.Equal(t, closing.VerdictCannot, o.Verdict)
	require.Contains(t, o.Why.String(), "the state allows a breach")
}

func mustPlaced(o closing.Outcome, fill string) units.Volume {
	v, _ := o.Account.Placed(fill)
	return v
}

// The dilution of the refill by hand: 5,000 gal at 300 mg/L, 10 lb from the floor and clean
// water at 1 mg/L.
func TestPond(t *testing.T) {
	spec := whole(t)
	o := plan(t, spec).Of(closing.AlternativePond)
	require.Equal(t, closing.VerdictCan, o.Verdict)
	pond := spec.Basin.VolumeAt(9 * ft).In(units.Gallon)
	const perGallon = 3.785411784 // L
	mg := 5000*perGallon*300 + 10*453592.37 + (pond-5000)*perGallon*1
	require.InEpsilon(t, mg/(pond*perGallon), o.Pond.Steps[0].RefillN.In(units.MilligramPerLitre), 1e-9)
	spec.Pond.TargetN = 1.5 * units.MilligramPerLitre
	o = plan(t, spec).Of(closing.AlternativePond)
	require.Equal(t, closing.VerdictCannot, o.Verdict)
	require.Contains(t, o.Why.String(), "after 3 rinses")
	require.InEpsilon(t, float64(3*spec.Pond.Rinse), float64(o.Pond.RinseWater), 1e-12)
	spec.Pond.TargetN, spec.Pond.DepthRules[0].Share = 30*units.MilligramPerLitre, 0.95
	require.Contains(t, plan(t, spec).Of(closing.AlternativePond).Why.String(), "depth of the pond standard")
}

// A liner that stays under soil is pierced, or the alternative is out; the risk is told.
func TestLinerThatStays(t *testing.T) {
	spec := whole(t)
	spec.Liner = &closing.Liner{Way: closing.LinerWayPierce, Ways: &earthwork.DrainSpec{Kind: earthwork.DrainKindHoles, Size: 3 * ft, Spacing: 25 * ft, Depth: 3 * ft}}
	o := plan(t, spec).Of(closing.AlternativeFill)
	require.Contains(t, fmt.Sprint(o.Cautions), "holds the rain that seeps in")
	require.Contains(t, open(o), "closing.answers.liner.stays")
	require.InEpsilon(t, 164*90, o.Drain.Floor.In(units.SquareFoot), 1e-9)
	spec.Answers["liner.stays"] = false
	require.Equal(t, closing.VerdictCannot, plan(t, spec).Of(closing.AlternativeFill).Verdict)
	spec.Answers["liner.stays"] = true
	spec.Liner = &closing.Liner{Way: closing.LinerWayLeave}
	o = plan(t, spec).Of(closing.AlternativeFill)
	require.Equal(t, closing.VerdictCannot, o.Verdict)
	require.Equal(t, closing.VerdictCan, plan(t, spec).Of(closing.AlternativePond).Verdict)
}

// Figures alone are those of the whole, of the chosen alternative.
func TestFigures(t *testing.T) {
	for _, a := range alternatives {
		spec := whole(t)
		spec.Chosen = a
		spec.Pit = pit(t, spec.Basin, 3*units.Inch)
		want := plan(t, spec).Of(a)
		spec.Figures = true
		got := plan(t, spec)
		require.Len(t, got.Outcomes, 1)
		require.NotEmpty(t, want.Tasks)
		want.Tasks, want.Evidence, want.Open, want.Cautions = nil, nil, nil, nil
		want.Conditions, want.Stays, want.PerUnit, want.Levels, want.Section, want.Grounds = nil, nil, nil, nil, nil, nil
		require.Equal(t, want, got.Of(a))
	}
}

// Tasks need only tasks that come before them; every one that digs says what a trench and
// the gas can do.
func TestTasks(t *testing.T) {
	spec := whole(t)
	spec.Borrow = &closing.Borrow{Depth: 8 * ft, Slope: 3}
	spec.After = []stage.Need{{Key: "removal.dig"}}
	spec.Pit = pit(t, spec.Basin, 3*units.Inch)
	for _, o := range plan(t, spec).Outcomes {
		seen := map[string]bool{"removal.dig": true}
		for _, k := range o.Tasks {
			require.False(t, seen[k.Key], k.Key)
			for _, n := range k.Needs {
				require.True(t, seen[n.Key], "%v: %s needs %s", o.Alternative, k.Key, n.Key)
				require.LessOrEqual(t, n.Least, n.Likely)
				require.Equal(t, n.Key == "closing.locate", n.Life == 14)
			}
			seen[k.Key] = true
			text := strings.Join(k.Cautions, " ")
			if slices.Contains([]string{"closing.pipes", "closing.soaked", "closing.fill", "closing.borrow"}, k.Key) {
				require.Contains(t, text, "1926.65", "%v: %s", o.Alternative, k.Key)
			}
			if slices.Contains([]string{"closing.pipes", "closing.soaked", "closing.fill", "closing.inspect", "closing.confirm"}, k.Key) {
				require.Contains(t, text, "hydrogen sulfide", "%v: %s", o.Alternative, k.Key)
			}
		}
		for _, e := range o.Evidence {
			require.True(t, seen[e.Task], "%v: %s hangs on %s", o.Alternative, e.Key, e.Task)
			require.NotEmpty(t, e.Source)
		}
		var hours units.Duration
		for _, i := range o.Items {
			hours += i.Hours
		}
		require.Equal(t, hours, o.Hours)
		require.NotEmpty(t, o.Stays)
		for _, c := range o.Conditions {
			require.Equal(t, c.Met == nil, slices.Contains(open(o), "closing.answers."+c.Key), c.Key)
		}
		require.Contains(t, fmt.Sprint(o.Stays), "inlet from the barn, plugged")
	}
}

// Costs have low, likely and high in order, add up, and stand over what a bid names.
func TestMoney(t *testing.T) {
	for _, o := range plan(t, whole(t)).Outcomes {
		require.Empty(t, o.Unpriced)
		var sum, cont stage.Cost
		for _, i := range o.Items {
			require.LessOrEqual(t, i.Cost.Low, i.Cost.Likely, i.Key)
			require.LessOrEqual(t, i.Cost.Likely, i.Cost.High, i.Key)
			if i.Key == "closing.contingency" {
				cont = *i.Cost
				require.InEpsilon(t, 0.1*sum.Likely, cont.Likely, 1e-9)
				require.InEpsilon(t, 0.15*sum.High, cont.High, 1e-9)
			}
			sum = *sum.Plus(i.Cost)
		}
		require.Equal(t, sum, o.Cost)
		found := false
		for _, f := range o.PerUnit {
			if f.Key == "closing.perArea" {
				found = true
				require.InEpsilon(t, o.Cost.Likely, f.Likely.(units.Price[units.Area]).Of(34500*units.SquareFoot), 1e-9)
			}
		}
		require.True(t, found)
	}
}

// Whatever is wrong is told in one round, at its path in the file.
func TestAllFaultsInOneRound(t *testing.T) {
	spec := whole(t)
	spec.Soil = &earthwork.SoilSpec{Swell: new(9.0)}
	spec.Topsoil.Strip = -1
	spec.Soaked.Thickness = 0
	spec.Liner.Way = 7
	spec.Pipes[0].Plug.Plugs = 0
	spec.Pipes[1].Dig.BottomWidth = -1
	spec.Berm.Sides[0].CrestWidth = -1
	spec.Prices.Dig = stage.Between(units.PricePer(5, yd3), units.PricePer(4, yd3), units.PricePer(3, yd3))
	spec.Prices.Contingency = stage.Exactly(2.0)
	spec.Rates.Dig = -1
	spec.LabDays = closing.Days{Least: 5, Likely: 3}
	spec.Crown.LeastGrade, spec.Compaction.Passes, spec.SoftFloor.Thickness, spec.Breach.SideSlope, spec.Pond.TargetN = 0, 0, 0, -1, 0
	spec.Settlement = &earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign, Share: 3}
	spec.Borrow = &closing.Borrow{}
	spec.Answers["pond.fish"] = true
	_, err := closing.Plan(spec)
	got := fields(err)
	for _, want := range []string{"soil.swell", "topsoil.strip", "soaked.thickness", "liner.way", "rates.dig", "labDays.likely", "prices.dig.low", "prices.dig.high", "prices.contingency"} {
		require.Contains(t, got, want)
	}
	for _, want := range []string{"pipes[0].plug.plugs", "pipes[1].trench.bottomWidth", "berm.sides[0].crestWidth", "softFloor.thickness", "crown.leastGrade", "compaction.passes", "breach.sideSlope", "pond.targetN",
		"settlement.share", "borrow.depth", `answers["pond.fish"]`} {
		require.Contains(t, got, want)
	}
	require.Len(t, slices.Compact(slices.Sorted(slices.Values(got))), len(got), "each once: %v", got)
}

// What the spec says of berm and areas has to fit the basin.
func TestPartsFitTheBasin(t *testing.T) {
	spec := whole(t)
	spec.Berm.Line, spec.Berm.Length, spec.Berm.Width = earthwork.BermLineInnerEdge, 230*ft, 150*units.Metre
	spec.Topsoil.WorkArea = 20 * units.Acre
	spec.SoftFloor.Area = 2 * units.Acre
	spec.Liner = &closing.Liner{Way: closing.LinerWayPierce, Ways: &earthwork.DrainSpec{Kind: earthwork.DrainKindHoles, Area: 3 * units.Acre, Size: 3 * ft, Spacing: 25 * ft, Depth: 3 * ft}}
	_, err := closing.Plan(spec)
	require.Equal(t, []string{"berm.width"}, fields(err))
	spec.Berm.Width = 150 * ft
	_, err = closing.Plan(spec)
	require.Equal(t, []string{"topsoil.workArea", "liner.ways.area", "softFloor.area"}, fields(err))
}

// A spec comes back from a file as it went in, and gives the same plan; a result can be
// written.
func TestSpecSurvivesJSON(t *testing.T) {
	spec := whole(t)
	spec.Borrow = &closing.Borrow{Depth: 8 * ft, Slope: 3}
	spec.Berm.Line = earthwork.BermLineInnerEdge
	text, err := json.Marshal(spec)
	require.NoError(t, err)
	var back closing.Spec
	require.NoError(t, strict.Decode(text, &back))
	back.Basin = spec.Basin
	want, err := json.Marshal(plan(t, spec))
	require.NoError(t, err)
	got, err := json.Marshal(plan(t, back))
	require.NoError(t, err)
	require.JSONEq(t, string(want), string(got))
}

// The file beside the tests is the whole closing as people write it.
func TestFile(t *testing.T) {
	text, err := os.ReadFile("testdata/whole.json")
	require.NoError(t, err)
	var spec closing.Spec
	require.NoError(t, strict.Decode(text, &spec))
	spec.Basin = whole(t).Basin
	got, want := plan(t, spec), plan(t, whole(t))
	for _, a := range alternatives {
		require.InEpsilon(t, want.Of(a).Cost.Likely, got.Of(a).Cost.Likely, 1e-9)
		require.InEpsilon(t, want.Of(a).Cost.High, got.Of(a).Cost.High, 1e-9)
		require.InEpsilon(t, float64(want.Of(a).Hours), float64(got.Of(a).Hours), 1e-9)
		require.Equal(t, want.Of(a).Open, got.Of(a).Open)
	}
}
