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
//	s, err := sludge.NewSurvey(ctx, sludge.SurveySpec{Boundary: edge, Soundings: soundings})
//	tin, err := sludge.NewTIN(ctx, s, sludge.TINSpec{Edge: sludge.EdgeNearest})
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
//	maps, err := sludge.SurfaceContours(ctx, s, kriging, sludge.ContourSpec{Levels: levels, Spacing: 2})
//
// Surfaces and means are cut at the same floor as the estimate. Between soundings they
// take what a bank does to the sludge for the sludge: triangles of thickness run up to the
// waterline, where a level top ends lower, and give a tenth too much or more (the result
// says so). [Survey.Uncut] takes the banks out first:
//
//	tops, err := s.Uncut(ctx, sludge.BankLevel)
//	tin, err := sludge.NewTIN(ctx, tops, sludge.TINSpec{Edge: sludge.EdgeNearest})
//	v, err := sludge.SurfaceVolume(ctx, tops, sludge.SurfaceVolumeSpec{Surface: tin})
//	m, err := sludge.MeanVolume(ctx, s, sludge.MeanVolumeSpec{BankRule: sludge.BankLevel, Confidence: 0.95})
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
//	s, err := sludge.NewSurvey(ctx, sludge.SurveySpec{Boundary: edge, Sides: sludge.SidesBanks, Floor: floor, Soundings: soundings})
//	r, err := sludge.VolumeWithInterval(ctx, s, sludge.VolumeSpec{Confidence: 0.95, ReadingSD: 0.1 * units.Foot})
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
//   - lambda (five values), the slope of banks that were not drawn (up to five), and
//     whether the height or its logarithm is the field are hypotheses, weighed by the
//     likelihood of the soundings;
//   - a floor that was read but not drawn, or is drawn in places only, is kriged from
//     where it is known, as a share of the depth of a plain one with such banks; what that
//     leaves open of it is part of the interval, as is an error that all depths to the
//     floor share, and [VolumeResult] FloorShare says how much;
//   - so are smoothness (Matern 1/2, 3/2, 5/2), range (eight) and nugget of the field (four
//     to six shares of its variance, down to 0.0001 for the smoothest), and how far and which
//     way it is stretched where 30 places or more can tell; its mean and variance are
//     integrated out;
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
// [Difference] gives the change between two surveys and [Contents] the solids or the
// nutrients in the volume. [geostat] has ordinary kriging with a model that is given, variograms, fits
// and the design-based mean.
//
// # How often the interval holds
//
// A simulation draws fields on a basin of 100 m by 60 m, sounds each and asks whether
// the interval of 95 % holds the true volume:
//
//	go test ./sludge -run Coverage -v -replicates 300 [-cases TEXT]
//
// Without -replicates it makes ten surveys of each case at 24 places, and with -short
// none. The seeds are fixed. The table has the coverage and the mean width of the
// interval, both in %, the width of the true volume, by the number of places; 300
// surveys of each (100 of those at 150 and 400 places), so that a coverage of 95 is
// uncertain by 1.3 points (one standard deviation). Entries that looked low were drawn
// 1500 times and are given so, uncertain by 0.6 points: a-spherical, random, 24 (94.0 of
// the first 300); g-settled-pile, random, 12 (91.0, with the floor read 90.3);
// g-settled-pile-error0.2ft, grid, 48 (96.7 both). All were drawn in November 2026, those
// at 150 places and more with a few more parts of light hypotheses: at 12 to 48 places
// leaving these out moved coverage by at most 2.4 points, widths by at most 1.6.
//
// Fields a have walls, mean 1.2 m, standard deviation 0.3 m and a range of 30 m; d is the
// spherical one draped over banks of 3 : 1 down to 3 m and f the same as a settled top,
// level over the banks; b, c and e are a pile at an inlet, draped, and g the same settled; t
// are six boat tracks of 300 pings; o are fields that nothing was fitted to. Errors of 0.1
// and 0.2 ft of a reading, or of a track (shared), are told. Off-banks is 4 m or more from
// the waterline; crowded has every other place in the quarter at the inlet. The floor is
// told:
//
//	field, places                     12          24          48          more
//	a-exponential, grid                97.0  22.5  99.3  14.4  98.0   8.1
//	a-exponential, random              95.3  27.6  98.3  17.3  96.0  10.3
//	a-smooth, grid                    100.0  23.7 100.0  10.4  99.7   1.6
//	a-smooth, random                   95.3  25.3  96.7  12.7  94.7   4.6
//	a-spherical, grid                  99.3  23.9  99.0  13.5  97.3   5.7
//	a-spherical, random                96.0  27.1  95.3  15.9  96.7   8.9
//	b-pile, grid                      100.0  15.4 100.0   2.0 100.0   0.9
//	b-pile, off-banks                 100.0  34.5 100.0   4.3 100.0   0.7  150: 100.0 0.6; 400: 100.0 0.6
//	b-pile, random                     93.3  21.8  98.7   5.5  98.0   1.5
//	c-pile-error0.1ft, random          92.3  28.2  97.3  11.1  98.7   5.4
//	c-pile-error0.2ft, grid            99.0  25.1  98.7   9.9 100.0   7.1
//	c-spherical-error0.2ft, grid       99.0  25.5  99.0  15.2  99.3   7.1
//	d-draped, off-banks                98.3  41.8  96.0  28.7  98.7   8.0  150: 98.0 2.9; 400: 95.0 2.3
//	e-pile, crowded                   100.0  37.4 100.0   7.0 100.0   1.8
//	f-settled, grid                    98.3  33.3  97.0  17.1  97.3   8.8
//	f-settled, off-banks               98.3  56.6  96.7  35.2  98.3   7.1  150: 98.0 3.5; 400: 96.0 3.3
//	f-settled, random                  95.0  38.9  97.7  21.4  95.3  12.1
//	g-settled-pile, grid               99.7  24.2 100.0   3.9  99.7   1.1
//	g-settled-pile, off-banks          99.3  46.4 100.0   3.4 100.0   0.9  150: 100.0 0.7; 400: 100.0 0.6
//	g-settled-pile, random             94.1  45.8  98.0  10.5  99.3   2.5
//	g-settled-pile-error0.2ft, grid   100.0  35.4 100.0  16.2  98.3  10.0
//	o-crest, grid                      90.0  33.7  90.3  10.8  85.7   4.6
//	o-crest, random                    91.0  37.5  91.0  16.6  87.7   6.3
//	o-skewed, random                   93.7  67.5  95.0  44.0  96.3  26.0
//	o-step, random                     94.0  29.1  94.3  15.5  94.0   7.8
//	o-stretched, grid                  97.0  25.3  99.0  12.4  97.3   6.3  150: 98.0 3.3; 400: 93.0 3.8
//	o-stretched, random                94.3  27.9  95.3  15.6  98.3   8.8
//	o-stretched, tracks                        -           -           -  1800: 92.7 2.7
//	o-thin, grid                       98.7  80.5  98.7  45.8  93.0  20.1
//	o-thin, off-banks                  96.3  84.2  89.3  55.4  92.3  30.6
//	o-two-piles, random                96.3  28.5 100.0   7.1  99.7   1.8
//	t-draped, tracks                           -           -           -  1800: 98.7 3.0
//	t-pile, tracks                             -           -           -  1800: 100.0 0.7
//	t-pile-shared0.1ft, tracks                 -           -           -  1800: 92.7 6.6
//	t-settled, tracks                          -           -           -  1800: 99.0 4.1
//	t-settled-error0.1ft, tracks               -           -           -  1800: 100.0 4.4
//	t-settled-pile, tracks                     -           -           -  1800: 100.0 0.6
//	t-settled-shared0.1ft, tracks              -           -           -  1800: 95.3 6.6
//
// With depths to the floor read at the soundings in place of a drawing:
//
//	b-pile, grid                      100.0  15.4 100.0   2.0 100.0   0.9
//	b-pile, off-banks                 100.0  36.0 100.0   4.4 100.0   0.7
//	b-pile, random                     93.0  21.6  98.7   5.5  98.0   1.5
//	c-pile-error0.1ft, random          92.0  27.9  97.3  11.1  98.7   5.4
//	c-pile-error0.2ft, grid            99.0  25.0  98.7   9.9 100.0   7.2
//	d-draped, off-banks                98.7  41.4  96.0  28.7  98.7   8.0
//	e-pile, crowded                   100.0  36.9 100.0   7.0 100.0   1.8
//	f-settled, grid                    98.3  33.2  97.0  17.1  97.3   8.8
//	f-settled, off-banks               93.3  56.0  96.7  35.2  98.3   7.1
//	f-settled, random                  95.0  39.0  97.7  21.4  95.3  12.1
//	g-settled-pile, grid               99.7  24.2 100.0   3.9  99.7   1.1
//	g-settled-pile, off-banks          92.3  48.4 100.0   4.0 100.0   0.9
//	g-settled-pile, random             94.2  45.6  98.0  10.5  99.3   2.5
//	g-settled-pile-error0.2ft, grid   100.0  35.3 100.0  16.2  98.3  10.0
//
// Fields h are smooth ones over floors that nobody drew: one that rolls by 12 % of its
// depth about banks of 3 : 1, one that falls from 2.4 to 3.6 m along the basin. Taken as
// plain floors they were held in 0 to 78 % under a level top:
//
//	h-rolling-floor-draped, grid      100.0  24.6  99.3  10.1  98.7   2.1
//	h-rolling-floor-settled, grid      98.3  43.1  98.0  23.6  96.7   9.7
//	h-rolling-floor-settled, random    96.3  53.8  95.3  28.8  95.0  14.7
//	h-tilted-floor-settled, grid       97.7  31.2  99.0  14.6  98.0   4.2
//	h-tilted-floor-settled, off-banks  97.7  47.5  94.3  21.9  96.7   2.3
//
// Fields i are over floors that are drawn in places: over the west half, or over the middle
// without the banks; they roll by 12 %, or fall along the basin. Fields j are over plain
// floors, but for the last, that were read: soft ones, with an error of 4 in that all depths
// share, and ones with an error of 4 in of each depth, both told:
//
//	i-half-drawn-draped, random        95.0  26.7  95.3  13.7  96.7   6.4
//	i-half-drawn-settled, random       98.3  54.0  98.7  29.3  97.3  15.3
//	i-half-drawn-tilted-settled, grid  97.7  32.2  98.7  16.0  98.7   5.3
//	i-middle-drawn-settled, random     96.3  45.1  96.3  24.2  96.7  13.1
//	j-soft-floor-draped, random        99.7  51.5  98.3  43.2  97.7  39.6
//	j-soft-floor-settled, random       97.0  61.7  95.3  46.5  96.3  41.5
//	j-floor-error4in-draped, random    92.0  29.3  95.3  16.8  94.3   9.4
//	j-floor-error4in-settled, random   96.3  42.2  96.0  21.8  94.7  11.4
//	j-floor-error4in-rolling, random   95.0  59.9  98.0  32.3  94.7  17.7
//
// Basins and fields that nothing was fitted to, at 24 random places all over and 4 m or
// more off the waterline, 300 surveys of each; -run Elsewhere makes them:
//
//	                                  random      off the banks
//	channel along the middle, draped   94.7  24.9  95.7  18.0
//	channel along the middle, settled  96.0  34.6  95.3  27.1
//	heavy-tailed readings, told        96.0  21.2  96.3  17.5
//	heavy-tailed readings, not told    92.3  16.7  96.7  13.5
//	ten times as long, draped          94.0   9.7  97.0   4.4
//	ten times as long, settled         94.7  17.2  96.3   6.5
//	circle, draped                     95.0   9.8  96.0   7.4
//	circle, settled                    96.3  10.7  97.0   7.5
//	two islands, draped                95.3  13.6  95.7   9.4
//	two islands, settled               95.7  19.2  96.7  12.4
//	angle, settled                     94.0  23.2  93.7  18.2
//	0.12 m thick, draped               95.7  42.2  92.3  38.5
//	0.12 m thick, settled              93.7  59.4  93.7  44.4
//
// What each part of the method is there for, by leaving it out in 100 surveys:
//
//   - the cut at floor and banks: taken as a basin with walls, d off the banks is held
//     in 12 % at 24 places, f in none at 48;
//   - the ways at the banks: always level, d off the banks is held in none at 24 places;
//     always draped, f in none at 48. Leave [BankRule] open unless somebody looked;
//   - bounds in place of values for bare and full banks: as values, the pile at 24
//     random places is held in 81 %, at three times the width;
//   - the logarithm of the height: without it that pile is held in 91 %, at 1.5 times
//     the width;
//   - small nuggets: with none below 0.001 the interval of that pile is 1.2 times as wide;
//   - stretched fields: without them o-stretched is held in 90 in place of 93 % at 400.
//
// Where it still fails: random places may miss a pile altogether, which no interval can
// know (12 of them hold 92 to 94 %); a sharp crest is no field of an even smoothness (86 to
// 91 %); thin sludge with bare spots, sounded off the banks only, may be underrated (89 % at
// 24 places), as nothing tells there that it is draped, the end of what is thought possible:
// with [BankDraped] told it is held in 98 %. Regular grids on smooth fields are held more
// often than asked for, at up to twice the width that would do. An error that all tracks
// share alike cannot be seen in the readings and has to be told as one track, and an error
// of all depths to the floor as such ([VolumeSpec] FloorSharedSD).
//
// # Speed
//
// Measured in November 2026 on one core of a machine that other work shared, so that each
// figure is the least processor time of many runs, side by side with that of
// general-purpose libraries for the same work and the same answers. Machines differ, and
// differences under 15 % are noise. Places are random in a basin of 120 by 80 m:
//
//	                                                      10,000      100,000    1,000,000
//	Delaunay triangulation, to the fastest found       0.39-0.48  0.40-0.44    0.21-0.27
//	NewTIN with boundary and edge rule, to the same    0.44-0.53  0.44-0.48    0.23-0.29
//	ordinary kriging, 2,000 samples, to Cholesky with LAPACK: solving 0.28-0.35, and with
//	10,000 estimates and their standard deviations 0.22-0.30
//
// Estimates by kriging run at the speed of a processor that multiplies two numbers at a
// time, LAPACK at four or more; they are ahead by leaving out what lies out of range. Many
// estimates under a model of finite range ask for the entries of the inverse between the
// samples near each place only; with another model, or few places, they take a triangle of
// all samples, of which the first takes twice as long in the case above.
//
// The surface of soundings on a line, in a cluster or along tracks takes at most two and
// a half times that of random places by IDW.Grid, 1.6 times by TIN.At. VolumeWithInterval
// takes, in ms, the least of 100 calls each and before its likelihoods and integrals were
// made faster in the same month:
//
//	                                           24 soundings       48 soundings
//	vertical sides, random places               1.6 from 2.9       5.5 from 10.1
//	pile on banks, random places                1.4 from 1.9       3.5 from 4.9
//	level top, random places                    2.5 from 4.9       7.6 from 16
//	draped, nothing on the banks                2.6 from 4.9       6.6 from 10.5
//	level top, nothing on the banks             2.7 from 6.0       6.5
//
// Where nothing was sounded on the banks up to ten hypotheses remain, of which each takes
// its share; where the floor was read or is drawn in places only there are more still, and
// soundings that tell of a stretched field, from 30 places on, try up to four times as many
// covariances. It takes 0.03 s for 100,000 readings on tracks and 0.05 s for a
// million. A process that makes a survey of a million readings and works out its volume
// takes 270 MB, 110 of them the readings as given.
package sludge
