package sludge

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/mesh"
)

// FuzzTIN puts soundings and a concave boundary with an island on a coarse
// lattice, where soundings lie on edges and corners: the triangles fill the area,
// the volume with its interval is finite, and what is to be sounded next lies inside.
func FuzzTIN(f *testing.F) {
	f.Add([]byte{1, 1, 5, 5, 9, 2, 3, 8}, uint8(3), uint8(4))
	f.Add([]byte{0, 0, 4, 4, 8, 8, 2, 2, 6, 6, 12, 12}, uint8(0), uint8(9))
	f.Fuzz(func(t *testing.T, data []byte, dent, size uint8) {
		var places []mesh.XY
		for ; len(data) >= 2 && len(places) < 100; data = data[2:] {
			places = append(places, mesh.XY{X: float64(data[0] % 13), Y: float64(data[1] % 13)})
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
			spec.Soundings = append(spec.Soundings, core(p.X, p.Y, float64(i)))
		}
		s, err := NewSurvey(context.Background(), spec)
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
		r, err := VolumeWithInterval(context.Background(), s, VolumeSpec{Confidence: 0.95})
		require.NoError(t, err)
		finite(t, float64(r.Volume), float64(r.SD))
		require.Nil(t, r.Interval, "nothing is told of the sides")
		if r.Bracket != nil {
			finite(t, float64(r.Bracket.Low), float64(r.Bracket.High))
		}
		gaps, err := s.Gaps(GapsSpec{Most: 3})
		require.NoError(t, err)
		for _, p := range gaps.Places {
			require.True(t, s.Contains(p.At))
		}
	})
}
