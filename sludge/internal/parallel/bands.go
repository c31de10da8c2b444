// Package parallel shares work out over goroutines.
package parallel

import (
	"sync"

	"example.org/earthbasin/units"
)

// Bands calls fn for parts that make up 0 to n, at the same time on workers
// goroutines, the caller's among them. The parts depend on workers: fn gives the
// same bits whatever they are.
func Bands(n, workers int, fn func(from, to int)) {
	workers = max(min(workers, n), 1)
	var wait sync.WaitGroup
	for w := 1; w < workers; w++ {
		wait.Go(func() { fn(n*w/workers, n*(w+1)/workers) })
	}
	fn(0, n/workers)
	wait.Wait()
}

// CheckWorkers keeps the number of goroutines within reason.
func CheckWorkers(f *units.Faults, workers int) {
	if workers < 0 || workers > 1024 {
		f.Add("workers", workers, "0 to 1024")
	}
}
