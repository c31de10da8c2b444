package study

import (
	"math"
	"math/big"
	"math/bits"
)

// wide is a sum of numbers in units of 2^-60, as a whole number of 192 bits in two's
// complement, the low word first. Whole numbers add up to the same in any order, which
// floating-point numbers do not. A number of 2^90, the cube of the farthest output,
// may be added 2^40 times.
type wide [3]uint64

const wideBits = 60 // below the point

// wideOf returns x cut to a multiple of 2^-60; x is below 2^130.
func wideOf(x float64) wide {
	b := math.Float64bits(x)
	m, exp := int64(b&(1<<52-1)), int(b>>52&0x7ff) // x is m 2^(exp-1075)
	if exp > 0 {
		m |= 1 << 52
	}
	if x < 0 {
		m = -m
	}
	shift := exp - 1075 + wideBits
	sign := uint64(m >> 63)
	switch {
	case shift <= -63:
		return wide{sign, sign, sign}
	case shift <= 0:
		return wide{uint64(m >> -shift), sign, sign}
	}
	w := wide{uint64(m), sign, sign}
	for ; shift >= 64; shift -= 64 {
		w = wide{0, w[0], w[1]}
	}
	if shift > 0 {
		s := uint(shift)
		w = wide{w[0] << s, w[1]<<s | w[0]>>(64-s), w[2]<<s | w[1]>>(64-s)}
	}
	return w
}

func (w *wide) add(o wide) {
	var c uint64
	w[0], c = bits.Add64(w[0], o[0], 0)
	w[1], c = bits.Add64(w[1], o[1], c)
	w[2], _ = bits.Add64(w[2], o[2], c)
}

// float returns the sum as a number.
func (w wide) float() float64 {
	if int64(w[2]) < 0 {
		var c uint64
		w[0], c = bits.Add64(^w[0], 1, 0)
		w[1], c = bits.Add64(^w[1], 0, c)
		w[2], _ = bits.Add64(^w[2], 0, c)
		return -w.float()
	}
	return math.Ldexp(float64(w[2]), 128-wideBits) + math.Ldexp(float64(w[1]), 64-wideBits) + math.Ldexp(float64(w[0]), -wideBits)
}

// big returns the sum in units of 2^-60, without rounding.
func (w wide) big() *big.Int {
	v := big.NewInt(int64(w[2]))
	for i := 1; i >= 0; i-- {
		v.Lsh(v, 64)
		v.Add(v, new(big.Int).SetUint64(w[i]))
	}
	return v
}

// appendTo appends as many bytes as the sum needs, after their number.
func (w wide) appendTo(b []byte) []byte {
	sign := byte(int64(w[2]) >> 63)
	byteAt := func(i int) byte { return byte(w[i/8] >> (i % 8 * 8)) }
	n := 24
	for n > 0 && byteAt(n-1) == sign && (n == 1 && sign == 0 || n > 1 && byteAt(n-2)>>7 == sign&1) {
		n--
	}
	b = append(b, byte(n))
	for i := range n {
		b = append(b, byteAt(i))
	}
	return b
}

// readWide reads what appendTo wrote; ok is false when b is something else.
func readWide(b []byte) (w wide, rest []byte, ok bool) {
	if len(b) == 0 || b[0] > 24 || len(b) < 1+int(b[0]) {
		return wide{}, nil, false
	}
	n := int(b[0])
	b = b[1:]
	if n > 0 && b[n-1]>>7 == 1 {
		w = wide{math.MaxUint64, math.MaxUint64, math.MaxUint64}
	}
	for i := range n {
		at := uint(i % 8 * 8)
		w[i/8] = w[i/8]&^(0xff<<at) | uint64(b[i])<<at
	}
	return w, b[n:], true
}
