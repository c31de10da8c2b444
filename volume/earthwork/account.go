package earthwork

import (
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// AccountSoil is one soil of a site: what is dug of it, and what may be brought in.
type AccountSoil struct {
	Name string   `json:"name"` // each once, such as berm soil, topsoil, borrow
	Soil SoilSpec `json:"soil"` // needs swell and shrink
	// Cuts are where it is dug; what a cut holds unsuitable goes to the spoil.
	Cuts []EarthPart `json:"cuts,omitempty"`
	// Loss is the share of what is dug fit for use that handling and the stockpile do not
	// give back, 0 to 0.9.
	Loss float64 `json:"loss,omitzero"`
	// BroughtIn says that what the fills still lack is brought in of this soil.
	BroughtIn bool `json:"broughtIn,omitzero"`
	// Reserve stays in the stockpile at the end, bank; 0 when everything may be used.
	Reserve units.Volume `json:"reserve,omitzero"`
}

// AccountFill is a place that takes soil.
type AccountFill struct {
	Name   string       `json:"name"`   // for the working, such as crown
	Volume units.Volume `json:"volume"` // 0 or more
	State  State        `json:"state"`  // of Volume, usually compacted; bank for topsoil laid as it lay
	// Soils may fill it, in this order: what was dug of them first, and then what is
	// brought in of the first that may be.
	Soils []string `json:"soils"`
}

// AccountSpec is the earth of a whole site.
type AccountSpec struct {
	Soils []AccountSoil `json:"soils"`           // 1 to 100
	Fills []AccountFill `json:"fills,omitempty"` // in the order in which they are served, at most 1000
	Truck *TruckSpec    `json:"truck,omitzero"`  // nil when loads are not asked
}

// AccountRow is where one soil comes from and where it goes. Cut and Import together
// are Placed, Spoil, Lost, Reserve and Waste together, in every state.
type AccountRow struct {
	Name    string      `json:"name"`    // of the soil
	Cut     EarthVolume `json:"cut"`     // dug on the site, all of it
	Import  EarthVolume `json:"import"`  // brought in
	Placed  EarthVolume `json:"placed"`  // in the fills
	Spoil   EarthVolume `json:"spoil"`   // not fit for fill, to where the regulator says
	Lost    EarthVolume `json:"lost"`    // in handling and in the stockpile
	Reserve EarthVolume `json:"reserve"` // left in the stockpile as asked, or as much as there is
	Waste   EarthVolume `json:"waste"`   // left over
	// Loads of the truck, rounded up; 0 without a truck.
	ImportLoads int `json:"importLoads,omitzero"` // of Import
	SpoilLoads  int `json:"spoilLoads,omitzero"`  // of Spoil
	WasteLoads  int `json:"wasteLoads,omitzero"`  // of Waste
}

// AccountMove is soil that goes into a fill.
type AccountMove struct {
	Fill   string       `json:"fill"`   // name of the fill
	Soil   string       `json:"soil"`   // name of the soil
	Import bool         `json:"import"` // it is brought in
	Volume units.Volume `json:"volume"` // in the state of the fill
}

// AccountShort is a fill that no soil was left for.
type AccountShort struct {
	Fill   string       `json:"fill"`   // name of the fill
	Volume units.Volume `json:"volume"` // that is missing, in the state of the fill
}

// AccountResult is the account.
type AccountResult struct {
	Spec     AccountSpec    `json:"spec"`            // what was asked
	Rows     []AccountRow   `json:"rows"`            // in the order of the soils
	Moves    []AccountMove  `json:"moves"`           // in the order of the fills
	Short    []AccountShort `json:"short,omitempty"` // fills that were not served in full
	Cautions []string       `json:"cautions"`        // what can hurt people, and who decides
}

// The most soils and fills of an account.
const (
	maxAccountSoils = 100
	maxAccountFills = 1000
)

// Account serves the fills of a site from its soils, so that every soil, topsoil among
// them, is counted once: what is dug and brought in of it is what is placed, goes to
// the spoil, is lost, stays in the stockpile or is left over, in each of the three
// states. Fills are served in their order, each from its soils in their order, first
// from what is dug and then from the first of them that may be brought in; what is
// left over never turns into a cut of another soil. Errors are [units.FieldError] with
// the json field.
func Account(spec AccountSpec) (AccountResult, error) {
	var f units.Faults
	soils := spec.check(&f)
	if err := f.Err(); err != nil {
		return AccountResult{}, err
	}
	r := AccountResult{Spec: spec, Cautions: append(cautions.Digging(0), cautions.Banks, cautions.Drowning, cautions.Regulator)}
	n := len(spec.Soils)
	at, left := map[string]int{}, make([]units.Volume, n) // bank, fit for fill
	cut, spoil, lost, reserve, placed, brought := make([]units.Volume, n), make([]units.Volume, n), make([]units.Volume, n), make([]units.Volume, n), make([]units.Volume, n), make([]units.Volume, n)
	for i, s := range spec.Soils {
		at[s.Name] = i
		for _, p := range s.Cuts {
			cut[i] += soils[i].convert(p.Volume, p.State, StateBank)
			spoil[i] += soils[i].convert(p.Unsuitable, p.State, StateBank)
		}
		fit := cut[i] - spoil[i]
		lost[i] = fit * units.Volume(s.Loss)
		reserve[i] = min(s.Reserve, fit-lost[i])
		left[i] = fit - lost[i] - reserve[i]
	}
	for _, fill := range spec.Fills {
		lacks := fill.Volume
		use := func(i int, bank units.Volume, in bool) {
			v := soils[i].convert(bank, StateBank, fill.State)
			placed[i] += bank
			r.Moves = append(r.Moves, AccountMove{fill.Name, spec.Soils[i].Name, in, v})
			lacks = max(lacks-v, 0)
		}
		for _, name := range fill.Soils {
			i := at[name]
			if bank := min(left[i], soils[i].convert(lacks, fill.State, StateBank)); bank > 0 {
				left[i] -= bank
				use(i, bank, false)
			}
		}
		if lacks <= units.Volume(slack)*fill.Volume {
			continue
		}
		k := slices.IndexFunc(fill.Soils, func(name string) bool { return spec.Soils[at[name]].BroughtIn })
		if k < 0 {
			r.Short = append(r.Short, AccountShort{fill.Name, lacks})
			continue
		}
		i := at[fill.Soils[k]]
		bank := soils[i].convert(lacks, fill.State, StateBank)
		brought[i] += bank
		use(i, bank, true)
	}
	for i, s := range spec.Soils {
		all := func(bank units.Volume) EarthVolume { return soils[i].states(bank, StateBank) }
		row := AccountRow{Name: s.Name, Cut: all(cut[i]), Import: all(brought[i]), Placed: all(placed[i]),
			Spoil: all(spoil[i]), Lost: all(lost[i]), Reserve: all(reserve[i]), Waste: all(left[i])}
		if spec.Truck != nil {
			row.ImportLoads = spec.Truck.count(&f, row.Import.Loose, soils[i])
			row.SpoilLoads = spec.Truck.count(&f, row.Spoil.Loose, soils[i])
			row.WasteLoads = spec.Truck.count(&f, row.Waste.Loose, soils[i])
		}
		r.Rows = append(r.Rows, row)
	}
	if err := f.Err(); err != nil {
		return AccountResult{}, err
	}
	return r, nil
}

// count is the number of loads of a loose volume, with a fault for more than a number
// can be.
func (t TruckSpec) count(f *units.Faults, loose units.Volume, s *Soil) int {
	n, err := t.loads(loose, s)
	f.Sub("", err)
	return n.Loads
}

func (spec AccountSpec) check(f *units.Faults) []*Soil {
	f.CountBetween("soils", len(spec.Soils), "soils", 1, maxAccountSoils)
	f.CountBetween("fills", len(spec.Fills), "fills", 0, maxAccountFills)
	if spec.Truck != nil {
		spec.Truck.check(f)
	}
	names := map[string]bool{}
	var soils []*Soil
	for i, s := range spec.Soils {
		at := f.At("soils", i)
		at.Name("name", s.Name, "soil", names)
		soil := soilFor(&at, "soil", s.Soil, StateLoose, StateCompacted)
		soils = append(soils, soil)
		if spec.Truck != nil {
			spec.Truck.weighs(&at, "soil", soil)
		}
		checkCuts(&at, "cuts", s.Cuts)
		at.NumberZeroTo("loss", s.Loss, 0.9)
		at.ZeroTo("reserve", s.Reserve, units.MaxVolume)
	}
	for i, p := range spec.Fills {
		at := f.At("fills", i)
		if p.Name == "" {
			at.Missing("name", "the name of the fill")
		}
		at.ZeroTo("volume", p.Volume, units.MaxVolume)
		checkState(&at, "state", p.State)
		if len(p.Soils) == 0 {
			at.Missing("soils", "one soil or more that may fill it")
		}
		for k, name := range p.Soils {
			switch soil := at.At("soils", k); {
			case !names[name]:
				soil.Add("", name, "the name of one of the soils")
			case slices.Contains(p.Soils[:k], name):
				soil.Add("", name, "each soil once")
			}
		}
	}
	return soils
}

// Row returns the row of a soil by its name, with nothing in it for a soil that is not
// in the account.
func (r AccountResult) Row(soil string) AccountRow {
	for _, row := range r.Rows {
		if row.Name == soil {
			return row
		}
	}
	return AccountRow{Name: soil}
}

// Placed returns what a fill was given, in its state, and of that what is brought in.
func (r AccountResult) Placed(fill string) (all, brought units.Volume) {
	for _, m := range r.Moves {
		if m.Fill != fill {
			continue
		}
		all += m.Volume
		if m.Import {
			brought += m.Volume
		}
	}
	return all, brought
}

// Off returns by how much the row does not balance in the bank state, as a share of
// what is cut and brought in; 0 but for rounding.
func (r AccountRow) Off() float64 {
	in, out := r.Cut.Bank+r.Import.Bank, r.Placed.Bank+r.Spoil.Bank+r.Lost.Bank+r.Reserve.Bank+r.Waste.Bank
	if in == 0 {
		return 0
	}
	return math.Abs(float64((in - out) / in))
}

// Working shows the rows soil by soil, and what goes where.
func (r AccountResult) Working() units.Working {
	var w units.Working
	for _, row := range r.Rows {
		put := func(what string, v EarthVolume, loads int) {
			if v.Bank == 0 {
				return
			}
			how := units.Words("bank; %v loose, %v compacted", earth(v.Loose), earth(v.Compacted))
			if loads > 0 {
				how = how.And(", %v loads", loads)
			}
			w.Put(units.Words("%s: %s", row.Name, units.Word(what)), earth(v.Bank), how)
		}
		put("dug", row.Cut, 0)
		put("brought in", row.Import, row.ImportLoads)
		put("placed", row.Placed, 0)
		put("not fit for fill", row.Spoil, row.SpoilLoads)
		put("lost in handling", row.Lost, 0)
		put("left in the stockpile", row.Reserve, 0)
		put("left over", row.Waste, row.WasteLoads)
	}
	for _, m := range r.Moves {
		from := units.Words("%s", m.Soil)
		if m.Import {
			from = units.Words("%s, brought in", m.Soil)
		}
		w.Put(units.Words("into %s", m.Fill), earth(m.Volume), from)
	}
	for _, s := range r.Short {
		w.Put(units.Words("missing in %s", s.Fill), earth(s.Volume), units.Words("no soil is left that may fill it"))
	}
	return w
}

// String prints the working.
func (r AccountResult) String() string { return r.Working().String() }
