package study

import "math/bits"

// pcg is the generator of rand.PCG, of 128 bits of state (O'Neill 2014, PCG: A Family of
// Simple Fast Space-Efficient Statistically Good Algorithms for Random Number
// Generation), which draws many probabilities in one call, so that its state stays in
// registers.
type pcg struct{ hi, lo uint64 }

// probabilities draws p, from 0 to below 1, each a multiple of 2^-53.
func (g *pcg) probabilities(p []float64) {
	hi, lo := g.hi, g.lo
	for i := range p {
		// The state times 0x2360ed051fc65da44385df649fccf645, plus an odd number.
		high, low := bits.Mul64(lo, 0x4385df649fccf645)
		high += hi*0x4385df649fccf645 + lo*0x2360ed051fc65da4
		var carry uint64
		lo, carry = bits.Add64(low, 0x14057b7ef767814f, 0)
		hi, _ = bits.Add64(high, 0x5851f42d4c957f2d, carry)
		// DXSM: what is given is the upper half, mixed.
		x := (hi ^ hi>>32) * 0xda942042e4dd58b5
		x = (x ^ x>>48) * (lo | 1)
		p[i] = float64(int64(x>>11)) * 0x1p-53
	}
	g.hi, g.lo = hi, lo
}
