// Package study runs a model many times over uncertain inputs: it draws them, adds up
// what comes out, and says what each output hangs on and what knowing an input better
// would be worth. It knows nothing of what the model is about.
//
// A [Model] is inputs, each with its quantile function, outputs, and a function that
// makes an [Evaluator] for each worker. [New] checks it. A [Design] says how many
// draws are taken and how: at random, in a Latin hypercube, along a sequence of low
// discrepancy, at every combination of levels, or in the groups from which indices of
// Saltelli or effects of Morris follow. [Study.Start] makes a [Job] of it, or of a
// part of it for one of several machines; [Job.Run] works it off, [Job.State] keeps
// what is done in a few hundred kilobytes whatever the number of draws,
// [Study.Resume] and [Study.Merge] take such states up, and [Job.Result] gives the
// figures.
//
// The same design gives the same bits for any number of workers and parts, in any
// order: draws come in blocks with random numbers of their own, each block is added
// up in its order, and the blocks are added as whole numbers, which do not care for
// order. Nothing that a job keeps grows with the number of draws.
//
// A draw of a quick model costs 10 ns for each input and what its outputs are summed up
// for; a model that is a [Batch] is not called for each draw. The benchmarks have the
// figures.
//
// Draws for which the model returns an error are refused: counted, the first one
// told, and left out of all figures.
package study
