package units_test

import (
	"database/sql/driver"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// quantity is what every type with units of its own has.
type quantity[Q any] interface {
	units.Quantity
	~float64
	In(Q) float64
	Text(Q, int) string
	Trade() string
	AppendText([]byte) ([]byte, error)
	Value() (driver.Value, error)
}

// everyWay shows a quantity in every way and reads it back from each: as it is held, in
// one of its units, as the trade writes it, and from a database.
func everyWay[Q quantity[Q], P interface {
	*Q
	UnmarshalText([]byte) error
	Scan(any) error
}](t *testing.T, list ...Q) {
	for _, unit := range list {
		for _, n := range []float64{0, 1, 12.3456, 98765.4321, 0.034567} {
			q := Q(n) * unit
			name := fmt.Sprintf("%T %v of %v", q, n, unit.SI())
			read := func(text string) float64 {
				var back Q
				require.NoError(t, P(&back).UnmarshalText([]byte(text)), "%s: %q", name, text)
				return back.SI()
			}
			require.Equal(t, float64(q), q.SI(), name)
			require.InDelta(t, n, q.In(unit), 1e-12*math.Abs(n), name)
			require.InDelta(t, n*unit.SI()/list[0].SI(), q.In(list[0]), 1e-9*math.Abs(n*unit.SI()/list[0].SI()), name)

			held, err := q.AppendText([]byte("is "))
			require.NoError(t, err, name)
			text, ok := strings.CutPrefix(string(held), "is ")
			require.True(t, ok, name)
			require.Equal(t, q.SI(), read(text), name)
			require.Equal(t, fmt.Sprintf("%v", q), fmt.Sprint(q), name)
			number, _, _ := strings.Cut(fmt.Sprintf("%.17g", q), " ")
			x, err := strconv.ParseFloat(number, 64)
			require.NoError(t, err, name)
			require.Equal(t, q.SI(), x, name)

			for _, decimals := range []int{0, 2, 5} {
				text := q.Text(unit, decimals)
				require.InDelta(t, q.SI(), read(text), 0.500001*math.Pow(10, -float64(decimals))*unit.SI(), "%s: %q", name, text)
				shown, _, _ := strings.Cut(text, " ")
				_, behind, _ := strings.Cut(shown, ".")
				require.Len(t, behind, decimals, text)
			}
			require.InDelta(t, q.SI(), read(q.Trade()), 0.0006*math.Abs(q.SI()), "%s: %q", name, q.Trade())

			stored, err := q.Value()
			require.NoError(t, err, name)
			var back Q
			require.NoError(t, P(&back).Scan(stored), name)
			require.Equal(t, q, back, name)
		}
		_, err := Q(math.NaN()).AppendText(nil)
		require.Error(t, err)
	}
}

func TestEveryTypeInEveryWay(t *testing.T) {
	everyWay(t, units.Metre, units.Foot, units.Inch, units.Mile)
	everyWay(t, units.SquareMetre, units.Acre, units.SquareFoot, units.Hectare)
	everyWay(t, units.CubicMetre, units.Gallon, units.CubicYard, units.AcreInch)
	everyWay(t, units.Kilogram, units.Pound, units.Ton, units.Ounce)
	everyWay(t, units.KilogramPerKilogram, units.Percent, units.PoundPerTon)
	everyWay(t, units.KilogramPerSquareMetre, units.PoundPerAcre, units.TonPerAcre)
	everyWay(t, units.GallonPerAcre)
	everyWay(t, units.GramPerLitre, units.PoundPer1000Gallon, units.MilligramPerLitre)
	everyWay(t, units.KilogramPerCubicMetre, units.PoundPerCubicFoot, units.PoundPerGallon)
	everyWay(t, units.CentimetrePerSecond, units.InchPerHour, units.InchPerDay)
	everyWay(t, units.Second, units.Minute, units.Hour, units.Day)
	everyWay(t, units.CubicMetrePerSecond, units.GallonPerMinute, units.CubicFootPerSecond)
	everyWay(t, units.MetrePerSecond, units.MilePerHour)
	everyWay(t, units.Watt, units.Horsepower, units.Kilowatt)
	everyWay(t, units.WattPerCubicMetre, units.HorsepowerPer1000Gallons)
	everyWay(t, units.SeedPerSquareMetre, units.SeedPerSquareFoot, units.SeedPerAcre)
	everyWay(t, units.SeedPerKilogram, units.SeedPerPound, units.SeedPerOunce)
}
