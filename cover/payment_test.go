package cover_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

func TestPaymentAndBids(t *testing.T) {
	pay := func(p cover.PartialAcres, acres float64) units.Area {
		r, err := cover.Payment(cover.PaymentSpec{Acres: p, Scenarios: []cover.PaymentScenario{{Name: "a", Rate: units.PricePer(100.0, units.Acre), Area: units.Area(acres) * units.Acre, Share: 1}}})
		require.NoError(t, err)
		return r.Rows[0].Counted
	}
	for _, c := range []struct {
		p           cover.PartialAcres
		acres, want float64
	}{
		{cover.PartialAcresExact, 2.37, 2.37}, {cover.PartialAcresTenth, 2.37, 2.4}, {cover.PartialAcresTenth, 2.35, 2.4}, {cover.PartialAcresTenthUp, 2.31, 2.4}, {cover.PartialAcresTenthUp, 2.3, 2.3},
		{cover.PartialAcresTenthDown, 2.37, 2.3}, {cover.PartialAcresTenthDown, 2.3, 2.3}, {cover.PartialAcresWholeDown, 2.99, 2}, {cover.PartialAcresWholeDown, 3, 3},
	} {
		require.InDelta(t, c.want, pay(c.p, c.acres).In(units.Acre), 1e-12, "%v %v", c.p, c.acres)
	}
	// Tenths and halves of tenths of any area, which lose a last digit in other units.
	for k := 1; k < 400; k++ {
		tenths := float64(k) / 10
		for _, p := range []cover.PartialAcres{cover.PartialAcresTenth, cover.PartialAcresTenthUp, cover.PartialAcresTenthDown} {
			require.InDelta(t, tenths, pay(p, tenths).In(units.Acre), 1e-9, "%v", p)
		}
		require.InDelta(t, float64(k/10), pay(cover.PartialAcresWholeDown, tenths).In(units.Acre), 1e-9)
		require.InDelta(t, tenths+0.1, pay(cover.PartialAcresTenth, tenths+0.05).In(units.Acre), 1e-9)
		require.InDelta(t, tenths, pay(cover.PartialAcresTenth, tenths+0.0499).In(units.Acre), 1e-9)
		require.InDelta(t, tenths+0.1, pay(cover.PartialAcresTenthUp, tenths+0.0001).In(units.Acre), 1e-9)
		require.InDelta(t, tenths, pay(cover.PartialAcresTenthDown, tenths+0.0999).In(units.Acre), 1e-9)
	}
	spec := cover.PaymentSpec{Cost: 900, WithinCost: true, Cap: 1200, Scenarios: []cover.PaymentScenario{
		{Name: "seeding", Rate: units.PricePer(400.0, units.Acre), Area: 2 * units.Acre, Share: 0.75, Cap: 500},
		{Name: "mulch", Rate: units.PricePer(300.0, units.Acre), Area: 3 * units.Acre, Share: 1},
	}}
	r, err := cover.Payment(spec)
	require.NoError(t, err)
	require.Equal(t, 1400.0, math.Round(r.Sum))
	require.Equal(t, "cost", r.Limit)
	require.Zero(t, r.Net)
	spec.WithinCost = false
	r, err = cover.Payment(spec)
	require.NoError(t, err)
	require.Equal(t, "cap", r.Limit)
	require.InDelta(t, -300, r.Net, 1e-9)
	r, err = cover.Payment(cover.PaymentSpec{Cost: 2000, Scenarios: []cover.PaymentScenario{{Name: "pipe", Cost: 2000, Share: 0.6, Cap: 1500}}})
	require.NoError(t, err)
	require.InDelta(t, 1200, r.Payment, 1e-9)
	require.InDelta(t, 0.6, r.ShareOfCost, 1e-12)
	_, err = cover.Payment(cover.PaymentSpec{Scenarios: []cover.PaymentScenario{{Name: "a", Cost: 5, Area: 1, Share: 1}, {Name: "b", Cost: -5, Share: 1}}})
	require.Equal(t, []string{"scenarios[0].cost", "scenarios[1].cost"}, fields(err))
	_, err = cover.Payment(cover.PaymentSpec{Cap: -1, Cost: math.NaN(), Acres: 9, Scenarios: []cover.PaymentScenario{{}}})
	require.Equal(t, []string{"acres", "cap", "cost", "scenarios[0].name", "scenarios[0].rate", "scenarios[0].area", "scenarios[0].share"}, fields(err))

	p := func(x float64) *float64 { return &x }
	b, err := cover.Bids(cover.BidsSpec{
		Items: []cover.BidItem{{Name: "fill", Quantity: 1000, Unit: "yd3"}, {Name: "seeding", Quantity: 2, Unit: "acre"}},
		Bids: []cover.Bid{
			{Bidder: "north", UnitPrices: []*float64{p(4), p(500)}, Stated: 5000},
			{Bidder: "south", UnitPrices: []*float64{p(3.5), p(600)}, Stated: 4800},
			{Bidder: "east", UnitPrices: []*float64{p(3), nil}},
		}, Payment: 1000, Area: 2 * units.Acre,
	})
	require.NoError(t, err)
	require.Equal(t, "south", b.Lowest)
	require.Equal(t, []string{"south", "north", "east"}, []string{b.Rows[0].Bidder, b.Rows[1].Bidder, b.Rows[2].Bidder})
	require.Equal(t, []string{"seeding"}, b.Rows[2].Missing)
	require.InDelta(t, 100, b.Rows[0].StatedOff, 1e-9)
	require.InDelta(t, 300, b.Rows[1].Above, 1e-9)
	require.InDelta(t, 3700, b.Rows[0].Net, 1e-9)
	require.InDelta(t, 2350, b.Rows[0].PerArea.Of(units.Acre), 1e-9)
	_, err = cover.Bids(cover.BidsSpec{Items: []cover.BidItem{{}}, Bids: []cover.Bid{{UnitPrices: []*float64{p(-1), nil}}}})
	require.Equal(t, []string{"items[0].name", "items[0].unit", "items[0].quantity", "bids[0].bidder", "bids[0].unitPrices"}, fields(err))
	_, err = cover.Bids(cover.BidsSpec{Items: []cover.BidItem{{Name: "grading", Quantity: 1, Unit: "acre"}},
		Bids: []cover.Bid{{Bidder: "north", UnitPrices: []*float64{p(1)}}, {Bidder: "north", UnitPrices: []*float64{p(2)}}}})
	require.EqualError(t, err, `bids[1].bidder: got "north", want one that no other bid has`)
}

// A cost per area is that of any area, also of a square foot, and 0 without one.
func TestBidsPerArea(t *testing.T) {
	for area, want := range map[units.Area]float64{2 * units.Acre: 450, units.SquareFoot: 900 * 43560, 0: 0} {
		b, err := cover.Bids(cover.BidsSpec{Items: []cover.BidItem{{Name: "seeding", Quantity: 3, Unit: "acre"}}, Bids: []cover.Bid{{Bidder: "north", UnitPrices: []*float64{new(300.0)}}}, Area: area})
		require.NoError(t, err)
		require.InDelta(t, want, b.Rows[0].PerArea.Of(units.Acre), 1e-9*want)
	}
}
