package sludge

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// basin is one of another shape than that of the simulation, with banks of 3 : 1.
type basin struct {
	edge    plane.Polygon
	islands []plane.Polygon
	depth   float64
}

func circle(radius float64) plane.Polygon {
	var p plane.Polygon
	for k := range 64 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 64)
		p = append(p, at(radius*(1+cos), radius*(1+sin)))
	}
	return p
}

// waves draws a Gaussian field of standard deviation 1 that is smooth over about the
// given length, as a sum of waves: on any shape.
func waves(r *rand.Rand, length float64) simField {
	type wave struct{ kx, ky, at float64 }
	var list [60]wave
	for i := range list {
		list[i] = wave{2 * r.NormFloat64() / length, 2 * r.NormFloat64() / length, 2 * math.Pi * r.Float64()}
	}
	return func(x, y float64) float64 {
		var sum float64
		for _, w := range list {
			sum += math.Cos(w.kx*x + w.ky*y + w.at)
		}
		return sum * math.Sqrt(2.0/float64(len(list)))
	}
}

// elsewhere is a field in a basin of its own and how it is read.
type elsewhere struct {
	name    string
	basin   basin
	field   func(r *rand.Rand) simField // as in simCase
	settled bool
	offBank bool                       // sounded 4 m or more from the waterline only
	miss    func(r *rand.Rand) float64 // error of a reading; nil: none
	told    float64                    // standard deviation of it
}

func elsewheres() []elsewhere {
	box := basin{edge: rectangle(0, 0, 100, 60), depth: 3}
	even := func(mean, sd, length float64) func(r *rand.Rand) simField {
		return func(r *rand.Rand) simField {
			g := waves(r, length)
			return func(x, y float64) float64 { return max(0, mean+sd*g(x, y)) }
		}
	}
	// A channel that the flow keeps open along the middle.
	channel := func(r *rand.Rand) simField {
		g, bend, wide := waves(r, 30), 2*math.Pi*r.Float64(), 5+5*r.Float64()
		return func(x, y float64) float64 {
			off := (y - 30 - 8*math.Sin(x/25+bend)) / wide
			return max(0.1, 1.4+0.15*g(x, y)-1.1*math.Exp(-off*off))
		}
	}
	long := basin{edge: rectangle(0, 0, 150, 15), depth: 2}
	islands := basin{edge: rectangle(0, 0, 100, 60), depth: 3, islands: []plane.Polygon{rectangle(25, 20, 40, 32), rectangle(65, 30, 75, 45)}}
	angle := basin{edge: plane.Polygon{at(0, 0), at(100, 0), at(100, 35), at(45, 35), at(45, 80), at(0, 80)}, depth: 3}
	heavy := func(r *rand.Rand) float64 { // t with 3 degrees of freedom, standard deviation 0.1
		return 0.1 / math.Sqrt(3) * r.NormFloat64() / math.Sqrt((square(r)+square(r)+square(r))/3)
	}
	list := []elsewhere{
		{name: "channel, draped", basin: box, field: channel},
		{name: "channel, settled", basin: box, field: channel, settled: true},
		{name: "heavy-tailed readings", basin: box, field: even(1.2, 0.3, 30), settled: true, miss: heavy, told: 0.1},
		{name: "heavy-tailed readings, nothing told", basin: box, field: even(1.2, 0.3, 30), miss: heavy},
		{name: "ten to one, draped", basin: long, field: even(0.8, 0.2, 25)},
		{name: "ten to one, settled", basin: long, field: even(1, 0.2, 25), settled: true},
		{name: "circle, draped", basin: basin{edge: circle(35), depth: 3}, field: even(1.2, 0.3, 25)},
		{name: "circle, settled", basin: basin{edge: circle(35), depth: 3}, field: even(1.5, 0.3, 25), settled: true},
		{name: "islands, draped", basin: islands, field: even(1.2, 0.3, 25)},
		{name: "islands, settled", basin: islands, field: even(1.5, 0.3, 25), settled: true},
		{name: "angle, settled", basin: angle, field: even(1.5, 0.4, 20), settled: true},
		{name: "very thin, settled", basin: box, field: even(0.12, 0.08, 20), settled: true},
		{name: "very thin, draped", basin: box, field: even(0.12, 0.08, 20)},
	}
	for _, c := range list {
		c.name, c.offBank = c.name+", off the banks", true
		list = append(list, c)
	}
	return list
}

func square(r *rand.Rand) float64 { x := r.NormFloat64(); return x * x }

// simulate sounds so many fields at 24 random places.
func (c *elsewhere) simulate(count int) (simResult, error) {
	res := simResult{name: c.name}
	ctx := context.Background()
	banks, err := NewSlopedFloor(SlopedFloorSpec{Waterline: c.basin.edge, Slopes: []float64{3}, Depth: units.Length(c.basin.depth)})
	if err != nil {
		return res, err
	}
	floor := islandBanks{banks, c.basin.islands, 3}
	empty, err := NewSurvey(ctx, SurveySpec{Boundary: c.basin.edge, Islands: c.basin.islands, Outside: OutsideKeep, Soundings: []Sounding{core(1, 1, 0)}})
	if err != nil {
		return res, err
	}
	nodes, err := empty.Nodes(1)
	if err != nil {
		return res, err
	}
	low, high := c.basin.edge.Bounds()
	for k := range count {
		r := rand.New(rand.NewPCG(5, uint64(k)))
		f := c.field(r)
		z := func(p plane.Point) float64 {
			t, d := f(float64(p.X), float64(p.Y)), 0.0
			if v, ok := floor.Depth(p); ok {
				d = float64(v)
			}
			if c.settled {
				t -= c.basin.depth - d
			}
			return max(0, min(d, t))
		}
		var truth float64
		for _, n := range nodes {
			truth += float64(n.Area) * z(n.At)
		}
		spec := SurveySpec{Boundary: c.basin.edge, Islands: c.basin.islands, Sides: SidesBanks, Floor: floor}
		for len(spec.Soundings) < 24 {
			p := plane.Point{X: low.X + units.Length(r.Float64())*(high.X-low.X), Y: low.Y + units.Length(r.Float64())*(high.Y-low.Y)}
			if d, _ := floor.Depth(p); d == 0 || c.offBank && d < 4.0/3 {
				continue
			}
			t := z(p)
			if c.miss != nil {
				t = max(0, t+c.miss(r))
			}
			spec.Soundings = append(spec.Soundings, core(float64(p.X), float64(p.Y), t))
		}
		s, err := NewSurvey(ctx, spec)
		if err != nil {
			return res, err
		}
		v, err := VolumeWithInterval(ctx, s, VolumeSpec{Confidence: 0.95, ReadingSD: units.Length(c.told)})
		if err != nil {
			return res, err
		}
		res.n++
		e := float64(v.Volume)/truth - 1
		res.bias += e
		res.square += e * e
		if v.Interval != nil {
			res.width += float64(v.Interval.High-v.Interval.Low) / truth
			if v.Interval.Has(units.Volume(truth)) {
				res.held++
			}
		}
	}
	return res, nil
}

// Basins and fields that nothing was fitted to, at 24 random places: a channel, readings
// with heavy tails, a basin ten times as long as wide, a circle, islands, an angle, sludge
// that is hardly there.
func TestCoverageElsewhere(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation")
	}
	count := *replicates
	if count == 0 {
		count = 10
	}
	list := elsewheres()
	results := make([]simResult, len(list))
	next := make(chan int)
	var all sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for i := range next {
				var err error
				if results[i], err = list[i].simulate(count); err != nil {
					t.Error(err)
				}
			}
		})
	}
	for i := range list {
		if strings.Contains(list[i].name, *casesWith) {
			next <- i
		}
	}
	close(next)
	all.Wait()
	for _, r := range results {
		if r.n > 0 {
			t.Log(r)
			require.GreaterOrEqual(t, float64(r.held), 0.8*float64(r.n)-3*math.Sqrt(0.8*0.2*float64(r.n)), r.name)
		}
	}
}
