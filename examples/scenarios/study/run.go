package study

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"example.org/earthbasin/units"
)

// Part is which part of a design a job works off, for several machines. The zero value
// is all of it.
type Part struct {
	Number int `json:"number"` // from 1 to Of
	Of     int `json:"of"`     // 1 to 1e6; 0 and 1 for all
}

// share returns the blocks of the part.
func (p Part) share(blocks int64) (from, to int64) {
	if p.Of <= 1 {
		return 0, blocks
	}
	at := func(i int) int64 {
		n := int64(p.Of)
		return blocks/n*int64(i) + blocks%n*int64(i)/n
	}
	return at(p.Number - 1), at(p.Number)
}

// Options is how a job runs; none of it changes a bit of the result.
type Options struct {
	// Workers is how many blocks are worked out at a time, 1 to 1024.
	Workers int
	// Progress is called from one goroutine after each block with the number of draws
	// that are done; may be nil.
	Progress func(done int64)
	// Save is called from the same goroutine, at most once in Every and not for the end;
	// it may call [Job.State]. May be nil.
	Save  func()
	Every time.Duration
	// Rows is called from the same goroutine with each evaluation in the order of the
	// draws; may be nil. Values and out are those of one call only; err says why a draw
	// was refused, and out is then not to be read. An error ends the run.
	Rows func(draw int64, values, out []float64, err error) error
}

// Job is a study under way.
type Job struct {
	design *design
	part   Part
	from   int64 // block
	to     int64 // one after the last block
	mutex  sync.Mutex
	done   runs
	tally  *tally
}

// Start makes a job of a design, or of a part of it.
func (s *Study) Start(d Design, p Part) (*Job, error) {
	full, err := s.design(d)
	var f units.Faults
	f.Sub("", err)
	if p.Of != 0 || p.Number != 0 {
		f.CountBetween("part.of", p.Of, "parts", 1, 1e6)
		if p.Number < 1 || p.Number > p.Of {
			f.Add("part.number", p.Number, "1 to %d", p.Of)
		}
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	j := &Job{design: full, part: p, tally: newTally(full)}
	j.from, j.to = p.share(full.blocks())
	return j, nil
}

// Drawn returns the number of draws that are done.
func (j *Job) Drawn() int64 {
	j.mutex.Lock()
	defer j.mutex.Unlock()
	return j.tally.draws + j.tally.refused
}

// Due returns the number of draws that the part has.
func (j *Job) Due() int64 { return j.design.upTo(j.to) - j.design.upTo(j.from) }

// rowsOf keeps the evaluations of a block for [Options.Rows].
type rowsOf struct {
	block  int64
	draws  []int64
	values []float64
	out    []float64
	faults []error
}

// Run works through the blocks that are not done yet. When ctx ends it finishes
// those that are begun and returns the cause. A job runs once at a time.
func (j *Job) Run(ctx context.Context, o Options) error {
	var f units.Faults
	f.CountBetween("workers", o.Workers, "workers", 1, 1024)
	if f.Err() != nil {
		return f.Err()
	}
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	j.mutex.Lock()
	before := slices.Clone(j.done)
	j.mutex.Unlock()
	// Blocks are begun in order, and only when there is room for their rows.
	todo, done, room := make(chan int64), make(chan rowsOf), make(chan struct{}, 2*o.Workers)
	go func() {
		defer close(todo)
		for b := j.from; b < j.to; b++ {
			if before.has(b) {
				continue
			}
			if ctx.Err() != nil { // select would choose either
				return
			}
			select {
			case room <- struct{}{}:
			case <-ctx.Done():
				return
			}
			select {
			case todo <- b:
			case <-ctx.Done():
				return
			}
		}
	}()
	var workers sync.WaitGroup
	for range o.Workers {
		workers.Go(func() {
			w := j.design.worker()
			for b := range todo {
				rows := rowsOf{block: b}
				if o.Rows != nil {
					w.row = rows.keep
				}
				w.block(b)
				j.mutex.Lock()
				j.tally.merge(w.tally)
				j.done = j.done.with(b, b+1)
				j.mutex.Unlock()
				done <- rows
			}
		})
	}
	go func() {
		workers.Wait()
		close(done)
	}()
	give := o.Rows
	saved, next, waiting := time.Now(), j.from, map[int64]rowsOf{}
	for rows := range done {
		waiting[rows.block] = rows
		for {
			for before.has(next) {
				next++
			}
			rows, ok := waiting[next]
			if !ok {
				break
			}
			delete(waiting, next)
			next++
			<-room
			if give == nil {
				continue
			}
			if err := rows.give(give, len(j.design.tables)); err != nil {
				stop(err)
				give = nil
			}
		}
		if o.Progress != nil {
			o.Progress(j.Drawn())
		}
		if o.Save != nil && time.Since(saved) >= o.Every {
			o.Save()
			saved = time.Now()
		}
	}
	return context.Cause(ctx)
}

func (r *rowsOf) keep(draw int64, values, out []float64, err error) {
	r.draws = append(r.draws, draw)
	r.values = append(r.values, values...)
	r.out = append(r.out, out...)
	r.faults = append(r.faults, err)
}

func (r *rowsOf) give(to func(int64, []float64, []float64, error) error, inputs int) error {
	if len(r.draws) == 0 {
		return nil
	}
	outs := len(r.out) / len(r.draws)
	for i, draw := range r.draws {
		if err := to(draw, r.values[i*inputs:][:inputs], r.out[i*outs:][:outs], r.faults[i]); err != nil {
			return err
		}
	}
	return nil
}

// run is blocks in a row: the first, and one after the last.
type run [2]int64

// runs is blocks that are done, ascending; between two runs some are not.
type runs []run

func (r runs) has(b int64) bool {
	return slices.ContainsFunc(r, func(r run) bool { return r[0] <= b && b < r[1] })
}

// overlaps reports whether any block of o is in.
func (r runs) overlaps(o run) bool {
	return slices.ContainsFunc(r, func(r run) bool { return r[0] < o[1] && o[0] < r[1] })
}

// with returns r and the blocks from..to, which are not in it.
func (r runs) with(from, to int64) runs {
	if from == to {
		return r
	}
	r = append(slices.Clone(r), run{from, to})
	slices.SortFunc(r, func(a, b run) int { return int(min(max(a[0]-b[0], -1), 1)) })
	joined := r[:1]
	for _, next := range r[1:] {
		if last := &joined[len(joined)-1]; last[1] == next[0] {
			last[1] = next[1]
		} else {
			joined = append(joined, next)
		}
	}
	return joined
}

// gaps lists the runs of blocks below end that are not in.
func (r runs) gaps(end int64) (list []string) {
	at := int64(0)
	for _, next := range append(slices.Clone(r), run{end, end}) {
		if at < next[0] {
			list = append(list, fmt.Sprintf("%d to %d", at, next[0]))
		}
		at = next[1]
	}
	return list
}
