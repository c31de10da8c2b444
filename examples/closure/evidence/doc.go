// Package evidence is what has to be asked for, sampled, watched, written down and kept
// when a basin is closed, as data: rows with what is done, when, who confirms it, the
// task it hangs on and its source, and steps such as notices, permits and laboratory
// days that the calendar gives dates.
//
//	rules, err := evidence.List(evidence.Base(), state) // state: a file that strikes and adds by key
//	r, err := rules.For(site, tasks)
//	tasks = append(r.Linked(tasks), r.Tasks...)
//
// The base list is common practice and has no source unless a row names one. It has no
// figure of a state's rule: how many cores, which depths, limits, rain of a storm, days
// of notice and of the laboratory are those of the [Site], and what is not told is an open
// point and stands in the row as such. A row can hang on conditions of the site, such as
// wells nearby; one that nobody told is an open point too, and the row is kept until it is.
package evidence
