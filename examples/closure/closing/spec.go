package closing

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// Spec is the closing of one basin. Basin, Ground and Chosen are required; every other
// part may be left out and leaves its rows open.
type Spec struct {
	Basin  volume.Basin `json:"-"`           // of any kind, as the survey found it
	Ground units.Length `json:"ground"`      // level of the ground around it over its floor, more than 0 to its depth
	Chosen Alternative  `json:"alternative"` // the one that the rest of the closure goes on with
	// Floor is the elevation of the lowest point of the floor over Datum; nil where nobody has
	// levelled it. Both come from the basin.
	Floor *units.Length `json:"-"`
	Datum string        `json:"-"` // such as a bench mark on the site
	// Answers are what regulator, engineer and laboratory have said to the conditions, by
	// their keys, such as "breach.allowed"; a condition without one is open.
	Answers map[string]bool `json:"answers,omitempty"`
	// Figures works out the chosen alternative alone, and of it what the figures rest on:
	// no tasks, evidence, open points, cautions, levels or figures to hold bids against, as
	// many draws of a study need it.
	Figures bool `json:"-"`
	// HighestLevel is the highest that liquid ever stood over the floor: soil is soaked up to
	// there. 0 where nobody knows, and then up to the top of the bank.
	HighestLevel units.Length `json:"highestLevel,omitzero"`
	// Pit is what the weather brings from the draw-off until the basin is filled.
	Pit *volume.OpenPitResult `json:"-"`

	Berm       *earthwork.BermSpec       `json:"berm,omitempty"`       // its plan may be left out: the inside top of the bank
	Soil       *earthwork.SoilSpec       `json:"soil,omitempty"`       // of berm and ground
	Borrow     *Borrow                   `json:"borrow,omitempty"`     // an area on the farm that soil is brought in from
	Import     *earthwork.SoilSpec       `json:"import,omitempty"`     // soil that is brought in, where it is another than Soil
	Truck      *earthwork.TruckSpec      `json:"truck,omitempty"`      // for what is brought in or taken away
	Crown      *Crown                    `json:"crown,omitempty"`      // the shape over the fill
	Settlement *earthwork.SettlementSpec `json:"settlement,omitempty"` // of fill and crown; nil leaves it to Compaction
	Compaction *Compaction               `json:"compaction,omitempty"` // how the fill is placed
	SoftFloor  *earthwork.BridgingSpec   `json:"softFloor,omitempty"`  // its soil may be left out: the soil brought in
	Topsoil    *Topsoil                  `json:"topsoil,omitempty"`    // stripped before and returned after
	Soaked     *Soaked                   `json:"soaked,omitempty"`     // soil below the waste that has to go
	Liner      *Liner                    `json:"liner,omitempty"`      // what becomes of it
	Pipes      []Pipe                    `json:"pipes,omitempty"`      // lines into and out of the basin
	Breach     *Breach                   `json:"breach,omitempty"`     // for breach and grade
	Pond       *Pond                     `json:"pond,omitempty"`       // for a pond

	Rates  Rates  `json:"rates"`  // what machines and crew do in an hour
	Prices Prices `json:"prices"` // what it costs
	// EarthDoubt is what the volumes of earth may come out at as a share of the plan's, such
	// as 0.9, 1 and 1.2, since levels, swell and shrink are not exact; nil counts them as
	// exact.
	EarthDoubt *Share `json:"earthDoubt,omitempty"`
	// After are the tasks of other stages that must be finished before the basin is
	// inspected, such as the removal of the sludge.
	After []stage.Need `json:"after,omitempty"`
	// Budgeted says what of that which leaves the basin during the work counts in the
	// budget of the fields that it goes to.
	Budgeted Budgeted `json:"budgeted,omitzero"`
	// LabDays pass between a sample and its result, at least and likely; 0 where the
	// laboratory has not said.
	LabDays Days `json:"labDays,omitzero"`
	// TicketLife is the days for which the marks of buried lines hold, 0 to 365; 0 where the
	// utility locator has not said.
	TicketLife int `json:"ticketLife,omitempty"`
}

// Budgeted is what was analysed and has room in the budget of the fields that it goes to,
// or goes to no field.
type Budgeted struct {
	Soil  bool `json:"soil,omitempty"`  // soaked soil
	Water bool `json:"water,omitempty"` // dirty water of the open pit, rinse water
}

// Days is a wait in days of the calendar.
type Days struct {
	Least  int `json:"least,omitempty"`  // 0 to 365
	Likely int `json:"likely,omitempty"` // at least Least
}

// Borrow is an area on the farm that soil for the fill is taken from.
type Borrow struct {
	Depth   units.Length        `json:"depth"`             // of the pit below the topsoil
	Slope   float64             `json:"slope"`             // of its sides, horizontal per vertical
	Topsoil units.Length        `json:"topsoil,omitempty"` // stripped before and returned after
	Soil    *earthwork.SoilSpec `json:"soil,omitempty"`    // nil for that of the berm
}

// Crown is the shape over the fill.
type Crown struct {
	Shape earthwork.CrownShape `json:"shape,omitempty"` // of a rectangle: hip, gable or pyramid; left out for other basins, whose shape follows
	// Grade is rise per run as built, 0 to 0.5; 0 for the one that LeastGrade needs.
	Grade float64 `json:"grade,omitempty"`
	// LeastGrade has to be left everywhere when the fill has settled, more than 0 to 0.5.
	LeastGrade float64 `json:"leastGrade"`
	// Outline of the fill at the ground, for a basin whose sections have none.
	Outline plane.Polygon `json:"outline,omitempty"`
	// BankSlope is the steepest bank under the fill, horizontal per vertical, for a basin
	// that does not know its banks.
	BankSlope float64 `json:"bankSlope,omitempty"`
}

// Compaction is how the fill is placed; see [earthwork.CompactionSpec], which has volume
// and depth besides.
type Compaction struct {
	Lift        units.Length          `json:"lift"`                 // compacted
	Passes      int                   `json:"passes"`               // of the roller over each lift
	Test        earthwork.ProctorTest `json:"test"`                 // that Percent counts from
	Percent     float64               `json:"percent"`              // share of its greatest dry density
	MaxDensity  units.Density         `json:"maxDensity,omitzero"`  // that density; 0 when it is not known yet
	BankDensity units.Density         `json:"bankDensity,omitzero"` // dry, where the soil is dug; 0 when it is not known
	Moisture    units.Range[float64]  `json:"moisture,omitzero"`    // water by dry mass while it is compacted
	TestEvery   units.Volume          `json:"testEvery,omitzero"`   // compacted volume for one density test
	Roller      *earthwork.RollerSpec `json:"roller,omitempty"`     // nil when its hours are not asked
}

// Topsoil is the soil that carries the vegetation.
type Topsoil struct {
	Strip  units.Length `json:"strip"`          // thickness stripped from the berm and from the work area
	Return units.Length `json:"return"`         // thickness laid on the crown, where the berm stood and on the work area
	Loss   float64      `json:"loss,omitempty"` // share of the stockpile that is not got back
	// WorkArea is ground outside the berm that is stripped and closed again.
	WorkArea units.Area         `json:"workArea,omitempty"`
	Soil     earthwork.SoilSpec `json:"soil"` // needs swell and shrink
}

// Soaked is the soil below the waste that has to go: 8 Ill. Adm. Code 900.608 asks for
// 6 in over the whole interior.
type Soaked struct {
	Thickness   units.Length `json:"thickness"`             // square to floor and banks
	Destination string       `json:"destination,omitempty"` // where it goes, such as a field of the nutrient plan; empty when nobody has said
	// Samples are taken of it, and again of what is under it; 0 when nobody has said.
	Samples int `json:"samples,omitempty"`
}

// Liner is what becomes of the liner in the ground.
type Liner struct {
	Way  LinerWay             `json:"way"`            // till, pierce or leave
	Till units.Length         `json:"till,omitzero"`  // depth to which it is broken up, with LinerWayTill; 0 for soaked soil dug out only
	Ways *earthwork.DrainSpec `json:"ways,omitempty"` // through it, with LinerWayPierce; its floor may be left out
}

// Pipe is a line into or out of the basin.
type Pipe struct {
	Name string                `json:"name"`             // in plain words, such as inlet from the barn
	Way  PipeWay               `json:"way"`              // pulled, or broken off and plugged
	Dig  *earthwork.TrenchSpec `json:"trench,omitempty"` // that it is dug out of, when it is pulled
	Plug *earthwork.PlugSpec   `json:"plug,omitempty"`   // when it is plugged
	// UnderBerm says that it runs under the berm or a road, where a licensed engineer
	// decides; nil while nobody knows.
	UnderBerm *bool `json:"underBerm,omitempty"`
}

// Breach is what breach and grade needs to know.
type Breach struct {
	BottomWidth units.Length `json:"bottomWidth"` // of the notch, along the berm
	SideSlope   float64      `json:"sideSlope"`   // of its sides, horizontal per vertical
	// Outlet is the level, over the floor, of the place where the water of the graded basin
	// runs off; below 0 where the ground falls away below the floor.
	Outlet *units.Length `json:"outlet,omitempty"`
	// Channel leads from the basin to the outlet through ground that is no berm; nil where
	// there is none.
	Channel *earthwork.TrenchSpec `json:"channel,omitempty"`
	// Run is the longest way of the water over the graded floor.
	Run units.Length `json:"run,omitempty"`
	// LeastGrade of that floor, 0 to 0.5; 0 for that of the crown.
	LeastGrade float64 `json:"leastGrade,omitempty"`
}

// Pond is what a pond needs to know; see [volume.PondSpec], which has the basin besides.
type Pond struct {
	volume.PondSpec
	// Samples of the water are taken after each filling; 0 when nobody has said.
	Samples int `json:"samples,omitempty"`
}

// Rates is what the crew and its machines do, in the time of work. 0 leaves the hours
// open.
type Rates struct {
	Dig     units.Flow `json:"dig,omitempty"`     // bank volume dug and moved on the site
	Place   units.Flow `json:"place,omitempty"`   // compacted volume placed, compacted and shaped
	Topsoil units.Flow `json:"topsoil,omitempty"` // bank volume stripped or returned
	Trench  units.Flow `json:"trench,omitempty"`  // bank volume of trenches and holes
	// Plug is the time for one plug, broken off, cleaned and closed.
	Plug units.Duration `json:"plug,omitempty"`
	// Till is the time for each area, as a speed of ground gained.
	Till  units.Area `json:"till,omitempty"`  // in an hour
	Water units.Flow `json:"water,omitempty"` // pump and hose, for dirty or clean water
}

// The prices of a job, each with its interval; nil where it was not told.
type (
	// VolumePrice is money for each volume.
	VolumePrice = stage.Price[units.Price[units.Volume]]
	// AreaPrice is money for each area.
	AreaPrice = stage.Price[units.Price[units.Area]]
	// LengthPrice is money for each length.
	LengthPrice = stage.Price[units.Price[units.Length]]
	// Amount is money for a piece, or for a whole.
	Amount = stage.Price[units.Money]
	// Share is a part of a sum.
	Share = stage.Price[float64]
)

// Prices is what the closing costs, in the currency of the plan; nil where a price was
// not told.
type Prices struct {
	Dig          *VolumePrice `json:"dig,omitempty"`          // bank volume dug and moved on the site
	Place        *VolumePrice `json:"place,omitempty"`        // compacted volume placed and shaped
	Import       *VolumePrice `json:"import,omitempty"`       // loose volume, delivered
	Borrow       *VolumePrice `json:"borrow,omitempty"`       // loose volume from the farm's own area, hauled to the basin
	Haul         *VolumePrice `json:"haul,omitempty"`         // loose volume of soaked soil, to its destination
	Topsoil      *VolumePrice `json:"topsoil,omitempty"`      // volume returned, stripping included
	TopsoilBuy   *VolumePrice `json:"topsoilBuy,omitempty"`   // loose volume, delivered
	Pervious     *VolumePrice `json:"pervious,omitempty"`     // compacted volume of pervious fill in the ways through the liner
	Till         *AreaPrice   `json:"till,omitempty"`         // of liner broken up
	Fabric       *AreaPrice   `json:"fabric,omitempty"`       // under the bridging lift
	Grade        *AreaPrice   `json:"grade,omitempty"`        // of a floor graded to drain
	Concrete     *VolumePrice `json:"concrete,omitempty"`     // of plugs
	Plug         *Amount      `json:"plug,omitempty"`         // each plug, besides its concrete
	Trench       *VolumePrice `json:"trench,omitempty"`       // bank volume dug, filled and compacted again
	DirtyWater   *VolumePrice `json:"dirtyWater,omitempty"`   // pumped from the open pit or a rinse, and spread, where the plan has no material for it
	CleanWater   *VolumePrice `json:"cleanWater,omitempty"`   // of rinses and refill
	DensityTest  *Amount      `json:"densityTest,omitempty"`  // each
	Sample       *Amount      `json:"sample,omitempty"`       // each, of soil or water, with the laboratory
	Mobilization *Amount      `json:"mobilization,omitempty"` // machines to the site and away
	Permits      *Amount      `json:"permits,omitempty"`      // land disturbance, dam, well, road
	Engineer     *Amount      `json:"engineer,omitempty"`     // licensed engineer: embankment, fill, levels
	Erosion      *Amount      `json:"erosion,omitempty"`      // silt fence, entrance, inlets, their upkeep
	Contingency  *Share       `json:"contingency,omitempty"`  // share of all other rows, such as 0.1
}
