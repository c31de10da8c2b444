package sludge

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/plane"
)

// checkList gathers checks of one source.
type checkList []evidence.Check

func (l *checkList) add(what string, got, want, tol float64, unit, source string, kind evidence.Kind) {
	*l = append(*l, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
}

// hullSurvey makes a survey of samples bounded by their own hull.
func hullSurvey(t testing.TB, samples []geostat.Sample) *Survey {
	t.Helper()
	places := make([]mesh.XY, len(samples))
	for i, s := range samples {
		places[i] = mesh.Of(s.At)
	}
	var ring plane.Polygon
	for _, p := range convexHull(places) {
		ring = append(ring, at(p.X, p.Y))
	}
	return surveyAt(t, ring, nil, places, func(i int) float64 { return float64(samples[i].Value) })
}

func valueAt(t testing.TB, s Surface, x, y float64) float64 {
	t.Helper()
	z, ok := s.At(at(x, y))
	require.True(t, ok)
	return float64(z)
}

func idwOf(t testing.TB, s *Survey, power float64, neighbours int) *IDW {
	t.Helper()
	w, err := NewIDW(s, IDWSpec{power, neighbours})
	require.NoError(t, err)
	return w
}

// leaveOneOut returns mean error and root mean square error of inverse distance
// squared, observed less predicted.
func leaveOneOut(t testing.TB, samples []geostat.Sample, boundary plane.Polygon) (me, rmse float64) {
	t.Helper()
	for i, left := range samples {
		var places []mesh.XY
		var z []float64
		for j, s := range samples {
			if j != i {
				places, z = append(places, mesh.Of(s.At)), append(z, float64(s.Value))
			}
		}
		s := surveyAt(t, boundary, nil, places, func(k int) float64 { return z[k] })
		e := float64(left.Value) - valueAt(t, idwOf(t, s, 2, 0), float64(left.At.X), float64(left.At.Y))
		me += e
		rmse += e * e
	}
	n := float64(len(samples))
	return me / n, math.Sqrt(rmse / n)
}

func TestPublishedSurfaceSamples(t *testing.T) {
	var checks checkList
	seven := []geostat.Sample{sampleAt(61, 139, 477), sampleAt(63, 140, 696), sampleAt(64, 129, 227), sampleAt(68, 128, 646),
		sampleAt(71, 140, 606), sampleAt(73, 141, 791), sampleAt(75, 128, 783)}
	s := hullSurvey(t, seven)
	// The book's own answers are recalled, not read; they follow from its inputs.
	checks.add("seven samples: linear at (65, 137)", valueAt(t, tinOf(t, s, EdgeRefuse), 65, 137), 548.7, 0.05, "1", fixtures.Book1989, evidence.Memory)
	for _, c := range []struct{ power, want, tol float64 }{{1, 594, 0.5}, {2, 598, 0.5}} {
		checks.add(fmt.Sprintf("seven samples: inverse distance at (65, 137), power %g", c.power), valueAt(t, idwOf(t, s, c.power, 0), 65, 137), c.want, c.tol, "1", fixtures.Book1989, evidence.Memory)
	}
	for _, c := range []struct{ power, want float64 }{{0.2, 600.6109}, {0.5, 597.0171}, {1, 593.9537}, {2, 597.6204}, {5, 635.3748}, {10, 672.9934}} {
		checks.add(fmt.Sprintf("seven samples: inverse distance at (65, 137), power %g, numpy", c.power), valueAt(t, idwOf(t, s, c.power, 0), 65, 137), c.want, 5e-5, "1",
			fixtures.Book1989+"; computed with numpy", evidence.Reference)
	}
	checks.add("seven samples: nearest at (65, 137)", valueAt(t, idwOf(t, s, 2, 1), 65, 137), 696, evidence.Exact, "1", fixtures.Book1989, evidence.Memory)

	coal := table(t, "coal75.csv")
	computed := fixtures.CoalSource + "; computed with numpy and scipy"
	s = hullSurvey(t, coal)
	tin := tinOf(t, s, EdgeRefuse)
	v := tin.Volume()
	checks.add("75 seam thicknesses: triangles", float64(v.Triangles), 139, evidence.Exact, "1", computed, evidence.Reference)
	checks.add("75 seam thicknesses: area of the hull", float64(v.Area), 8474.03, 5e-9, "table units", computed, evidence.Reference)
	checks.add("75 seam thicknesses: volume over the hull", float64(v.Volume), 337749.562167, 5e-7, "table units", computed, evidence.Reference)
	checks.add("75 seam thicknesses: mean over the hull", float64(v.MeanThickness), 39.857018, 5e-7, "ft", computed, evidence.Reference)
	w := idwOf(t, s, 2, 0)
	for _, c := range []struct{ x, y, tin, idw float64 }{{50, 50, 37.802128, 39.100368}, {20, 80, 40.922740, 40.472736},
		{75, 25, 40.281109, 40.444001}, {60, 60, 38.860070, 39.583663}} {
		at := fmt.Sprintf("75 seam thicknesses at (%g, %g): ", c.x, c.y)
		checks.add(at+"linear", valueAt(t, tin, c.x, c.y), c.tin, 5e-7, "ft", computed, evidence.Reference)
		checks.add(at+"inverse distance", valueAt(t, w, c.x, c.y), c.idw, 5e-7, "ft", computed, evidence.Reference)
	}
	_, ok := tin.At(at(10, 90))
	require.False(t, ok, "outside the hull")
	me, rmse := leaveOneOut(t, coal, rectangle(0, 0, 100, 100))
	checks.add("75 seam thicknesses: leave-one-out of inverse distance, mean error", me, -0.013071, 5e-7, "ft", computed, evidence.Reference)
	checks.add("75 seam thicknesses: leave-one-out of inverse distance, RMSE", rmse, 1.030967, 5e-7, "ft", computed, evidence.Reference)
	evidence.Run(t, "sludge", checks)
}

func TestPublishedSurfaceMeuse(t *testing.T) {
	var ref struct {
		Grid []struct {
			X     float64 `json:"x"`
			Y     float64 `json:"y"`
			IDW   float64 `json:"idw2_zinc"`
			IDW12 float64 `json:"idw2_nmax12_zinc"`
		} `json:"grid_points"`
		CV struct {
			ME   float64 `json:"ME"`
			RMSE float64 `json:"RMSE"`
		} `json:"cross_validation_idw2_all"`
		Delaunay struct {
			Triangles int     `json:"triangles"`
			Corners   int     `json:"hull_vertices"`
			Area      float64 `json:"area_m2"`
			Integral  float64 `json:"integral_of_zinc"`
		} `json:"delaunay"`
		Linear []struct {
			X    float64 `json:"x"`
			Y    float64 `json:"y"`
			Zinc float64 `json:"linear_zinc"`
		} `json:"linear_points"`
	}
	data, err := os.ReadFile("../testdata/meuse-reference.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &ref))
	var checks checkList
	linear := "data set meuse of the R package sp 1.6-0 (Burrough and McDonnell, Principles of Geographical Information Systems, Oxford University Press, 1998), computed with scipy 1.10.1"
	zinc := table(t, "meuse.csv")
	s := hullSurvey(t, zinc)
	tin := tinOf(t, s, EdgeRefuse)
	v := tin.Volume()
	checks.add("meuse: triangles", float64(v.Triangles), float64(ref.Delaunay.Triangles), evidence.Exact, "1", linear, evidence.Reference)
	checks.add("meuse: corners of the hull", float64(len(s.rings[0])), float64(ref.Delaunay.Corners), evidence.Exact, "1", linear, evidence.Reference)
	checks.add("meuse: area of the hull", float64(v.Area), ref.Delaunay.Area, evidence.Exact, "m2", linear, evidence.Reference)
	checks.add("meuse: integral of zinc", float64(v.Volume), ref.Delaunay.Integral, 1e-6, "mg/kg m2", linear, evidence.Reference)
	for _, p := range ref.Linear {
		checks.add(fmt.Sprintf("meuse: linear zinc at (%g, %g)", p.X, p.Y), valueAt(t, tin, p.X, p.Y), p.Zinc, 1e-9, "mg/kg", linear, evidence.Reference)
	}
	all, twelve := idwOf(t, s, 2, 0), idwOf(t, s, 2, 12)
	for _, p := range ref.Grid {
		at := fmt.Sprintf("meuse: inverse distance of zinc at (%g, %g), ", p.X, p.Y)
		checks.add(at+"all", valueAt(t, all, p.X, p.Y), p.IDW, 1e-9, "mg/kg", fixtures.MeuseSource, evidence.Reference)
		checks.add(at+"12 nearest", valueAt(t, twelve, p.X, p.Y), p.IDW12, 1e-9, "mg/kg", fixtures.MeuseSource, evidence.Reference)
	}
	me, rmse := leaveOneOut(t, zinc, rectangle(178000, 329000, 182000, 334000))
	checks.add("meuse: leave-one-out of inverse distance, mean error", me, ref.CV.ME, 1e-9, "mg/kg", fixtures.MeuseSource, evidence.Reference)
	checks.add("meuse: leave-one-out of inverse distance, RMSE", rmse, ref.CV.RMSE, 1e-9, "mg/kg", fixtures.MeuseSource, evidence.Reference)
	evidence.Run(t, "sludge", checks)
}

func franke(x, y float64) float64 {
	return 0.75*math.Exp(-((9*x-2)*(9*x-2)+(9*y-2)*(9*y-2))/4) + 0.75*math.Exp(-(9*x+1)*(9*x+1)/49-(9*y+1)/10) +
		0.5*math.Exp(-((9*x-7)*(9*x-7)+(9*y-3)*(9*y-3))/4) - 0.2*math.Exp(-(9*x-4)*(9*x-4)-(9*y-7)*(9*y-7))
}

// unitLattice returns the (n+1) x (n+1) nodes of the unit square.
func unitLattice(n int) (places []mesh.XY) {
	for i := range (n + 1) * (n + 1) {
		places = append(places, mesh.XY{X: float64(i%(n+1)) / float64(n), Y: float64(i/(n+1)) / float64(n)})
	}
	return places
}

// frankeSet is a set of 33 places in the unit square.
var frankeSet = xys(0, 0, 0, 1, 0, .5, .5, 1, .1, .15, .15, .3, .3, .35, .1, .75, .05, .45, 1, 0, 1, 1,
	.5, 0, 1, .5, .2, .1, .25, .2, .6, .25, .9, .35, .8, .4, .7, .2, .95, .9, .6, .65, .65, .7, .35, .85,
	.6, .85, .9, .8, .85, .25, .8, .65, .75, .85, .7, .9, .7, .65, .75, .1, .75, .35, .55, .95)

func TestPublishedSurfaceFunctions(t *testing.T) {
	var checks checkList
	unitSquare := rectangle(0, 0, 1, 1)
	over := func(places []mesh.XY, f func(x, y float64) float64) *TIN {
		return tinOf(t, surveyAt(t, unitSquare, nil, places, func(i int) float64 { return f(places[i].X, places[i].Y) }), EdgeRefuse)
	}
	definition := "Franke, A Critical Comparison of Some Methods for Interpolation of Scattered Data, Naval Postgraduate School, NPS-53-79-003, 1979"
	set := definition + "; 33 places of data set franke of the R package interp; computed with scipy"
	for _, c := range []struct{ x, y, want float64 }{{.5, .5, 0.3257620892806842}, {0, 0, 0.7664205912849231}, {1, 1, 0.0358695923861045}, {.2, .8, 0.2808317376398773}} {
		checks.add(fmt.Sprintf("Franke's function at (%g, %g)", c.x, c.y), franke(c.x, c.y), c.want, 1e-15, "1", definition+"; computed with numpy", evidence.Reference)
	}
	tin := over(frankeSet, franke)
	v := tin.Volume()
	checks.add("Franke's function, 33 places: triangles", float64(v.Triangles), 56, evidence.Exact, "1", set, evidence.Reference)
	checks.add("Franke's function, 33 places: area", float64(v.Area), 1, 1e-15, "1", set, evidence.Reference)
	// Four places lie on one circle to within rounding, (.9, .35) (.8, .4) (.85, .25)
	// (.75, .35); the volume is 0.427694737 or 0.427717786 by the diagonal. Exact
	// arithmetic on the float64 nearest to these decimals gives the second, the RMS
	// error is printed for the first.
	checks.add("Franke's function, 33 places: volume", float64(v.Volume), 0.427717786, 5e-10, "1", set, evidence.Reference)
	var squares, most float64
	w := idwOf(t, tin.survey, 2, 0)
	var wSquares, wMost float64
	for _, p := range unitLattice(32) {
		e := valueAt(t, tin, p.X, p.Y) - franke(p.X, p.Y)
		squares, most = squares+e*e, max(most, math.Abs(e))
		e = valueAt(t, w, p.X, p.Y) - franke(p.X, p.Y)
		wSquares, wMost = wSquares+e*e, max(wMost, math.Abs(e))
	}
	checks.add("Franke's function, 33 places: RMS error of the triangulation", math.Sqrt(squares/1089), 0.0700808, 2e-5, "1", set, evidence.Reference)
	checks.add("Franke's function, 33 places: greatest error of the triangulation", most, 0.2214630, 5e-8, "1", set, evidence.Reference)
	checks.add("Franke's function, 33 places: RMS error of inverse distance", math.Sqrt(wSquares/1089), 0.0751474, 5e-8, "1", set, evidence.Reference)
	checks.add("Franke's function, 33 places: greatest error of inverse distance", wMost, 0.2225879, 5e-8, "1", set, evidence.Reference)

	// Exact integrals. A lattice of n x n cells is off by at most (h2/12)(fxx + fyy +
	// |fxy|), which the tolerances hold.
	integral := "exact integral over the unit square"
	for _, c := range []struct {
		name string
		f    func(x, y float64) float64
		want float64
		tol  float64
	}{
		{"Franke's function", franke, 0.406969589491556, 2e-5},
		{"sin(pi x) sin(pi y)", func(x, y float64) float64 { return math.Abs(math.Sin(math.Pi*x) * math.Sin(math.Pi*y)) }, 0.405284734569351, 2e-5},
		{"exp(x + y)", func(x, y float64) float64 { return math.Exp(x + y) }, 2.952492442012560, 2e-5},
		{"x(1-x)y(1-y)", func(x, y float64) float64 { return x * (1 - x) * y * (1 - y) }, 1.0 / 36, 2e-5},
	} {
		source := integral + ", closed form"
		if c.name == "Franke's function" {
			source = definition + ", closed form by the error function"
		}
		checks.add("volume under "+c.name+", 256 x 256 cells", float64(over(unitLattice(256), c.f).Volume().Volume), c.want, c.tol, "1", source, evidence.Identity)
	}

	// One cell: the diagonal runs from the corner with the least x and y.
	corners := xys(0, 0, 1, 0, 1, 1, 0, 1)
	diagonal := "two triangles of a square cell; the diagonal joins the corner of least x and y"
	for k, want := range []float64{1.0 / 3, 1.0 / 6, 1.0 / 3, 1.0 / 6} {
		v := over(corners, func(x, y float64) float64 {
			if (mesh.XY{X: x, Y: y}) == corners[k] {
				return 1
			}
			return 0
		}).Volume()
		checks.add(fmt.Sprintf("one cell, height 1 at corner %d", k), float64(v.Volume), want, 1e-15, "1", diagonal, evidence.Identity)
	}
	for _, n := range []int{1, 4, 10} {
		v := over(unitLattice(n), func(x, y float64) float64 { return x * y }).Volume()
		checks.add(fmt.Sprintf("xy on %d x %d cells", n, n), float64(v.Volume), 0.25+1/(12*float64(n*n)), 1e-14, "1", diagonal, evidence.Identity)
		v = over(unitLattice(n), func(x, y float64) float64 { return x * x }).Volume()
		checks.add(fmt.Sprintf("x squared on %d x %d cells", n, n), float64(v.Volume), 1.0/3+1/(6*float64(n*n)), 1e-14, "1", "trapezoidal rule", evidence.Identity)
		v = over(unitLattice(n), func(x, y float64) float64 { return 7.25 }).Volume()
		checks.add(fmt.Sprintf("a constant on %d x %d cells", n, n), float64(v.Volume), 7.25, 1e-14, "1", "constant surface", evidence.Identity)
	}

	// A disk of radius 10 as a ring of 720 corners, with height 3.
	var disk plane.Polygon
	places := xys(0, 0)
	for i := range 720 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 720)
		disk = append(disk, at(10*cos, 10*sin))
		for j := 1; j <= 40; j++ {
			places = append(places, mesh.XY{X: cos * float64(j) / 4, Y: sin * float64(j) / 4})
		}
	}
	onDisk := func(f func(r float64) float64) float64 {
		s := surveyAt(t, disk, nil, places, func(i int) float64 { return max(0, f(math.Hypot(places[i].X, places[i].Y)/10)) })
		return float64(tinOf(t, s, EdgeZero).Volume().Volume)
	}
	checks.add("bowl on a disk of radius 10", onDisk(func(r float64) float64 { return 3 * (1 - r*r) }), 150*math.Pi, 0.3, "1", "pi R^2 H / 2", evidence.Identity)
	checks.add("cone on a disk of radius 10", onDisk(func(r float64) float64 { return 3 * (1 - r) }), 100*math.Pi, 0.01, "1", "pi R^2 H / 3", evidence.Identity)
	evidence.Run(t, "sludge", checks)
}

func TestPublishedSurfaceSurvey(t *testing.T) {
	var checks checkList
	form := "North Carolina DEQ, filing 2757542, points 1 to 5 of 27"
	spec := SurveySpec{Boundary: rectangle(0, 0, 10, 10)}
	for i, d := range [][2]float64{{7, 3}, {7, 3}, {7, 3}, {7.25, 3.25}, {7, 2.75}} {
		spec.Soundings = append(spec.Soundings, Sounding{At: at(float64(i), 1), ToFloor: new(units.Length(d[0]) * units.Foot), ToSludge: new(units.Length(d[1]) * units.Foot)})
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	for i, want := range []float64{4, 4, 4, 4, 4.25} {
		checks.add(fmt.Sprintf("sludge thickness at point %d", i+1), s.Thicknesses()[i].In(units.Foot), want, 1e-12, "ft", form, evidence.Published)
	}

	whole := "North Carolina DEQ, filing "
	zone, err := TreatmentZone(ZoneSpec{MaxToPresent: 10.2 * units.Inch, MaxToMin: 4.2 * units.Inch, ToFloor: 7.13 * units.Foot, ToSludge: 2.84 * units.Foot, Allowed: 0.5})
	require.NoError(t, err)
	require.True(t, zone.OverAllowed, "the form asks for the volumes")
	checks.add("survey form: present to minimum level", zone.PresentToMin.In(units.Foot), -0.50, 0.005, "ft", whole+"2757542", evidence.Published)
	checks.add("survey form: sludge thickness", zone.Sludge.In(units.Foot), 4.29, 0.005, "ft", whole+"2757542", evidence.Published)
	checks.add("survey form: liquid treatment zone", zone.LiquidZone.In(units.Foot), 3.34, 0.005, "ft", whole+"2757542", evidence.Published)
	day := func(year int, month time.Month, day int) time.Time {
		return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	}
	age := units.Duration(day(2023, 10, 6).Sub(day(1993, 7, 26)).Seconds())
	checks.add("survey form: age", age.In(365*units.Day), 30.2164383561644, 1e-12, "yr", whole+"3507688", evidence.Published)
	grown, err := Accumulation(AccumulationSpec{Thickness: 1.9 * units.Foot, LiquidZone: 3.6 * units.Foot, Age: age, Ahead: 5 * 365 * units.Day})
	require.NoError(t, err)
	for _, c := range []struct {
		what      string
		got, want float64
		unit      string
	}{
		{"accumulation rate", grown.PerYear.In(units.Foot), 0.0628796808414181, "ft/yr"},
		{"growth in 5 years", grown.Growth.In(units.Foot), 0.31439840420709, "ft"},
		{"liquid zone left in 5 years", grown.LiquidZone.In(units.Foot), 3.28560159579291, "ft"},
		{"share of sludge", grown.Share, 0.345454545454545, "1"},
		{"share of sludge in 5 years", grown.ShareThen, 0.402617891674016, "1"},
	} {
		checks.add("survey form: "+c.what, c.got, c.want, 1e-12, c.unit, whole+"3507688", evidence.Published)
	}

	// Levels read down from the top of the bank, 59 in above the present liquid level:
	// the mean sludge top, and the level at which half of the treatment volume is left.
	removal, err := NewSurvey(context.Background(), SurveySpec{Boundary: rectangle(0, 0, 10, 10), Soundings: []Sounding{
		{At: at(1, 1), ToSludge: new(86.24 * units.Inch), ToFloor: new(99.24 * units.Inch), LevelRise: 59 * units.Inch}}})
	require.NoError(t, err)
	checks.add("survey form: sludge to remove", removal.Readings()[0].Thickness.In(units.Inch), 13.00, 0.005, "in", whole+"2855392", evidence.Published)
	checks.add("survey form: sludge top below the present level", removal.Readings()[0].ToSludge.In(units.Foot), 2.27, 0.005, "ft", whole+"2855392", evidence.Published)

	// Elevations of a borrow area as depths of fill, the corners of one grid cell.
	cell := surveyAt(t, rectangle(0, 0, 50*0.3048, 50*0.3048), nil, xys(0, 0, 15.24, 0, 15.24, 15.24, 0, 15.24), func(i int) float64 {
		return 0.3048 * []float64{90 - 87.6, 90 - 87.6, 90 - 87.6, 90 - 88.6}[i]
	})
	nodes, err := cell.Nodes(100)
	require.NoError(t, err)
	mean := 0.0
	for _, z := range cell.Thicknesses() {
		mean += z.In(units.Foot) / 4
	}
	fill := "amount of borrow to bring a 50 ft x 50 ft area to elevation 90 ft, civil engineering exercise"
	checks.add("mean fill over a grid cell", mean, 2.15, 0.005, "ft", fill, evidence.Published)
	checks.add("fill of a grid cell by its four corners", nodes[0].Area.Times(units.Length(mean)*units.Foot).In(units.CubicYard), 199, 0.5, "yd3", fill, evidence.Published)

	geodesic := "geodesic direct problem on WGS 84 (Karney, Algorithms for Geodesics, Journal of Geodesy 87, 2013), computed with GeographicLib 2.2.0"
	p, err := NewTangentPlane(TangentPlaneSpec{Origin: LonLat{-95.5, 41.25}})
	require.NoError(t, err)
	for _, c := range []struct {
		azimuth, distance, lat, lon, tol float64
	}{
		{0, 500, 41.25450212013013, -95.5, 1e-5}, {90, 1000, 41.24999938187195, -95.4880691719659, 1e-5},
		{45, 1000, 41.256366649206115, -95.49156281141754, 1e-5}, {200, 750, 41.24365403973823, -95.50306014155832, 1e-5},
		{315, 10000, 41.31363831603371, -95.58444568562429, 0.01},
	} {
		q, err := p.Local(LonLat{c.lon, c.lat})
		require.NoError(t, err)
		checks.add(fmt.Sprintf("distance in the tangent plane to a place %g m away at %g degrees", c.distance, c.azimuth),
			math.Hypot(float64(q.X), float64(q.Y)), c.distance, c.tol, "m", geodesic, evidence.Reference)
		azimuth := math.Atan2(float64(q.X), float64(q.Y)) * 180 / math.Pi
		checks.add(fmt.Sprintf("direction in the tangent plane to a place %g m away at %g degrees", c.distance, c.azimuth),
			math.Mod(azimuth+360, 360), c.azimuth, 1e-5, "degree", geodesic, evidence.Reference)
	}
	evidence.Run(t, "sludge", checks)
}

func TestPublishedPointsRule(t *testing.T) {
	var checks []evidence.Check
	add := func(what string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	form := "North Carolina DEQ, filing "
	rule := PointsRule{SmallBelow: 1.33 * units.Acre, SmallPoints: 8, AreaPer: units.Acre / 6, Most: 24}
	points := func(r PointsRule, acres float64) float64 {
		n, err := r.Points(units.Area(acres) * units.Acre)
		require.NoError(t, err)
		return float64(n)
	}
	forty := rule
	forty.Most = 40
	add("survey points on 1.975 acres", points(rule, 1.975), 12, evidence.Exact, "1", form+"851173", evidence.Published)
	add("survey points on 4.50 acres, cap 40", points(forty, 4.5), 27, evidence.Exact, "1", form+"2757542", evidence.Published)
	add("survey points on 4.50 acres, cap 24", points(rule, 4.5), 24, evidence.Exact, "1", form+"2957628, its rule", evidence.Identity)
	add("survey points on 2.5 acres, as the form shows", points(rule, 2.5), 8, evidence.Exact, "1", form+"2957628", evidence.Slip)
	add("survey points on 2.5 acres, by the rule", points(rule, 2.5), 15, evidence.Exact, "1", form+"2957628, its rule", evidence.Identity)
	evidence.Run(t, "sludge", evidence.Rights(checks, map[string][2]float64{
		"survey points on 2.5 acres, as the form shows": {15, evidence.Exact},
	}))
}

// The volume over a square and both its intervals, as a survey gives them.
func TestPublishedVolume(t *testing.T) {
	var checks checkList
	seams := table(t, "coal75.csv")
	k, err := geostat.NewKriging(context.Background(), geostat.KrigingSpec{Samples: seams, Model: geostat.Model{Sill: 7.5, Range: 60}})
	require.NoError(t, err)
	block, err := k.Block(geostat.BlockSpec{Boundary: rectangle(0, 0, 100, 100), Step: 5})
	require.NoError(t, err)
	mean, err := geostat.Mean(geostat.MeanSpec{Samples: seams, Boundary: rectangle(0, 0, 100, 100), Confidence: 0.95})
	require.NoError(t, err)
	computed := fixtures.CoalSource + "; computed with numpy and gstat 2.1.0"
	at := "volume of the square of 75 seam thicknesses: "
	half := distuv.UnitNormal.Quantile(0.975) * float64(block.Area.Times(block.SD))
	checks.add(at+"block kriging", float64(block.Area.Times(block.Mean)), 400151, 0.5, "table units", computed, evidence.Reference)
	checks.add(at+"half of the kriged interval", half, 2868, 0.5, "table units", computed, evidence.Reference)
	checks.add(at+"design-based", float64(mean.Volume), 401173, 0.5, "table units", computed, evidence.Reference)
	checks.add(at+"half of the design-based interval", float64(mean.VolumeInterval.Half()), 5468, 0.5, "table units", computed, evidence.Reference)
	evidence.Run(t, "sludge", checks)
}
