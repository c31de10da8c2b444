// Package units holds the typed quantities of land application and earthwork:
// lengths, areas, volumes, masses, flows, concentrations, rates per area, seeds and
// prices, each a float64 in the coherent SI unit with constants for the units
// of the trade.
//
//	depth := 8.5 * units.Foot
//	area := 1.2 * units.Acre
//	held := area.Times(depth)                    // units.Volume
//	held.In(units.Gallon)                        // 3323684.57...
//	held.Text(units.Gallon, 0)                   // "3,323,685 gal"
//	conc, err := units.ParseConcentration("31 lb/1000 gal")
//	load := conc.Times(held)                     // units.Mass
//
// # Rules
//
// Products and quotients are named methods ([Area.Times], [Volume.Over]).
// Never multiply two quantities with *: 12*Foot * 3*Foot compiles and is still
// a Length. Multiply by plain numbers only.
//
// Text carries its unit. Parsing accepts the spellings of the trade
// ("8,000 gal/ac", "12 ft 6 in", "31 lb per 1000 gal") and UCUM codes
// ("[ft_i]", "[lb_av]/(1000.[gal_us])"); a number without a unit is an error
// that names the units that fit. MarshalText writes the SI number in its
// shortest form, so that text and JSON read back to the same bits. Printing a
// quantity with any verb ends in its unit.
//
// Density and Concentration share a dimension, as do VolumePerArea and
// Length, and Speed and DepthRate; they are kept apart because a mix-up there
// is the classic error. Element and oxide (P and P2O5) are not units: the
// names of fields say which is meant, and [Oxides] converts.
//
// In a database a quantity, a [Price], a [Range] and an enumeration stand as text,
// which says the unit or the word ([SQLValue]). [Numbers] and [Cells] give a result as
// numbers with their unit, for programs that draw or tabulate it.
//
// # Definitions
//
// The foot is 0.3048 m exactly and the acre 43,560 such square feet (NIST, U.S.
// Survey Foot: Revised Unit Conversion Factors); the US gallon is 231 cubic
// inches, the bushel 2150.42 cubic inches and the avoirdupois pound
// 0.45359237 kg (UCUM 2.2, 2024; NIST Handbook 44 Appendix C). The survey acre
// exists for import only. A ton is 2000 lb; the tonne is written t.
//
// # One language from fault to working
//
// Every package of the module takes a spec and returns a result or faults, and what
// it says is data: a program shows it in its users' units and words.
//
//	result, err := earthwork.Berm(spec)
//	for _, fault := range units.FieldErrors(err) { // all of them, in one round
//		form.Mark(fault.Field, fault.Kind, style.Message(fault))
//	}
//	fmt.Print(style.Working(result.Working())) // made from the result's fields
//
// A [FieldError] says which input is wrong, in which way ([FaultKind]), what was got
// and what is wanted. [Faults] collects them, with paths that are written only when
// something is wrong. [Working] holds the lines that a paper form would have: item,
// value and how. Texts with values in them are a [Phrase], a template beside its
// arguments. A [Style] turns all of them into text, in US or metric units, with the
// signs of numbers and the words of its readers, and reads numbers written so; its
// zero value is US English. Faults and working survive JSON. A [Range] is a low and
// a high value, and [Names] are the words of an enumeration; [Values] and [UnitsOf]
// list words and units for a select box. Package strict reads JSON.
package units
