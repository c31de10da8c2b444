// Package nutrient works out what the nutrients of manure, effluent and lagoon
// sludge are good for: how much a laboratory report says the material holds, how
// much of that a crop can use in each year, what the crop needs and removes,
// and which rule limits the rate.
//
//	var report nutrient.AnalyzeSpec                 // from JSON, a form or Go
//	err := strict.Decode(data, &report)
//	analysis, err := nutrient.Analyze(report)
//	set, err := nutrient.PublishedSet("minnesota") // or ParseSet of an own file
//	result, err := nutrient.Available(nutrient.AvailableSpec{
//		Analysis: analysis, Set: set, Years: 3,
//		Query:    nutrient.Query{Species: "dairy", Method: "injected with sweeps"},
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
// # Coefficient sets
//
// A set says which fraction of a pool becomes available in which year. It is a
// JSON file, described by sets/set.schema.json; [ParseSet] reads a state's own
// and [PublishedSet] those that come with the package. A row applies to the
// queries that fit every key its selector names, and the row that names the most
// keys answers. The loader proves that each query within the declared keys has
// exactly one answer, and reports every fault with its path. A set that is not
// complete says what it lacks in rows of its own, and a query that comes there is
// refused. [Set.Keys] is what a form has to ask for, and their names are the paths of
// a [Query] in JSON.
//
// The bases of later years differ between sources and are data: of the pool as
// applied, of what is left of it, or of total N. Nitrate counts in full in the
// first year. Ranges carry through to a low and a high answer.
//
// # Budgets and rules
//
// [Budget] follows P and K through a rotation, with banking years and the soil
// test; [CropTable] holds what crops need and take off; [SiteRule] holds rules on
// phosphorus by distance to water, soil loss, filter strip, soil test, index or
// saturation. A soil test carries its extractant and unit.
//
// # What it leaves out
//
// The figures are those of the sources named in each file, no more complete than
// these: a plan has to use the edition that its regulator prescribes. The package
// does not estimate contents that a laboratory has not measured, nor the losses
// between sampling and application.
package nutrient
