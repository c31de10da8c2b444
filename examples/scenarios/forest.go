package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
)

// spot names a run of blocks that were added up: block Index<<Level and those
// after it, 1<<Level in all.
type spot struct{ Level, Index int }

// blocks returns the first block and the one after the last.
func (s spot) blocks() (from, to int) { return s.Index << s.Level, (s.Index + 1) << s.Level }

// forest adds up blocks. Floating-point sums depend on the order of adding, so
// that the order is fixed beforehand: block 2i with 2i+1, their sum with that of
// the next two, and so on. Blocks may then come in any order, from any worker and
// any shard, and the bits are the same. Of B blocks in a row it holds no more than
// about 2 log2 B sums.
type forest map[spot]*tally

// add takes in the sum at s, which it then owns.
func (f forest) add(s spot, t *tally) {
	for {
		other, ok := f[spot{s.Level, s.Index ^ 1}]
		if !ok {
			f[s] = t
			return
		}
		delete(f, spot{s.Level, s.Index ^ 1})
		if s.Index&1 == 1 {
			t, other = other, t
		}
		t.merge(other)
		s = spot{s.Level + 1, s.Index >> 1}
	}
}

// spots returns the sums it holds, by block.
func (f forest) spots() []spot {
	return slices.SortedFunc(maps.Keys(f), func(a, b spot) int {
		x, _ := a.blocks()
		y, _ := b.blocks()
		return cmp.Compare(x, y)
	})
}

// has reports whether block b is in.
func (f forest) has(b int) bool {
	for level := 0; level < 63; level++ {
		if _, ok := f[spot{level, b >> level}]; ok {
			return true
		}
	}
	return false
}

// total adds up everything, and leaves f as it is.
func (f forest) total(m *model) *tally {
	sum := newTally(m)
	for _, s := range f.spots() {
		sum.merge(f[s].clone())
	}
	return sum
}

// overlaps reports whether any block of s is in.
func (f forest) overlaps(s spot) bool {
	from, to := s.blocks()
	for o := range f {
		if a, b := o.blocks(); a < to && from < b {
			return true
		}
	}
	return false
}

// gaps lists the runs of blocks below end that are not in.
func (f forest) gaps(end int) []string {
	var list []string
	at := 0
	missing := func(to int) {
		if at < to {
			list = append(list, fmt.Sprintf("%d to %d", at, to))
		}
	}
	for _, s := range f.spots() {
		from, to := s.blocks()
		missing(from)
		at = to
	}
	missing(end)
	return list
}
