package volume

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

type level units.Length

func (l level) At(plane.Point) (units.Length, bool) { return units.Length(l), true }

// A step of many times the basin leaves slivers that rounding takes away.
func TestFloorWithoutTriangles(t *testing.T) {
	_, err := NewFloor(context.Background(), FloorSpec{Top: 0.312, Sampled: &SampledSpec{Places: level(0), Step: 41289.80705380441, Outline: plane.Polygon{
		{X: 1.7688632493231919e-06, Y: 0.925}, {X: 8.85, Y: 0.06693740272862252}, {X: 0.411, Y: 0.574}, {X: 0.242, Y: 0.00015701872808809408}}}})
	require.NotEmpty(t, units.FieldErrors(err))
}
