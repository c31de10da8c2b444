// Package geostat estimates values between samples on the plane: empirical
// variograms, models fitted to them, ordinary kriging at points and over areas,
// validation, and the places to sample next. It works on places of package
// [example.org/earthbasin/units/plane] and on lengths, and knows nothing of basins.
//
//	v, err := geostat.Variogram(ctx, geostat.VariogramSpec{Samples: samples})
//	fit, err := geostat.Fit(geostat.FitSpec{Variogram: v})
//	k, err := geostat.NewKriging(ctx, geostat.KrigingSpec{Samples: samples, Model: fit.Model})
//	block, err := k.Block(geostat.BlockSpec{Boundary: edge})
//
// A [Mean] over the area rests on how the places were chosen instead of on a model.
// [Kriging.Validate] asks whether a model is as sure as it should be,
// [Kriging.Influences] what each sample does to the mean, [Kriging.Next] where to
// sample next. [Thin] averages dense samples over cells. [FitAnisotropy] fits ranges
// that differ by direction, and [NewDrift] kriges what a covariate leaves.
//
// # Conventions
//
// Each of these changes the answer and is a field of a spec and of its result:
// whether a range is plain or effective ([RangeKind]), the weights of the fit
// ([FitWeights]), the classes of distance ([LagRule]), the estimator of their
// semivariance ([Estimator]), the ratio of an anisotropy and the axis of its range
// ([RatioKind], [RangeAxis]; its azimuth is that of the major axis, clockwise from
// north), the points that stand for a block ([BlockRule]) and the number of
// neighbours. The nugget counts between a measurement and itself only: an estimate
// at a sample is the sample, a standard deviation elsewhere is that of a
// measurement there, and the mean covariance within a block leaves the nugget out.
// Semivariances are squares of a length and so are of type [example.org/earthbasin/units.Area].
package geostat
