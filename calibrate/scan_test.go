package calibrate

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// The effective width by its definition, found by walking in from either side in small
// steps, is that of the formula, for patterns that are even nowhere and lines that stand
// between trays.
func TestEffectiveWidthByWalking(t *testing.T) {
	rng := newRand()
	for range 300 {
		trays := make([]float64, 5+rng.IntN(8))
		for i := range trays[1 : len(trays)-1] {
			trays[1+i] = math.Floor(between(rng, 0, 8))
		}
		trays[len(trays)/2] = 9
		if rng.IntN(3) == 0 {
			trays[0] = 1 // some fell at the end of the row
		}
		last := float64(len(trays) - 1)
		line := between(rng, 0, last)
		if rng.IntN(3) == 0 {
			line = math.Round(line)
		}
		catch := func(x float64) float64 {
			i := min(int(x), len(trays)-2)
			return trays[i] + (x-float64(i))*(trays[i+1]-trays[i])
		}
		strip := float64(rng.IntN(5)) * 0.7
		centre, n := 0.0, 0.0
		for i, c := range trays {
			if strip > 0 && math.Abs(float64(i)-line) <= strip/2 {
				centre, n = centre+c, n+1
			}
		}
		if n == 0 { // no tray within the strip
			centre, n = catch(line), 1
		}
		spacing := units.Length(between(rng, 0.01, 2))
		p := Pattern{Trays: trays, Spacing: spacing, Line: units.Length(line) * spacing}
		for rule, half := range map[WidthRule]float64{WidthHalfMaximum: 4.5, WidthHalfCentre: centre / n / 2} {
			if slices.ContainsFunc(trays, func(c float64) bool { return c != half && math.Abs(c-half) < 1e-9 }) {
				continue // met or not but for rounding
			}
			const step = 1.0 / 1024 // so that each tray is met
			left, right := 0.0, last
			for left < last && catch(left) < half {
				left += step
			}
			for right > 0 && catch(right) < half {
				right -= step
			}
			r, err := EffectiveWidth(EffectiveWidthSpec{Rule: rule, Pattern: p, Centre: units.Length(strip) * spacing})
			if trays[0] > half || half == 0 {
				require.Error(t, err)
				continue
			}
			require.NoError(t, err)
			require.InDelta(t, half, r.Half, 1e-9)
			require.InDelta(t, line-left, float64(r.Left/spacing), 2*step)
			require.InDelta(t, right-line, float64(r.Right/spacing), 2*step)
			require.InDelta(t, right-left, float64(r.Width/spacing), 4*step)
			// Between the empty trays nearest to what fell, or the ends of the row.
			from, to := 0, len(trays)-1
			for from+1 < len(trays) && trays[from] == 0 && trays[from+1] == 0 {
				from++
			}
			for to > 0 && trays[to] == 0 && trays[to-1] == 0 {
				to--
			}
			require.InDelta(t, float64(to-from), float64(r.Thrown/spacing), 1e-9)
			require.InDelta(t, 1-(right-left)/float64(to-from), r.Overlap, 4*step)
		}
	}
}

// The classes of wind as printed, at their ends and between them.
func TestSquareSpacingClasses(t *testing.T) {
	for mph, want := range map[units.Speed]float64{0: 0.55, 3: 0.55, 3.01: 0.5, 4: 0.5, 7: 0.5, 7.01: 0.45, 8: 0.45, 12: 0.45} {
		share, ok := SquareSpacing(mph * units.MilePerHour)
		require.True(t, ok)
		require.Equal(t, want, share, "%v mph", float64(mph))
	}
	for _, mph := range []units.Speed{-0.1, 12.01, 13, 23, units.Speed(math.NaN())} {
		_, ok := SquareSpacing(mph * units.MilePerHour)
		require.False(t, ok, "%v mph", float64(mph))
	}
}

// Welch's statistic and its degrees of freedom as they are written, with counts and
// spreads that differ.
func TestWelchAsWritten(t *testing.T) {
	rng := newRand()
	for range 200 {
		na, nb := 2+rng.IntN(9), 2+rng.IntN(9)
		a := moments{n: na, rate: between(rng, 1, 3), standardError: between(rng, 0.1, 1)}
		b := moments{n: nb, rate: between(rng, 1, 3), standardError: between(rng, 0.1, 1)}
		va, vb := a.standardError*a.standardError, b.standardError*b.standardError
		nu := (va + vb) * (va + vb) / (va*va/float64(na-1) + vb*vb/float64(nb-1))
		p, ok := welch(a, b)
		require.True(t, ok)
		require.InDelta(t, 2*distuv.StudentsT{Sigma: 1, Nu: nu}.Survival(math.Abs(a.rate-b.rate)/math.Sqrt(va+vb)), p, 1e-12)
	}
	sure := moments{n: 3, rate: 2}
	_, ok := welch(sure, sure)
	require.False(t, ok, "two rates without a spread cannot be compared")
	_, ok = welch(moments{n: 2, rate: 2, standardError: 1}, moments{n: 1, rate: 2, standardError: 1})
	require.False(t, ok)
}

// A test plot of any size gives the rate of the field: all areas and amounts may be so
// many times smaller.
func TestLoadAreaOfAnySize(t *testing.T) {
	for _, size := range []float64{1e4, 1, 1e-2, 1e-4} {
		r, err := LoadArea(LoadAreaSpec[units.Mass]{Confidence: 0.95, Runs: []LoadRun[units.Mass]{
			{Load: units.Mass(3 * size), Loads: 2, Area: units.Area(4 * size)},
			{Load: units.Mass(5 * size), Loads: 1, Area: units.Area(2 * size)}}})
		require.NoError(t, err)
		require.Len(t, r.Readings, 2)
		require.InEpsilon(t, 11.0/6, float64(r.Rate), 1e-12)
		require.InEpsilon(t, 1.5, float64(r.Readings[0].Rate), 1e-12)
		require.InEpsilon(t, 2.0/3, r.Readings[0].Weight, 1e-12)
	}
}
