package study

import (
	"math/rand/v2"
)

// halton is a sequence of low discrepancy, whose points fill the cube more evenly than
// random ones: coordinate j of point i is i with its digits in the j-th prime mirrored
// at the point, after a random permutation of the digits of each place. Owen, A
// randomized Halton algorithm in R, arXiv:1706.02808, 2017.
type halton struct {
	primes       []int
	permutations [][][]uint16 // by coordinate and place
}

func newHalton(coordinates int, seed int64) *halton {
	h := &halton{primes: primes(coordinates)}
	for j, base := range h.primes {
		r := rand.New(rand.NewPCG(uint64(seed), uint64(j)))
		var places [][]uint16
		for weight := 1.0; weight > 0x1p-54; weight /= float64(base) {
			places = append(places, make([]uint16, base))
			for d, to := range r.Perm(base) {
				places[len(places)-1][d] = uint16(to)
			}
		}
		h.permutations = append(h.permutations, places)
	}
	return h
}

// at returns coordinate j of point i.
func (h *halton) at(i int64, j int) float64 {
	base := int64(h.primes[j])
	weight, x := 1.0, 0.0
	for _, place := range h.permutations[j] {
		weight /= float64(base)
		x += weight * float64(place[i%base])
		i /= base
	}
	return min(x, mostP)
}

// primes returns the first n primes.
func primes(n int) []int {
	var list []int
	for c := 2; len(list) < n; c++ {
		prime := true
		for _, p := range list {
			if p*p > c {
				break
			}
			if c%p == 0 {
				prime = false
				break
			}
		}
		if prime {
			list = append(list, c)
		}
	}
	return list
}
