package sludge

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// With -replicates 300 the test of the coverage makes the table of the package
// documentation; -cases picks cases whose names contain the text.
var (
	replicates = flag.Int("replicates", 0, "surveys of each case in the simulation of coverage; 0: a few")
	casesWith  = flag.String("cases", "", "cases of the simulation whose names contain this")
)

// The basin of the simulation is 100 m by 60 m, with walls or with banks of 3 : 1
// down to 3 m. Fields are drawn on nodes 2.5 m apart and are bilinear between them.
const (
	simLong, simWide = 100.0, 60.0
	simStep          = 2.5
	simCols, simRows = int(simLong/simStep) + 1, int(simWide/simStep) + 1
	simTruth         = 0.5 // m, cells that the truth is summed over
)

type simField func(x, y float64) float64

// gaussian draws fields of mean 1.2 m and standard deviation 0.3 m.
type gaussian struct{ factor *mat.TriDense }

// newGaussian factors the correlations c over the steps dx, dy.
func newGaussian(c func(dx, dy float64) float64) *gaussian {
	n := simCols * simRows
	sym := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			sym.SetSym(i, j, c(float64(i%simCols-j%simCols)*simStep, float64(i/simCols-j/simCols)*simStep))
		}
		sym.SetSym(i, i, 1+1e-6)
	}
	var chol mat.Cholesky
	if !chol.Factorize(sym) {
		panic("not positive definite")
	}
	g := &gaussian{mat.NewTriDense(n, mat.Lower, nil)}
	chol.LTo(g.factor)
	return g
}

// draw returns a standard field.
func (g *gaussian) draw(r *rand.Rand) simField {
	n := simCols * simRows
	white, v := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		white.SetVec(i, r.NormFloat64())
	}
	v.MulVec(g.factor, white)
	z := v.RawVector().Data
	return func(x, y float64) float64 {
		c, d := min(int(x/simStep), simCols-2), min(int(y/simStep), simRows-2)
		u, w := x/simStep-float64(c), y/simStep-float64(d)
		at := d*simCols + c
		return (1-w)*((1-u)*z[at]+u*z[at+1]) + w*((1-u)*z[at+simCols]+u*z[at+simCols+1])
	}
}

func spherical(h float64) float64 {
	if h >= 30 {
		return 0
	}
	u := h / 30
	return 1 - 1.5*u + 0.5*u*u*u
}

var gaussians = sync.OnceValue(func() map[string]*gaussian {
	around := func(c func(h float64) float64) *gaussian {
		return newGaussian(func(dx, dy float64) float64 { return c(math.Hypot(dx, dy)) })
	}
	return map[string]*gaussian{
		"spherical":   around(spherical),
		"exponential": around(func(h float64) float64 { return math.Exp(-3 * h / 30) }),
		"smooth":      around(func(h float64) float64 { return math.Exp(-3 * h * h / 900) }),
		"stretched":   newGaussian(func(dx, dy float64) float64 { return spherical(math.Hypot(dx/2, dy*1.5)) }), // 60 m along, 20 m across
	}
})

// simCase is a kind of field, what is on the banks, and how it is sounded.
type simCase struct {
	name     string
	walls    bool
	floor    func(r *rand.Rand) simField // depth, which nobody has a drawing of; nil: banked
	field    func(r *rand.Rand) simField // of the top over the deepest floor, or the thickness where draped
	settled  bool                        // the field is a top; else a thickness
	design   string
	errorSD  float64                               // of a reading, told
	sharedSD float64                               // of a track, told
	drawn    func(x, y float64) bool               // where the floor is drawn, else it is not known; nil: everywhere, or as read
	floorErr func(r *rand.Rand) (bias, sd float64) // of the depths read to the floor, told as a standard deviation of each
	sizes    []int
}

func (c *simCase) thickness(f, floor simField) simField {
	switch {
	case c.walls:
		return func(x, y float64) float64 { return max(0, f(x, y)) }
	case c.settled:
		return func(x, y float64) float64 { d := floor(x, y); return max(0, min(d, d-(3-f(x, y)))) }
	}
	return func(x, y float64) float64 { return max(0, min(f(x, y), floor(x, y))) }
}

func drawn(kind string) func(r *rand.Rand) simField {
	return func(r *rand.Rand) simField {
		g := gaussians()[kind].draw(r)
		return func(x, y float64) float64 { return max(0, 1.2+0.3*g(x, y)) }
	}
}

func pile(r *rand.Rand) simField {
	y0 := 15 + 30*r.Float64()
	return func(x, y float64) float64 {
		return 0.45 + 1.8*math.Exp(-((x-6)*(x-6)+(y-y0)*(y-y0))/(28*28))
	}
}

func twoPiles(r *rand.Rand) simField {
	a, b := pile(r), pile(r)
	return func(x, y float64) float64 { return 0.3 + 0.6*a(x, y) + 0.5*b(simLong-x, y) }
}

func skewed(r *rand.Rand) simField {
	g := gaussians()["exponential"].draw(r)
	return func(x, y float64) float64 { return 0.8 * math.Exp(0.6*g(x, y)) }
}

func stepped(r *rand.Rand) simField {
	g, at := gaussians()["spherical"].draw(r), 30+40*r.Float64()
	return func(x, y float64) float64 {
		z := 0.8 + 0.15*g(x, y)
		if x > at {
			z += 0.7
		}
		return z
	}
}

// crest is a sharp ridge across the basin with a scour hole.
func crest(r *rand.Rand) simField {
	at, hx, hy := 20+60*r.Float64(), simLong*r.Float64(), simWide*r.Float64()
	return func(x, y float64) float64 {
		return max(0, 0.5+1.4*math.Exp(-math.Abs(x-at)/12)-0.6*math.Exp(-((x-hx)*(x-hx)+(y-hy)*(y-hy))/100))
	}
}

// rolling is a floor that no drawing shows: 12 % deeper or shallower than planned here
// and there.
func rolling(r *rand.Rand) simField {
	g := gaussians()["spherical"].draw(r)
	return func(x, y float64) float64 { return banked(x, y) * math.Exp(0.12*g(x, y)) }
}

// tilted is a floor that runs down along the basin, 2.4 to 3.6 m deep.
func tilted(r *rand.Rand) simField {
	return func(x, y float64) float64 { return banked(x, y) * (0.8 + 0.4*x/simLong) }
}

// firstHalf and amid are where a floor is drawn: the west of the basin, or its floor
// without the banks.
func firstHalf(x, y float64) bool { return x < 50 }
func amid(x, y float64) bool      { return x > 15 && x < 85 && y > 12 && y < 48 }

// plainFloor is the floor of the basin, which is read and not drawn.
func plainFloor(*rand.Rand) simField { return banked }

const fourInches = 4 * 0.0254

// softFloor lets the probe in: all depths are off by the same. roughReadings are each
// off by their own.
func softFloor(r *rand.Rand) (bias, sd float64)     { return fourInches * r.NormFloat64(), 0 }
func roughReadings(r *rand.Rand) (bias, sd float64) { return 0, fourInches }

// thin sludge leaves bare spots.
func thin(r *rand.Rand) simField {
	g := gaussians()["spherical"].draw(r)
	return func(x, y float64) float64 { return max(0, 0.25+0.25*g(x, y)) }
}

var usualSizes = []int{12, 24, 48}

func simCases() []simCase {
	var list []simCase
	for _, kind := range []string{"spherical", "exponential", "smooth"} {
		for _, design := range []string{"random", "grid"} {
			list = append(list, simCase{name: "a-" + kind, walls: true, field: drawn(kind), design: design, sizes: usualSizes})
		}
	}
	const tenth, fifth = 0.1 * 0.3048, 0.2 * 0.3048
	return append(list,
		simCase{name: "c-spherical-error0.2ft", walls: true, field: drawn("spherical"), design: "grid", errorSD: fifth, sizes: usualSizes},
		simCase{name: "b-pile", field: pile, design: "random", sizes: usualSizes},
		simCase{name: "b-pile", field: pile, design: "grid", sizes: usualSizes},
		simCase{name: "b-pile", field: pile, design: "off-banks", sizes: []int{12, 24, 48, 150, 400}},
		simCase{name: "c-pile-error0.1ft", field: pile, design: "random", errorSD: tenth, sizes: usualSizes},
		simCase{name: "c-pile-error0.2ft", field: pile, design: "grid", errorSD: fifth, sizes: usualSizes},
		simCase{name: "d-draped", field: drawn("spherical"), design: "off-banks", sizes: []int{12, 24, 48, 150, 400}},
		simCase{name: "e-pile", field: pile, design: "crowded", sizes: usualSizes},
		simCase{name: "f-settled", field: drawn("spherical"), settled: true, design: "random", sizes: usualSizes},
		simCase{name: "f-settled", field: drawn("spherical"), settled: true, design: "grid", sizes: usualSizes},
		simCase{name: "f-settled", field: drawn("spherical"), settled: true, design: "off-banks", sizes: []int{12, 24, 48, 150, 400}},
		simCase{name: "g-settled-pile", field: pile, settled: true, design: "random", sizes: usualSizes},
		simCase{name: "g-settled-pile", field: pile, settled: true, design: "grid", sizes: usualSizes},
		simCase{name: "g-settled-pile", field: pile, settled: true, design: "off-banks", sizes: []int{12, 24, 48, 150, 400}},
		simCase{name: "g-settled-pile-error0.2ft", field: pile, settled: true, design: "grid", errorSD: fifth, sizes: usualSizes},
		simCase{name: "t-draped", field: drawn("spherical"), design: "tracks", sizes: []int{1800}},
		simCase{name: "t-settled", field: drawn("spherical"), settled: true, design: "tracks", sizes: []int{1800}},
		simCase{name: "t-settled-error0.1ft", field: drawn("spherical"), settled: true, design: "tracks", errorSD: tenth, sizes: []int{1800}},
		simCase{name: "t-settled-shared0.1ft", field: drawn("spherical"), settled: true, design: "tracks", errorSD: tenth, sharedSD: tenth, sizes: []int{1800}},
		simCase{name: "t-settled-pile", field: pile, settled: true, design: "tracks", sizes: []int{1800}},
		simCase{name: "t-pile", field: pile, design: "tracks", sizes: []int{1800}},
		simCase{name: "t-pile-shared0.1ft", field: pile, design: "tracks", errorSD: tenth, sharedSD: tenth, sizes: []int{1800}},
		simCase{name: "h-rolling-floor-settled", floor: rolling, field: drawn("smooth"), settled: true, design: "random", sizes: usualSizes},
		simCase{name: "h-rolling-floor-settled", floor: rolling, field: drawn("smooth"), settled: true, design: "grid", sizes: usualSizes},
		simCase{name: "h-rolling-floor-draped", floor: rolling, field: drawn("smooth"), design: "grid", sizes: usualSizes},
		simCase{name: "h-tilted-floor-settled", floor: tilted, field: drawn("smooth"), settled: true, design: "grid", sizes: usualSizes},
		simCase{name: "h-tilted-floor-settled", floor: tilted, field: drawn("smooth"), settled: true, design: "off-banks", sizes: usualSizes},
		simCase{name: "i-half-drawn-settled", floor: rolling, field: drawn("smooth"), settled: true, design: "random", drawn: firstHalf, sizes: usualSizes},
		simCase{name: "i-half-drawn-draped", floor: rolling, field: drawn("smooth"), design: "random", drawn: firstHalf, sizes: usualSizes},
		simCase{name: "i-half-drawn-tilted-settled", floor: tilted, field: drawn("smooth"), settled: true, design: "grid", drawn: firstHalf, sizes: usualSizes},
		simCase{name: "i-middle-drawn-settled", floor: rolling, field: drawn("smooth"), settled: true, design: "random", drawn: amid, sizes: usualSizes},
		simCase{name: "j-soft-floor-settled", floor: plainFloor, field: drawn("smooth"), settled: true, design: "random", floorErr: softFloor, sizes: usualSizes},
		simCase{name: "j-soft-floor-draped", floor: plainFloor, field: drawn("smooth"), design: "random", floorErr: softFloor, sizes: usualSizes},
		simCase{name: "j-floor-error4in-settled", floor: plainFloor, field: drawn("smooth"), settled: true, design: "random", floorErr: roughReadings, sizes: usualSizes},
		simCase{name: "j-floor-error4in-draped", floor: plainFloor, field: drawn("smooth"), design: "random", floorErr: roughReadings, sizes: usualSizes},
		simCase{name: "j-floor-error4in-rolling", floor: rolling, field: drawn("smooth"), settled: true, design: "random", floorErr: roughReadings, sizes: usualSizes},
		simCase{name: "o-two-piles", field: twoPiles, settled: true, design: "random", sizes: usualSizes},
		simCase{name: "o-skewed", walls: true, field: skewed, design: "random", sizes: usualSizes},
		simCase{name: "o-step", field: stepped, design: "random", sizes: usualSizes},
		simCase{name: "o-stretched", field: drawn("stretched"), design: "random", sizes: usualSizes},
		simCase{name: "o-stretched", field: drawn("stretched"), design: "grid", sizes: []int{12, 24, 48, 150, 400}},
		simCase{name: "o-stretched", field: drawn("stretched"), design: "tracks", sizes: []int{1800}},
		simCase{name: "o-crest", field: crest, design: "random", sizes: usualSizes},
		simCase{name: "o-crest", field: crest, design: "grid", sizes: usualSizes},
		simCase{name: "o-thin", field: thin, settled: false, design: "grid", sizes: usualSizes},
		simCase{name: "o-thin", field: thin, settled: false, design: "off-banks", sizes: usualSizes},
	)
}

// places returns where n soundings are taken, with their tracks.
func (c *simCase) places(n int, r *rand.Rand) (at [][2]float64, tracks []int) {
	grid := func(x0, y0, w, h float64) {
		sizes := map[int][2]int{12: {4, 3}, 24: {6, 4}, 48: {8, 6}, 150: {15, 10}, 400: {25, 16}}[n]
		for j := range sizes[1] {
			for i := range sizes[0] {
				at = append(at, [2]float64{x0 + w*(float64(i)+0.25+0.5*r.Float64())/float64(sizes[0]), y0 + h*(float64(j)+0.25+0.5*r.Float64())/float64(sizes[1])})
			}
		}
	}
	const off = 4
	switch c.design {
	case "grid":
		grid(0, 0, simLong, simWide)
	case "off-banks":
		grid(off, off, simLong-2*off, simWide-2*off)
	case "tracks":
		for k := range 6 {
			for i := range n / 6 {
				at = append(at, [2]float64{off + (simLong-2*off)*(float64(i)+0.5)/float64(n/6), off + (simWide-2*off)*(float64(k)+0.5)/6})
				tracks = append(tracks, k)
			}
		}
	default:
		for i := range n {
			p := [2]float64{simLong * r.Float64(), simWide * r.Float64()}
			if c.design == "crowded" && i%2 == 0 {
				p[0] /= 4
			}
			at = append(at, p)
		}
	}
	return at, tracks
}

// survey draws a field and sounds it. Told the floor, or with readings of it.
func (c *simCase) survey(n int, r *rand.Rand, floorRead bool) (s *Survey, truth float64, err error) {
	floor := simField(banked)
	if c.floor != nil {
		floor = c.floor(r)
	}
	z := c.thickness(c.field(r), floor)
	for x := simTruth / 2; x < simLong; x += simTruth {
		for y := simTruth / 2; y < simWide; y += simTruth {
			truth += z(x, y) * simTruth * simTruth
		}
	}
	spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks}
	switch {
	case c.walls:
		spec.Sides = SidesVertical
	case c.drawn != nil:
		spec.Floor = SurfaceFloor{SurfaceFunc(func(p plane.Point) (units.Length, bool) {
			x, y := float64(p.X), float64(p.Y)
			return units.Length(floor(x, y)), c.drawn(x, y)
		})}
	case !floorRead:
		spec.Floor = bankedFloor{}
	}
	var bias, scatter float64
	if c.floorErr != nil {
		bias, scatter = c.floorErr(r)
	}
	var offset [6]float64
	for k := range offset {
		offset[k] = c.sharedSD * r.NormFloat64()
	}
	at, tracks := c.places(n, r)
	for i, p := range at {
		t := z(p[0], p[1]) + c.errorSD*r.NormFloat64()
		if tracks != nil {
			t += offset[tracks[i]]
		}
		t = max(0, t)
		read := core(p[0], p[1], t)
		if floorRead {
			d := max(t, floor(p[0], p[1]))
			top := d - t
			if c.floorErr != nil {
				d = max(top, d+bias+scatter*r.NormFloat64())
			}
			read = depths(p[0], p[1], top, d)
		}
		if tracks != nil {
			read.Track = tracks[i]
		}
		spec.Soundings = append(spec.Soundings, read)
	}
	s, err = NewSurvey(context.Background(), spec)
	return s, truth, err
}

// simResult sums what the intervals of a case did, as shares of the truth.
type simResult struct {
	name                string
	n, held             int
	bias, width, square float64
}

func (r simResult) String() string {
	k := float64(r.n)
	return fmt.Sprintf("%-44s %5.1f %+6.1f %6.1f %6.1f", r.name, 100*float64(r.held)/k, 100*r.bias/k, 100*r.width/k, 100*math.Sqrt(r.square/k))
}

// simulate runs a case at one size.
func (c *simCase) simulate(n, count int, floorRead bool) (simResult, error) {
	res := simResult{name: fmt.Sprintf("%s %s %d", c.name, c.design, n)}
	if floorRead {
		res.name += " floor read"
	}
	h := fnv.New64a()
	h.Write([]byte(fmt.Sprintf("%s %s %d", c.name, c.design, n)))
	seed := h.Sum64()
	spec := VolumeSpec{Confidence: 0.95, ReadingSD: units.Length(c.errorSD), SharedSD: units.Length(c.sharedSD)}
	if c.floorErr != nil {
		if _, scatter := c.floorErr(rand.New(rand.NewPCG(1, 1))); scatter > 0 {
			spec.FloorSD = units.Length(scatter)
		} else {
			spec.FloorSharedSD = fourInches
		}
	}
	for k := range count {
		s, truth, err := c.survey(n, rand.New(rand.NewPCG(seed, uint64(k))), floorRead)
		if err != nil {
			return res, err
		}
		v, err := VolumeWithInterval(context.Background(), s, spec)
		if err != nil {
			return res, err
		}
		low, high := 0.0, 0.0
		if v.Interval != nil {
			low, high = float64(v.Interval.Low), float64(v.Interval.High)
		}
		e := float64(v.Volume)/truth - 1
		res.n++
		if low <= truth && truth <= high {
			res.held++
		}
		res.bias += e
		res.square += e * e
		res.width += (high - low) / truth
	}
	return res, nil
}

// TestCoverage asks how often intervals of 95 % hold the truth on many kinds of
// fields, designs and sizes. The share over all cases must not lie below 93 %, nor
// may a single case be far below.
func TestCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation")
	}
	count := *replicates
	type job struct {
		c         simCase
		n         int
		floorRead bool
	}
	var jobs []job
	for _, c := range simCases() {
		for _, n := range c.sizes {
			for _, floorRead := range []bool{false, true} {
				name := fmt.Sprintf("%s %s %d", c.name, c.design, n)
				if floorRead {
					name += " floor read"
				}
				switch {
				case floorRead && (c.walls || n > 48 || c.drawn != nil || strings.HasPrefix(c.name, "o-")), !floorRead && c.floor != nil && c.drawn == nil:
				case !strings.Contains(name, *casesWith):
				case count == 0 && (floorRead && c.floor == nil || n != 24):
				default:
					jobs = append(jobs, job{c, n, floorRead})
				}
			}
		}
	}
	if count == 0 {
		count = 10
	}
	results := make([]simResult, len(jobs))
	next := make(chan int)
	var all sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for i := range next {
				n := count
				if jobs[i].n > 48 && jobs[i].n < 1000 {
					n = min(n, 100) // each takes long
				}
				r, err := jobs[i].c.simulate(jobs[i].n, n, jobs[i].floorRead)
				if err != nil {
					t.Error(err)
				}
				if results[i] = r; *replicates > 0 {
					fmt.Println(r) // one by one: it takes its time
				}
			}
		})
	}
	for i := range jobs {
		next <- i
	}
	close(next)
	all.Wait()
	held, n := 0, 0
	for _, r := range results {
		t.Log(r) // case, cover, bias, width, RMSE in %
		held, n = held+r.held, n+r.n
	}
	require.GreaterOrEqual(t, float64(held), 0.93*float64(n)-3*math.Sqrt(0.93*0.07*float64(n)))
	worst := slices.MinFunc(results, func(a, b simResult) int { return a.held*b.n - b.held*a.n })
	require.GreaterOrEqual(t, float64(worst.held), 0.8*float64(worst.n)-3*math.Sqrt(0.8*0.2*float64(worst.n)), worst.name)
}

// A ridge is rough along one line and smooth elsewhere: its variance is known with few
// degrees of freedom, which makes the interval wider. Random fields, stretched ones too,
// and round piles keep what they have.
func TestRidgeHasHeavyTails(t *testing.T) {
	few := func(name string) (count int) {
		c := simCases()[slices.IndexFunc(simCases(), func(c simCase) bool { return c.name == name && c.design == "grid" })]
		for seed := range uint64(12) {
			s, _, err := c.survey(48, rand.New(rand.NewPCG(6, seed)), false)
			require.NoError(t, err)
			e, err := newEstimate(t.Context(), s, usual, estimateOptions{})
			require.NoError(t, err)
			h := slices.MaxFunc(e.hypotheses, func(a, b *hypothesis) int { return cmp.Compare(a.weight, b.weight) })
			if h.df < 30 {
				require.GreaterOrEqual(t, h.df, 3.0)
				require.Less(t, e.result(usual).Parts[0].DF, 30.0, "as the result says")
				count++
			}
		}
		return count
	}
	require.GreaterOrEqual(t, few("o-crest"), 7)
	require.LessOrEqual(t, few("o-stretched"), 2)
	require.LessOrEqual(t, few("a-spherical"), 1)
	require.LessOrEqual(t, few("b-pile"), 3)
}

// A pile has no roughness: where its soundings show none, the interval is not made wider
// by one that a covariance brings along.
func TestPileIsNarrow(t *testing.T) {
	for design, most := range map[string]float64{"random": 0.055, "grid": 0.02} {
		c := simCases()[slices.IndexFunc(simCases(), func(c simCase) bool { return c.name == "b-pile" && c.design == design })]
		var width float64
		for seed := range uint64(12) {
			s, truth, err := c.survey(24, rand.New(rand.NewPCG(7, seed)), false)
			require.NoError(t, err)
			v := volumeOf(t, s, usual).Interval
			require.True(t, v.Has(units.Volume(truth)))
			width += float64(v.High-v.Low) / truth / 12
		}
		require.Less(t, width, most, design)
	}
}
