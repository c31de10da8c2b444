package allocation

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// everything draws a farm with all that a spec can say: crop years, contents of later
// years, ways of their own length, seasons of a material, solids, rooms of nothing, limits
// on one material, needs of a season, a year and all of them, exceptions of every kind, and
// prices for leaving.
func everything(r *rand.Rand) AllocateSpec {
	s := farm(r, 1+r.IntN(3), 1+r.IntN(4), 1+r.IntN(4))
	some := func(of int) bool { return r.IntN(of) == 0 }
	periods := slices.Clone(s.Seasons)
	if some(2) {
		for t := range s.Seasons {
			s.Years = append(s.Years, fmt.Sprint("year ", t*(1+r.IntN(2))/2))
		}
		slices.Sort(s.Years)
		periods = append(periods, s.Years...)
	}
	periods = append(periods, "")
	period := func() string { return periods[r.IntN(len(periods))] }
	for i := range s.Materials {
		m := &s.Materials[i]
		timesAmount(&m.Stock, 0.2+1.5*r.Float64())
		m.Leave = nutrient.LiquidPrice(units.Price[units.Volume](m.Spread.SI() * 4 * r.Float64()))
		if some(3) {
			m.Seasons = []string{s.Seasons[r.IntN(len(s.Seasons))]}
		}
		if some(3) {
			leave := m.Leave.SI() / 1000
			m.weigh()
			m.Leave = nutrient.SolidPrice(units.Price[units.Mass](leave))
		}
		m.Load = nutrient.Amount{}
	}
	for k := range s.Fields {
		f := &s.Fields[k]
		for i := range s.Materials {
			m := &s.Materials[i]
			if some(3) {
				if f.Distances == nil {
					f.Distances = map[string]units.Length{}
				}
				f.Distances[m.Name] = units.Length(4*r.Float64()) * units.Mile
			}
			if some(3) {
				f.Limits = append(f.Limits, Limit{Kind: nutrient.LimitWater, Name: "own", Rate: rateOf(m.Stock.Form(), 0.02*r.Float64()*m.unit()), Material: m.Name, Season: period()})
			}
		}
		for i := range f.Limits {
			if some(2) {
				f.Limits[i].Season = period()
			}
			if l := &f.Limits[i]; some(8) {
				l.Room = 0
				if l.Of == "" {
					timesRate(&l.Rate, 0)
				}
			}
		}
		// Something limits every way.
		f.Limits = append(f.Limits, Limit{Kind: nutrient.LimitPass, Rate: nutrient.LiquidRate(0.5)}, Limit{Kind: nutrient.LimitPass, Rate: nutrient.SolidRate(500)})
		for i := range f.Needs {
			f.Needs[i].Season = period()
		}
	}
	if some(3) {
		s.Prices = s.Prices[:1]
	}
	for range r.IntN(5) {
		m := &s.Materials[r.IntN(len(s.Materials))]
		e := Exception{Material: m.Name}
		if some(2) {
			e.Field = s.Fields[r.IntN(len(s.Fields))].Name
		}
		if some(2) {
			e.Season = s.Seasons[r.IntN(len(s.Seasons))]
		}
		switch r.IntN(4) {
		case 0:
			e.Forbid = true
			if some(3) {
				e.Material = ""
			}
		case 1:
			e.Spread = priceOf(m.Stock.Form(), m.Spread.SI()*2*r.Float64())
		default:
			h := m.Holds[r.IntN(2)]
			timesContent(&h.Content, 2*r.Float64())
			h.Later = nil
			if some(2) {
				h.Later = []nutrient.Content{h.Content}
			}
			e.Holds = []Holding{h}
		}
		s.Exceptions = append(s.Exceptions, e)
	}
	return s
}

// unit is how many SI units of amount are 1 m3 or 1 t.
func (m *Material) unit() float64 {
	if m.Stock.Form() == nutrient.Solid {
		return 1000
	}
	return 1
}

// told is a spec read word by word, without the model.
type told struct{ *AllocateSpec }

// years is how many years after season a the season b lies.
func (s told) years(a, b int) int {
	if len(s.Years) == 0 {
		return b - a
	}
	n := 0
	for t := a + 1; t <= b; t++ {
		if s.Years[t] != s.Years[t-1] {
			n++
		}
	}
	for t := b + 1; t <= a; t++ {
		if s.Years[t] != s.Years[t-1] {
			n--
		}
	}
	return n
}

// seasonOf is the number of the first season of a period, -1 of all together.
func (s told) seasonOf(period string) (first int, year bool) {
	if t := slices.Index(s.Seasons, period); t >= 0 {
		return t, false
	}
	return slices.Index(s.Years, period), true
}

// way is the price of a unit of material i to field k in season t, what it holds, and
// whether it may go there.
func (s told) way(i, k, t int) (price, perMile float64, holds []Holding, ok bool) {
	m, f := &s.Materials[i], &s.Fields[k]
	ok = len(m.Seasons) == 0 || slices.Contains(m.Seasons, s.Seasons[t])
	spread, holds := m.Spread.SI(), slices.Clone(m.Holds)
	for _, e := range s.Exceptions {
		is := func(name, own string) bool { return name == "" || name == own }
		if !is(e.Material, m.Name) || !is(e.Field, f.Name) || !is(e.Season, s.Seasons[t]) {
			continue
		}
		ok = ok && !e.Forbid
		if !e.Spread.IsZero() {
			spread = e.Spread.SI()
		}
		for _, h := range e.Holds {
			for j := range holds {
				if holds[j].Of == h.Of {
					holds[j] = h
				}
			}
		}
	}
	far, own := f.Distances[m.Name]
	if !own {
		far = f.Distance
	}
	return spread + m.HaulPerMile.SI()*far.In(units.Mile), m.HaulPerMile.SI(), holds, ok
}

// brings is what a unit spread in season t brings of a constituent in a period.
func (s told) brings(holds []Holding, of string, t int, period string) (sum float64) {
	for _, h := range holds {
		if h.Of != of {
			continue
		}
		after := func(years int) float64 {
			switch {
			case years == 0:
				return h.Content.SI()
			case years > 0 && years <= len(h.Later):
				return h.Later[years-1].SI()
			}
			return 0
		}
		if period == "" {
			for y := range s.years(t, len(s.Seasons)-1) + 1 {
				sum += after(y)
			}
			return sum
		}
		in, year := s.seasonOf(period)
		if !year && in != t && s.years(t, in) == 0 {
			return 0
		}
		return after(s.years(t, in))
	}
	return 0
}

// uses is what a unit of a material spread in season t takes of a limit.
func (s told) uses(l *Limit, i, t int, holds []Holding) float64 {
	if l.Of != "" {
		return s.brings(holds, l.Of, t, l.Season)
	}
	m := &s.Materials[i]
	in, year := s.seasonOf(l.Season)
	switch {
	case l.Rate.Form() != m.Stock.Form(), l.Material != "" && l.Material != m.Name:
		return 0
	case l.Season == "", !year && in == t, year && s.years(t, in) == 0:
		return 1
	}
	return 0
}

// room is what a field may take of a limit.
func (l *Limit) most(f *Field) float64 {
	if l.Of != "" {
		return float64(l.Room) * float64(f.Area)
	}
	return l.Rate.SI() * float64(f.Area)
}

// worth is the price of a nutrient.
func (s told) worth(of string) float64 {
	for _, p := range s.Prices {
		if p.Of == of {
			return float64(p.Price)
		}
	}
	return 0
}

// optimum is the least net cost of a spec whose materials all have a price for leaving, as
// one program solved by gonum: amounts by way and what is left, less what they earn up to the needs.
func (s told) optimum(t *testing.T) float64 {
	t.Helper()
	type way struct{ i, k, t int }
	var ways []way
	for i := range s.Materials {
		for k := range s.Fields {
			for season := range s.Seasons {
				_, _, holds, ok := s.way(i, k, season)
				for n := range s.Fields[k].Limits {
					l := &s.Fields[k].Limits[n]
					ok = ok && (l.most(&s.Fields[k]) > 0 || s.uses(l, i, season, holds) == 0)
				}
				if ok {
					ways = append(ways, way{i, k, season})
				}
			}
		}
	}
	type entry struct {
		row, col int
		x        float64
	}
	var a []entry
	var b, c []float64
	var basis []int
	column := func(cost float64) int { c = append(c, cost); return len(c) - 1 }
	row := func(rhs float64) int { b = append(b, rhs); return len(b) - 1 }
	set := func(row, col int, x float64) { a = append(a, entry{row, col, x}) }
	slack := func(row int) { col := column(0); set(row, col, 1); basis = append(basis, col) }
	for i := range s.Materials { // parts of the stock
		m := &s.Materials[i]
		at, left := row(1), column(m.Leave.SI()*m.Stock.SI())
		set(at, left, 1)
		basis = append(basis, left)
	}
	first := len(c)
	for _, w := range ways {
		price, _, holds, _ := s.way(w.i, w.k, w.t)
		for _, n := range s.Fields[w.k].Needs {
			price -= s.worth(n.Of) * s.brings(holds, n.Of, w.t, n.Season)
		}
		set(w.i, column(price*s.Materials[w.i].Stock.SI()), 1)
	}
	for k := range s.Fields {
		f := &s.Fields[k]
		takes := func(at int, scale float64, uses func(w way, holds []Holding) float64) {
			for j, w := range ways {
				if _, _, holds, _ := s.way(w.i, w.k, w.t); w.k == k {
					if x := uses(w, holds) * s.Materials[w.i].Stock.SI(); x != 0 {
						set(at, first+j, x*scale)
					}
				}
			}
		}
		for n := range f.Limits {
			if l := &f.Limits[n]; l.most(f) > 0 {
				at := row(1)
				takes(at, 1/l.most(f), func(w way, holds []Holding) float64 { return s.uses(l, w.i, w.t, holds) })
				slack(at)
			}
		}
		for _, n := range f.Needs {
			most := float64(n.Need) * float64(f.Area)
			if most == 0 || s.worth(n.Of) == 0 {
				continue
			}
			at := row(1)
			set(at, column(s.worth(n.Of)*most), -1) // what is beyond the need earns nothing
			takes(at, 1/most, func(w way, holds []Holding) float64 { return s.brings(holds, n.Of, w.t, n.Season) })
			slack(at)
		}
	}
	dense := mat.NewDense(len(b), len(c), nil)
	for _, e := range a {
		dense.Set(e.row, e.col, dense.At(e.row, e.col)+e.x)
	}
	value, _, err := lp.Simplex(c, dense, b, 1e-10, basis)
	require.NoError(t, err)
	return value
}

// audit holds a result to the words of its spec.
func audit(t *testing.T, s told, r AllocateResult, whole bool) {
	t.Helper()
	money := 1 + r.Cost + r.Credit + r.Leaving
	placed, spent := make([]float64, len(s.Materials)), make([]float64, len(s.Materials))
	used := make([][]float64, len(s.Fields))
	got := make([][]float64, len(s.Fields))
	mile := make([]float64, len(s.Fields))
	for k := range s.Fields {
		used[k], got[k] = make([]float64, len(s.Fields[k].Limits)), make([]float64, len(s.Fields[k].Needs))
	}
	before := [3]int{-1}
	var cost float64
	for _, p := range r.Placements {
		i := slices.IndexFunc(s.Materials, func(m Material) bool { return m.Name == p.Material })
		k := slices.IndexFunc(s.Fields, func(f Field) bool { return f.Name == p.Field })
		season := slices.Index(s.Seasons, p.Season)
		here := [3]int{season, k, i}
		require.Negative(t, slices.Compare(before[:], here[:]), "by season, field and material")
		before = here
		price, perMile, holds, ok := s.way(i, k, season)
		require.True(t, ok, "%+v may not go there", p)
		x := p.Amount.SI()
		require.Positive(t, x)
		require.Equal(t, s.Materials[i].Stock.Form(), p.Amount.Form())
		require.InEpsilon(t, x/float64(s.Fields[k].Area), p.Rate.SI(), 1e-12)
		require.InDelta(t, price*x, p.Cost, 1e-9*money)
		if load := s.Materials[i].Load.SI(); load > 0 {
			require.Equal(t, int(math.Ceil(x/load-1e-6)), p.Loads)
		} else {
			require.Zero(t, p.Loads)
		}
		placed[i] += x
		spent[i] += price * x
		cost += price * x
		mile[k] += perMile * x
		for n := range s.Fields[k].Limits {
			used[k][n] += x * s.uses(&s.Fields[k].Limits[n], i, season, holds)
		}
		for n, need := range s.Fields[k].Needs {
			got[k][n] += x * s.brings(holds, need.Of, season, need.Season)
		}
	}
	var credit, leaving float64
	for k := range s.Fields {
		f, st := &s.Fields[k], &r.Fields[k]
		require.Equal(t, f.Name, st.Name)
		area := float64(f.Area)
		for n, l := range f.Limits {
			x := st.Limits[n]
			name := string(l.Kind)
			if l.Name != "" {
				name = l.Name
			}
			require.Equal(t, []any{l.Kind, name, l.Season, l.Room, l.Rate}, []any{x.Kind, x.Name, x.Season, x.Room, x.Rate})
			require.LessOrEqual(t, used[k][n], l.most(f)*(1+1e-7)+1e-9)
			if l.Of != "" {
				require.InDelta(t, used[k][n]/area, float64(x.Applied), 1e-9*float64(l.Room)+1e-15)
				require.True(t, x.Used.IsZero() && x.PerUnit.IsZero())
			} else {
				require.InDelta(t, used[k][n]/area, x.Used.SI(), 1e-9*l.Rate.SI())
				require.Equal(t, l.Rate.Form(), x.Used.Form())
				require.Equal(t, l.Rate.Form(), x.PerUnit.Form())
				require.Zero(t, x.Worth)
				require.Zero(t, x.Applied)
			}
		}
		for n, need := range f.Needs {
			x := st.Needs[n]
			applied := got[k][n] / area
			require.Equal(t, []any{need.Of, need.Need, need.Season}, []any{x.Name, x.Need, x.Season})
			require.InDelta(t, applied, float64(x.Applied), 1e-9*applied)
			require.InDelta(t, max(0, float64(need.Need)-applied), float64(x.Missing), 1e-9*float64(need.Need))
			require.InDelta(t, max(0, applied-float64(need.Need)), float64(x.Excess), 1e-9*applied+1e-12)
			credit += s.worth(need.Of) * min(float64(need.Need)*area, got[k][n])
		}
		if !whole {
			require.InDelta(t, mile[k], st.Mile.Of(units.Mile), 1e-6*(1+mile[k]))
		}
	}
	for i := range s.Materials {
		m, x := &s.Materials[i], &r.Materials[i]
		stock := m.Stock.SI()
		require.Equal(t, []any{m.Name, m.Stock}, []any{x.Name, x.Stock})
		require.InDelta(t, placed[i], x.Placed.SI(), 1e-8*stock)
		require.InDelta(t, stock-placed[i], x.Left.SI(), 1e-8*stock)
		require.InDelta(t, spent[i], x.Cost, 1e-9*money)
		if !m.Leave.IsZero() {
			require.InEpsilon(t, m.Leave.SI(), x.Leave.SI(), 1e-12)
			leaving += m.Leave.SI() * (stock - placed[i])
		}
		if !whole {
			require.InDelta(t, x.Left.SI(), x.LeftFractional.SI(), 1e-8*stock)
		}
	}
	require.InDelta(t, cost, r.Cost, 1e-8*money)
	require.InDelta(t, credit, r.Credit, 1e-8*money)
	require.InDelta(t, leaving, r.Leaving, 1e-6*money)
	require.InDelta(t, r.Cost+r.Leaving-r.Credit, r.Net, 1e-9*money)
	require.InDelta(t, max(0, r.Net-r.Bound), r.Gap, 1e-9*money)
}

// A plan of everything that a spec can say is what the spec says, worked out again from the
// placements, and the least that gonum finds for the same words.
func TestPlanInWords(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	loads := 0
	for n := range 150 {
		s := everything(r)
		want := told{&s}.optimum(t)
		got, err := allocate(s)
		require.NoError(t, err, n)
		money := 1 + got.Cost + got.Credit + got.Leaving
		require.True(t, got.FractionalProved)
		require.InDelta(t, want, got.Net, 1e-6*money, n)
		require.InDelta(t, want, got.Fractional, 1e-6*money, n)
		require.InDelta(t, want, got.Bound, 1e-6*money, n)
		audit(t, told{&s}, got, false)
		for i := range s.Materials { // a good half of them by the load
			if r.IntN(2) == 0 {
				s.Materials[i].Load = amountOf(s.Materials[i].Stock.Form(), 22*s.Materials[i].unit())
				loads++
			}
		}
		got, err = allocate(s)
		require.NoError(t, err, n)
		audit(t, told{&s}, got, true)
		require.InDelta(t, want, got.Bound, 1e-6*money, n)
		require.GreaterOrEqual(t, got.Net, want-1e-6*money, n)
	}
	require.Greater(t, loads, 100)
}
