// Package calibrate proves on the ground what rate a spreader, tank, hose or
// irrigation system puts down, how evenly, and what to change to reach a target.
//
//	r, err := calibrate.Sheets(calibrate.SheetsSpec{
//		Area:   (8 * units.Foot).Times(8 * units.Foot),
//		Tare:   new(2 * units.Pound), Confidence: 0.95,
//		Sheets: []calibrate.Sheet{{Gross: 31 * units.Pound}, {Gross: 28 * units.Pound}, {Gross: 33 * units.Pound}},
//	})
//	fmt.Println(r) // mean rate, spread, interval, sheets needed
//
// # What is here
//
//   - [Sheets]: ground sheets or trays under a solid spreader.
//   - [LoadArea] and [LoadCapacity]: what the loads held over the area they covered.
//   - [EffectiveWidth] and [Overlap]: the width that a pass counts for, and how even
//     the field is at each distance between passes.
//   - [Solve], [GearTable], [StandingCatch], [EmptyDistance], [HoseSets]: flow, speed,
//     width and rate of a tank spreader, a drag hose or a travelling gun.
//   - [Gauges], [SolidSet], [GrossNet]: catch cans under irrigation.
//   - [Correct]: the new setting, its limits, and whether to accept or do it again.
//   - [Record] and [Compare]: calibrations kept and compared over the years. The
//     method Measured of each result gives what a record keeps.
//
// # Conventions
//
// A rate is a mass or a volume over an area and never a bare number: 495 gal/min
// per mph and foot is right for any gallon, so that only the unit shows which was
// meant. Functions that serve solids and liquids alike take the amount as a type
// parameter, [units.Mass] or [units.Volume].
//
// Uniformities and coefficients of variation are fractions: 0.85, not 85. Where
// the trade knows two conventions (sample or population spread, the share of cans
// in the low quarter, driving mode, effective width) the spec names one and the
// result repeats it.
//
// Every result carries the spec that it was worked out from, with the defaults that
// the spec left to the package. What may be missing is nil: an interval with one
// measurement, a width where none holds the limit. The confidence of an interval is
// always asked for.
//
// # Stored records
//
// A [Record] that was ever written stays readable: [ParseRecord] reads every version
// of its JSON from 1 on and returns it in the form of today, with date, machine,
// material, method, settings, rate, number of measurements, spread, target and decision
// as they were. What a version did not have is empty: version 1 has no interval, no
// confidence and no readings. [Record.Encode] writes the newest version, [RecordVersion],
// and fields are only added, or renamed, under a new one.
//
// # Limits
//
// One measurement has no spread, and its interval is "not available", never zero.
// A t interval covers the sheets or cans as a sample of the whole pass; cans placed
// where the pattern looks good do not represent it. The package knows no machine
// and no state's rule: limits, tolerances and analyses come from the caller.
//
// # Sources
//
// The formulas are cited where they stand. The main ones are University of
// Massachusetts, Manure Spreader Calibration; Ohio State University Extension,
// bulletins B-604 and B-817; Alberta Agriculture and Food, Nutrient Management
// Planning Guide, Agdex 400/28-3; University of Georgia, Circular 911, which says
// that ANSI/ASAE S436.1 adopted the radius-weighted uniformity; New Mexico State
// University, Soils 456 course notes, chapter 5; and an open catch-can data set of
// the Federal University of Vicosa (https://doi.org/10.5281/zenodo.18495332).
package calibrate
