// Package removal plans how sludge and liquid are taken out of an earthen basin.
//
// [Plan] compares drawing the liquid off and digging the sludge with agitating,
// pumping and digging what stays: solids and water by stage, loads, trucks, hours
// and cost, at both ends of the interval on the volume. Its parts stand alone:
//
//   - [NewSlurry] relates volume, dry mass and solids; [Thicken] and [Dilute] take
//     water out and put it in.
//   - [Haul] gives loads, cycle, trucks and hours of a [Fleet]; [FitHaulTime] a
//     travel time from timed trips.
//   - [Pump] gives area, sets and hours of a [DragHose].
//   - [DefaultClasses] says at which solids a material is pumped or dug.
//
// Volumes, shares, speeds and prices are the caller's. Fill and efficiency are
// shares of 1; solids are mass fractions of the whole.
package removal
