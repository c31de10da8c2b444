// Package sludge works out how much sludge lies in an earthen basin from
// soundings: the thickness where it was measured, a surface over the whole
// boundary, the volume under it with an interval, contours and maps. Package
// [example.org/earthbasin/sludge/removal] plans how it is taken out.
//
// # From soundings to a volume
//
// A [Survey] holds the boundary and the soundings after every rule that the
// caller chose has been applied: level changes of the liquid, duplicates,
// soundings outside, the floor under sonar readings. Everything else starts from
// it:
//
//	soundings, err := sludge.ParseXYZ(text, units.Foot) // or NewSounding for each
//	s, err := sludge.NewSurvey(sludge.SurveySpec{Boundary: edge, Soundings: soundings})
//	tin, err := sludge.NewTIN(s, sludge.TINSpec{Edge: sludge.EdgeNearest})
//	v := tin.Volume()
//
// # Surfaces
//
// A [TIN] is linear on the triangles of the soundings (barycentric), so that its
// volume over the boundary is an exact sum; it is the choice made here over natural
// neighbours, which the package does not have. An [IDW] weights by distance;
// [geostat.Kriging] is best when the spread of the soundings is worth modelling, and the
// only one with a standard deviation at each place. Each is a [Surface]; the interval of
// the volume comes from [VolumeWithInterval]:
//
//	maps, err := sludge.SurfaceContours(s, kriging, sludge.ContourSpec{Levels: levels, Spacing: 2})
//
// Grids fit the plotter of gonum through [Grid.View]; [GeoJSON] and XYZ write what
// other programs read, and a TIN is a surface of triangles for whatever takes one.
//
// # Cost
//
// Boundary and islands of n corners are checked in n log n steps, up to a million
// corners. A triangulation of n soundings takes n log n steps, and a place in it or its
// nearest soundings are found in about log n, wherever the soundings crowd. Kriging from
// n samples takes n^3/3 steps once and n^2 for each estimate with its standard deviation:
// [geostat.MaxGlobal] bounds n. Grids have at most ten million cells, nodes four million,
// contours a million squares.
//
// # Conventions
//
// On a regular grid, and wherever four soundings lie on one circle, there are two
// right triangulations with different volumes. The one taken joins the sounding
// with the least x, then the least y, to the others: every diagonal of a grid runs
// from the lower left to the upper right. The result depends on the places of the
// soundings alone, not on their order nor on the number of workers. How a surface
// meets the boundary where nothing was measured is an [EdgeRule] that the caller
// names. Contours take a thickness equal to a level as above it, and in a saddle
// the mean of the four corners decides which corners belong together.
//
// # Sign and reference
//
// Depths are measured down from the liquid surface. Thickness is the depth to
// the hard floor less the depth to the sludge top, both from one surface; a
// negative thickness is an error. Soundings with the sludge top only, as sonar
// gives, need a design or as-built [Floor], and their thickness is marked as
// resting on an assumed floor.
//
// # Volume with an interval
//
//	floor, err := sludge.NewSlopedFloor(sludge.SlopedFloorSpec{Waterline: edge, Slopes: []float64{3}, Depth: 9 * units.Foot})
//	s, err := sludge.NewSurvey(sludge.SurveySpec{Boundary: edge, Sides: sludge.SidesBanks, Floor: floor, Soundings: soundings})
//	r, err := sludge.VolumeWithInterval(s, sludge.VolumeSpec{Confidence: 0.95, ReadingSD: 0.1 * units.Foot})
//	r.Volume, r.Interval, r.BanksShare, r.Notes
//
// The thickness is a random field that is cut by the floor and by the banks. With D
// the depth of the floor, h = D_max - D and s the field, it is
//
//	min(max(0, s - lambda h), D)
//
// where lambda 0 is a layer draped over the banks and 1 a top as level over the banks
// as in the middle. Nothing of this is taken as known that the soundings have to tell:
//
//   - lambda (five values), the floor where it was read but not drawn (up to five
//     slopes), and whether the height or its logarithm is the field are hypotheses,
//     weighed by the likelihood of the soundings;
//   - so are smoothness (Matern 1/2, 3/2, 5/2), range (eight) and nugget (five) of the
//     field, and how far and which way it is stretched where 24 places or more can
//     tell; its mean and variance are integrated out;
//   - soundings that are bare, or full from the floor to the waterline, are bounds of
//     the field, not values;
//   - the volume under each covariance and hypothesis is a t, or on the logarithm a
//     log-t, by the first term of the Hermite expansion of the cut, and the answer is
//     their mixture, from which parts are drawn at even steps of the weight;
//   - more than 120 places are thinned to one in each cell of a lattice, so that what a
//     track shares is not counted many times over; an error that all readings of a
//     track share is carried through ([VolumeSpec] SharedSD, [Sounding] Track).
//
// The boundary has to be told for what it is ([Sides]), and the floor drawn ([Floor])
// or read at the soundings. Where they are not there is a bracket of what is possible
// and no interval. [Next] names the places that narrow the interval most,
// [Difference] gives the change between two surveys, [Contents] the solids or the
// nutrients in the volume, and [SurfaceVolume] cuts any other surface at the same
// floor. [geostat] has ordinary kriging with a model that is given, variograms, fits
// and the design-based mean.
package sludge
