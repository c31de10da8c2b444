package plan_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Ground is bare from the first stripping on until a cover is in, and loses each day the
// month's share of the year's loss: A = R K LS C P (Agriculture Handbook 703), by hand with
// the demo's R 150, K 0.32, C and P 1 and its monthly shares.
func TestBareGroundLosesSoilFromTheFirstStripping(t *testing.T) {
	r := read(t, nil)
	b := r.Cover.Bare
	require.NotNil(t, b)
	strip, _ := r.Calendar.Row("closing.strip")
	cover, _ := r.Calendar.Row("cover.temporary")
	require.Equal(t, strip.Likely.Start, b.From)
	require.Equal(t, cover.Likely.End.Plus(-1), b.To)
	require.Equal(t, time.Time(b.From).Month(), r.Cover.SoilLoss.Spec.Begin)
	shares := [12]float64{0.02, 0.02, 0.04, 0.07, 0.12, 0.17, 0.18, 0.15, 0.1, 0.06, 0.04, 0.03}
	days := [12]float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	lost := 0.0
	for d := time.Time(b.From); !d.After(time.Time(b.To)); d = d.AddDate(0, 0, 1) {
		lost += 150 * 0.32 * r.Cover.SoilLoss.Spec.LS * shares[d.Month()-1] / days[d.Month()-1]
	}
	require.InEpsilon(t, lost, b.Lost.In(units.TonPerAcre), 1e-9)
	require.InEpsilon(t, lost*r.Cover.Area.In(units.Acre), b.Mass.In(units.Ton), 1e-9)
}

// A crop that stands closes its field, and where nobody says what stands the producer is
// asked before anything is spread.
func TestStandingCropIsAskedFor(t *testing.T) {
	asked := func(changes map[string]any) bool {
		for _, o := range read(t, changes).Open {
			if o.Key == "land.standing" {
				require.True(t, o.Stops)
				return true
			}
		}
		return false
	}
	require.False(t, asked(nil))
	require.True(t, asked(map[string]any{"land.fields.1.nothingStands": nil}))
	require.False(t, asked(map[string]any{"land.fields.1.nothingStands": nil, "land.fields.1.crops.0.planted": "2025-04-01", "land.fields.1.crops.0.harvested": "2026-06-20"}))
	r := read(t, map[string]any{"land.fields.0.crops.1.harvested": "2026-07-20"})
	for i := range r.Fields.Windows {
		w := &r.Fields.Windows[i]
		for k, d := range w.Days {
			if w.Field == "Home Forty" && time.Time(w.From.Plus(k)).Before(time.Date(2026, 7, 21, 0, 0, 0, 0, time.UTC)) {
				require.False(t, d.Fit, "wheat stands on %v", w.From.Plus(k))
			}
		}
	}
}
