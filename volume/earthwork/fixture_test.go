package earthwork

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/cautions"
)

const ft = units.Foot

func anySoil() SoilSpec { return SoilSpec{Swell: new(0.25), Shrink: new(0.1)} }

// Who digs, pierces or fills is told what can hurt.
func TestCautions(t *testing.T) {
	trench := func(depth units.Length) []string {
		r, err := Trench(TrenchSpec{Points: []TrenchPoint{{0, depth}, {10, depth}}, BottomWidth: 1, Method: volume.MethodPrismoidal, Soil: anySoil()})
		require.NoError(t, err)
		return r.Cautions
	}
	require.NotContains(t, trench(3.9*ft), cautions.WayOut)
	require.Contains(t, trench(4*ft), cautions.WayOut)
	require.NotContains(t, trench(4.9*ft), cautions.CaveIn)
	require.Contains(t, trench(5*ft), cautions.CaveIn)
	require.NotContains(t, trench(19*ft), cautions.Design)
	require.Contains(t, trench(20*ft), cautions.Design)
	require.Contains(t, trench(ft), cautions.Services)
	berm, err := Berm(BermSpec{Line: BermLineInnerToe, Length: 9, Width: 9, Sides: []BermSection{{Height: 1, CrestWidth: 1}}})
	require.NoError(t, err)
	require.Subset(t, berm.Cautions, []string{cautions.Banks, cautions.Impound})
	drain, err := Drain(DrainSpec{Kind: DrainKindHoles, Area: 900, Size: 1, Spacing: 10, Depth: 1})
	require.NoError(t, err)
	require.Contains(t, drain.Cautions, cautions.Regulator)
	plug, err := Plug(PlugSpec{Inside: 1, PlugLength: 1, Plugs: 1})
	require.NoError(t, err)
	require.Contains(t, plug.Cautions, cautions.Pipes)
}

// Specs of zero value and of numbers that are none are refused; nothing panics.
func TestEarthworkRefusesNothingAndNonsense(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, err := range map[string]error{
		"Account":        second(Account(AccountSpec{})),
		"Berm":           second(Berm(BermSpec{})),
		"Breach":         second(Breach(BreachSpec{})),
		"Crown":          second(Crown(CrownSpec{})),
		"CrestWidth":     second(CrestWidth(0)),
		"Drain":          second(Drain(DrainSpec{})),
		"FitPlane":       second(FitPlane(FitPlaneSpec{})),
		"Loads":          second(Loads(LoadsSpec{})),
		"Overbuild":      second(Overbuild(OverbuildSpec{})),
		"Pipe":           second(Pipe(PipeSpec{})),
		"Plug":           second(Plug(PlugSpec{})),
		"SettledCrown":   second(SettledCrown(SettledCrownSpec{})),
		"Trench":         second(Trench(TrenchSpec{})),
		"rolled nan":     second(RolledSettlement(RolledSettlementSpec{units.Length(nan), 0.2})),
		"rolled shrink":  second(RolledSettlement(RolledSettlementSpec{1, nan})),
		"overbuild nan":  second(Overbuild(OverbuildSpec{1, 0, SettlementSpec{SettlementRulePlaced, nan}})),
		"overbuild one":  second(Overbuild(OverbuildSpec{1, 0, SettlementSpec{SettlementRulePlaced, 1}})),
		"plug nan":       second(Plug(PlugSpec{units.Length(nan), 1, 1, nan, units.Volume(inf), 0})),
		"loads nan":      second(Loads(LoadsSpec{1, StateBank, anySoil(), TruckSpec{units.Volume(nan), units.Mass(inf)}})),
		"trench order":   second(Trench(TrenchSpec{Points: []TrenchPoint{{1, 1}, {1, 1}}, Method: volume.MethodPrismoidal, BottomWidth: 1, Soil: anySoil()})),
		"trench station": second(Trench(TrenchSpec{Points: []TrenchPoint{{units.Length(nan), 1}, {1, 1}}, Method: volume.MethodPrismoidal, BottomWidth: 1, Soil: anySoil()})),
	} {
		require.NotEmpty(t, units.FieldErrors(err), name)
	}
}

func second[T any](_ T, err error) error { return err }

// Specs read from JSON are what was written, and enumerations refuse other names.
func TestEarthworkJSON(t *testing.T) {
	spec := AccountSpec{
		Soils: []AccountSoil{{Name: "clay", Soil: SoilSpec{Class: SoilClassDenseClay, Shrink: new(0.1)}, Cuts: []EarthPart{{"berm", 10 * units.CubicYard, StateBank, units.CubicYard}}}},
		Fills: []AccountFill{{"basin", 20 * units.CubicYard, StateCompacted, []string{"clay"}}},
		Truck: &TruckSpec{Volume: 7 * units.CubicYard},
	}
	text, err := json.Marshal(spec)
	require.NoError(t, err)
	var back AccountSpec
	require.NoError(t, strict.Decode(text, &back))
	require.Empty(t, cmp.Diff(spec, back))
	require.Error(t, strict.Decode([]byte(`{"soils":[{"soil":{"class":"mud"}}]}`), &back))
	berm := BermSpec{Line: BermLineInnerEdge, Plan: plane.Polygon{{}, {X: 3}, {Y: 4}}, Sides: []BermSection{{1, 2, 3, 4}}}
	text, err = json.Marshal(berm)
	require.NoError(t, err)
	var got BermSpec
	require.NoError(t, strict.Decode(text, &got))
	require.Empty(t, cmp.Diff(berm, got))
	text, err = json.Marshal(BermSpec{}) // where a plan sets the line, a file leaves it out
	require.NoError(t, err)
	require.NotContains(t, string(text), "line")
	_, err = Berm(BermSpec{Plan: berm.Plan, Sides: berm.Sides})
	require.ErrorContains(t, err, "line: missing")
}
