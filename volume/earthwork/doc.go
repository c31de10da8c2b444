// Package earthwork works out what earth has to be moved to close a basin: what comes
// down, what it fills, how it is hauled, and the shape that remains.
//
// Earth is counted in a named [State], bank, loose or compacted; [NewSoil] converts
// with factors that the caller names. [Berm] and [Breach] give what comes down,
// [Sections] the work along a line, [Drain] the ways through a liner that stays,
// [Trench], [Pipe] and [Plug] the lines. [Crown],
// [Overbuild] and [SettledCrown] give the shape that remains after settlement,
// [NewHipCrown] the crown as a surface, [FitPlane] and [Grade] the final grade of a
// site; [CrownFor] is the crown to build for its settlement. [Account] holds cut
// against fill of every soil of a site, topsoil among them, [Haul] says which cut goes to which fill at
// least cost, [Loads] counts the trucks. [Compaction] is how a fill is placed,
// [Bridging] its first lift over soft ground, [Borrow] the pit that its soil comes from.
// [BasinProfile] and [GroundProfile] are sections ready to draw.
//
//	crown, err := earthwork.Crown(earthwork.CrownSpec{
//		Shape: earthwork.CrownShapeHip, Length: 300 * units.Foot, Width: 180 * units.Foot,
//		Grade: 0.03,
//	})
//
// # Rules
//
// Slopes are horizontal per vertical, grades rise per run. A cut is counted in place
// before digging (bank), a fill in place after placing (compacted), unless the field
// says otherwise. Swell and shrink never default. Numbers are bounded as in package
// volume; a grade is at most 0.5. Every result carries its spec, and shows its working
// also after it was read from JSON.
//
// # Limits
//
// Nothing here judges whether a bank stands, a trench is safe, a dam may be breached
// or a fill carries: that is licensed practice. Settlement is one-dimensional.
//
// # References
//
// Each formula and each row of a table names its own source.
package earthwork
