// Package ledger keeps account of what is really put on the land while a basin is
// emptied: records of each day and laboratory reports as they come in, against the stock
// of the basin, what each field may take, and what was planned.
//
//	book, err := ledger.ReadCSV("records.csv", data) // or ledger.ReadBook of JSON
//	r, err := ledger.Account(ledger.Spec{AsOf: today, Fields: fields, Materials: materials, Planned: planned, Book: book})
//
// The result has a line for each record with what it put on the field and the running
// totals, as a regulator asks for it; for every allowance of a field what is used and
// what room is left; what went over, by how much and what that usually means; the stock
// that is left; planned beside done; and what is still to haul and where to.
//
// What a field may take is an [Allowance] for days: the N of a crop year counts once,
// however many seasons lie in it, and phosphorus over as many years as its budget has.
// What a material holds of a constituent is the caller's, by field where it depends on
// the method there: available N for a nitrogen allowance, P2O5 for a phosphorus one. It
// changes with each fresh report from the day of its sample on; of two of one day the
// later in the list counts.
//
// The package does no input or output.
package ledger
