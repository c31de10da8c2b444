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
// Quantities are plain float64 kinds: database/sql stores the SI number, so
// name such a column with its unit.
//
// # Definitions
//
// The foot is 0.3048 m exactly and the acre 43,560 such square feet (NIST, U.S.
// Survey Foot: Revised Unit Conversion Factors); the US gallon is 231 cubic
// inches, the bushel 2150.42 cubic inches and the avoirdupois pound
// 0.45359237 kg (UCUM 2.2, 2024; NIST Handbook 44 Appendix C). The survey acre
// exists for import only. A ton is 2000 lb; the tonne is written t.
//
// Besides quantities the package holds what every package of the module
// shares: [FieldError] and [Faults] for input that is wrong, [Working] for the lines that show how a result came about, and
// [Range] for a low and a high value.
package units
