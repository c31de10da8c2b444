package evidence_test

import (
	"fmt"
	"os"

	"example.org/earthbasin/examples/closure/evidence"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// tasks is the work of a small closure.
func tasks() []stage.Task {
	return []stage.Task{
		{Key: "agitate", Name: units.Words("Agitate"), Kind: stage.Agitation},
		{Key: "spread", Name: units.Words("Spread the slurry"), Kind: stage.SpreadSlurry, Needs: []stage.Need{{Key: "agitate", FromStart: true}}},
		{Key: "look", Name: units.Words("Inspect the empty basin"), Kind: stage.Inspection, Needs: []stage.Need{{Key: "spread"}}},
		{Key: "fill", Name: units.Words("Fill"), Kind: stage.EarthMoving, Needs: []stage.Need{{Key: "look"}}},
		{Key: "seed", Name: units.Words("Seed"), Kind: stage.Seeding, Needs: []stage.Need{{Key: "fill"}}},
	}
}

func site() evidence.Site {
	return evidence.Site{
		Conditions: map[evidence.Condition]bool{evidence.Fills: true, evidence.Wells: false, evidence.HerdStays: false, evidence.Tile: false, evidence.PublicRoad: false,
			evidence.OtherFarms: false, evidence.OthersLand: false, evidence.CostShare: false, evidence.Pond: false, evidence.LinerStays: false, evidence.SludgeStays: false, evidence.Biosolids: false},
		Figures:   evidence.Figures{Storm: 0.5 * units.Inch, StormwaterOver: units.Acre, StormwaterDays: 14, BareDays: 14, Rill: 4 * units.Inch, Settled: 6 * units.Inch, Cover: 0.7},
		Lags:      map[string]evidence.Lag{"approval": {Least: 20, Likely: 45}, "laboratory": {Least: 7, Likely: 14}, "locate ticket": {Least: 2, Likely: 3, Life: 21}},
		Disturbed: 3 * units.Acre,
	}
}

func ExampleRules_For() {
	r, err := evidence.Base().For(site(), tasks())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range r.Tasks {
		fmt.Println("task", t.Key, t.Needs)
	}
	for _, l := range r.Links {
		fmt.Println(l.Task, "needs", l.Need.Key, l.Need.Least, l.Need.Likely, l.Need.Life)
	}
	for _, e := range r.Evidence[len(r.Evidence)-4:] {
		fmt.Println("keep", e.Key+":", e.What, "("+e.When.String()+")")
	}
	for _, o := range r.Open[:3] {
		fmt.Println("open", o.Key+":", o.What)
	}
	// Output:
	// task notice.closing []
	// task approval [{notice.closing false 20 45 0 0}]
	// task notice.pumping [{approval false 0 0 0 0}]
	// task notice.neighbours [{approval false 0 0 0 0}]
	// task sampling []
	// task laboratory [{sampling false 7 14 0 0}]
	// task locate.ticket []
	// task stormwater.permit [{notice.closing false 0 0 0 0}]
	// task ask.inspection [{approval false 0 0 0 0}]
	// task inspect.month1 [{seed false 30 30 0 0}]
	// task inspect.month3 [{seed false 91 91 0 0}]
	// task inspect.month6 [{seed false 183 183 0 0}]
	// task inspect.month12 [{seed false 365 365 0 0}]
	// agitate needs approval 0 0 0
	// agitate needs notice.pumping 0 0 0
	// agitate needs notice.neighbours 0 0 0
	// spread needs laboratory 0 0 0
	// fill needs locate.ticket 2 3 21
	// fill needs stormwater.permit 0 0 0
	// look needs ask.inspection 0 0 0
	// keep after.regrade: filled, graded and seeded again: a low place that holds water or is 6 in deep, a rill of 4 in, a crack, a wet place on the slope (at each inspection)
	// keep after.reseed: seeded again where plants cover less than 70 % of the ground at the end of the first full season, weeds mown before they set seed (at each inspection)
	// keep after.signs: fence and signs stay until the regulator has closed the file (until then)
	// keep records.kept: all of this kept for (not told yet: for how many years records are kept) years, with the deed of the land where the rule asks for it (from the last day of work on)
	// open evidence.lag.notice-of-pumping: how many days pass: notice of pumping
	// open evidence.lag.notice-to-neighbours: how many days pass: notice to neighbours
	// open evidence.lag.stormwater-permit: how many days pass: stormwater permit
}

// A state's file strikes rows and adds its own.
func ExampleList() {
	data, err := os.ReadFile("testdata/illinois.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	state, err := evidence.ParseChange(data)
	if err != nil {
		fmt.Println(err)
		return
	}
	rules, err := evidence.List(evidence.Base(), state)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range rules.Rows {
		if row.Source != "common practice, no source" {
			fmt.Println(row.Key, "by", row.Source)
		}
	}
	// Output:
	// fresh.slurry by Washington State Department of Agriculture, Manure Sampling Methods
	// fresh.solids by Washington State Department of Agriculture, Manure Sampling Methods
	// soil.below by 8 Ill. Adm. Code 900.608
	// structures.out by 8 Ill. Adm. Code 900.608
}

func ExampleBase() {
	fmt.Println(len(evidence.Base().Rows) > 40, evidence.Base().Rows[0].Key)
	// Output: true sampling.cores
}

func ExampleParseRules() {
	_, err := evidence.ParseRules([]byte(`{"rows": [{"key": "a", "what": "{core}", "when": "soon", "who": "mayor", "if": ["well"]}]}`))
	fmt.Println(err)
	// Output:
	// rows[0].what: got "{core}", want one of cores, soilPlaces, soilDepths, limits, wellMonths, storm, stormwaterDays, stormwaterOver, bareDays, rill, settled, cover, freeboard, reportHours, retain (line 1, column 32)
	// rows[0].who: got "mayor", want one of producer, nutrient planner, regulator, engineer, laboratory, contractor, utility locator (line 1, column 65)
	// rows[0].source: missing; want title, number, year, or "common practice, no source" (line 1, column 11)
	// rows[0].if[0]: got "well", want one of wells, herd stays, stormwater permit, tile, public road, other farms, others' land, cost share, fill, pond, liner stays, sludge stays, metals rule (line 1, column 81)
}

func ExampleParseChange() {
	c, err := evidence.ParseChange([]byte(`{"name": "the county", "strike": ["neighbours"]}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = evidence.List(evidence.Base(), c, c)
	fmt.Println(err)
	// Output:
	// changes[1].strike[0]: got "neighbours", want the key of a row or step that there is
}

func ExampleResult_Linked() {
	r, err := evidence.Base().For(site(), tasks())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range r.Linked(tasks())[1].Needs {
		fmt.Println("spreading needs", n.Key)
	}
	// Output:
	// spreading needs agitate
	// spreading needs laboratory
}
