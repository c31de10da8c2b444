package sample_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/sample"
)

const (
	rules  = "Mississippi Administrative Code title 11, part 8, chapter 2, addendum J"
	course = "Confidence interval for a mean (mean 8.1, s 4.8, n 10), worked answer 601746"
)

func TestPublished(t *testing.T) {
	// Ten frames of ground cover with their printed sums.
	frames := []float64{72.2, 80.0, 22.0, 96.5, 100.2, 25.0, 81.0, 96.0, 100.9, 51.0}
	s, err := sample.Summarize(frames, 0.80) // one tail 0.10 is two-sided 80 %
	require.NoError(t, err)
	// The rule takes the t of the first ten frames and rounds up.
	oneStep := math.Ceil(math.Pow(s.T*s.SD/(0.10*s.Mean), 2))
	evidence.Run(t, "units/sample", evidence.Rights([]evidence.Check{
		{Quantity: "t, 9 df, one tail 0.10", Got: s.T, Want: 1.383, Tol: 0.0005, Unit: "1", Source: rules, Kind: evidence.Published},
		{Quantity: "mean of the ten frames", Got: s.Mean, Want: 72.48, Tol: 1e-9, Unit: "%", Source: rules + ", sum 724.8", Kind: evidence.Published},
		{Quantity: "sum of squares of the ten frames", Got: 9*s.SD*s.SD + 10*s.Mean*s.Mean, Want: 60632.94, Tol: 0.005, Unit: "%2", Source: rules, Kind: evidence.Published},
		{Quantity: "frames for 10 % of the mean, one step", Got: oneStep, Want: 33, Tol: evidence.Exact, Unit: "frames", Source: rules, Kind: evidence.Published},
		{Quantity: "t, 9 df, two-sided 0.95", Got: sample.TQuantile(0.95, 9), Want: 2.262, Tol: 0.0005, Unit: "1", Source: course, Kind: evidence.Published},
		{Quantity: "lower bound, mean 8.1, s 4.8, n 10", Got: 8.1 - sample.TQuantile(0.95, 9)*4.8/math.Sqrt(10), Want: 4.67, Tol: 0.005, Unit: "1", Source: course, Kind: evidence.Published},
		{Quantity: "upper bound, mean 8.1, s 4.8, n 10", Got: 8.1 + sample.TQuantile(0.95, 9)*4.8/math.Sqrt(10), Want: 11.53, Tol: 0.005, Unit: "1", Source: course, Kind: evidence.Published},
		// The print takes the row of 15 degrees of freedom for n = 15.
		{Quantity: "t, 14 df, two-sided 0.95, the lesson prints 2.13", Got: sample.TQuantile(0.95, 14), Want: 2.13, Tol: 0.005, Unit: "1", Source: "Lesson 6, course in educational statistics, Arizona State University", Kind: evidence.Slip},
	}, map[string][2]float64{
		"t, 14 df, two-sided 0.95, the lesson prints 2.13": {2.145, 0.0005},
	}))
}

func TestSummarize(t *testing.T) {
	one, err := sample.Summarize([]units.Length{units.Foot}, 0.95)
	require.NoError(t, err)
	require.Equal(t, sample.Summary[units.Length]{N: 1, Mean: units.Foot, Confidence: 0.95}, one)

	s, err := sample.Summarize([]units.Length{4 * units.Foot, 5 * units.Foot, 6 * units.Foot}, 0.95)
	require.NoError(t, err)
	require.NotNil(t, s.Interval)
	require.InDelta(t, 5, s.Mean.In(units.Foot), 1e-12)
	require.InDelta(t, 1, s.SD.In(units.Foot), 1e-12)
	require.InDelta(t, 0.2, s.CV, 1e-12)
	require.InDelta(t, 5+4.302652729911275/math.Sqrt(3), s.Interval.High.In(units.Foot), 1e-9)

	_, err = sample.Summarize([]units.Length{units.Length(math.NaN())}, 1)
	require.Len(t, units.FieldErrors(err), 2)
	_, err = sample.Summarize[float64](nil, 0)
	require.Len(t, units.FieldErrors(err), 2)
}

// With one and two degrees of freedom Student's t has a closed form, tan(pi c/2) and
// c sqrt(2/(1 - c2)) for the confidence c; so has Grubbs's limit of three and four values.
func TestClosedForms(t *testing.T) {
	for _, c := range []float64{0.001, 0.2, 0.5, 0.8, 0.9, 0.95, 0.99, 0.999} {
		require.InEpsilon(t, math.Tan(math.Pi*c/2), sample.TQuantile(c, 1), 1e-9)
		require.InEpsilon(t, c*math.Sqrt(2/(1-c*c)), sample.TQuantile(c, 2), 1e-9)
		three, ok, err := sample.FindOutlier([]float64{1, 2, 5}, max(c, 0.001))
		require.True(t, ok && err == nil)
		// t/sqrt(1 + t2) is the sine of the angle whose tangent t is.
		require.InEpsilon(t, 2/math.Sqrt(3)*math.Cos(math.Pi*(1-c)/6), three.Critical, 1e-9)
		four, ok, err := sample.FindOutlier([]float64{1, 2, 3, 9}, c)
		require.True(t, ok && err == nil)
		in := 1 - (1-c)/4 // two-sided
		require.InEpsilon(t, 1.5*in, four.Critical, 1e-9)
		require.Equal(t, four.G > four.Critical, four.IsOut)
	}
	for _, none := range []struct {
		c  float64
		df int
	}{{0, 5}, {1, 5}, {-0.1, 5}, {1.1, 5}, {math.NaN(), 5}, {0.95, 0}, {0.95, -1}} {
		require.Zero(t, sample.TQuantile(none.c, none.df), "%v", none)
	}
	// By hand: 1, 2, 3, 9 has the mean 3.75 and squares 7.5625 + 3.0625 + 0.5625 + 27.5625 = 38.75.
	o, _, err := sample.FindOutlier([]float64{9, 1, 2, 3}, 0.95)
	require.NoError(t, err)
	require.Zero(t, o.Index)
	require.Equal(t, 9.0, o.Value)
	require.InDelta(t, 5.25/math.Sqrt(38.75/3), o.G, 1e-12)
	require.Equal(t, sample.Summary[float64]{N: 3, Mean: 2, SD: 1, CV: 0.5, Confidence: 0.95, T: sample.TQuantile(0.95, 2), Half: sample.TQuantile(0.95, 2) / math.Sqrt(3), Interval: &units.Range[float64]{Low: 2 - sample.TQuantile(0.95, 2)/math.Sqrt(3), High: 2 + sample.TQuantile(0.95, 2)/math.Sqrt(3)}}, o.Without)
	// Of two that are as far off the first is named; one below the mean is far off, too.
	o, _, err = sample.FindOutlier([]float64{5, 1, 9, 5}, 0.95)
	require.NoError(t, err)
	require.Equal(t, 1, o.Index)
	// A mean of 0 has no CV, and one below 0 a positive one.
	zero, err := sample.Summarize([]float64{-1, 1}, 0.95)
	require.NoError(t, err)
	require.Zero(t, zero.CV)
	negative, err := sample.Summarize([]float64{-4, -6}, 0.95)
	require.NoError(t, err)
	require.InDelta(t, math.Sqrt2/5, negative.CV, 1e-12)
	// The number needed ends at the most that is answered, and is found on both sides of it.
	near := func(n int) float64 { return sample.TQuantile(0.95, n-1) / math.Sqrt(float64(n)) }
	for _, n := range []int{2, 3, 4, 5, 8, 9, 65_536, 65_537, 99_999, 100_000, 100_001} {
		got, err := sample.Needed(1, near(n)*(1+1e-9), 0.95)
		require.Equal(t, n <= 100_000, err == nil, n)
		if err == nil {
			require.Equal(t, n, got)
		}
	}
	_, err = sample.Summarize([]float64{1, math.NaN(), math.Inf(1)}, 0.95)
	require.Equal(t, []string{"values[1]", "values[2]"}, []string{units.FieldErrors(err)[0].Field, units.FieldErrors(err)[1].Field})
}

// The answer is the least n that satisfies the formula.
func TestNeededIsLeast(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		cv, allowed, conf := 0.02+rng.Float64(), 0.03+0.3*rng.Float64(), 0.8+0.19*rng.Float64()
		n, err := sample.Needed(cv, allowed, conf)
		require.NoError(t, err)
		half := func(n int) float64 { return sample.TQuantile(conf, n-1) * cv / math.Sqrt(float64(n)) }
		require.LessOrEqual(t, half(n), allowed)
		if n > 2 {
			require.Greater(t, half(n-1), allowed)
		}
	}
	n, err := sample.Needed(0, 0.1, 0.95)
	require.NoError(t, err)
	require.Equal(t, 2, n)
	_, err = sample.Needed(1, 1e-6, 0.95)
	require.ErrorContains(t, err, "100,000 measurements")
	_, err = sample.Needed(-1, 0, 2)
	require.Len(t, units.FieldErrors(err), 3)
}

func TestFindOutlier(t *testing.T) {
	o, ok, err := sample.FindOutlier([]float64{10, 11, 10.5, 9.8, 10.2, 18}, 0.95)
	require.NoError(t, err)
	require.True(t, ok && o.IsOut)
	require.Equal(t, 5, o.Index)
	require.InDelta(t, 10.3, o.Without.Mean, 1e-12)
	require.Equal(t, 5, o.Without.N)
	for _, none := range [][]float64{{1, 2}, {3, 3, 3, 3}} {
		_, ok, err = sample.FindOutlier(none, 0.95)
		require.NoError(t, err)
		require.False(t, ok)
	}
	_, _, err = sample.FindOutlier([]float64{math.Inf(1)}, 0.95)
	require.Error(t, err)
}

// Grubbs's test at 95 % calls a clean normal sample spoiled in about one of
// twenty cases: 2000 samples, binomial limits of four standard deviations.
func TestFindOutlierRate(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	count := 0
	for range 2000 {
		x := make([]float64, 8)
		for i := range x {
			x[i] = rng.NormFloat64()
		}
		o, _, err := sample.FindOutlier(x, 0.95)
		require.NoError(t, err)
		if o.IsOut {
			count++
		}
	}
	require.InDelta(t, 100, count, 4*math.Sqrt(2000*0.05*0.95))
}

func ExampleSummarize() {
	nets := []units.Mass{11.2 * units.Pound, 9.6 * units.Pound, 12.4 * units.Pound, 10.1 * units.Pound, 8.7 * units.Pound}
	s, err := sample.Summarize(nets, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	more, err := sample.Needed(s.CV, 0.10, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s +- %s, CV %.1f %%, %d sheets for 10 %%\n", s.Mean.Text(units.Pound, 1), s.Half.Text(units.Pound, 1), 100*s.CV, more)
	// Output: 10.4 lb +- 1.8 lb, CV 13.8 %, 10 sheets for 10 %
}

func TestSummarizeOverflow(t *testing.T) {
	for _, x := range [][]float64{{1e200, 1}, {math.MaxFloat64, -math.MaxFloat64}, {1e300, -1e300, 1e-300}} {
		_, err := sample.Summarize(x, 0.95)
		require.NotEmpty(t, units.FieldErrors(err), "%v", x)
	}
}

func ExampleFindOutlier() {
	sheets := []units.Mass{11.2, 10.6, 12.4, 10.1, 11.7, 19.8}
	o, ok, err := sample.FindOutlier(sheets, 0.95)
	fmt.Printf("%d %v %v, G %.2f against %.2f, mean without it %.1f\n", o.Index, ok, err, o.G, o.Critical, o.Without.Mean)
	// Output: 5 true <nil>, G 1.99 against 1.89, mean without it 11.2 kg
}

func ExampleNeeded() {
	n, err := sample.Needed(0.30, 0.10, 0.95)
	fmt.Println(n, err)
	// Output: 38 <nil>
}

func ExampleTQuantile() {
	fmt.Printf("%.3f\n", sample.TQuantile(0.95, 9))
	// Output: 2.262
}
