package nutrient

import "example.org/earthbasin/units"

// Texture is a class of soil by the water it can hold for plants. The zero value
// is none and is refused.
type Texture = units.Enum[textureWords]

// Textures, from light to heavy.
const (
	TextureVeryCoarseSand Texture = iota + 1 // "very coarse sand"
	TextureSand                              // "sand": coarse sand, fine sand, loamy sand
	TextureSandyLoam                         // "sandy loam": sandy loam, fine sandy loam
	TextureLoam                              // "loam": very fine sandy loam, loam, silt loam
	TextureClayLoam                          // "clay loam": clay loam, silty clay loam, sandy clay loam
	TextureClay                              // "clay": sandy clay, silty clay, clay
)

var textureNames = units.Names{"", "very coarse sand", "sand", "sandy loam", "loam", "clay loam", "clay"}

type textureWords struct{}

func (textureWords) Names() units.Names { return textureNames }

// availableWater is inches of water in a foot of soil, by texture: University of
// California, Drought Management, Soil Characteristics, table of available water
// (http://ucmanagedrought.ucdavis.edu).
var availableWater = [...]units.Range[float64]{
	TextureVeryCoarseSand: {Low: 0.40, High: 0.75},
	TextureSand:           {Low: 0.75, High: 1.25},
	TextureSandyLoam:      {Low: 1.25, High: 1.75},
	TextureLoam:           {Low: 1.50, High: 2.30},
	TextureClayLoam:       {Low: 1.75, High: 2.50},
	TextureClay:           {Low: 1.60, High: 2.50},
}

// AvailableWater returns the depth of water that a depth of soil holds between
// field capacity and wilting, as a part of the depth of the soil: 1.5 in/ft is
// 0.125. Published values are a range. An unknown texture is a
// [units.FieldError].
func AvailableWater(t Texture) (units.Range[float64], error) {
	if !textureNames.Has(int(t)) {
		return units.Range[float64]{}, units.Fault(units.FaultName, "texture", units.Word(t.String()), textureNames.Want())
	}
	a := availableWater[t]
	return units.Range[float64]{Low: a.Low / 12, High: a.High / 12}, nil
}

// Intake is a class of soil by how fast it takes in water. The zero value is none
// and is refused.
type Intake = units.Enum[intakeWords]

// Intake classes of [MaxPrecipitation].
const (
	IntakeCoarseSand Intake = iota + 1 // "coarse sand": coarse sandy soil
	IntakeSandyLoam                    // "sandy loam": uniform light sandy loam
	IntakeSiltLoam                     // "silt loam": uniform silt loam
	IntakeClay                         // "clay": heavy clay or clay loam
)

var intakeNames = units.Names{"", "coarse sand", "sandy loam", "silt loam", "clay"}

type intakeWords struct{}

func (intakeWords) Names() units.Names { return intakeNames }

// maxPrecipitation is inches per hour by intake class, then slope of 0-5, 5-8 and
// 8-12 %: USDA, as tabled in Landscape Management, Soil
// Assessment (https://www.landscapemanagement.net/soil-assessment/).
var maxPrecipitation = [...][]struct{ covered, bare float64 }{
	IntakeCoarseSand: {{2, 2}, {2, 1.5}, {1.5, 1}},
	IntakeSandyLoam:  {{1.75, 1}, {1.25, 0.8}, {1, 0.6}},
	IntakeSiltLoam:   {{1, 0.5}, {0.8, 0.4}, {0.6, 0.3}},
	IntakeClay:       {{0.2, 0.15}, {0.15, 0.1}, {0.12, 0.08}},
}

// MaxPrecipitation returns the fastest that water may be sprinkled on a soil so
// that it does not run off, by the grade of the land (rise per run, 0 to 0.12;
// the steeper class from its lower edge on) and whether it is covered with plants. An
// unknown class and a steeper grade, for which the table has no value, are a
// [units.FieldError].
func MaxPrecipitation(i Intake, grade float64, covered bool) (units.DepthRate, error) {
	var f units.Faults
	if !intakeNames.Has(int(i)) {
		f.Add("intake", i, intakeNames.Want())
	}
	upTo(&f, "grade", grade, 0.12)
	if err := f.Err(); err != nil {
		return 0, err
	}
	slope := 0
	switch {
	case grade >= 0.08:
		slope = 2
	case grade >= 0.05:
		slope = 1
	}
	most := maxPrecipitation[i][slope]
	if covered {
		return units.DepthRate(most.covered) * units.InchPerHour, nil
	}
	return units.DepthRate(most.bare) * units.InchPerHour, nil
}
