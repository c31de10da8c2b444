package earthwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
)

// improvable reports whether soil can be sent round a cycle so that the plan gets
// cheaper: a plan is optimal exactly when it cannot (Klein, Management Science 14,
// 1967). The node T stands for what stays and what is not filled.
func improvable(spec HaulSpec, r HaulResult, cost func(i, j int) float64, missing float64) bool {
	m, n := len(spec.Cuts), len(spec.Fills)
	type arc struct {
		from, to int
		cost     float64
	}
	var arcs []arc
	add := func(from, to int, c float64, used units.Volume) {
		arcs = append(arcs, arc{from, to, c})
		if used > 1e-7 {
			arcs = append(arcs, arc{to, from, -c})
		}
	}
	moved := map[[2]int]units.Volume{}
	for _, mv := range r.Moves {
		moved[[2]int{mv.Cut, mv.Fill}] = mv.Volume
	}
	penalty := func(s HaulSite) float64 {
		if s.Optional {
			return 0
		}
		return missing
	}
	for i := range m {
		for j := range n {
			add(i, m+j, cost(i, j), moved[[2]int{i, j}])
		}
		add(i, m+n, penalty(spec.Cuts[i]), r.LeftOver[i])
	}
	for j := range n {
		add(m+n, m+j, penalty(spec.Fills[j]), r.Unfilled[j])
	}
	dist := make([]float64, m+n+1)
	for range m + n + 2 {
		changed := false
		for _, a := range arcs {
			if d := dist[a.from] + a.cost; d < dist[a.to]-1e-6*missing/float64(m+n+1) {
				dist[a.to], changed = d, true
			}
		}
		if !changed {
			return false
		}
	}
	return true
}

func TestHaulIsOptimal(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for trial := range 400 {
		whole := trial%2 == 0 // many ties: whole numbers, zeros, equal sums
		number := func(most float64) float64 {
			if whole {
				return float64(r.IntN(4)) * most / 4
			}
			return r.Float64() * most
		}
		size := math.Pow(10, float64(r.IntN(7)-2))
		sites := func(n int) []HaulSite {
			list := make([]HaulSite, n)
			for i := range list {
				list[i] = HaulSite{At: plane.Point{X: units.Length(number(800)), Y: units.Length(number(600))}, Volume: units.Volume(number(size)), Optional: r.IntN(4) == 0}
			}
			return list
		}
		spec := HaulSpec{Cuts: sites(1 + r.IntN(6)), Fills: sites(1 + r.IntN(6))}
		spec.Fills[0].At.X += 1000 // not all at one place
		cost := func(i, j int) float64 { return float64(spec.Cuts[i].At.Distance(spec.Fills[j].At)) }
		if r.IntN(2) == 0 {
			spec.Truck, spec.Travel = 10, units.PricePer(2, units.Kilometre)
			for i := range spec.Cuts {
				spec.Cuts[i].Price = units.Price[units.Volume](number(3))
			}
			for j := range spec.Fills {
				spec.Fills[j].Price = units.Price[units.Volume](number(2))
			}
			travel := cost
			cost = func(i, j int) float64 {
				return travel(i, j)*2*2/1000/10 + spec.Cuts[i].Price.SI() + spec.Fills[j].Price.SI()
			}
		}
		got, err := Haul(spec)
		require.NoError(t, err)
		dear := 0.0
		for i := range spec.Cuts {
			for j := range spec.Fills {
				dear = max(dear, cost(i, j))
			}
		}
		if dear == 0 {
			dear = 1
		}
		require.False(t, improvable(spec, got, cost, dear*float64(len(spec.Cuts)+len(spec.Fills)+1)), "%+v\n%+v", spec, got)
		// Soil is conserved at every site.
		left, open, total := make([]units.Volume, len(spec.Cuts)), make([]units.Volume, len(spec.Fills)), 0.0
		copy(left, got.LeftOver)
		copy(open, got.Unfilled)
		moved, turn := 0.0, 0.0
		for _, mv := range got.Moves {
			require.Positive(t, float64(mv.Volume))
			require.InDelta(t, float64(spec.Cuts[mv.Cut].At.Distance(spec.Fills[mv.Fill].At)), float64(mv.Distance), 1e-9)
			if spec.Truck > 0 {
				require.InEpsilon(t, 1+mv.Volume.SI()*cost(mv.Cut, mv.Fill), 1+mv.Cost, 1e-9)
			} else {
				require.Zero(t, mv.Cost)
			}
			moved, turn = moved+mv.Volume.SI(), turn+mv.Volume.SI()*mv.Distance.SI()
			left[mv.Cut] += mv.Volume
			open[mv.Fill] += mv.Volume
			total += mv.Cost
		}
		for i, s := range spec.Cuts {
			require.InDelta(t, s.Volume.SI(), left[i].SI(), 1e-7*size)
		}
		for j, s := range spec.Fills {
			require.InDelta(t, s.Volume.SI(), open[j].SI(), 1e-7*size)
		}
		require.InDelta(t, total, got.Cost, 1e-9*math.Abs(total))
		require.InDelta(t, moved, got.Moved.SI(), 1e-9*moved)
		require.InDelta(t, turn, got.MeanHaul.SI()*moved, 1e-9*turn)
	}
}

func TestHaulKnown(t *testing.T) {
	// Two cuts, two fills: the near one first, the rest crosses over.
	got, err := Haul(HaulSpec{
		Cuts:      []HaulSite{{Name: "north berm", Volume: 300}, {Name: "south berm", Volume: 200}},
		Fills:     []HaulSite{{Name: "basin", Volume: 400}, {Name: "spoil", Volume: 1000, Optional: true}},
		Distances: [][]units.Length{{100, 500}, {100, 200}},
	})
	require.NoError(t, err)
	require.Equal(t, []units.Volume{0, 0}, got.LeftOver)
	require.InDelta(t, 900, got.Unfilled[1].SI(), 1e-6)
	require.Len(t, got.Moves, 3)
	require.InDelta(t, 300, got.Moves[0].Volume.SI(), 1e-6)
	require.InDelta(t, (300*100+100*100+100*200)/500.0, float64(got.MeanHaul), 1e-9)
	// A borrow pit is used only for what is missing, however cheap it is.
	got, err = Haul(HaulSpec{
		Cuts:      []HaulSite{{Name: "berm", Volume: 300}, {Name: "pit", Volume: 1000, Optional: true}},
		Fills:     []HaulSite{{Name: "basin", Volume: 400}},
		Distances: [][]units.Length{{900}, {1}},
	})
	require.NoError(t, err)
	require.InDelta(t, 0, got.LeftOver[0].SI(), 1e-9)
	require.InDelta(t, 900, got.LeftOver[1].SI(), 1e-6)
	// Nothing to move.
	got, err = Haul(HaulSpec{Cuts: []HaulSite{{}}, Fills: []HaulSite{{Volume: 5, At: plane.Point{X: 1}}}})
	require.NoError(t, err)
	require.Empty(t, got.Moves)
	require.Equal(t, []units.Volume{5}, got.Unfilled)
}

// 30 m3 over 500 m at 2 per km both ways, 10 m3 a load, bought at 3 and dumped at 1.5 per
// m3: three loads drive 3 km for 6, and the sites take 135. The names go with the move.
func TestHaulPrices(t *testing.T) {
	spec := HaulSpec{Truck: 10, Travel: units.PricePer(2, units.Kilometre), Cuts: []HaulSite{{Name: "pit", Volume: 100, Optional: true, Price: units.PricePer(3, units.CubicMetre)}},
		Fills: []HaulSite{{Name: "tip", At: plane.Point{X: 300, Y: 400}, Volume: 30, Price: units.PricePer(1.5, units.CubicMetre)}}}
	got, err := Haul(spec)
	require.NoError(t, err)
	require.Len(t, got.Moves, 1)
	move := got.Moves[0]
	require.Equal(t, []string{"pit", "tip"}, []string{move.From, move.To})
	require.InDelta(t, 500, move.Distance.SI(), 1e-9)
	require.InDelta(t, 6+135, move.Cost, 1e-9)
	require.InDelta(t, 70, got.LeftOver[0].SI(), 1e-9)
	// With distances the places do not count, and one of the two is enough for a price.
	spec.Distances = [][]units.Length{{1000}}
	got, err = Haul(spec)
	require.NoError(t, err)
	require.InDelta(t, 12+135, got.Cost, 1e-9)
	spec.Truck = 0
	_, err = Haul(spec)
	plantest.RequireFields(t, err, "truck")
}

// Sites at one place are taken for such that were given no place, unless one differs.
func TestHaulPlaces(t *testing.T) {
	at := plane.Point{X: 7, Y: 8}
	spec := HaulSpec{Cuts: []HaulSite{{At: at}, {At: at}}, Fills: []HaulSite{{At: at}, {At: at}}}
	_, err := Haul(spec)
	plantest.RequireFields(t, err, "distances")
	for _, s := range []*HaulSite{&spec.Cuts[0], &spec.Cuts[1], &spec.Fills[0], &spec.Fills[1]} {
		s.At = plane.Point{X: 7, Y: 9}
		_, err = Haul(spec)
		require.NoError(t, err)
		s.At = at
	}
}

func TestHaulFaults(t *testing.T) {
	_, err := Haul(HaulSpec{})
	require.ErrorContains(t, err, "cuts: missing")
	require.ErrorContains(t, err, "fills: missing")
	_, err = Haul(HaulSpec{
		Cuts:      []HaulSite{{Volume: units.Volume(math.NaN()), Price: 1}},
		Fills:     []HaulSite{{Volume: -1, Price: -2}},
		Distances: [][]units.Length{{1, 2}, {-1}},
	})
	for _, want := range []string{"cuts[0].volume", "cuts[0].price", "fills[0].volume", "fills[0].price", "distances: got 2", "distances[0]: got 2", "distances[1][0]"} {
		require.ErrorContains(t, err, want)
	}
	_, err = Haul(HaulSpec{Cuts: make([]HaulSite, 60), Fills: make([]HaulSite, 60)})
	require.ErrorContains(t, err, "3600 ways from cuts to fills, want at most 2500")
	_, err = Haul(HaulSpec{Cuts: make([]HaulSite, 2), Fills: make([]HaulSite, 1000)})
	require.ErrorContains(t, err, "cuts and fills, want at most 250 together")
	_, err = Haul(HaulSpec{Cuts: make([]HaulSite, 1), Fills: make([]HaulSite, 1), Truck: 5})
	require.ErrorContains(t, err, "travel")
	require.ErrorContains(t, err, "distances: missing")
}

func BenchmarkHaul(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	spec := HaulSpec{}
	for range 8 {
		spec.Cuts = append(spec.Cuts, HaulSite{At: plane.Point{X: units.Length(r.Float64()), Y: units.Length(r.Float64())}, Volume: units.Volume(r.Float64())})
		spec.Fills = append(spec.Fills, HaulSite{At: plane.Point{X: units.Length(r.Float64()), Y: units.Length(r.Float64())}, Volume: units.Volume(r.Float64())})
	}
	for b.Loop() {
		if _, err := Haul(spec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHaulLargest(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	spec := HaulSpec{}
	for range 50 {
		spec.Cuts = append(spec.Cuts, HaulSite{At: plane.Point{X: units.Length(r.Float64()), Y: units.Length(r.Float64())}, Volume: units.Volume(r.Float64())})
		spec.Fills = append(spec.Fills, HaulSite{At: plane.Point{X: units.Length(r.Float64()), Y: units.Length(r.Float64())}, Volume: units.Volume(r.Float64())})
	}
	for b.Loop() {
		if _, err := Haul(spec); err != nil {
			b.Fatal(err)
		}
	}
}

// The rounds of the search are no more than the ways and the sites, whatever the
// costs: a tenth of the limit.
func TestHaulRounds(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for _, n := range []int{3, 6, 12, 25, 50} {
		for kind := range 40 {
			sites := func(n int) []HaulSite {
				list := make([]HaulSite, n)
				for i := range list {
					list[i] = HaulSite{Volume: units.Volume(r.Float64()), Optional: kind%5 == 0 && r.IntN(2) == 0}
					if kind%3 == 0 {
						list[i].Volume = units.Volume(math.Pow(2, 10*r.Float64()-10))
					}
				}
				return list
			}
			cost := make([]float64, n*n)
			for k := range cost {
				switch cost[k] = r.Float64(); kind % 4 {
				case 1:
					cost[k] = float64(1 + r.IntN(3))
				case 2: // products, of which every path is a tie away from another
					cost[k] = float64((1 + k/n) * (1 + k%n))
				case 3:
					cost[k] = math.Pow(2, -float64(k%n)-float64(k/n))
				}
			}
			p := newTransport(sites(n), sites(n), cost)
			_, ok := p.run()
			require.True(t, ok)
			require.LessOrEqual(t, p.rounds, n*n+2*n, "kind %d, %d sites", kind, 2*n)
		}
	}
}

// What is left of a volume is nothing below a part in 1e9 of it, whatever its size.
func TestHaulRest(t *testing.T) {
	for _, a := range []units.Volume{1e-3, 1, 1e8} {
		require.Zero(t, rest(a, a*(1-1e-11)), "%v", a)
		require.InEpsilon(t, float64(a)*1e-7, float64(rest(a, a*(1-1e-7))), 1e-6, "%v", a)
		require.Zero(t, rest(a, 2*a), "%v", a)
	}
}
