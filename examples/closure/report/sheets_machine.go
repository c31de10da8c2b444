package report

import (
	"slices"
	"strconv"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

var driving = measure[units.Speed]{units.MilePerHour, units.KilometrePerHour}

func (p *pages) speed(v units.Speed) string { return shown(p.figures, driving, v, 2) }

// machineSheet is the calibration of one machine: what was read, the arithmetic and the
// verdict, and a blank to measure again.
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
	caption := "To measure again, by hand"
	if !x.Measured() {
		caption = "To measure, by hand"
	}
	page.Blocks = append(page.Blocks, Block{Caption: caption, Table: p.blankFor(x.Kind), Notes: []string{
		"The new setting is measured again before it is used. A rate within the tolerance of the plan stands; any other is corrected and measured again."}, Sign: []string{"Measured by"}})
	return page, true
}

// readings is what was read at a machine, each in its box.
func (p *pages) readings(x *plan.MachineResult) Block {
	t := &Table{Left: 1}
	add := func(cells ...string) { t.Rows = append(t.Rows, cells) }
	switch {
	case x.Sheets != nil:
		t.Head = []string{"Sheet", "Gross", "Tare", "Net", "Area", "Net / area"}
		for i, s := range x.Sheets.Spec.Sheets {
			tare, area := units.Mass(0), s.Area
			switch {
			case s.Tare != nil:
				tare = *s.Tare
			case x.Sheets.Spec.Tare != nil:
				tare = *x.Sheets.Spec.Tare
			}
			if area == 0 {
				area = x.Sheets.Spec.Area
			}
			add(strconv.Itoa(i+1), p.Text(s.Gross), p.Text(tare), p.Text(s.Gross-tare), shown(p.figures, sheetArea, area, 1), p.Text(x.Sheets.Rates[i]))
		}
	case x.Loads != nil:
		t.Head = runHead
		for i, run := range x.Loads.Spec.Runs {
			add(runCells(p, i, run, p.Text(run.Load), p.Text(units.Volume(run.Loads)*run.Load), p.Text(x.Loads.Readings[i].Rate))...)
		}
	case x.Weighed != nil:
		t.Head = runHead
		for i, run := range x.Weighed.Spec.Runs {
			add(runCells(p, i, run, p.Text(run.Load), p.Text(units.Mass(run.Loads)*run.Load), p.Text(x.Weighed.Readings[i].Rate))...)
		}
	case x.Gauges != nil:
		t.Head = []string{"Cans", "1st", "2nd", "3rd", "4th", "5th", "6th", "7th", "8th"}
		n := 0
		for cans := range slices.Chunk(x.Gauges.Spec.Gauges, 8) {
			row := []string{p.say("%v to %v", n+1, n+len(cans))}
			for _, g := range cans {
				switch {
				case g.Depth != nil:
					row = append(row, p.Text(*g.Depth))
				case g.Caught != nil:
					row = append(row, p.Text(*g.Caught))
				default:
					row = append(row, "missing")
				}
			}
			add(append(row, slices.Repeat([]string{""}, 8-len(cans))...)...)
			n += len(cans)
		}
	case x.Course != nil:
		t.Head = []string{"Reading", "As read"}
		spec := x.Course.Spec
		if spec.Tank != nil {
			add("volume out of the tank", p.Text(spec.Tank.Volume))
			add("in the time", p.Text(spec.Tank.Time))
		} else {
			add("flow at the meter", p.Text(x.Course.Flow))
		}
		if spec.Course != nil {
			add("length of the course", p.Text(spec.Course.Distance))
			add("time over the course", p.Text(spec.Course.Time))
		} else {
			add("speed", p.Text(x.Course.Speed))
		}
		add("width covered", p.Text(x.Course.Width))
	}
	return Block{Caption: title(x.Name) + ": as read", Table: t}
}

var (
	sheetArea = measure[units.Area]{units.SquareFoot, units.SquareMetre}
	runHead   = []string{"Run", "Loads", "A load", "Put down", "Width", "Length", "Area", "Rate"}
)

// runCells is a strip on which loads were put down.
func runCells[M units.Mass | units.Volume](p *pages, i int, run calibrate.LoadRun[M], load, amount, rate string) []string {
	area, width, length := run.Area, "", ""
	if area == 0 {
		area = run.Width.Times(run.Distance)
		width, length = p.Text(run.Width), p.Text(run.Distance)
	}
	return []string{strconv.Itoa(i + 1), p.Text(run.Loads), load, amount, width, length, p.Text(area), rate}
}

// line is a row of a calibration by hand: what is read or worked out, how, and in how many
// of the boxes, 0 for all.
type line struct {
	what, how string
	boxes     int
}

// hand is the factors that a calibration by hand needs in one system of units, and its
// units.
type hand struct {
	flow, length, course, weight, depth, speed, liquid, solid string
	// toRate is of flow over speed and width, toSpeed of length over seconds, toArea of the
	// area of a strip, toSolid of weight over area, and toLiquid of depth.
	toRate, toSpeed, toArea, toSolid, toLiquid float64
}

// byHand is the arithmetic in the units of the document.
func (p *pages) byHand() hand {
	flow, speed, length, weight, depth := units.GallonPerMinute, units.MilePerHour, units.Foot, units.Pound, units.Inch
	liquid, solid, area := units.GallonPerAcre, units.TonPerAcre, units.Acre
	h := hand{flow: "gpm", length: "ft", course: "300 ft", weight: "lb", depth: "in", speed: "mph", liquid: "gal/acre", solid: "ton/acre"}
	if p.System == units.SystemMetric {
		flow, speed, length, weight, depth = units.CubicMetrePerHour, units.KilometrePerHour, units.Metre, units.Kilogram, units.Millimetre
		liquid, solid, area = units.CubicMetrePerHectare, units.TonnePerHectare, units.Hectare
		h = hand{flow: "m3/h", length: "m", course: "100 m", weight: "kg", depth: "mm", speed: "km/h", liquid: "m3/ha", solid: "t/ha"}
	}
	h.toRate = flow.OverSwath(speed, length).In(liquid)
	h.toSpeed = length.OverTime(units.Second).In(speed)
	h.toArea = area.In(length.Times(length))
	h.toSolid = weight.Over(length.Times(length)).In(solid)
	h.toLiquid = depth.Applied().In(liquid)
	return h
}

// blankFor is the arithmetic of a calibration by hand, by the kind of machine.
func (p *pages) blankFor(k plan.Kind) *Table {
	h := p.byHand()
	var lines []line
	boxes := 3
	switch k {
	case plan.Irrigation:
		boxes = 8
		lines = []line{
			{"A  time of the pass", "clock", 1}, {p.say("B  depth in cans 1 to 8, %s", h.depth), "at once, before it dries", 0}, {"in cans 9 to 16", "likewise", 0},
			{"C  mean depth", "sum of B / number of cans", 1}, {"D  mean of the lowest quarter", "of the cans", 1}, {"E  uniformity, %", "100 x D / C", 1},
			{"F  rate, " + h.liquid, p.say("C x %v", h.toLiquid), 1}, {"G  planned rate", "from the field sheet", 1}, {"H  new travel speed", "speed x F / G", 1}}
	case plan.Hose:
		lines = []line{
			{"A  flow, " + h.flow, "meter, or volume / time of a timed tank", 0}, {"B  working width, " + h.length, "tape, between passes", 0}, {"C  length of the course, " + h.length, h.course, 0},
			{"D  time over the course, s", "clock", 0}, {"E  speed, " + h.speed, p.say("C / D x %v", h.toSpeed), 0}, {"F  rate, " + h.liquid, p.say("A / (B x E) x %v", h.toRate), 0},
			{"G  mean of F", "add F, divide by 3", 1}, {"H  planned rate", "from the field sheet", 1}, {"I  new speed", "E x G / H", 1}}
	case plan.Tanker:
		lines = []line{
			{"A  volume of the load", "net weight / density, or tank x how full it is", 0}, {"B  width covered, " + h.length, "tape, between passes", 0}, {"C  length covered, " + h.length, "wheel or tape", 0},
			{"D  area", p.say("B x C / %v", h.toArea), 0}, {"E  rate, " + h.liquid, "A / D", 0}, {"F  mean of E", "add E, divide by 3", 1},
			{"G  planned rate", "from the field sheet", 1}, {"H  new speed", "speed x F / G", 1}}
	case plan.Box:
		boxes = 6
		lines = []line{
			{p.say("A  area of the sheet, %s2", h.length), "length x width", 0}, {"B  gross weight, " + h.weight, "scale", 0}, {"C  tare, " + h.weight, "scale, before", 0},
			{"D  net weight, " + h.weight, "B - C", 0}, {"E  rate, " + h.solid, p.say("D / A x %v", h.toSolid), 0}, {"F  mean of E", "add E, divide by 6", 1},
			{"G  planned rate", "from the field sheet", 1}, {"H  new speed", "speed x F / G", 1}}
	}
	t := &Table{Head: []string{"Box", "How"}, Left: 2 + boxes}
	for n := range boxes {
		t.Head = append(t.Head, strconv.Itoa(n+1))
	}
	for _, l := range lines {
		row := []string{l.what, l.how}
		for n := range boxes {
			if l.boxes == 0 || n < l.boxes {
				row = append(row, Blank)
			} else {
				row = append(row, "")
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
