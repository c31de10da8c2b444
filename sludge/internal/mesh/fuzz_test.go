package mesh

import (
	"context"
	"encoding/binary"
	"math"
	"testing"
)

// FuzzDelaunay takes places from bytes: small whole numbers, on which ties and
// lines abound, or any finite numbers up to the largest coordinate.
func FuzzDelaunay(f *testing.F) {
	f.Add([]byte{0, 0, 1, 0, 0, 1, 1, 1, 2, 2, 0, 2}, false)
	f.Add([]byte("regular, irregular and repeated places"), false)
	f.Add([]byte("0123456789abcdef0123456789ABCDEFfedcba98765432100123456789abcdef"), true)
	f.Fuzz(func(t *testing.T, data []byte, wide bool) {
		var places []XY
		if wide {
			for ; len(data) >= 16 && len(places) < 200; data = data[16:] {
				p := XY{math.Float64frombits(binary.LittleEndian.Uint64(data)), math.Float64frombits(binary.LittleEndian.Uint64(data[8:]))}
				if math.Abs(p.X) <= 1e9 && math.Abs(p.Y) <= 1e9 {
					places = append(places, p)
				}
			}
		} else {
			for ; len(data) >= 2 && len(places) < 200; data = data[2:] {
				places = append(places, XY{float64(int8(data[0])), float64(int8(data[1]))})
			}
		}
		checkDelaunay(t, places, Delaunay(context.Background(), places, 1))
	})
}
