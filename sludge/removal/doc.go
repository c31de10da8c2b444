// Package removal plans how sludge and liquid are taken out of an earthen basin.
//
// [Plan] compares drawing the liquid off and digging the sludge with agitating,
// pumping and digging what stays: solids and water by stage, loads, trucks, hours
// and cost, at both ends of the interval on the volume. Nutrients, metals and salts
// ([Constituent]) go with the solids and the water into every [Stream] that leaves the
// basin, so that nothing vanishes between stages; rain, evaporation and inflow
// ([Exchange]) join them. A route that its equipment cannot do is marked with the reason.
// Its parts stand alone:
//
//   - [NewSlurry] relates volume, dry mass and solids; [Thicken] and [Dilute] take
//     water out and put it in.
//   - [Agitation] gives turnovers and positions of an agitator, and what stays by the
//     caller's relation.
//   - [Haul] gives loads, cycle, trucks and hours of a [Fleet], within the limits of a
//     [Road]; [FitHaulTime] a travel time from timed trips.
//   - [Line] gives the flow at which a pump works on a hose line; [Pump] area, sets and
//     hours of a [DragHose].
//   - [DefaultClasses] says at which solids a material is pumped or dug.
//
// Volumes, shares, speeds and prices are the caller's. Fill and efficiency are
// shares of 1; solids are mass fractions of the whole.
package removal
