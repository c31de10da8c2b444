// Package volume works out what an earthen basin holds at every depth. What earth
// has to be moved to close it is in package earthwork below.
//
// A [Basin] is a solid of level sections: its depth, and the area and the volume
// below any height over the floor. [NewRectangular], [NewCircular] and
// [NewPolygon] make it from a plan and side slopes, [NewSurveyed] from areas by
// elevation, [NewFloor] from a surface of floor levels. What works on one works
// on all:
//
//	b, err := volume.NewRectangular(volume.RectangularSpec{
//		Length: 300 * units.Foot, Width: 180 * units.Foot, At: volume.ReferenceTop,
//		Depth: 10 * units.Foot, Slopes: []float64{3},
//	})
//	held := b.VolumeAt(8 * units.Foot)
//	level, err := volume.HeightFor(b, held/2)
//
// Those of a plan and [Floor] know the height of floor or bank at each place, by FloorAt:
// the floor that a survey of sludge is cut at. [Surveyed] has areas and no places.
//
// [HeightFor] is the inverse of VolumeAt, [StageStorage] the table, [Layers] the
// division into sludge, liquid, storm and freeboard, [Emptying] the draw-down
// while the weather goes on, [OpenPit] what it brings until the basin is filled, [Liner] the soil along floor and banks, and [Pond] the
// conversion to a freshwater pond.
//
// # Rules
//
// Heights run upward from the lowest point of the floor. A height below 0 counts
// as 0 and one above the depth as the depth, so that a basin never holds less
// than nothing or more than its capacity. Slopes are horizontal per vertical.
//
// A number that has to be more than 0 is at least 1e-12 in its SI unit; lengths are at
// most 100 km, areas 1e10 m2, volumes 1e12 m3, flows 1000 m3/s, slopes 1000 and
// fractions 1, unless the field says otherwise. What lies beyond is refused, and -0
// counts as 0.
//
// Whoever gives the size of a basin says at which [Reference] level it was
// measured; 200 ft at the floor and 200 ft at the top of the bank are different
// basins. Volumes of solids with a known shape are exact integrals. Where only
// some areas are known the caller names the [Method] between them, and
// [CompareMethods] shows how far the methods differ.
//
// # Limits
//
// Banks are planes, or cones at rounded corners; slumps, ramps across a bank and
// waves are not modelled, though a surveyed floor may have any shape. Islands in a
// polygon are refused. Nothing here judges whether a bank stands or a liner holds:
// that is licensed practice.
//
// # References
//
// USDA Natural Resources Conservation Service, Agricultural Waste Management
// Field Handbook (NEH 651), chapter 10, worksheet 10A-2; Federal Highway
// Administration, Hydraulic Engineering Circular 22, 4th edition, 2024, chapter
// 10. Each formula and each row of a table names its own source.
package volume
