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
// only one with an interval. Each is a [Surface]:
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
//	r, err := sludge.VolumeWithInterval(s, sludge.VolumeSpec{Confidence: 0.95})
//	r.Volume, r.Interval, r.Used, r.Why
//
// [VolumeWithInterval] works out the design-based mean ([geostat.Mean]) and, where the
// soundings allow it, block kriging: an empirical [geostat.Variogram], a model fitted to it
// ([geostat.Fit]), [geostat.NewKriging] and its mean over the boundary ([geostat.Kriging.Block]). When the
// variogram is flat, a pure nugget, too thin or reaches beyond the data, it falls
// back on the design-based mean and says so. [geostat.Kriging.Validate] asks whether the
// model is as sure as it should be, [geostat.Kriging.Influences] what each sounding does to
// the mean, [geostat.Kriging.Next] where to sound next. Without a model [Survey.Gaps] names
// the places farthest from any sounding.
package sludge
