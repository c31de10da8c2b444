package main

import (
	"maps"
	"math"
	"slices"
)

// sketch counts values in classes of a fixed grid: each power of two is parted
// into 256 classes of one width. Two sketches therefore add up exactly, in any
// order, and the memory depends on the spread of the values, not on their number.
//
// A quantile is the middle of the class that holds the value of its rank, so that
// it is within sketchError of that value. Counting in classes whose width grows with
// the value is the idea of Masson, Rim and Lee (DDSketch: A Fast and
// Fully-Mergeable Quantile Sketch with Relative-Error Guarantees, PVLDB 12, 2019);
// classes that are cut from the bits of the number need no logarithm.
type sketch map[int32]int64

const (
	classBits = 8
	// sketchError is the largest relative error of a quantile: half a class over
	// the lower edge of the first class of a power of two.
	sketchError = 1.0 / (2 << classBits)

	cutBits = 52 - classBits // of the mantissa of a float64
)

// class returns the number of the class of x; numbers have the order of the
// values. Zero, and what is too small to have a full mantissa, is in class 0.
func class(x float64) int32 {
	c := int32(math.Float64bits(math.Abs(x)) >> cutBits)
	if c < 1<<classBits {
		return 0
	}
	if x < 0 {
		return -c
	}
	return c
}

// edges returns the bounds of a class.
func edges(c int32) (low, high float64) {
	switch {
	case c == 0:
		return 0, 0
	case c < 0:
		low, high = edges(-c)
		return -high, -low
	}
	return math.Float64frombits(uint64(c) << cutBits), math.Float64frombits(uint64(c+1) << cutBits)
}

// counter makes sketches of many values. It counts in a list where the values lie
// close enough, which is quicker than a map.
type counter [1 << 14]int64

// sketch returns the sketch of values that lie from least to most.
func (n *counter) sketch(values []float64, least, most float64) sketch {
	first, last := class(least), class(most)
	if int(last)-int(first) >= len(n) {
		s := sketch{}
		for _, x := range values {
			s[class(x)]++
		}
		return s
	}
	used := 0
	for _, x := range values {
		c := &n[class(x)-first]
		if *c == 0 {
			used++
		}
		*c++
	}
	s := make(sketch, used)
	for i, k := range n[:last-first+1] {
		if k > 0 {
			s[first+int32(i)] = k
			n[i] = 0
		}
	}
	return s
}

func (s sketch) merge(o sketch) {
	for c, n := range o {
		s[c] += n
	}
}

// classes returns the numbers of the classes in use, ascending.
func (s sketch) classes() []int32 { return slices.Sorted(maps.Keys(s)) }

// quantile returns the p-quantile of the values, which lie from least to most: the
// least value that is not exceeded by a part p of them (stat.Empirical of gonum),
// up to sketchError.
func (s sketch) quantile(p, least, most float64) float64 {
	var n, sum int64
	for _, k := range s {
		n += k
	}
	for _, c := range s.classes() {
		if sum += s[c]; float64(sum) >= p*float64(n) {
			low, high := edges(c)
			return min(max(low/2+high/2, least), most)
		}
	}
	return most
}
