// Package nutrient works out what the nutrients of manure, effluent and lagoon
// sludge are good for: how much a laboratory report says the material holds, how
// much of that a crop can use in each year, what the crop needs and removes,
// and which rule limits the rate.
//
//	var report nutrient.AnalyzeSpec                 // from JSON, a form or Go
//	err := strict.Decode(data, &report)
//	analysis, err := nutrient.Analyze(report)
//	state, err := nutrient.PublishedState("minnesota") // or ParseState of an own file
//	result, err := nutrient.Available(nutrient.AvailableSpec{
//		Analysis: analysis, State: state, Years: 3,
//		Query:    nutrient.Query{"species": "dairy", "method": "injected with sweeps"},
//	})
//
// # Limits and rates
//
// [FieldRate] takes the least of all limits on a field and shows the slack of the
// others; [NitrogenRoom], [ForageRoom], [Metals] and [Hydraulic] make limits, and
// a [Limit] can be any other. [LandBase] says how much land a stock needs, and
// [Worth] what it is worth there. Package allocation spreads several materials over
// many fields and seasons at the least cost.
//
// # Forms
//
// Material is handled by volume or by weight. [Amount], [Content] and [Rate]
// hold a quantity of either kind with its [Form] and convert between the forms
// only with a density that the caller gives.
//
// Element and oxide are told apart by the names of fields: P is phosphorus, P2O5
// its oxide, and units.Oxides says which factor stands between them.
//
// # States
//
// A [State] is the rules of one jurisdiction: a JSON file in the shape of its printed
// tables ([StateSpec], states/state.schema.json), read by [ParseState], or one of those
// that come with the package ([PublishedState]). Its tables say which share of a pool
// becomes available in which year, what crops need and take off, what a soil test means,
// what caps a rate, what is banned and when, how far to stay away, and what metals may
// build up; [Table] lists all. The keys by which they answer are the state's own, and
// what a form has to ask for ([State.Keys]).
//
// The loader proves that each query within the keys has exactly one answer or is said to
// have none, works out the examples of the source, and reports every fault with its
// path. [State.Answer], [State.Limit] and [State.Bans] put a [Query]; what they return
// shows each printed figure with its table and page. [State.Schedule], [State.Crop],
// [State.SiteLimit] and [State.MetalTable] give what they find to the other functions of
// the package.
//
// The bases of later years differ between sources and are data: of the pool as
// applied, of what is left of it, or of total N. Nitrate counts in full in the
// first year. Ranges carry through to a low and a high answer.
//
// # Budgets
//
// [Budget] follows P and K through a rotation, with banking years and the soil test. A
// soil test carries its extractant and unit.
//
// # What it leaves out
//
// The figures are those of the sources named in each file, no more complete than
// these: a plan has to use the edition that its regulator prescribes. The package
// does not estimate contents that a laboratory has not measured, nor the losses
// between sampling and application.
package nutrient
