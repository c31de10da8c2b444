package study

import (
	"math"
	"slices"
)

// sketch counts values in classes of a fixed grid: each power of two is parted into
// 256 classes of one width. Two sketches therefore add up exactly, in any order, and
// the memory depends on the spread of the values, not on their number.
//
// A quantile is the middle of the class that holds the value of its rank, so that
// it is within sketchError of that value. Counting in classes whose width grows with
// the value is the idea of Masson, Rim and Lee (DDSketch: A Fast and
// Fully-Mergeable Quantile Sketch with Relative-Error Guarantees, PVLDB 12, 2019);
// classes that are cut from the bits of the number need no logarithm.
type sketch struct {
	pages [octaves]*[pageSize]int64 // by sign and power of two; nil where there are no values
	used  []int                     // the pages that are there, ascending
}

const (
	octaves  = 1 << 12 // sign and exponent of a float64
	pageSize = 1 << pageBits
	pageBits = 8
	cutBits  = 52 - pageBits // of the mantissa
	classes  = octaves * pageSize

	// sketchError is the largest relative error of a quantile: half a class over the
	// lower edge of the first class of a power of two.
	sketchError = 1.0 / (2 << pageBits)
)

// class returns the number of the class of x in the order of the memory: below
// classes/2 are those above 0, ascending, then those below 0, descending. Zero, and
// what is too small to have a full mantissa, is in class 0.
func class(x float64) int {
	c := int(math.Float64bits(x) >> cutBits)
	if c&(classes/2-1) < pageSize {
		return 0
	}
	return c
}

func (s *sketch) count(x float64) {
	s.add(class(x), 1)
}

func (s *sketch) add(c int, n int64) {
	page := s.pages[c>>pageBits]
	if page == nil {
		page = s.page(c >> pageBits)
	}
	page[c&(pageSize-1)] += n
}

// page returns page i, which it makes when there is none.
func (s *sketch) page(i int) *[pageSize]int64 {
	if s.pages[i] == nil {
		s.pages[i] = new([pageSize]int64)
		at, _ := slices.BinarySearch(s.used, i)
		s.used = slices.Insert(s.used, at, i)
	}
	return s.pages[i]
}

func (s *sketch) merge(o *sketch) {
	for _, i := range o.used {
		page := s.page(i)
		for j, n := range o.pages[i] {
			page[j] += n
		}
	}
}

// drop sets all counts to 0 and keeps the memory.
func (s *sketch) drop() {
	for _, i := range s.used {
		*s.pages[i] = [pageSize]int64{}
	}
}

// edges returns the bounds of a class.
func edges(c int) (low, high float64) {
	if c < pageSize {
		return 0, 0
	}
	low, high = math.Float64frombits(uint64(c)<<cutBits), math.Float64frombits(uint64(c+1)<<cutBits)
	if c >= classes/2 {
		return high, low
	}
	return low, high
}

// each gives the classes in use with their counts, by ascending values.
func (s *sketch) each(yield func(class int, n int64) bool) {
	for i := range octaves {
		o := i - octaves/2 // negative values first, those far from 0 at the start
		if i < octaves/2 {
			o = octaves - 1 - i
		}
		page := s.pages[o]
		if page == nil {
			continue
		}
		for j := range page {
			if i < octaves/2 {
				j = pageSize - 1 - j
			}
			if page[j] > 0 && !yield(o<<pageBits+j, page[j]) {
				return
			}
		}
	}
}

// quantile returns the p-quantile of the values, which lie from least to most: the
// least value that is not exceeded by a part p of them (stat.Empirical of gonum),
// up to sketchError.
func (s *sketch) quantile(p, least, most float64) float64 {
	var n, sum int64
	for _, k := range s.each {
		n += k
	}
	for c, k := range s.each {
		if sum += k; float64(sum) >= p*float64(n) {
			low, high := edges(c)
			return min(max(low/2+high/2, least), most)
		}
	}
	return most
}
