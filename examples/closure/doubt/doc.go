// Package doubt says how sure a closure plan is: a study of a scenario of package plan
// with distributions in place of some of its figures, by their paths.
//
// A [study.Spec] names the figures and what is known of each; [New] checks it against the
// scenario, as any input, and makes a study of package study, whose draws are whole
// plans: cost, worth, days, land, loads, soil brought in. What is decided in the
// scenario, such as the route, stays decided in every draw. [Study.Knowing] says what the
// best decision would gain if one figure were known, beside the price of measuring it, and
// [Study.Safe] an allocation that keeps every limit in nearly all draws. [Of] is all three
// for the part doubt of a scenario, as rows for the paper.
package doubt
