package nutrient

import "example.org/earthbasin/units"

// ForageRoomSpec is what [ForageRoom] works from.
type ForageRoomSpec struct {
	K         units.MassFraction `json:"k"`         // potassium in the dry forage, above 0
	Ca        units.MassFraction `json:"ca"`        // calcium
	Mg        units.MassFraction `json:"mg"`        // magnesium; Ca + Mg above 0
	MaxRatio  float64            `json:"maxRatio"`  // highest K/(Ca+Mg) the herd's adviser accepts, by equivalents, 0.001 to 1000
	Removal   units.MassPerArea  `json:"removal"`   // K2O that the forage takes off
	ShareHigh float64            `json:"shareHigh"` // share of the removal that may go on when the ratio is too high; 0: none
	ShareLow  float64            `json:"shareLow"`  // multiple of the removal that may go on when it is not, 0.001 or shareHigh, to 100
}

// ForageRoomResult is the K2O that a forage field may take.
type ForageRoomResult struct {
	Ratio float64           `json:"ratio"` // K/(Ca+Mg) by equivalents
	High  bool              `json:"high"`  // whether it is above the greatest
	Room  units.MassPerArea `json:"room"`  // K2O
}

// Grams per equivalent: the standard atomic weights of 2021 (CIAAW,
// https://www.ciaaw.org/atomic-weights.htm; Mg is the middle of its interval)
// over the charge.
const (
	gramPerEquivalentK  = 39.0983
	gramPerEquivalentCa = 40.078 / 2
	gramPerEquivalentMg = 24.3055 / 2
)

// ForageRoom returns how much K2O a forage field may take, given the ratio
// K/(Ca+Mg) of its forage in equivalents: a multiple of the removal, less when
// the ratio is above the one the caller accepts for the animals that eat it.
// Fractions outside 0 to 1, a ratio that is not above zero and negative numbers
// are a [units.FieldError].
func ForageRoom(spec ForageRoomSpec) (ForageRoomResult, error) {
	var f units.Faults
	f.Between("k", spec.K, units.MassFraction(1e-9), units.MassFraction(1))
	notNegative(&f, "ca", spec.Ca)
	notNegative(&f, "mg", spec.Mg)
	if spec.Ca+spec.Mg < 1e-9 {
		f.Add("mg", spec.Ca+spec.Mg, "calcium and magnesium together above 0")
	}
	f.NumberBetween("maxRatio", spec.MaxRatio, 0.001, 1000)
	notNegative(&f, "removal", spec.Removal)
	upTo(&f, "shareHigh", spec.ShareHigh, 1)
	f.NumberBetween("shareLow", spec.ShareLow, max(spec.ShareHigh, 0.001), 100)
	if err := f.Err(); err != nil {
		return ForageRoomResult{}, err
	}
	r := ForageRoomResult{Ratio: float64(spec.K) / gramPerEquivalentK / (float64(spec.Ca)/gramPerEquivalentCa + float64(spec.Mg)/gramPerEquivalentMg)}
	r.High = r.Ratio > spec.MaxRatio
	share := spec.ShareLow
	if r.High {
		share = spec.ShareHigh
	}
	r.Room = spec.Removal * units.MassPerArea(share)
	return r, nil
}
