package cover

import (
	"example.org/earthbasin/units"
)

// LotSpec is what the tag or the test report of a seed lot says. All are
// fractions from 0 to 1.
type LotSpec struct {
	Purity      float64 `json:"purity"`      // pure seed by weight, 0.001 or more
	Germination float64 `json:"germination"` // germinated in the test, without hard and dormant seed
	Hard        float64 `json:"hard"`        // sound but water-proof, as in legumes
	Dormant     float64 `json:"dormant"`     // sound but asleep, as in many native grasses
	// Viability is the total viable seed by the tetrazolium (TZ) test; it is
	// given instead of the three fields above.
	Viability float64 `json:"viability"`
}

// Lot is a checked seed lot. Make it with [NewLot].
type Lot struct {
	spec   LotSpec
	viable float64
}

// minSeedShare is less pure or viable seed than any lot that is sold holds.
const minSeedShare = 0.001

// NewLot checks a lot. Purity and the viable fraction are 0.001 to 1; germination, hard and dormant seed add to at most 1; viability by TZ
// and the other three exclude each other.
func NewLot(spec LotSpec) (*Lot, error) {
	var f units.Faults
	if spec.Purity == 0 {
		f.Missing("purity", "%v to 1", minSeedShare)
	} else {
		f.NumberBetween("purity", spec.Purity, minSeedShare, 1)
	}
	f.Fraction("germination", spec.Germination)
	f.Fraction("hard", spec.Hard)
	f.Fraction("dormant", spec.Dormant)
	f.Fraction("viability", spec.Viability)
	sum := spec.Germination + spec.Hard + spec.Dormant
	switch {
	case sum > 0 && spec.Viability > 0:
		f.Add("viability", spec.Viability, "no value beside germination, hard and dormant seed")
	case sum == 0 && spec.Viability == 0:
		f.Missing("germination", "%v to 1, or viability by TZ", minSeedShare)
	case sum+spec.Viability < minSeedShare:
		f.Add("germination", sum+spec.Viability, "%v or more of viable seed", minSeedShare)
	case sum > 1+1e-9: // the parts come as decimals of a percent
		f.Add("germination", sum, "at most 1 together with hard and dormant")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return &Lot{spec, min(1, sum+spec.Viability)}, nil
}

// Viable returns the viable fraction of the pure seed: germination + hard +
// dormant, or viability by TZ.
func (l *Lot) Viable() float64 { return l.viable }

// PLS returns the pure live seed as a fraction of the bulk weight: purity x
// viable seed, at full precision (Reference Guide for Texas Ranchers, Seeding
// Rangeland, footnote on pure live seed). The bulk rate is rate.OverFraction(lot.PLS()), the live seed in a bag
// lot.PLS().Times(bag).
func (l *Lot) PLS() units.MassFraction { return units.MassFraction(l.spec.Purity * l.viable) }

// PricePLS returns the price of pure live seed at the price of bulk seed, the
// figure by which lots are compared (Penn State, Calculating the Price of Pure
// Live Seed, 2023). A Lot that NewLot did not make has no live seed and no price: 0.
func (l *Lot) PricePLS(bulk units.Price[units.Mass]) units.Price[units.Mass] {
	if l.PLS() == 0 {
		return 0
	}
	return bulk / units.Price[units.Mass](l.PLS())
}

// Working shows how the pure live seed came about.
func (l *Lot) Working() units.Working {
	var w units.Working
	w.Add("purity", units.Share(l.spec.Purity), "")
	if l.spec.Viability > 0 {
		w.Add("viable seed", units.Share(l.viable), "tetrazolium test")
	} else {
		w.Add("viable seed", units.Share(l.viable), "germination %v + hard %v + dormant %v",
			units.Share(l.spec.Germination), units.Share(l.spec.Hard), units.Share(l.spec.Dormant))
	}
	w.Add("pure live seed", units.Share(l.PLS()), "purity x viable seed")
	return w
}

// String prints the working.
func (l *Lot) String() string { return l.Working().String() }
