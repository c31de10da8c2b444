package units

// The exact definitions, untyped so that every unit constant is the float64
// nearest to the true value: a typed chain such as Foot/12 would round at each
// step.
const (
	// NIST, U.S. Survey Foot: Revised Unit Conversion Factors.
	foot       = 0.3048
	inch       = foot / 12
	yard       = 3 * foot
	mile       = 5280 * foot
	surveyFoot = 1200.0 / 3937.0
	acre       = 43560 * foot * foot
	// UCUM 2.2 (2024) [gal_us], [bu_us], [lb_av].
	gallon = 231 * inch * inch * inch
	bushel = 2150.42 * inch * inch * inch
	pound  = 0.45359237
	ton    = 2000 * pound
	// NIST Handbook 44 Appendix C: rod 16.5 ft, chain 66 ft, long ton 2240 lb, grain
	// 1/7000 lb.
	rod     = 16.5 * foot
	chain   = 66 * foot
	longTon = 2240 * pound
	grain   = pound / 7000
	// 550 foot-pounds of force a second, at the standard acceleration of free fall.
	horsepower = 550 * foot * pound * 9.80665
	hour       = 3600.0 // not the integer: 1000 / 3600 would be 0
)
