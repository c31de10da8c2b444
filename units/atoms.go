package units

import (
	"fmt"
	"strings"
)

// atom is one unit word with its factor to SI.
type atom struct {
	factor float64
	dim    dim
}

var (
	lengthDim = dim{m: 1}
	areaDim   = dim{m: 2}
	volumeDim = dim{m: 3}
	massDim   = dim{kg: 1}
	timeDim   = dim{s: 1}
	flowDim   = dim{m: 3, s: -1}
	powerDim  = dim{m: 2, kg: 1, s: -3}
)

// ucum holds the case-sensitive codes of UCUM 2.2 that a basin needs. The
// bracketed customary ones take no metric prefix.
var ucum = map[string]atom{
	"[in_i]": {inch, lengthDim}, "[ft_i]": {foot, lengthDim}, "[yd_i]": {yard, lengthDim},
	"[mi_i]": {mile, lengthDim}, "[ft_us]": {surveyFoot, lengthDim},
	"[sin_i]": {inch * inch, areaDim}, "[sft_i]": {foot * foot, areaDim}, "[syd_i]": {yard * yard, areaDim},
	// [acr_us] is 160 square rods: the survey acre.
	"[acr_us]": {43560 * surveyFoot * surveyFoot, areaDim},
	"[cin_i]":  {inch * inch * inch, volumeDim}, "[cft_i]": {foot * foot * foot, volumeDim}, "[cyd_i]": {yard * yard * yard, volumeDim},
	"[gal_us]": {gallon, volumeDim}, "[qt_us]": {gallon / 4, volumeDim}, "[bu_us]": {bushel, volumeDim},
	"[foz_us]": {gallon / 128, volumeDim},
	"[gal_br]": {0.00454609, volumeDim},
	"[lb_av]":  {pound, massDim}, "[oz_av]": {pound / 16, massDim}, "[ston_av]": {ton, massDim},
	"[HP]":  {horsepower, powerDim},
	"[ppm]": {1e-6, dim{}}, "[ppth]": {1e-3, dim{}},
}

// exactCase holds the words whose case decides, metric ones as UCUM writes
// them.
var exactCase = map[string]atom{
	"m": {1, lengthDim}, "mm": {0.001, lengthDim}, "cm": {0.01, lengthDim}, "km": {1000, lengthDim},
	"har": {10000, areaDim}, "ar": {100, areaDim},
	"L": {0.001, volumeDim}, "l": {0.001, volumeDim}, "mL": {1e-6, volumeDim}, "ml": {1e-6, volumeDim},
	"kL": {1, volumeDim}, "dL": {0.0001, volumeDim},
	"kg": {1, massDim}, "g": {0.001, massDim}, "mg": {1e-6, massDim}, "ug": {1e-9, massDim}, "t": {1000, massDim},
	"W": {1, powerDim}, "kW": {1000, powerDim},
	"s": {1, timeDim}, "min": {60, timeDim}, "h": {hour, timeDim}, "d": {24 * hour, timeDim},
	"%": {0.01, dim{}},
	// Display names of this package with a capital.
	"ftUS": {surveyFoot, lengthDim}, "acreUS": {43560 * surveyFoot * surveyFoot, areaDim},
}

// refused are words that mean different things to different readers.
var refused = map[string]string{
	"T":   "t for a tonne of 1000 kg or ton for 2000 lb (T could be either)",
	"MT":  "t for a tonne of 1000 kg (MT could be a megatonne)",
	"Mg":  "t for a tonne of 1000 kg or mg for a milligram",
	"MG":  "mg for a milligram or mgd for a million gallons per day",
	"M":   "m for a metre, mi for a mile or min for a minute",
	"ML":  "mL for a millilitre or 1000 m3 for a megalitre",
	"cwt": "lb (a hundredweight is 100 lb or 112 lb)",
	"CWT": "lb (a hundredweight is 100 lb or 112 lb)",
}

// anyCase holds the trade words, lower case; a plural s is taken off before
// the look-up fails.
var anyCase = map[string]atom{
	"ft": {foot, lengthDim}, "foot": {foot, lengthDim}, "feet": {foot, lengthDim},
	"in": {inch, lengthDim}, "inch": {inch, lengthDim}, "inches": {inch, lengthDim},
	"yd": {yard, lengthDim}, "yard": {yard, lengthDim}, "rod": {rod, lengthDim}, "chain": {chain, lengthDim},
	"mi": {mile, lengthDim}, "mile": {mile, lengthDim},
	"metre": {1, lengthDim}, "meter": {1, lengthDim}, "cm": {0.01, lengthDim}, "mm": {0.001, lengthDim}, "km": {1000, lengthDim},

	"acre": {acre, areaDim}, "ac": {acre, areaDim}, "sqft": {foot * foot, areaDim}, "sqyd": {yard * yard, areaDim},
	"ha": {10000, areaDim}, "hectare": {10000, areaDim},

	"cf": {foot * foot * foot, volumeDim}, "cuft": {foot * foot * foot, volumeDim},
	"cy": {yard * yard * yard, volumeDim}, "cuyd": {yard * yard * yard, volumeDim},
	"pt": {gallon / 8, volumeDim}, "pint": {gallon / 8, volumeDim}, "milliongal": {1e6 * gallon, volumeDim},
	"gal": {gallon, volumeDim}, "gallon": {gallon, volumeDim}, "kgal": {1000 * gallon, volumeDim},
	"acre-in": {acre * inch, volumeDim}, "ac-in": {acre * inch, volumeDim}, "acin": {acre * inch, volumeDim},
	"acre-inch": {acre * inch, volumeDim}, "acre-inches": {acre * inch, volumeDim},
	"acre-ft": {acre * foot, volumeDim}, "ac-ft": {acre * foot, volumeDim}, "af": {acre * foot, volumeDim},
	"acre-foot": {acre * foot, volumeDim}, "acre-feet": {acre * foot, volumeDim},
	"bu": {bushel, volumeDim}, "bushel": {bushel, volumeDim},
	"qt": {gallon / 4, volumeDim}, "quart": {gallon / 4, volumeDim},
	"floz": {gallon / 128, volumeDim}, "impgal": {0.00454609, volumeDim},
	"litre": {0.001, volumeDim}, "liter": {0.001, volumeDim},

	"lb": {pound, massDim}, "pound": {pound, massDim},
	"longton": {longTon, massDim}, "grain": {grain, massDim},
	"ton": {ton, massDim}, "oz": {pound / 16, massDim}, "ounce": {pound / 16, massDim},
	"kg": {1, massDim}, "kilogram": {1, massDim}, "gram": {0.001, massDim}, "tonne": {1000, massDim},

	"sec": {1, timeDim}, "second": {1, timeDim}, "minute": {60, timeDim}, "min": {60, timeDim},
	"h": {hour, timeDim}, "hr": {hour, timeDim}, "hour": {hour, timeDim}, "day": {24 * hour, timeDim},

	"mph": {mile / hour, dim{m: 1, s: -1}},
	"gpm": {gallon / 60, flowDim}, "gph": {gallon / hour, flowDim}, "gpd": {gallon / (24 * hour), flowDim},
	"cfs": {foot * foot * foot, flowDim}, "mgd": {1e6 * gallon / (24 * hour), flowDim},
	"hp": {horsepower, powerDim}, "horsepower": {horsepower, powerDim}, "watt": {1, powerDim}, "kilowatt": {1000, powerDim},
	"gpa":  {gallon / acre, lengthDim},
	"seed": {1, dim{seed: 1}},
	"ppm":  {1e-6, dim{}}, "percent": {0.01, dim{}}, "pct": {0.01, dim{}},
}

// metricWords are the words of anyCase that belong to no US unit.
var metricWords = map[string]bool{
	"metre": true, "meter": true, "cm": true, "mm": true, "km": true, "ha": true, "hectare": true, "litre": true, "liter": true,
	"kg": true, "kilogram": true, "gram": true, "tonne": true, "sec": true, "second": true, "minute": true, "min": true,
	"h": true, "hr": true, "hour": true, "day": true, "seed": true, "ppm": true, "percent": true, "pct": true, "impgal": true, "longton": true,
	"watt": true, "kilowatt": true,
}

// findAtom looks a word up, and reports whether it is a US unit, or says why it is
// not taken.
func findAtom(word string) (a atom, us bool, why string) {
	if a, ok := exactCase[word]; ok {
		return a, false, ""
	}
	if why, ok := refused[word]; ok {
		return atom{}, false, why + " instead of " + word
	}
	low := strings.ToLower(word)
	if a, ok := anyCase[low]; ok {
		return a, !metricWords[low], ""
	}
	if single := strings.TrimSuffix(low, "s"); len(single) >= 2 {
		if a, ok := anyCase[single]; ok {
			return a, !metricWords[single], ""
		}
	}
	return atom{}, false, fmt.Sprintf("a known unit instead of %q", word)
}

// kinds lists every kind once, for messages about wrong dimensions.
var kinds = []*kind{
	&lengthKind, &areaKind, &volumeKind, &massKind, &durationKind, &speedKind, &flowKind,
	&depthrateKind, &densityKind, &concentrationKind, &massfractionKind, &massperareaKind, &seedspermassKind, &seedsperareaKind, &volumeperareaKind,
	&powerKind, &powerpervolumeKind,
}
