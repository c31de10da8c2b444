package sludge

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
)

// stopping is a context that ends after it was asked a number of times.
type stopping struct {
	context.Context
	left *int
}

func (s stopping) Err() error {
	if *s.left--; *s.left < 0 {
		return context.Canceled
	}
	return nil
}

// What takes long ends with its context wherever that ends, and with nothing in hand.
func TestEndsWithContext(t *testing.T) {
	spec := SurveySpec{Boundary: fixtures.Around(), Sides: SidesVertical}
	for _, s := range rounded(50000) {
		spec.Soundings = append(spec.Soundings, Sounding{At: s.At, Thickness: new(max(s.Value, 0))})
	}
	survey, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	tin, err := NewTIN(context.Background(), survey, TINSpec{Edge: EdgeNearest})
	require.NoError(t, err)
	for name, run := range map[string]func(context.Context) (made bool, err error){
		"survey": func(ctx context.Context) (bool, error) {
			s, err := NewSurvey(ctx, spec)
			return s != nil, err
		},
		"triangulation": func(ctx context.Context) (bool, error) {
			tin, err := NewTIN(ctx, survey, TINSpec{Edge: EdgeNearest})
			return tin != nil, err
		},
		"contours": func(ctx context.Context) (bool, error) {
			c, err := tin.Contours(ctx, []units.Length{0.8, 1, 1.2})
			return c != nil, err
		},
	} {
		for after := range 5 {
			made, err := run(stopping{context.Background(), &after})
			require.ErrorIs(t, err, context.Canceled, "%s, %d", name, after)
			require.False(t, made, name)
		}
	}
}
