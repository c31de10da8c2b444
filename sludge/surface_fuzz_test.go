package sludge

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzDelaunay takes places from bytes: small whole numbers, on which ties and
// lines abound, or any finite numbers up to the largest coordinate.
func FuzzDelaunay(f *testing.F) {
	f.Add([]byte{0, 0, 1, 0, 0, 1, 1, 1, 2, 2, 0, 2}, false)
	f.Add([]byte("regular, irregular and repeated places"), false)
	f.Add([]byte("0123456789abcdef0123456789ABCDEFfedcba98765432100123456789abcdef"), true)
	f.Fuzz(func(t *testing.T, data []byte, wide bool) {
		var places []xy
		if wide {
			for ; len(data) >= 16 && len(places) < 200; data = data[16:] {
				p := xy{math.Float64frombits(binary.LittleEndian.Uint64(data)), math.Float64frombits(binary.LittleEndian.Uint64(data[8:]))}
				if math.Abs(p.x) <= maxCoordinate && math.Abs(p.y) <= maxCoordinate {
					places = append(places, p)
				}
			}
		} else {
			for ; len(data) >= 2 && len(places) < 200; data = data[2:] {
				places = append(places, xy{float64(int8(data[0])), float64(int8(data[1]))})
			}
		}
		checkDelaunay(t, places, delaunay(places, 1))
	})
}

// FuzzTIN puts soundings and a concave boundary with an island on a coarse
// lattice, where soundings lie on edges and corners: the triangles fill the area,
// the volume with its interval is finite, and what is to be sounded next lies inside.
func FuzzTIN(f *testing.F) {
	f.Add([]byte{1, 1, 5, 5, 9, 2, 3, 8}, uint8(3), uint8(4))
	f.Add([]byte{0, 0, 4, 4, 8, 8, 2, 2, 6, 6, 12, 12}, uint8(0), uint8(9))
	f.Fuzz(func(t *testing.T, data []byte, dent, size uint8) {
		var places []xy
		for ; len(data) >= 2 && len(places) < 100; data = data[2:] {
			places = append(places, xy{float64(data[0] % 13), float64(data[1] % 13)})
		}
		if len(places) == 0 {
			return
		}
		boundary := rectangle(0, 0, 12, 12)
		boundary[2] = at(float64(dent%12)+0.5, float64(dent%5)+6)
		island := rectangle(1, 1, 1+float64(size%3+1)/2, 1+float64(size%4+1)/4)
		spec := SurveySpec{Boundary: boundary, Outside: OutsideKeep, Duplicates: DuplicatesMean}
		spec.Islands = append(spec.Islands, island)
		for i, p := range places {
			spec.Soundings = append(spec.Soundings, core(p.x, p.y, float64(i)))
		}
		s, err := NewSurvey(spec)
		if err != nil {
			return
		}
		v := tinOf(t, s, EdgeNearest).Volume()
		if math.Abs(float64(v.Area-s.Area())) > 1e-9 {
			t.Fatalf("area %v, want %v", v.Area, s.Area())
		}
		if v.Volume < 0 || float64(v.Volume) > float64(len(places))*float64(v.Area) {
			t.Fatalf("volume %v", v.Volume)
		}
		r, err := VolumeWithInterval(s, VolumeSpec{Confidence: 0.95})
		require.NoError(t, err)
		finite(t, float64(r.Volume), float64(r.SD), float64(r.Interval.Low), float64(r.Interval.High))
		gaps, err := s.Gaps(GapsSpec{Most: 3})
		require.NoError(t, err)
		for _, p := range gaps.Places {
			require.True(t, s.Contains(p.At))
		}
	})
}
