package removal

import (
	"math"

	"example.org/earthbasin/units"
)

// Numbers that no job reaches, in round units of the trade: a slip in a unit falls
// outside and is told in words that can be read.
const (
	minVolume    = units.Gallon / 10
	maxVolume    = 1e10 * units.Gallon
	minMass      = units.Pound / 10
	maxMass      = 1e9 * units.Ton
	minFlow      = units.GallonPerMinute / 10
	maxFlow      = 1e6 * units.GallonPerMinute
	minArea      = units.SquareFoot
	maxArea      = 1e6 * units.Acre
	minDuration  = units.Second
	maxDuration  = 3650 * units.Day
	minRate      = units.GallonPerAcre
	maxRate      = 1e6 * units.GallonPerAcre
	minSpeed     = units.MilePerHour / 100
	maxSpeed     = 200 * units.MilePerHour
	minRoute     = units.Foot
	maxRoute     = 1e4 * units.Mile
	minPower     = units.Horsepower / 10
	maxPower     = 1e5 * units.Horsepower
	minIntensity = 1e-6 * units.WattPerCubicMetre
	maxIntensity = 1e6 * units.WattPerCubicMetre
	minShare     = 0.001 // of a time, a load or a mass
)

// less reports whether a is below b by more than rounding may have put them apart.
func less[Q ~float64](a, b Q) bool { return float64(b-a) > 1e-12*math.Abs(float64(a)) }

// ceil rounds up, but takes a whole number with rounding noise for that number.
func ceil(x float64) float64 { return math.Ceil(x * (1 - 1e-12)) }

// noSign turns -0 into 0 and leaves everything else.
func noSign[Q ~float64](q Q) Q { return q + 0 }
