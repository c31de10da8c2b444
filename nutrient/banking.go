package nutrient

import (
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// Banking is a rule that lets one application bring the P of several crops.
type Banking struct {
	Years     int     `json:"years"`           // crops whose removal may be brought at once, 1 to 20
	Rest      int     `json:"rest"`            // seasons without manure after an application above one crop's removal, 0 to 20
	Available float64 `json:"available"`       // share of total P that counts, 0.01 to 1
	Source    Source  `json:"source,omitzero"` // of the rule
}

// BankingGrant is a rule that grants [Banking], and the fields to which it does: all
// conditions that it names have to be met.
type BankingGrant struct {
	Banking
	Jurisdiction string          `json:"jurisdiction"`  // where the rule is in force, as the rule of the site says it
	Allow        []PBasis        `json:"allow"`         // what the rule of the site allows on the field, at least one
	When         map[string]Cell `json:"when,omitzero"` // on which fields, as the heads of a [Table]: riskIndex, saturation, distance, filterStrip, soilLoss, soilLossOverT, or soilP in ppm with its extractant; none: on all
}

// What the tables of a state give of banking, with as cap: one line is one grant.
const (
	GivesBankingYears = "bankingYears" // crops whose removal may be brought at once
	GivesBankingRest  = "bankingRest"  // seasons without manure after it; left out: one fewer than the years
	GivesBankingShare = "bankingShare" // share of total P that counts; left out: all
)

// BankingGrants returns the grants of banking of the state's own tables, in their order,
// none when it has none. They hold wherever the rule of the site allows any phosphorus.
// No rest in the table stands for the seasons whose removal is on the field already, and
// no share for all of the P.
func (s *State) BankingGrants() []BankingGrant {
	var list []BankingGrant
	for _, n := range s.lines[GivesBankingYears] {
		g := BankingGrant{Jurisdiction: s.spec.Jurisdiction, Allow: []PBasis{PBasisNitrogen, PBasisRemoval}, When: n.heads(),
			Banking: Banking{Years: int(n.figure.Low), Rest: max(0, int(n.figure.Low)-1), Available: 1, Source: n.table.source}}
		if rest, ok := s.beside(n, GivesBankingRest); ok {
			g.Rest = int(rest)
		}
		if share, ok := s.beside(n, GivesBankingShare); ok {
			g.Available = share
		}
		list = append(list, g)
	}
	return list
}

// beside returns the figure of another thing that stands beside that of a line.
func (s *State) beside(n *line, gives string) (x float64, ok bool) {
	i := slices.IndexFunc(s.lines[gives], func(o *line) bool { return o.table == n.table && o.row == n.row && o.figure.lacks == "" })
	if i < 0 {
		return 0, false
	}
	return s.lines[gives][i].share().Low, true
}

// heads returns the heads of a line as they stand in its table, by key.
func (n *line) heads() map[string]Cell {
	heads := maps.Clone(n.table.When)
	if heads == nil {
		heads = map[string]Cell{}
	}
	for i, name := range n.table.By {
		if text := n.table.Rows[n.row][i]; text != "" {
			heads[name] = text
		}
	}
	if n.table.Cols != nil {
		maps.Copy(heads, n.table.Cols[n.col-len(n.table.By)])
	}
	delete(heads, "gives")
	delete(heads, "unit")
	delete(heads, "title")
	if len(heads) == 0 {
		return nil
	}
	return heads
}

// checkBanking checks the grants of the tables.
func (l *stateLoader) checkBanking() {
	lines := l.lines[GivesBankingYears]
	for i, g := range l.BankingGrants() {
		n := lines[i]
		if n.table.layer > 0 {
			continue
		}
		for _, name := range slices.Sorted(maps.Keys(g.When)) {
			if _, ok := siteKeys[name]; !ok {
				l.faults.Add(n.place(), units.Words("a grant of banking by %v", units.Word(name)), "grants by what a site has: %v", units.Word(strings.Join(slices.Sorted(maps.Keys(siteKeys)), ", ")))
			}
		}
		if n.table.As != AsCap {
			l.faults.Add(n.place(), units.Words("banking as %v", units.Word(n.table.As.String())), "banking as cap, which a site may lack")
		}
		at := l.faults.At(n.table.path)
		g.Banking.check(&at)
	}
}

// Room returns the total P2O5 that one application may bring under the rule when
// each crop takes off removal: removal x years / share that counts, and 0 when no
// share counts. [Budget] checks the rule, and a plan against it.
func (b Banking) Room(removal units.MassPerArea) units.MassPerArea {
	if !(b.Available > 0) {
		return 0
	}
	return units.MassPerArea(float64(removal) * float64(b.Years) / b.Available)
}

func (b *Banking) check(f *units.Faults) {
	f.NumberBetween("years", float64(b.Years), 1, 20)
	f.NumberBetween("rest", float64(b.Rest), 0, 20)
	f.NumberBetween("available", b.Available, 0.01, 1)
}

// PhosphorusRoomSpec is what [PhosphorusRoom] works from.
type PhosphorusRoomSpec struct {
	Jurisdiction string            `json:"jurisdiction"`    // of the rule of the site, as [State.Jurisdiction] says it
	Limit        SiteLimit         `json:"limit"`           // what that rule allows on the field
	Site         Site              `json:"site,omitzero"`   // of the field
	Removal      units.MassPerArea `json:"removal"`         // P2O5 that the crop takes off in a year, 0 or more
	Grants       []BankingGrant    `json:"grants,omitzero"` // of banking, in the order in which they are tried; none: one year at a time
}

// PhosphorusRoomResult is the P2O5 that one application may bring to a field.
type PhosphorusRoomResult struct {
	Limited bool              `json:"limited"`        // false: the rule allows the N-based rate and caps no P
	Years   int               `json:"years"`          // of removal that the room holds, 1 without a grant
	Rest    int               `json:"rest"`           // seasons without manure after it
	Removal units.MassPerArea `json:"removal"`        // of one year
	Room    units.MassPerArea `json:"room"`           // total P2O5; 0 where the rule allows none
	Limit   SiteLimit         `json:"limit"`          // as in the spec
	Grant   *BankingGrant     `json:"grant,omitzero"` // that holds for the field; nil for none
	Refused []units.Phrase    `json:"refused"`        // why each grant before it does not hold, in their order
}

// PhosphorusRoom returns the P2O5 that one application may bring to a field under the
// rule of the site. It is the removal of one year, times what the rule says, unless a
// grant of the same jurisdiction names this field's class: then it is that of the years
// of the grant. Faults are [units.FieldError].
func PhosphorusRoom(spec PhosphorusRoomSpec) (PhosphorusRoomResult, error) {
	var f units.Faults
	if spec.Jurisdiction == "" {
		f.Missing("jurisdiction", "where the rule of the site is in force")
	}
	if !pBasisNames.Has(int(spec.Limit.Allow)) {
		f.Missing("limit.allow", "what the rule allows, as State.SiteLimit returns it")
	}
	notNegativeNumber(&f, "limit.times", spec.Limit.Times)
	site := f.At("site")
	var declared []string // the rule behind the limit has judged the test
	if t := spec.Site.SoilTest; t != nil {
		declared = []string{string(t.Extractant)}
	}
	spec.Site.check(&site, declared)
	notNegative(&f, "removal", spec.Removal)
	for i := range spec.Grants {
		at := f.At("grants", i)
		spec.Grants[i].check(&at)
	}
	if err := f.Err(); err != nil {
		return PhosphorusRoomResult{}, err
	}
	r := PhosphorusRoomResult{Years: 1, Removal: spec.Removal + 0, Limit: spec.Limit, Refused: []units.Phrase{}}
	for i := range spec.Grants {
		g := &spec.Grants[i]
		if why := g.refuses(&spec); !why.IsZero() {
			r.Refused = append(r.Refused, why)
			continue
		}
		r.Grant, r.Years, r.Rest = g, g.Years, g.Rest
		break
	}
	room := spec.Removal
	if r.Grant != nil {
		room = r.Grant.Room(spec.Removal)
	}
	r.Room, r.Limited = spec.Limit.Cap(room)
	return r, nil
}

func (g *BankingGrant) check(f *units.Faults) {
	g.Banking.check(f)
	if g.Jurisdiction == "" {
		f.Missing("jurisdiction", "where the rule is in force")
	}
	if len(g.Allow) == 0 {
		f.Missing("allow", "what the rule of the site has to allow on the field")
	}
	for i, a := range g.Allow {
		if !pBasisNames.Has(int(a)) {
			at := f.At("allow", i)
			at.Add("", a, pBasisNames.Want())
		}
	}
	if _, err := g.conditions(); err != nil {
		for _, fault := range units.FieldErrors(err) {
			if path, ok := strings.CutPrefix(fault.Field, "tables[0]."); ok {
				f.Sub("", fault.At(path))
			}
		}
	}
}

// siteKeys are the keys by which grants choose fields.
var siteKeys = map[string]Key{
	KeyRiskIndex: {Unit: "1"}, KeySaturation: {Unit: "%"}, KeyDistance: {Unit: "ft"}, KeyFilterStrip: {Values: []string{"yes", "no"}},
	KeySoilLoss: {Unit: "ton/acre"}, KeySoilLossOverT: {Unit: "1"}, KeySoilP: {Unit: "ppm", Also: map[string]float64{"lb/acre": 0.5}}, KeyExtractant: {},
}

// conditions is the conditions of the grant as a state with one line, which takes the
// fields that meet them.
func (g *BankingGrant) conditions() (*State, error) {
	spec := StateSpec{ID: "banking", Jurisdiction: g.Jurisdiction, Source: Source{Title: "-", Publisher: "-", Edition: "-"},
		Tables: []Table{{Place: "-", Gives: "allow", As: AsCap, Unit: "x removal", When: g.When, Rows: [][]Cell{{"n-based"}}}}}
	for _, name := range slices.Sorted(maps.Keys(g.When)) {
		if k, ok := siteKeys[name]; ok {
			if k.Name, k.Label = name, name; name == KeyExtractant {
				k.Values = strings.Split(string(g.When[name]), "; ")
			}
			spec.Keys = append(spec.Keys, k)
		}
	}
	return NewState(spec)
}

// refuses tells why the grant does not hold for a field; empty when it does.
func (g *BankingGrant) refuses(spec *PhosphorusRoomSpec) units.Phrase {
	years := units.Count{N: g.Years, Of: "years"}
	switch {
	case g.Jurisdiction != spec.Jurisdiction:
		return units.Words("%v at once: a rule of %s, and that of the site is of %s", years, units.Word(g.Jurisdiction), units.Word(spec.Jurisdiction))
	case !slices.Contains(g.Allow, spec.Limit.Allow):
		return units.Words("%v at once: not where the rule of the site says %s", years, units.Word(spec.Limit.Allow.String()))
	}
	rule, err := g.conditions()
	if err == nil {
		_, err = rule.SiteLimit(spec.Site, nil)
	}
	list := units.FieldErrors(err)
	if len(list) == 0 {
		return units.Phrase{}
	}
	if list[0].Kind == units.FaultMissing {
		return units.Words("%v at once: %s of the field is missing", years, units.Word(list[0].Field))
	}
	return units.Words("%v at once: %s of the field is not in a class that the grant names", years, units.Word(list[0].Field))
}

// Working shows the room, and why grants of banking do not hold.
func (r PhosphorusRoomResult) Working() units.Working {
	var w units.Working
	if !r.Limited {
		w.Add("room for P2O5", "not limited", "the rule %s allows the N-based rate", units.Word(r.Limit.Rule))
		return w
	}
	w.Add("removal of one year", r.Removal, "")
	if r.Grant != nil {
		w.Add("years at once", r.Years, "%s, %s; then %v without manure", units.Word(r.Grant.Jurisdiction), units.Word(r.Grant.Source.Title), units.Count{N: r.Rest, Of: "years"})
	}
	for _, why := range r.Refused {
		w.Add("not granted", "", why.Text, why.Args...)
	}
	w.Add("room for P2O5", r.Room, "removal x years x %v, by the rule %s", r.Limit.Times, units.Word(r.Limit.Rule))
	return w
}

// String is the table of the working.
func (r PhosphorusRoomResult) String() string { return r.Working().String() }
