package removal

import "example.org/earthbasin/units"

// StageCost is the price of one stage; what is left at 0 costs nothing.
type StageCost struct {
	Fixed         float64                     `json:"fixed,omitempty"`         // once, such as bringing in a machine
	PerVolume     units.Price[units.Volume]   `json:"perVolume,omitempty"`     // of the material as it is moved
	PerVolumeMile units.Price[units.Volume]   `json:"perVolumeMile,omitempty"` // added for each mile of the fleet's distance, one way
	PerMass       units.Price[units.Mass]     `json:"perMass,omitempty"`       // of the material
	PerLoad       float64                     `json:"perLoad,omitempty"`       // of each trip, with a fleet
	PerHour       units.Price[units.Duration] `json:"perHour,omitempty"`       // pump, loader or agitator with its crew
	PerTruckHour  units.Price[units.Duration] `json:"perTruckHour,omitempty"`  // of each truck
	Haul          units.Price[units.Volume]   `json:"haul,omitempty"`          // of the way to the land by the volume moved, such as a hose line; counts as hauling
}

// Equipment moves the material of a stage: a fleet or a hose, one of the two.
type Equipment struct {
	Fleet *Fleet    `json:"fleet,omitempty"` // trucks, or
	Hose  *DragHose `json:"hose,omitempty"`  // a pump with a hose
	// Solids are what it can take, by its maker or the contractor: watertight boxes carry
	// thinner sludge than open ones. Left out, the classes decide: what has to be dug
	// does not flow to a pump, and what is pumped runs from a bucket.
	Solids *units.Range[units.MassFraction] `json:"solids,omitempty"`
	Cost   StageCost                        `json:"cost,omitzero"` // of the stage; left out it costs nothing
}

// DigSpec is how sludge is dug.
type DigSpec struct {
	Equipment
	Swell   float64            `json:"swell"`             // loose volume per volume in place, 1 to 2; 1 for wet sludge
	Drained units.MassFraction `json:"drained,omitempty"` // solids after draining in place, 0 when it is dug as it lies
	Lost    float64            `json:"lost,omitempty"`    // share of the dry solids that goes with what drains, 0 to 0.9, with Drained
}

// AgitateSpec is how sludge is mixed up and pumped.
type AgitateSpec struct {
	Mix            MixRule                     `json:"mix"`                      // how much of the liquid is agitated
	Target         units.MassFraction          `json:"target,omitempty"`         // most solids of the slurry; 0 means the limit of pumping in the classes
	Residual       float64                     `json:"residual"`                 // share of the dry solids that is not lifted or settles again, by the caller's experience; 0 to 1
	ResidualSolids units.MassFraction          `json:"residualSolids,omitempty"` // solids of what stays; 0 means those of the sludge
	Agitation      units.Duration              `json:"agitation,omitempty"`      // before pumping starts; it goes on while pumping
	Machine        *Agitator                   `json:"machine,omitempty"`        // that does it; nil: turnovers are not known. With its relation of what stays, Residual is left out
	Again          units.Duration              `json:"again,omitempty"`          // agitation before pumping on each later day, since solids settle overnight; below the working day
	Fixed          float64                     `json:"fixed,omitempty"`          // cost of the agitation, once
	PerHour        units.Price[units.Duration] `json:"perHour,omitempty"`        // of the agitator, before and during pumping
	Water          units.Price[units.Volume]   `json:"water,omitempty"`          // of fresh water, when the liquid does not do
	Pump           Equipment                   `json:"pump"`                     // that takes the slurry away
}

// PlanSpec is what lies in the basin and what is there to move it.
type PlanSpec struct {
	Sludge        units.Volume               `json:"sludge"`                 // best figure, in place
	Interval      *units.Range[units.Volume] `json:"interval,omitempty"`     // of the sludge volume; nil for no sensitivity
	Liquid        units.Volume               `json:"liquid,omitempty"`       // above the sludge; or Contents
	Contents      units.Volume               `json:"contents,omitempty"`     // sludge and liquid together, which stays when the sludge volume is varied
	Solids        units.MassFraction         `json:"solids"`                 // of the sludge in place, above 0 to below 100 %
	LiquidSolids  units.MassFraction         `json:"liquidSolids,omitempty"` // of the liquid, below those of the sludge; 0: clear water
	SolidsGravity float64                    `json:"solidsGravity"`          // specific gravity of the dry solids, 0.5 to 8
	WaterDensity  units.Density              `json:"waterDensity,omitempty"` // 0 means 1000 kg/m3
	Classes       []SolidsClass              `json:"classes,omitempty"`      // empty means DefaultClasses
	Floor         units.Area                 `json:"floor,omitempty"`        // that the sludge lies on, for the thickness of what is dug; 0: not known

	Constituents []Constituent `json:"constituents,omitempty"` // that go with solids and water into every stream
	Exchanges    []Exchange    `json:"exchanges,omitempty"`    // rain, evaporation and inflow of the work and since the survey

	PumpOff Equipment      `json:"pumpOff"`           // for the liquid and for what drains off, on both routes
	Dig     DigSpec        `json:"dig"`               // on both routes
	Agitate *AgitateSpec   `json:"agitate,omitempty"` // nil compares nothing
	WorkDay units.Duration `json:"workDay"`           // hours worked in a day, above 0 to 24 h
}
