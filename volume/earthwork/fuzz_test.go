package earthwork

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume"
)

// FuzzGrade builds a grid and an outline from bytes, so that corners fall on
// crossings, edges on grid lines and levels on zero. Whatever is accepted covers
// the outline exactly and has the difference of cut and fill of the mirrored work.
func FuzzGrade(f *testing.F) {
	f.Add([]byte{3, 4, 0, 0, 9, 0, 9, 9, 0, 9, 1, 2, 3, 4, 5, 6})
	f.Add([]byte{5, 5, 1, 1, 16, 1, 8, 4, 16, 16, 1, 16, 128, 128, 127, 129})
	f.Add([]byte{2, 2, 0, 0, 4, 0, 4, 4, 0, 4})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) < 10 {
			return
		}
		rows, cols := 2+int(data[0]%6), 2+int(data[1]%6)
		corners := 3 + int(data[1]/6)%4
		data = data[2:]
		next := func() byte {
			if len(data) == 0 {
				return 128
			}
			b := data[0]
			data = data[1:]
			return b
		}
		var outline plane.Polygon
		for range corners {
			// Quarters of a cell.
			outline = append(outline, plane.Point{X: units.Length(int(next())%(4*cols-3)) / 4, Y: units.Length(int(next())%(4*rows-3)) / 4})
		}
		g := volume.LevelGrid{StepX: 1, StepY: 1}
		for range rows {
			row := make([]units.Length, cols)
			for j := range row {
				row[j] = units.Length(int(next())-128) / 8
			}
			g.Levels = append(g.Levels, row)
		}
		r, err := Grade(GradeSpec{Ground: g, Outline: outline, Final: Plane{}})
		if err != nil {
			return
		}
		area := outline.Area().SI()
		if d := math.Abs((r.CutArea + r.FillArea).SI() - area); d > 1e-9*(1+area) {
			t.Fatalf("cells cover %v of %v", r.CutArea+r.FillArea, area)
		}
		for i := range g.Levels {
			for j := range g.Levels[i] {
				g.Levels[i][j] = -g.Levels[i][j]
			}
		}
		m, err := Grade(GradeSpec{Ground: g, Outline: outline.Reversed(), Final: Plane{}})
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs((r.Cut - m.Fill).SI()) + math.Abs((r.Fill - m.Cut).SI()); d > 1e-9*(1+area)*16 {
			t.Fatalf("cut %v fill %v, mirrored %v and %v", r.Cut, r.Fill, m.Cut, m.Fill)
		}
	})
}

// FuzzSpecs runs every computation on whatever decodes. A result that is
// given out has only finite numbers, which is when it can be written.
func FuzzSpecs(f *testing.F) {
	f.Add([]byte(`{"berm":{"line":"inner toe","length":"300 ft","width":"200 ft","sides":[{"height":"4 ft","crestWidth":"10 ft","innerSlope":3,"outerSlope":3}]}}`))
	f.Add([]byte(`{"balance":{"cuts":[{"name":"a","volume":"9 yd3","state":"bank"}],"fills":[{"name":"b","volume":"5 yd3","state":"compacted"}],"soil":{"class":"dense clay","shrink":0.1},"truck":{"volume":"7 yd3"}}}`))
	f.Add([]byte(`{"haul":{"cuts":[{"name":"a","volume":"9 yd3"}],"fills":[{"name":"b","volume":"5 yd3"}],"distances":[["3 ft"]],"truck":"7 yd3","travel":"5 per mi"}}`))
	f.Add([]byte(`{"settled":{"crown":{"shape":"hip","length":"30 ft","width":"20 ft","grade":0.1},"fillDepth":"8 ft","bankSlope":3,"settlement":{"rule":"share of placed height","share":0.1},"minGrade":0.02}}`))
	f.Add([]byte(`{"crown":{"shape":"hip","outline":[{"x":"0 m","y":"0 m"},{"x":"9 m","y":"0 m"},{"x":"3 m","y":"3 m"},{"x":"0 m","y":"9 m"}],"grade":0.1}}`))
	f.Add([]byte(`{"drain":{"kind":"holes","area":"1 acre","size":"2 ft","share":0.01,"depth":"2 ft"},"plug":{"inside":"8 in","plugLength":"3 ft","plugs":4,"waste":0.1,"yield":"0.6 ft3"}}`))
	f.Add([]byte(`{"trench":{"points":[{"station":"0 ft","depth":"5 ft"},{"station":"9 ft","depth":"6 ft"}],"bottomWidth":"3 ft","sideSlopes":[1,1],"method":"prismoidal","pipeOutside":"1 ft","soil":{"swell":0.2,"shrink":0.1}}}`))
	f.Add([]byte(`{"profile":{"ground":"100 ft","floorWidth":"90 ft","depth":"8 ft","left":{"bankSlope":3},"right":{"bankSlope":2},"crownGrade":0.03,"settlement":{"rule":"share of design height","share":0.05}}}`))
	f.Add([]byte(`{"plane":{"ground":{"stepX":"9 m","stepY":"9 m","levels":[["1 m","2 m"],["3 m","5 m"]]},"minGrade":0.01,"fall":30,"level":"through the mean"}}`))
	f.Add([]byte(`{"sections":{"method":"conic","sections":[{"station":"0 ft","cut":"9 ft2"},{"station":"9 ft","fill":"4 ft2"}]},"overbuild":{"design":"9 ft","volume":"90 yd3","settlement":{"rule":"share of placed height","share":0.1}}}`))
	f.Add([]byte(`{"basin":{"circular":{"diameter":"90 ft","at":"top of bank","depth":"8 ft","slopes":[2]}},"layers":{"fromFloor":[{"name":"sludge","thickness":"2 ft"}],"fromTop":[{"name":"freeboard","volume":"900 ft3"}]},"emptying":{"startLevel":"6 ft","stopLevel":"1 ft","start":"2026-04-01","until":"2026-05-01","pump":"90 gpm","hoursPerDay":"8 h","months":[{},{},{},{"rain":"0.1 in","evaporation":"0.1 in"},{},{},{},{},{},{},{},{}],"days":[{"date":"2026-04-03","rain":"2 in"}],"seepage":"0.01 in/d","inflow":"1 gpm"}}`))
	f.Add([]byte(`{"basin":{"polygon":{"outline":[{"x":"0 m","y":"0 m"},{"x":"30 m","y":"0 m"},{"x":"9 m","y":"9 m"},{"x":"0 m","y":"30 m"}],"at":"floor","depth":"2 m","slopes":[1,2,3,2]}},"pond":{"waterLevel":"1.5 m","left":"1 m3","leftN":"90 mg/L","rinse":"20 m3","cleanN":"1 mg/L","releaseN":"1 kg","targetN":"5 mg/L","maxRinses":4,"depthRules":[{"name":"deep","depth":"1 m","share":0.2}]},"liner":{"thickness":"6 in","method":"offset solid"}}`))
	f.Add([]byte(`{"basin":{"surveyed":{"areas":[{"elevation":"9 ft","area":"90 ft2"},{"elevation":"10 ft","area":"150 ft2"},{"elevation":"11 ft","area":"220 ft2"}],"method":"prismoidal"}},"layers":{"fromFloor":[{"name":"sludge","volume":"20 ft3"}]}}`))
	f.Add([]byte(`{"account":{"soils":[{"name":"berm","soil":{"swell":0.2,"shrink":0.1},"cuts":[{"name":"a","volume":"9 yd3","state":"bank","unsuitable":"1 yd3"}],"loss":0.05,"reserve":"1 yd3"},{"name":"borrow","soil":{"swell":0.2,"shrink":0.1},"broughtIn":true}],"fills":[{"name":"b","volume":"20 yd3","state":"compacted","soils":["berm","borrow"]}],"truck":{"volume":"7 yd3"}},"borrow":{"volume":"900 yd3","state":"bank","depth":"6 ft","slope":3,"topsoil":"8 in","soil":{"swell":0.2}}}`))
	f.Add([]byte(`{"compaction":{"volume":"900 yd3","depth":"9 ft","lift":"8 in","passes":6,"test":"standard Proctor","percent":0.95,"maxDensity":"108 lb/ft3","bankDensity":"90 lb/ft3","testEvery":"100 yd3","roller":{"width":"6 ft","speed":"2 mph","efficiency":0.7}},"bridging":{"area":"0.2 acre","thickness":"2 ft","sinks":"6 in","fabric":true,"overlap":0.1,"soil":{"swell":0.2,"shrink":0.1}}}`))
	f.Add([]byte(`{"basin":{"rectangular":{"length":"90 ft","width":"60 ft","at":"top of bank","depth":"8 ft","slopes":[2]}},"openPit":{"start":"2026-04-01","filled":"2026-05-01","fillFrom":"2026-04-20","pump":"90 gpm","hoursPerDay":"8 h","months":[{},{},{},{"rain":"0.1 in","evaporation":"0.1 in"},{},{},{},{},{},{},{},{}],"days":[{"date":"2026-04-03","rain":"2 in"}],"seepage":"0.01 in/d"}}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var s struct {
			Basin     volume.BasinSpec     `json:"basin"`
			Emptying  *volume.EmptyingSpec `json:"emptying"`
			Layers    *volume.LayersSpec   `json:"layers"`
			Liner     *volume.LinerSpec    `json:"liner"`
			OpenPit   *volume.OpenPitSpec  `json:"openPit"`
			Overbuild *OverbuildSpec       `json:"overbuild"`
			Pond      *volume.PondSpec     `json:"pond"`
			Sections  *SectionsSpec        `json:"sections"`

			Account    *AccountSpec    `json:"account"`
			Borrow     *BorrowSpec     `json:"borrow"`
			Bridging   *BridgingSpec   `json:"bridging"`
			Compaction *CompactionSpec `json:"compaction"`

			Berm    *BermSpec         `json:"berm"`
			Breach  *BreachSpec       `json:"breach"`
			Crown   *CrownSpec        `json:"crown"`
			Settled *SettledCrownSpec `json:"settled"`
			Drain   *DrainSpec        `json:"drain"`
			Haul    *HaulSpec         `json:"haul"`
			Loads   *LoadsSpec        `json:"loads"`
			Pipe    *PipeSpec         `json:"pipe"`
			Plane   *FitPlaneSpec     `json:"plane"`
			Plug    *PlugSpec         `json:"plug"`
			Profile *BasinProfileSpec `json:"profile"`
			Trench  *TrenchSpec       `json:"trench"`
		}
		if strict.Decode(text, &s) != nil {
			return
		}
		runs := []func() (any, error){}
		add := func(given bool, run func() (any, error)) {
			if given {
				runs = append(runs, run)
			}
		}
		if b, err := volume.NewBasin(context.Background(), s.Basin); err == nil {
			step := b.Depth() / 7
			add(true, func() (any, error) { return volume.StageStorage(volume.StageStorageSpec{Basin: b, Step: step}) })
			add(true, func() (any, error) {
				return volume.CompareMethods(volume.CompareMethodsSpec{Basin: b, Low: step, High: b.Depth()})
			})
			add(s.Emptying != nil, func() (any, error) { s.Emptying.Basin = b; return volume.Emptying(*s.Emptying) })
			add(s.OpenPit != nil, func() (any, error) { s.OpenPit.Basin = b; return volume.OpenPit(*s.OpenPit) })
			add(s.Layers != nil, func() (any, error) { s.Layers.Basin = b; return volume.Layers(*s.Layers) })
			add(s.Pond != nil, func() (any, error) { s.Pond.Basin = b; return volume.Pond(*s.Pond) })
			add(s.Liner != nil, func() (any, error) { s.Liner.Basin = b; return volume.Liner(*s.Liner) })
		}
		add(s.Overbuild != nil, func() (any, error) { return Overbuild(*s.Overbuild) })
		add(s.Sections != nil, func() (any, error) { return Sections(*s.Sections) })
		add(s.Account != nil, func() (any, error) { return Account(*s.Account) })
		add(s.Borrow != nil, func() (any, error) { return Borrow(*s.Borrow) })
		add(s.Bridging != nil, func() (any, error) { return Bridging(*s.Bridging) })
		add(s.Compaction != nil, func() (any, error) { return Compaction(*s.Compaction) })
		add(s.Berm != nil, func() (any, error) { return Berm(*s.Berm) })
		add(s.Breach != nil, func() (any, error) { return Breach(*s.Breach) })
		add(s.Crown != nil, func() (any, error) { return Crown(*s.Crown) })
		add(s.Settled != nil, func() (any, error) { return SettledCrown(*s.Settled) })
		add(s.Settled != nil, func() (any, error) { return CrownFor(*s.Settled) })
		add(s.Drain != nil, func() (any, error) { return Drain(*s.Drain) })
		add(s.Haul != nil, func() (any, error) { return Haul(*s.Haul) })
		add(s.Loads != nil, func() (any, error) { return Loads(*s.Loads) })
		add(s.Pipe != nil, func() (any, error) { return Pipe(*s.Pipe) })
		add(s.Plane != nil, func() (any, error) { return FitPlane(*s.Plane) })
		add(s.Plug != nil, func() (any, error) { return Plug(*s.Plug) })
		add(s.Profile != nil, func() (any, error) { return BasinProfile(*s.Profile) })
		add(s.Trench != nil, func() (any, error) { return Trench(*s.Trench) })
		for _, run := range runs {
			r, err := run()
			if err != nil {
				continue
			}
			if _, err := json.Marshal(r); err != nil {
				t.Errorf("%T: %v", r, err)
			}
		}
	})
}
