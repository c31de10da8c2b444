package cover

import (
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// MixRow is one species of the order.
type MixRow struct {
	Species      Species            `json:"species"`      // row of the table, or the caller's own
	SeedsPerMass units.SeedsPerMass `json:"seedsPerMass"` // live or not, by count
	CountSource  string             `json:"countSource"`  // id of the source of SeedsPerMass, or "given"
	// Counts is the least and the most of SeedsPerMass and of the counts in Species.
	Counts        units.Range[units.SeedsPerMass] `json:"counts"`
	PLS           units.MassFraction              `json:"pls"`           // pure live seed over bulk weight, above 0 to 1
	BaseRate      units.MassPerArea               `json:"baseRate"`      // PLS, before the factors
	BaseSeeds     units.SeedsPerArea              `json:"baseSeeds"`     // live seeds, before the factors
	Rate          units.MassPerArea               `json:"rate"`          // PLS, as sown
	SeedsPerArea  units.SeedsPerArea              `json:"seedsPerArea"`  // live seeds, as sown
	BulkRate      units.MassPerArea               `json:"bulkRate"`      // seed as bought, as sown
	ShareOfSeeds  float64                         `json:"shareOfSeeds"`  // of the live seeds of the mix, 0 to 1
	ShareOfWeight float64                         `json:"shareOfWeight"` // of the PLS weight
	PerFootOfRow  float64                         `json:"perFootOfRow"`  // live seeds, 0 without row spacing
	PLSMass       units.Mass                      `json:"plsMass"`       // pure live seed on the whole area
	BulkMass      units.Mass                      `json:"bulkMass"`      // seed as bought, on the whole area
	Bags          int                             `json:"bags"`          // rounded up, 0 when sold by weight
	Cost          float64                         `json:"cost"`          // of the bags, or of the bulk mass
	Priced        bool                            `json:"priced"`        // the item has a price
}

// MixResult is the order. Totals are sums of the rows.
type MixResult struct {
	Spec         MixSpec            `json:"spec"`         // what it was worked out from
	Rows         []MixRow           `json:"rows"`         // in the order of the items
	BaseRate     units.MassPerArea  `json:"baseRate"`     // PLS, before the factors
	BaseSeeds    units.SeedsPerArea `json:"baseSeeds"`    // live seeds, before the factors
	Rate         units.MassPerArea  `json:"rate"`         // PLS, as sown
	SeedsPerArea units.SeedsPerArea `json:"seedsPerArea"` // live seeds, as sown
	BulkRate     units.MassPerArea  `json:"bulkRate"`     // seed as bought
	PLSMass      units.Mass         `json:"plsMass"`      // pure live seed on the whole area
	BulkMass     units.Mass         `json:"bulkMass"`     // seed as bought, on the whole area
	Bags         int                `json:"bags"`         // of all species
	Cost         float64            `json:"cost"`         // of the priced species
	Unpriced     []string           `json:"unpriced"`     // species without a price
	// Seeds compares the live seeds per area with Want; nil without one.
	Seeds    *Finding `json:"seeds,omitempty"`
	Cautions []string `json:"cautions"` // for the people who handle the seed
}

// shareSlack is how far shares may be from 1 in sum: they are printed as
// percent, rounded.
const shareSlack = 0.005

// Sizes beyond any mix and any list of a nursery.
const (
	mostItems   = 200
	mostOwn     = 1000
	leastFactor = 0.01
	mostLive    = 1e9 * units.SeedPerSquareFoot
)

// Mix works out the order of a seed mix: pure live seed and bulk rates, seeds per
// area, bags rounded up, and cost. Faults are listed all at once.
//
// The rate of pure live seed follows from the basis, and seeds per area is rate x
// seeds per mass: seeds/ft2 = lb/acre x seeds/lb / 43,560. The bulk rate is the PLS
// rate over the PLS fraction, at full precision throughout.
func Mix(spec MixSpec) (MixResult, error) {
	var f units.Faults
	f.UpTo("area", spec.Area, units.MaxArea)
	if !mixBases.Has(int(spec.Basis)) {
		f.Add("basis", spec.Basis, mixBases.Want())
	}
	if !seedingMethods.Has(int(spec.Method)) {
		f.Add("method", spec.Method, seedingMethods.Want())
	}
	factor(&f, "methodFactor", spec.MethodFactor)
	factor(&f, "criticalFactor", spec.CriticalFactor)
	only(&f, "seedsPerArea", spec.SeedsPerArea, spec.Basis == MixSharesOfSeeds, spec.Basis)
	only(&f, "rate", spec.Rate, spec.Basis == MixSharesOfPLSWeight || spec.Basis == MixSharesOfBulkWeight, spec.Basis)
	if w := spec.Want; w != nil {
		f.ZeroTo("want.low", w.Low, mostLive)
		f.UpTo("want.high", w.High, mostLive)
		if w.High < w.Low {
			f.Add("want.high", w.High, "at least want.low, %v", w.Low)
		}
	}
	f.ZeroOr("rowSpacing", spec.RowSpacing, units.MinLength, units.MaxLength)
	if spec.RowSpacing > 0 && spec.Method != SeedingDrilled {
		f.Add("rowSpacing", spec.RowSpacing, "no value unless drilled")
	}
	f.ZeroOr("width", spec.Width, units.MinLength, units.MaxLength)
	for i, s := range spec.Species {
		at := f.At("species", i)
		at.Sub("", s.check())
	}
	f.CountBetween("species", len(spec.Species), "rows", 0, mostOwn)
	f.CountBetween("items", len(spec.Items), "species", 1, mostItems)
	if len(spec.Items) > mostItems || len(spec.Species) > mostOwn {
		return MixResult{}, f.Err()
	}

	r := MixResult{Spec: spec, Unpriced: []string{}}
	sum := 0.0
	seen := map[string]int{}
	for i, item := range spec.Items {
		at := f.At("items", i)
		row, err := item.row(spec)
		at.Sub("", err)
		sum += item.Share
		if err != nil {
			continue
		}
		if j, ok := seen[row.Species.Botanical]; ok {
			at.Add("species", item.Species, "another species than items[%v]", j)
		}
		seen[row.Species.Botanical] = i
		r.Rows = append(r.Rows, row)
	}
	if spec.Basis != MixRatesOfPLS && !(math.Abs(sum-1) <= shareSlack) {
		f.Add("items", sum, "shares that add to 1")
	}
	if err := f.Err(); err != nil {
		return MixResult{}, err
	}
	r.total()
	return r, nil
}

func factor(f *units.Faults, field string, x float64) {
	if !(x >= leastFactor && x <= 10) {
		f.Add(field, x, "%v to %v; 1 for no change", leastFactor, 10.0)
	}
}

// only demands q where the basis needs it and refuses it elsewhere, so that a
// figure is never ignored in silence.
func only(f *units.Faults, field string, q units.Quantity, needed bool, basis MixBasis) {
	switch {
	case needed:
		f.Positive(field, q)
	case q.SI() != 0 && mixBases.Has(int(basis)):
		f.Add(field, q, "no value with %v", basis)
	}
}

// row checks an item and works it out.
func (m MixItemSpec) row(spec MixSpec) (MixRow, error) {
	var f units.Faults
	var row MixRow
	found := true
	key := nameKey(m.Species)
	if i := slices.IndexFunc(spec.Species, func(s Species) bool { return s.has(key) }); i >= 0 && key != "" {
		row.Species = spec.Species[i].clone()
	} else if i, ok := speciesTable().names[key]; ok {
		row.Species = speciesTable().spec.Species[i].clone()
	} else {
		found = false
		all := slices.Concat(spec.Species, speciesTable().spec.Species)
		f.Fault(units.FaultName, "species", m.Species, "a species of the published table or of the spec's own species%v", near(all, m.Species))
	}
	row.SeedsPerMass, row.CountSource = m.SeedsPerMass, "given"
	switch {
	case m.SeedsPerMass != 0:
		f.Between("seedsPerMass", m.SeedsPerMass, leastCount, mostCount)
		if m.CountSource != "" {
			f.Add("countSource", m.CountSource, "no value beside seedsPerMass")
		}
	case found:
		c, ok := row.Species.count(m.CountSource, spec.CountSources)
		if !ok {
			f.Add("countSource", m.CountSource, row.Species.countChoices())
		}
		row.SeedsPerMass, row.CountSource = c.Mid(), c.Source
	}
	row.Counts = units.Range[units.SeedsPerMass]{Low: row.SeedsPerMass, High: row.SeedsPerMass}
	for _, c := range row.Species.Counts {
		row.Counts.Low, row.Counts.High = min(row.Counts.Low, c.Low), max(row.Counts.High, c.High)
	}
	critical := spec.CriticalFactor
	if m.CriticalFactor != 0 {
		factor(&f, "criticalFactor", m.CriticalFactor)
		critical = m.CriticalFactor
	}
	if spec.Basis == MixRatesOfPLS {
		if m.Share != 0 {
			f.Add("share", m.Share, "no value with %v", spec.Basis)
		}
	} else if !(m.Share > 0 && m.Share <= 1) {
		f.Add("share", m.Share, "more than 0 and at most 1")
	}
	only(&f, "pureStand", m.PureStand, spec.Basis == MixSharesOfPureStand, spec.Basis)
	only(&f, "rate", m.Rate, spec.Basis == MixRatesOfPLS, spec.Basis)
	f.Price("price", m.Price)
	f.ZeroTo("bag", m.Bag, mostBag)
	lot, err := NewLot(m.Lot)
	f.Sub("lot", err)
	if err := f.Err(); err != nil {
		return MixRow{}, err
	}

	row.PLS = lot.PLS()
	share := units.MassPerArea(m.Share)
	switch spec.Basis {
	case MixSharesOfSeeds:
		row.BaseRate = (spec.SeedsPerArea * units.SeedsPerArea(m.Share)).OverCount(row.SeedsPerMass)
	case MixSharesOfPureStand:
		row.BaseRate = m.PureStand * share
	case MixSharesOfPLSWeight:
		row.BaseRate = spec.Rate * share
	case MixSharesOfBulkWeight:
		row.BaseRate = (spec.Rate * share).Carrying(row.PLS)
	case MixRatesOfPLS:
		row.BaseRate = m.Rate
	}
	row.BaseSeeds = row.BaseRate.Seeds(row.SeedsPerMass)
	row.Rate = row.BaseRate * units.MassPerArea(spec.MethodFactor*critical)
	row.SeedsPerArea = row.Rate.Seeds(row.SeedsPerMass)
	row.BulkRate = row.Rate.OverFraction(row.PLS)
	if spec.RowSpacing > 0 {
		// seeds per inch of row = seeds/ft2 x row spacing (in) / 144
		row.PerFootOfRow = row.SeedsPerArea.SI() * spec.RowSpacing.Times(units.Foot).SI()
	}
	row.PLSMass = row.Rate.Times(spec.Area)
	row.BulkMass = row.BulkRate.Times(spec.Area)
	bought, n, err := inBags("bag", row.BulkMass, m.Bag)
	row.Bags, row.Cost, row.Priced = n, m.Price.Of(bought), m.Price > 0
	return row, err
}

// total fills the sums, the shares and the comparison with Want.
func (r *MixResult) total() {
	for _, row := range r.Rows {
		r.BaseRate += row.BaseRate
		r.BaseSeeds += row.BaseSeeds
		r.Rate += row.Rate
		r.SeedsPerArea += row.SeedsPerArea
		r.BulkRate += row.BulkRate
		r.PLSMass += row.PLSMass
		r.BulkMass += row.BulkMass
		r.Bags += row.Bags
		r.Cost += row.Cost
		if !row.Priced {
			r.Unpriced = append(r.Unpriced, row.Species.Common)
		}
	}
	for i := range r.Rows {
		row := &r.Rows[i]
		row.ShareOfSeeds = row.SeedsPerArea.SI() / r.SeedsPerArea.SI()
		row.ShareOfWeight = row.Rate.SI() / r.Rate.SI()
	}
	if w := r.Spec.Want; w != nil {
		lo, hi := w.Low.SI(), w.High.SI()
		v := r.BaseSeeds.SI()
		r.Seeds = &Finding{
			Rule: "live seeds per area before the factors", Value: units.Words("%v", r.BaseSeeds),
			Want: units.Words("%v to %v", w.Low, w.High), Verdict: verdict(v, v, &lo, &hi),
		}
	}
	r.Cautions = []string{cautionSeed}
}

// publisherOf is who answers for a count of the species table; another source is as it is.
func publisherOf(id string) string {
	for _, s := range speciesTable().spec.Sources {
		if s.ID == id {
			return s.Publisher
		}
	}
	return id
}

// Working shows the order, a block of lines per species.
func (r MixResult) Working() units.Working {
	var w units.Working
	w.Add("area", r.Spec.Area, "")
	w.Add("basis", r.Spec.Basis, "")
	w.Add("method", r.Spec.Method, "base rates x %.4g, critical area x %.4g", r.Spec.MethodFactor, r.Spec.CriticalFactor)
	for i, row := range r.Rows {
		name := row.Species.Common
		perAcre := func(rate units.MassPerArea) units.Shown { return units.As(rate, units.PoundPerAcre, 2) }
		w.Add(name, units.Words("%v PLS", perAcre(row.Rate)), "base %v at %v (%v)", perAcre(row.BaseRate), units.As(row.SeedsPerMass, units.SeedPerPound, 0), units.Word(publisherOf(row.CountSource)))
		if row.Counts.Low < row.Counts.High {
			w.Add("  published counts", units.Words("%v to %v", units.As(row.Counts.Low, units.SeedPerPound, 0), units.As(row.Counts.High, units.SeedPerPound, 0)), "the rate is worked out with %v", units.As(row.SeedsPerMass, units.SeedPerPound, 0))
		}
		if x := r.Spec.Items[i].CriticalFactor; x != 0 {
			w.Add("  critical area", "", "base rate x %.4g for this species", x)
		}
		w.Add("  live seeds", row.SeedsPerArea, "%v of the seeds, %v of the weight", units.Share(row.ShareOfSeeds), units.Share(row.ShareOfWeight))
		w.Add("  bulk rate", perAcre(row.BulkRate), "PLS rate / %v", units.Share(row.PLS))
		w.Put(units.Words("  order"), row.BulkMass, inBagsWords(units.Words("bulk rate x area"), row.Bags))
		if row.Priced {
			w.Add("  cost", units.Money(row.Cost), "")
		}
	}
	w.Add("live seeds, all", r.SeedsPerArea, "before the factors %v", r.BaseSeeds)
	if r.Seeds != nil {
		w.Put(units.Words("seeds check"), r.Seeds.Verdict, units.Words("want ").And(r.Seeds.Want.Text, r.Seeds.Want.Args...))
	}
	w.Add("pure live seed, all", r.PLSMass, "")
	w.Add("bulk seed, all", r.BulkMass, "")
	how := ""
	if len(r.Unpriced) > 0 {
		how = "without " + strings.Join(r.Unpriced, ", ")
	}
	w.Add("seed cost", units.Money(r.Cost), how)
	return w
}

// String prints the working.
func (r MixResult) String() string { return r.Working().String() }
