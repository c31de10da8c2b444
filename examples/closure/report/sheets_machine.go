package report

import (
	"strconv"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

var driving = measure[units.Speed]{units.MilePerHour, units.KilometrePerHour}

func (p *pages) speed(v units.Speed) string { return shown(p.figures, driving, v, 2) }

// A box is a line of a calibration sheet: what is read or worked out, and how.
type line struct{ what, how string }

// blanks is the arithmetic of a calibration by hand, by the kind of machine.
var blanks = map[plan.Kind][]line{
	plan.Irrigation: {
		{"A  inside diameter of the cans", "read"}, {"B  distance between cans", "read"}, {"C  time of the pass", "clock"},
		{"D  depth in each can, listed behind", "read at once, before it dries"}, {"E  number of cans", "count"}, {"F  sum of the depths", "add D"},
		{"G  mean depth", "F / E"}, {"H  mean of the lowest quarter", "add the lowest E / 4 depths, divide by their number"}, {"I  distribution uniformity", "100 x H / G"},
		{"J  planned depth", "from the field sheet"}, {"K  new travel speed", "speed x G / J"}},
	plan.Hose: {
		{"A  flow", "meter, or volume / time of a timed tank"}, {"B  working width of the toolbar", "measure between passes"}, {"C  length of the course", "300 ft or 100 m"},
		{"D  time over the course", "clock, three times"}, {"E  speed", "C / D"}, {"F  rate", "A / (B x E), in one system of units"},
		{"G  planned rate", "from the field sheet"}, {"H  new speed", "E x F / G"}},
	plan.Tanker: {
		{"A  volume of a load", "net weight / density, or the tank's capacity x how full it is"}, {"B  width covered", "measure between passes"}, {"C  length covered by the load", "wheel or tape"},
		{"D  area", "B x C"}, {"E  rate of this load", "A / D"}, {"F  mean of three loads", "add E, divide by 3"},
		{"G  planned rate", "from the field sheet"}, {"H  new speed", "speed x F / G"}},
	plan.Box: {
		{"A  area of a sheet", "length x width"}, {"B  gross weight of each sheet", "scale"}, {"C  tare of each sheet", "scale, before"},
		{"D  net weight", "B - C"}, {"E  rate at each sheet", "D / A"}, {"F  mean rate", "add E, divide by the number of sheets"},
		{"G  planned rate", "from the field sheet"}, {"H  new speed", "speed x F / G"}},
}

// machineSheet is the calibration of one machine: what was measured and the verdict, and
// a blank to measure again.
func (p *pages) machineSheet(x *plan.MachineResult, i int) (Page, bool) {
	page := Page{
		Key: "machine-" + strconv.Itoa(i+1), Name: "Calibration: " + x.Name, Alone: true, Cautions: []string{gas},
		Intro: []string{"Nobody reaches into a running spreader, stands behind it or between tractor and machine. A machine for slurry is calibrated with agitated slurry, not with the liquid drawn off."},
	}
	if x.Measured() {
		page.Blocks = p.machine(x)
	} else {
		page.Intro = append([]string{"NOT MEASURED: this machine does not spread before this sheet is filled in and agreed to."}, page.Intro...)
	}
	t := &Table{Head: []string{"Box", "How", "1", "2", "3"}, Left: 2}
	for _, l := range blanks[x.Kind] {
		t.Rows = append(t.Rows, []string{l.what, l.how, Blank, Blank, Blank})
	}
	page.Blocks = append(page.Blocks, Block{Caption: "To measure again, by hand", Table: t, Notes: []string{
		"The new setting is measured again before it is used. A rate within the tolerance of the plan stands; any other is corrected and measured again."}, Sign: []string{"Measured by"}})
	return page, true
}
