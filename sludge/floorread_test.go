package sludge

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/field"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Where no drawing exists the floor is kriged from the depths read at the soundings, and
// its error is part of the answer: on floors that roll by 12 % under a level top,
// intervals of 95 % hold the volume. A plain floor of even depth was held in 63 % of
// such surveys, 9 % too high.
func TestVolumeOverRollingFloor(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation")
	}
	c := simCase{name: "h", floor: rolling, field: drawn("smooth"), settled: true, design: "random"}
	const surveys = 40
	r, err := c.simulate(24, surveys, true)
	require.NoError(t, err)
	t.Log(r)
	require.GreaterOrEqual(t, r.held, 34)
	require.Less(t, math.Abs(r.bias/surveys), 0.05)
	require.Less(t, r.width/surveys, 0.4)
}

// The less is known of the floor, the wider the answer, and the result says why: drawn,
// read at the soundings, not known. Readings of a plain floor leave nothing open.
func TestFloorThatIsMissingWidens(t *testing.T) {
	basin := rectangle(0, 0, simLong, simWide)
	for seed := range uint64(8) {
		r := rand.New(rand.NewPCG(1, seed))
		field, floor := drawn("smooth")(r), rolling(r)
		c := simCase{settled: true}
		top := c.thickness(field, floor)
		drawing, read, none := SurveySpec{Boundary: basin, Sides: SidesBanks}, SurveySpec{Boundary: basin, Sides: SidesBanks}, SurveySpec{Boundary: basin, Sides: SidesBanks}
		drawing.Floor = floorFunc(func(p plane.Point) units.Length { return units.Length(floor(float64(p.X), float64(p.Y))) })
		for range 24 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			z, d := top(x, y), floor(x, y)
			drawing.Soundings = append(drawing.Soundings, core(x, y, z))
			read.Soundings = append(read.Soundings, depths(x, y, d-z, d))
			none.Soundings = append(none.Soundings, core(x, y, z))
		}
		of := func(spec SurveySpec) VolumeResult {
			s, err := NewSurvey(context.Background(), spec)
			require.NoError(t, err)
			return volumeOf(t, s, usual)
		}
		told, kriged, open := of(drawing), of(read), of(none)
		require.Less(t, told.Interval.Half(), kriged.Interval.Half())
		require.Nil(t, open.Interval)
		require.Less(t, kriged.Interval.Half(), open.Bracket.Half())
		require.Zero(t, told.FloorShare)
		require.Greater(t, kriged.FloorShare, 0.1)
		require.LessOrEqual(t, kriged.FloorShare, 1.0)
		require.Contains(t, kriged.String(), "of the variance is the floor's")
		require.Contains(t, open.String(), "the floor is not known")
	}
}

// A floor that falls evenly along the basin under a level top is found from readings at
// any places: the volume between the two is known.
func TestVolumeOverTiltedFloor(t *testing.T) {
	basin := rectangle(0, 0, simLong, simWide)
	floor := tilted(nil)
	truth := 0.0
	const step = 0.25
	for x := step / 2; x < simLong; x += step {
		for y := step / 2; y < simWide; y += step {
			truth += step * step * max(0, floor(x, y)-1.8)
		}
	}
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(2, seed))
		spec := SurveySpec{Boundary: basin, Sides: SidesBanks}
		for range 48 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			d := floor(x, y)
			spec.Soundings = append(spec.Soundings, depths(x, y, min(1.8, d), d))
		}
		s, err := NewSurvey(context.Background(), spec)
		require.NoError(t, err)
		v := volumeOf(t, s, usual)
		require.InEpsilon(t, truth, float64(v.Volume), 0.05)
		require.True(t, v.Interval.Has(units.Volume(truth)), "%v in %v", truth, v.Interval)
	}
}

// Two surveys of one basin share what is not known of its floor: the change of a level
// top is surer than either volume.
func TestDifferenceOverRollingFloor(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	floor := rolling(r)
	sound := func(toSludge float64) *Survey {
		spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks}
		for range 24 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			d := floor(x, y)
			spec.Soundings = append(spec.Soundings, depths(x, y, min(d, toSludge+0.02*r.NormFloat64()), d))
		}
		s, err := NewSurvey(context.Background(), spec)
		require.NoError(t, err)
		return s
	}
	d, err := Difference(context.Background(), DifferenceSpec{Before: sound(2), After: sound(1.6), Volume: usual})
	require.NoError(t, err)
	var truth float64
	for x := 0.25; x < simLong; x += 0.5 {
		for y := 0.25; y < simWide; y += 0.5 {
			truth += 0.25 * (max(0, floor(x, y)-1.6) - max(0, floor(x, y)-2))
		}
	}
	require.True(t, d.Interval.Has(units.Volume(truth)), "%v in %v", truth, d.Interval)
	require.Less(t, d.Interval.Half(), d.After.Interval.Half())
}

// A floor drawn in other coordinates than the survey, or with levels in place of depths,
// is nowhere below the liquid, and would cut every volume to nothing.
func TestFloorElsewhereIsRefused(t *testing.T) {
	elsewhere := surveyOf(t, rectangle(500, 500, 509, 509), []geostat.Sample{sampleAt(501, 501, 3), sampleAt(508, 502, 3), sampleAt(504, 508, 3)})
	for _, floor := range []Floor{SurfaceFloor{tinOf(t, elsewhere, EdgeNearest)}, FlatFloor(0), FlatFloor(-3), SolidFloor{Solid: &bowl{2}}, &bowl{units.Length(math.NaN())}, &bowl{1e308}} {
		_, err := NewSurvey(t.Context(), SurveySpec{Boundary: rectangle(0, 0, 9, 9), Sides: SidesBanks, Floor: floor, Soundings: []Sounding{NewSounding(1, 1, 1)}})
		require.Equal(t, []string{"floor"}, fields(err), "%T", floor)
	}
	// Known beside the soundings alone it is a floor.
	_, err := NewSurvey(t.Context(), SurveySpec{Boundary: rectangle(0, 0, 9, 9), Sides: SidesBanks, Floor: SurfaceFloor{SurfaceFunc(func(p plane.Point) (units.Length, bool) { return 2, p.X > 5 })}, Soundings: []Sounding{NewSounding(1, 1, 1)}})
	require.NoError(t, err)
}

// The slope of banks that were read is found between the steps that are tried: depths that
// agree with a plain floor leave no doubt of it.
func TestSlopeBetweenSteps(t *testing.T) {
	for _, slope := range []float64{2.5, 3, 3.33} {
		floor := func(x, y float64) float64 { return min(2.5, min(x, simLong-x, y, simWide-y)/slope) }
		spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks}
		for _, s := range gridOf(8, 6, func(x, y float64) float64 { return max(0, 0.8+0.2*math.Sin(x/15)-(2.5-floor(x, y))) }) {
			d := floor(float64(s.At.X), float64(s.At.Y))
			spec.Soundings = append(spec.Soundings, depths(float64(s.At.X), float64(s.At.Y), d-float64(s.Value), d))
		}
		s, err := NewSurvey(t.Context(), spec)
		require.NoError(t, err)
		r := volumeOf(t, s, usual)
		require.Len(t, r.Floors, 1)
		require.InDelta(t, slope, r.Floors[0].Slope, 0.005)
		require.Less(t, r.FloorShare, 0.01)
	}
}

// A floor with banks: no deeper than flat, and as deep as the distance to the edge over the
// slope; with walls flat up to the edge.
func TestFittedFloor(t *testing.T) {
	banks, level := fittedFloor{slope: 3, flat: 2}, fittedFloor{flat: 2}
	for edge, want := range map[float64]float64{0: 0, 1.5: 0.5, 6: 2, 40: 2} {
		require.InDelta(t, want, banks.depth(edge), 1e-15)
		require.Equal(t, 2.0, level.depth(edge))
	}

	// The slope that agrees best is found among steps and between them; its weight is by what
	// the depths miss it by, and by how usual it is.
	f := floorFit{readingSD: 0.05}
	for i := range 30 {
		edge := 0.5 + float64(i)
		f.edge = append(f.edge, edge)
		f.known = append(f.known, knownDepth{depth: min(2, edge/2.57) + 0.02*float64(i%3-1)})
	}
	weight := func(slope float64) float64 { // by definition: flat is the mean of what is beyond the banks
		flat := 0.0
		for _, d := range f.known {
			flat = max(flat, d.depth)
		}
		for range 5 {
			var sum, n float64
			for i, d := range f.known {
				if f.edge[i] >= slope*(flat-1e-9) {
					sum, n = sum+d.depth, n+1
				}
			}
			flat = sum / n
		}
		var squares float64
		for i, d := range f.known {
			miss := d.depth - min(flat, f.edge[i]/slope)
			squares += miss * miss
		}
		usual := math.Log(slope/3) / 0.35
		return -squares/2/(0.1*0.1+0.05*0.05) - usual*usual/2
	}
	var best, total float64
	for k := range 51 {
		slope := 1.05 + 0.1*float64(k)
		require.InDelta(t, weight(slope), f.with(slope).weight, 1e-9, "%v", slope)
		total += math.Exp(weight(slope))
		if best == 0 || weight(slope) > weight(best) {
			best = slope
		}
	}
	all := f.all()
	want := map[int]float64{} // at five even steps of the weight, by number of the slope
	for _, step := range []float64{0.1, 0.3, 0.5, 0.7, 0.9} {
		k, sum := -1, 0.0
		for sum < step {
			k++
			sum += math.Exp(weight(1.05+0.1*float64(k))) / total
		}
		want[k] += 0.2
	}
	require.Len(t, all, len(want))
	var weights float64
	for i, o := range all {
		weights += o.weight
		require.True(t, i == 0 || o.slope > all[i-1].slope)
		require.InDelta(t, want[int(math.Round((o.slope-1.05)/0.1))], o.weight, 1e-12)
	}
	require.InDelta(t, 1, weights, 1e-12)
	require.True(t, slices.ContainsFunc(all, func(o fittedFloor) bool { return math.Abs(o.slope-best) < 1e-9 }))
	refined := f.refined(all)
	weights = 0
	for i, o := range refined {
		weights += o.weight
		require.True(t, slices.ContainsFunc(all, func(step fittedFloor) bool { // the best within a step of it
			for by := -0.1; by <= 0.1; by += 0.005 {
				if f.with(step.slope+by).weight > f.with(o.slope).weight+0.002 {
					return false
				}
			}
			return math.Abs(step.slope-o.slope) <= 0.1
		}), "%v", o)
		require.True(t, i == 0 || o.slope-refined[i-1].slope >= 0.001, "those that come to one are one")
	}
	require.InDelta(t, 1, weights, 1e-12)
	require.True(t, slices.ContainsFunc(refined, func(o fittedFloor) bool { return math.Abs(o.slope-2.57) < 0.02 && o.weight > 0.5 }))
	require.Less(t, len(refined), len(all))
	walls := f.level()
	var mean float64
	for _, d := range f.known {
		mean += d.depth / 30
	}
	require.Len(t, walls, 1)
	require.InDelta(t, mean, walls[0].flat, 1e-12)
	require.Equal(t, 1.0, walls[0].weight)
	require.Empty(t, (&floorFit{}).level())
	require.Empty(t, (&floorFit{}).all())
}

// The depths that stand for a floor that is told in places: in each cell that known nearest
// to its node, at most 120 of them evenly, and those read where it is not told.
func TestToldDepths(t *testing.T) {
	for _, c := range []struct{ cells, most int }{{60, 60}, {119, 120}, {120, 120}, {135, 68}, {240, 120}, {600, 120}} {
		s := surveyOf(t, rectangle(0, 0, 100, 60), rounded(3))
		e := &estimate{survey: s, cells: newCells(s, c.cells)}
		e.sites = []site{{x: 70, y: 20, floor: 1.9, readings: 2}, {x: 10, y: 20, floor: 1.7, readings: 1}, {x: 80, y: 20, floor: math.NaN()}}
		floor := func(x, y float64) float64 { return 2 + 0.01*x - 0.002*y }
		depths := e.cells.at(func(p plane.Point) float64 {
			if p.X > 50 {
				return math.NaN()
			}
			return floor(float64(p.X), float64(p.Y))
		})
		list := e.toldDepths(depths, []float64{math.NaN(), floor(10, 20), math.NaN()})
		known := map[[2]float64]bool{}
		want := 0
		for _, p := range e.cells.list {
			x, y := e.cells.Node(p.node)
			least := math.Inf(1)
			var at [2]float64
			for k := p.from; k < p.to; k++ {
				q := e.cells.points[k]
				if d := math.Hypot(q.dx, q.dy); d < least && !math.IsNaN(depths[k]) {
					least, at = d, [2]float64{x + q.dx, y + q.dy}
				}
			}
			if !math.IsInf(least, 1) {
				want++
				known[at] = true
			}
		}
		told := list[:len(list)-1]
		step := int(math.Ceil(float64(want) / 120))
		require.Len(t, told, (want+step-1)/step, "%d cells", c.cells)
		require.LessOrEqual(t, len(told), 120)
		for _, d := range told {
			require.True(t, known[[2]float64{d.x, d.y}], "%v", d)
			require.InDelta(t, floor(d.x, d.y), d.depth, 1e-12)
			require.Equal(t, 1.0, d.readings)
		}
		require.Equal(t, knownDepth{70, 20, 1.9, 2}, list[len(list)-1])
	}
}

// An undulation is a plane within a cell, none beside the cells, and counts no reading for
// more than four times as deep or as shallow as fitted.
func TestUndulation(t *testing.T) {
	s := bentBasin(t)
	e := &estimate{survey: s}
	e.setCells(120)
	e.setStructures(nil)
	u := &undulation{targets: e.targets, mean: make([]float64, len(e.targets.Used))}
	for k, node := range e.targets.Used {
		x, y := e.targets.Node(node)
		u.mean[k] = 0.1 + 0.002*x - 0.003*y
	}
	for _, p := range e.cells.list {
		x, y := e.cells.Node(p.node)
		for _, q := range e.cells.points[p.from:p.to] {
			require.InDelta(t, math.Exp(0.1+0.002*(x+q.dx)-0.003*(y+q.dy)), u.at(x+q.dx, y+q.dy), 1e-12)
		}
	}
	require.Equal(t, 1.0, u.at(80, 70), "beside the cells")
	require.Equal(t, 1.0, (*undulation)(nil).at(20, 20))
	require.Zero(t, (*undulation)(nil).spread(nil, nil))

	fitted := fittedFloor{slope: 3, flat: 1}
	at := func(depth float64, n int) (*undulation, bool) {
		var o openFloor
		toEdge := make([]float64, n)
		for i := range n {
			o.known = append(o.known, knownDepth{x: 5 + 7*float64(i), y: 8 + 3*float64(i%2), depth: depth, readings: 1})
			toEdge[i] = 30
		}
		return e.undulation(fitted, o, toEdge)
	}
	for depth, want := range map[float64]float64{2: 2, 0.5: 0.5, 20: math.Exp(1.4), 0.01: math.Exp(-1.4)} {
		u, ok := at(depth, 6)
		require.True(t, ok)
		require.InEpsilon(t, want, u.at(30, 10), 1e-6)
	}
	even, ok := at(1, 6)
	require.True(t, ok)
	require.Nil(t, even, "as fitted")
	_, ok = at(2, leastFree)
	require.True(t, ok)
	_, ok = at(2, leastFree-1)
	require.False(t, ok, "too few")
	// Readings where the fitted depth is less than a quarter of the deepest tell nothing.
	o := openFloor{}
	for i := range 6 {
		o.known = append(o.known, knownDepth{x: 5 + 7*float64(i), y: 8, depth: 2, readings: 1})
	}
	_, ok = e.undulation(fitted, o, []float64{0.74, 0.74, 0.74, 30, 30, 30})
	require.False(t, ok)
	_, ok = e.undulation(fitted, o, []float64{0.76, 0.74, 0.74, 30, 30, 30})
	require.True(t, ok)
	// What was told and has to be found elsewhere may lie off as a whole.
	o.told = []float64{}
	u, ok = e.undulation(fitted, o, []float64{30, 30, 30, 30, 30, 30})
	require.True(t, ok)
	require.InDelta(t, 0.1, u.whole, 1e-12)
	w := make([]float64, len(e.targets.Used))
	w[3], w[7] = 2, 5
	alone := u.spread(w, e.onLattice(w, make([]float64, e.targets.Len())))
	u.whole = 0
	require.InDelta(t, 0.01*49, alone-u.spread(w, e.onLattice(w, make([]float64, e.targets.Len()))), 1e-9)
}

// surveyHalfTold has depths read at some soundings over a floor that is told over half of
// the basin.
func surveyHalfTold(t *testing.T) (*Survey, simField) {
	floor := rollingBanks
	r := rand.New(rand.NewPCG(4, 1))
	spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks, Floor: drawnIn(floor, firstHalf)}
	for i := range 24 {
		x, y := simLong*r.Float64(), simWide*r.Float64()
		d := floor(x, y)
		s := depths(x, y, min(d, 1.8), d)
		if i%3 == 0 {
			s = core(x, y, max(0, d-1.8))
		}
		spec.Soundings = append(spec.Soundings, s)
	}
	s, err := NewSurvey(t.Context(), spec)
	require.NoError(t, err)
	return s, floor
}

// A floor that is found lies as told where it is told, at the sites as read, and elsewhere
// as fitted and as it undulates.
func TestFindFloor(t *testing.T) {
	s, floor := surveyHalfTold(t)
	e := newGround(t.Context(), s, usual, estimateOptions{})
	depths, at := e.cells.told(s.floor, e.sites)
	o := openFloor{known: e.toldDepths(depths, at), told: depths, at: at}
	for _, plain := range []bool{false, true} {
		list, enough := e.find(o, plain)
		require.True(t, enough)
		var weights float64
		for _, g := range list {
			weights += g.weight
			require.False(t, g.asRead)
			require.Equal(t, plain, g.undulation == nil)
			fitted := fittedFloor{slope: g.slope, flat: g.flat}
			open := 0
			for _, p := range e.cells.list {
				x, y := e.cells.Node(p.node)
				for k := p.from; k < p.to; k++ {
					px, py := x+e.cells.points[k].dx, y+e.cells.points[k].dy
					want := fitted.depth(s.toEdge(e.cells.place(px, py))) * g.undulation.at(px, py)
					if firstHalf(px, py) {
						want = floor(px, py)
					} else {
						open++
					}
					require.InDelta(t, want, g.depths[k], 1e-12)
				}
			}
			require.Positive(t, open)
			for i, p := range e.sites {
				want, openAt := fitted.depth(s.toEdge(e.cells.place(p.x, p.y)))*g.undulation.at(p.x, p.y), true
				switch {
				case firstHalf(p.x, p.y):
					want, openAt = floor(p.x, p.y), false
				case !math.IsNaN(p.floor):
					want, openAt = p.floor, false
					if plain {
						want = min(p.floor, g.flat)
					}
				}
				require.InDelta(t, want, g.at[i], 1e-12)
				require.Equal(t, openAt, g.openAt[i])
			}
			require.InDelta(t, max(slices.Max(g.depths), slices.Max(g.at)), g.deepest, 1e-12)
			var volume, share float64
			for i, c := range e.cells.list {
				for k := c.from; k < c.to; k++ {
					volume += c.area * g.depths[k] / float64(c.to-c.from)
				}
				for _, l := range g.levels[g.from[i]:g.from[i+1]] {
					share += c.area * l.share * l.open
				}
			}
			require.InEpsilon(t, volume, g.volume, 1e-9)
			if !plain {
				require.InDelta(t, 3000, share, 100, "half of the area is an estimate")
			} else {
				require.Zero(t, share)
			}
		}
		require.InDelta(t, 1, weights, 1e-12)
	}

	// Where nothing is known: usual banks at three slopes and depths.
	list := e.cells.guessed(s, []site{{x: 50, y: 30, thickness: 1}, {x: 4, y: 30, thickness: 0.5}})
	require.Len(t, list, 9)
	for i, g := range list {
		slope, flat := []float64{2, 3, 4}[i/3], []float64{1.1, 1.7, 2.6}[i%3]
		require.Equal(t, [3]float64{slope, flat, 1.0 / 9}, [3]float64{g.slope, g.flat, g.weight})
		require.InDelta(t, flat, g.at[0], 1e-12)
		require.InDelta(t, min(flat, 4/slope), g.at[1], 1e-12)
		require.Equal(t, 0.1, g.reading)
	}
}

// An undulation is the mixture of the kriged logarithms of the depths over those fitted, and
// the variance of a sum of it that of the parts and between them.
func TestUndulationByParts(t *testing.T) {
	s, _ := surveyHalfTold(t)
	e := newGround(t.Context(), s, VolumeSpec{Confidence: 0.95, FloorSD: 0.05}, estimateOptions{})
	fitted := fittedFloor{slope: 3, flat: 2.5}
	known := e.readDepths()
	toEdge := make([]float64, len(known))
	var sites field.Sites
	var y []float64
	var deep float64
	for i, p := range known {
		toEdge[i] = s.toEdge(e.cells.place(p.x, p.y))
		if plain := fitted.depth(toEdge[i]); p.depth > 0 && plain >= 2.5/4 {
			sites.X, sites.Y, sites.Readings = append(sites.X, p.x), append(sites.Y, p.y), append(sites.Readings, p.readings)
			y = append(y, max(-1.4, min(1.4, math.Log(p.depth/plain))))
			deep += p.depth
		}
	}
	require.Greater(t, len(y), 8)
	low, high := e.structures[0].Range, e.structures[len(e.structures)-1].Range
	factors := field.NewFactors(sites, field.Grid(field.Geometric(low, high, 5), []float64{0.01, 0.1, 0.5}, field.Isotropic))
	for _, told := range [][]float64{nil, {}} {
		u, ok := e.undulation(fitted, openFloor{known: known, told: told}, toEdge)
		require.True(t, ok)
		variance, whole := math.Pow(0.05*float64(len(y))/deep, 2), 0.0
		if told != nil {
			variance, whole = 0, 0.1/2.5
		}
		require.InDelta(t, whole, u.whole, 1e-12)
		fits := factors.Fits(0, field.Values{Y: y, ReadingVariance: variance})[0]
		drawn := drawFits(fits, 4)
		require.Len(t, u.parts, len(drawn))
		mean := make([]float64, len(u.mean))
		for i, d := range drawn {
			require.InDelta(t, d.share, u.parts[i].weight, 1e-12)
			require.InEpsilon(t, d.fit.Sigma2*d.fit.DF/(d.fit.DF-2), u.parts[i].variance, 1e-9)
			for k, v := range u.parts[i].mean {
				mean[k] += d.share * v
			}
		}
		require.InDeltaSlice(t, mean, u.mean, 1e-12)
		w := make([]float64, len(mean))
		var all float64
		for k := range w {
			w[k] = float64(k%5) - 1
			all += w[k]
		}
		onLattice := e.onLattice(w, make([]float64, e.targets.Len()))
		want := whole * whole * all * all
		for _, p := range u.parts {
			within, _ := p.field.Linear(w, onLattice)
			var off float64
			for k := range w {
				off += w[k] * (p.mean[k] - mean[k])
			}
			want += p.weight * (p.variance*within + off*off)
		}
		require.InEpsilon(t, want, u.spread(w, onLattice), 1e-9)
	}
}
