// Package stage holds what each stage of a closure plan hands on besides its own
// result: lines of the bill of quantities, questions that are still open, tasks of the
// calendar, and the evidence to keep. It is data with a key on each row, so that a
// summary, a sheet for the crew, a table for bids and the rules of one state can take
// from it, add to it and strike from it. It computes nothing but sums.
package stage
