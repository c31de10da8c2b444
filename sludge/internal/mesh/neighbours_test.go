package mesh

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestNeighboursOnStrip: a thin strip of places needs few cells.
func TestNeighboursOnStrip(t *testing.T) {
	var places []XY
	for i := range 12 {
		places = append(places, XY{float64(i) * 1e8, float64(i%3) * 1e-4})
	}
	near := NewNeighbours(places)
	require.Less(t, near.l.Cols*near.l.Rows, 20)
	id, distance := make([]int32, 3), make([]float64, 3)
	require.Equal(t, 3, near.Find(XY{5.1e8, 0}, id, distance))
	require.Equal(t, []int32{5, 6, 4}, id)
}

// Find is held against sorting all distances.
func TestNeighbours(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for name, places := range awkward() {
		n := NewNeighbours(places)
		for range 50 {
			q := places[rng.IntN(len(places))]
			q = XY{q.X + rng.NormFloat64(), q.Y + rng.NormFloat64()}
			id, dist := make([]int32, 12), make([]float64, 12)
			require.Equal(t, min(12, len(places)), n.Find(q, id, dist))
			less := 0
			for i, p := range places {
				d := (p.X-q.X)*(p.X-q.X) + (p.Y-q.Y)*(p.Y-q.Y)
				if d < dist[11] || d == dist[11] && int32(i) < id[11] {
					less++
				}
			}
			require.Equal(t, 11, less, name)
		}
	}
}
