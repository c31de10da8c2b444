package earthwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestSoilKeepsItsMass(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		swell, shrink := plantest.Between(r, 0, 2), plantest.Between(r, -1, 0.9)
		s, err := NewSoil(SoilSpec{Swell: &swell, Shrink: &shrink})
		require.NoError(t, err)
		v := units.Volume(plantest.Between(r, 0, 1e6))
		w := v
		for _, step := range [][2]State{{StateBank, StateLoose}, {StateLoose, StateCompacted}, {StateCompacted, StateBank}} {
			w, err = s.Convert(w, step[0], step[1])
			require.NoError(t, err)
		}
		require.InEpsilon(t, v.SI(), w.SI(), 1e-12)
		direct, err := s.Convert(v, StateLoose, StateCompacted)
		require.NoError(t, err)
		require.InEpsilon(t, v.SI()*(1-shrink)/(1+swell), direct.SI(), 1e-12)
	}
}

func TestSoilByDensity(t *testing.T) {
	// 3000 lb/yd3 in place, 2400 loose, 3200 compacted.
	lb := units.TonPerCubicYard / 2000
	s, err := NewSoil(SoilSpec{BankDensity: 3000 * lb, LooseDensity: 2400 * lb, CompactedDensity: 3200 * lb})
	require.NoError(t, err)
	loose, err := s.Convert(100, StateBank, StateLoose)
	require.NoError(t, err)
	require.InDelta(t, 125, loose.SI(), 1e-9)
	compacted, err := s.Convert(100, StateBank, StateCompacted)
	require.NoError(t, err)
	require.InDelta(t, 93.75, compacted.SI(), 1e-9)
	// A bank density with a swell gives the loose density for the payload.
	l, err := Loads(LoadsSpec{Volume: 100 * units.CubicYard, State: StateBank, Soil: SoilSpec{Swell: new(0.25), BankDensity: 3000 * lb}, Truck: TruckSpec{Volume: 20 * units.CubicYard, Payload: 15 * units.Ton}})
	require.NoError(t, err)
	require.Equal(t, 7, l.ByVolume)
	require.Equal(t, 10, l.ByMass)
	require.Equal(t, 10, l.Loads)
	require.InDelta(t, 150, l.Mass.In(units.Ton), 1e-9)
}

func TestSoilFaults(t *testing.T) {
	for _, tt := range []struct {
		spec SoilSpec
		want string
	}{
		{SoilSpec{}, "swell: missing"},
		{SoilSpec{Class: 99}, "class: "},
		{SoilSpec{Class: SoilClassDenseClay, Swell: new(0.3)}, `swell: got 2 sources`},
		{SoilSpec{Swell: new(math.NaN())}, "swell: got NaN"},
		{SoilSpec{Shrink: new(1.0)}, "shrink: got 1, want -1 to 0.9"},
		{SoilSpec{LooseDensity: 1200}, "swell: missing"},
		{SoilSpec{CompactedDensity: 1200, Swell: new(0.1)}, "bankDensity: missing"},
		{SoilSpec{BankDensity: units.Density(math.Inf(1)), Swell: new(0.1)}, "bankDensity"},
		{SoilSpec{LooseDensity: -1, Swell: new(0.1)}, "looseDensity"},
		{SoilSpec{Swell: new(2.01)}, "swell: got 2.01, want 0 to 2"},
		{SoilSpec{Swell: new(-0.01)}, "swell: got -0.01, want 0 to 2"},
		{SoilSpec{Shrink: new(-1.01)}, "shrink: got -1.01, want -1 to 0.9"},
		{SoilSpec{Shrink: new(0.91)}, "shrink: got 0.91, want -1 to 0.9"},
		{SoilSpec{BankDensity: 1500, CompactedDensity: -1, Swell: new(0.1)}, "compactedDensity"},
		{SoilSpec{BankDensity: 1500, LooseDensity: 1800}, "swell: got -0.16"},
	} {
		_, err := NewSoil(tt.spec)
		require.ErrorContains(t, err, tt.want)
	}
	clay, err := NewSoil(SoilSpec{Class: SoilClassDenseClay})
	require.NoError(t, err)
	_, err = clay.Convert(1, StateBank, StateCompacted)
	require.EqualError(t, err, "shrink: missing; want the shrink of this soil, to count it compacted")
	_, err = clay.Convert(units.Volume(math.NaN()), 0, 7)
	require.ErrorContains(t, err, "volume")
	require.ErrorContains(t, err, "from")
	require.ErrorContains(t, err, "to")
	for _, ends := range [][2]float64{{0, -1}, {2, 0.9}} {
		_, err := NewSoil(SoilSpec{Swell: &ends[0], Shrink: &ends[1]})
		require.NoError(t, err)
	}
	for i, row := range SoilTable() {
		require.Equal(t, SoilClass(i+1), row.Class)
		require.NotEmpty(t, row.Source)
		*row.Swell = 9 // a copy: the table stays as it is
		_, err := NewSoil(SoilSpec{Class: row.Class})
		require.NoError(t, err)
	}
}

// Loads by volume and by mass, at a whole number of them and just above it.
func TestLoadsAtWholeNumbers(t *testing.T) {
	soil := SoilSpec{Swell: new(0.25), LooseDensity: 1600}
	for _, c := range []struct {
		volume                 units.Volume
		payload                units.Mass
		byVolume, byMass, most int
	}{
		{80, 0, 10, 0, 10}, // 100 m3 loose, 10 m3 each
		{80.001, 0, 11, 0, 11},
		{80, 16000, 10, 10, 10},    // 160 t, 16 t each
		{80, 15900, 10, 11, 11},    // the mass counts
		{80.001, 32000, 11, 6, 11}, // the volume counts
		{0, 16000, 0, 0, 0},
		{0.001, 16000, 1, 1, 1},
	} {
		got, err := Loads(LoadsSpec{Volume: c.volume, State: StateBank, Soil: soil, Truck: TruckSpec{10, c.payload}})
		require.NoError(t, err)
		require.Equal(t, []int{c.byVolume, c.byMass, c.most}, []int{got.ByVolume, got.ByMass, got.Loads}, "%v m3, %v kg", c.volume, c.payload)
		require.InDelta(t, 1.25*c.volume.SI(), got.Loose.SI(), 1e-9)
		if c.payload > 0 {
			require.InDelta(t, 1.25*1600*c.volume.SI(), got.Mass.SI(), 1e-6)
		} else {
			require.Zero(t, got.Mass)
		}
	}
	_, err := Loads(LoadsSpec{Volume: 1, State: StateBank, Soil: SoilSpec{Swell: new(0.25)}, Truck: TruckSpec{10, 1}})
	plantest.RequireFields(t, err, "soil.looseDensity")
}

// The loose density for the payload is the one given, or that in place less the swell.
func TestSoilWorkingSaysWhere(t *testing.T) {
	s, err := NewSoil(SoilSpec{BankDensity: 2000, LooseDensity: 1600, CompactedDensity: 2500})
	require.NoError(t, err)
	require.Equal(t, units.Density(1600), s.looseDensity)
	require.Len(t, s.Working(), 2)
	s, err = NewSoil(SoilSpec{BankDensity: 2000, Swell: new(0.25)})
	require.NoError(t, err)
	require.InDelta(t, 1600, float64(s.looseDensity), 1e-9)
	s, err = NewSoil(SoilSpec{BankDensity: 2000, CompactedDensity: 2500})
	require.NoError(t, err)
	require.Zero(t, s.looseDensity)
	require.Equal(t, 0.2, math.Round(*s.shrink*1e9)/1e9)
	for i, row := range SoilTable() {
		require.Equal(t, soilTable[i].Source, row.Source)
	}
}

// A count is rounded up, but noise of a billionth over or under a whole number is none.
func TestCountsRoundUp(t *testing.T) {
	for x, want := range map[float64]int{0: 0, 1e-10: 0, 1e-8: 1, 0.3: 1, 1: 1, 1 + 1e-10: 1, 1 + 1e-8: 2, 2 - 1e-10: 2, 2.1: 3, 2.5: 3, 2.9: 3, 3e8 + 0.2: 3e8, 3e8 + 0.4: 3e8 + 1, 3e8 - 0.4: 3e8} {
		require.Equal(t, want, ceil(x), "%v", x)
	}
}

// The factors as printed, each in its column: 100 in place give 111 loose and 95 compacted;
// swell 15 % and a shrink factor of 0.95; swell 30 % and no shrink (sources at the rows).
func TestSoilTableIsAsPrinted(t *testing.T) {
	want := []SoilRow{{Class: SoilClassSandOrGravel, Swell: new(0.11), Shrink: new(0.05)}, {Class: SoilClassSandGravelMix, Swell: new(0.15), Shrink: new(0.05)}, {Class: SoilClassDenseClay, Swell: new(0.3)}}
	got := SoilTable()
	for i := range got {
		require.NotEmpty(t, got[i].Source)
		got[i].Source = ""
	}
	require.Equal(t, want, got)
}
