package earthwork

import "example.org/earthbasin/units"

// CompactionRule is a published demand on how a fill is placed, to set beside what the
// engineer of the site asks for. What the source does not say is 0.
type CompactionRule struct {
	Use      string               `json:"use"`               // of the fill
	Lift     units.Length         `json:"lift,omitzero"`     // thickest lift, loose
	Test     ProctorTest          `json:"test"`              // that Percent counts from
	Percent  float64              `json:"percent"`           // least share of the greatest dry density of the test
	Moisture units.Range[float64] `json:"moisture,omitzero"` // water content less the optimum of the test, by dry mass, as a fraction
	Clods    units.Length         `json:"clods,omitzero"`    // largest clods
	// DensityEvery is the volume of fill for which one test of the density is made.
	DensityEvery units.Volume `json:"densityEvery,omitzero"`
	// MoistureEvery is the volume of fill for which one test of the water is made.
	MoistureEvery units.Volume `json:"moistureEvery,omitzero"`
	Note          string       `json:"note,omitzero"` // what else it asks for
	Source        string       `json:"source"`        // publisher, number, page
}

// CompactionRules returns published demands on clay liners, fills of slopes and clay
// plugs. They are examples; the design of the site and the regulator decide.
func CompactionRules() []CompactionRule {
	return []CompactionRule{
		{Use: "liner", Lift: 9 * units.Inch, Test: ProctorTestStandard, Percent: 0.95, Moisture: units.Range[float64]{Low: -0.01, High: 0.03}, Clods: 3 * units.Inch,
			DensityEvery: 5000 * units.CubicYard, MoistureEvery: 500 * units.CubicYard,
			Source: "Colorado Division of Reclamation, Mining and Safety, document 503703, p. 9"},
		{Use: "slope", Lift: 12 * units.Inch, Test: ProctorTestStandard, Percent: 0.90, Moisture: units.Range[float64]{Low: -0.02, High: 0.02},
			Note:   "inner zone in lifts of up to 2 ft, tracked by dozer; the ground below the fill to 90 %, too; the face compacted for every 3 to 5 ft of height",
			Source: "Colorado Division of Reclamation, Mining and Safety, document 958073, p. 32"},
		{Use: "clay plug", Test: ProctorTestModified, Percent: 0.90, Moisture: units.Range[float64]{Low: 0.03, High: 0.06}, Clods: units.Inch, DensityEvery: 250 * units.CubicYard,
			Note:   "clay of class CL, CH or SC; the source does not say which test is made for every 250 yd3",
			Source: "San Joaquin County, California, document 600297, p. 314"},
	}
}
