// Package everyfunc holds the library to what it promises of every exported
// function, present and to come: its tests call each of them with random and
// mutated arguments and demand
//
//   - no panic, and an answer within two seconds;
//   - no NaN or infinity in an answer;
//   - every error a [example.org/earthbasin/units.FieldError] with the path of
//     the input;
//   - the same bits when asked twice, and arguments that are left as they were;
//   - specs and results that come back from JSON as they went in.
//
// The list of functions is written from the sources by
//
//	go test ./examples -update
//
// and a test fails while an exported function is not on it.
package everyfunc
