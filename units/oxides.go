package units

// Mass of one form of a nutrient per mass of another, from the middles of the
// intervals of the IUPAC standard atomic weights 2021 (H 1.007975, N 14.006855,
// O 15.9994, S 32.0675, Mg 24.3055, C 12.0106) and P 30.973761998, K 39.0983,
// Ca 40.078 (CIAAW,
// https://www.ciaaw.org/atomic-weights.htm). The interval of oxygen leaves
// P2O5PerP between 2.291337 and 2.291397.
const (
	P2O5PerP = (2*phosphorus + 5*oxygen) / (2 * phosphorus)
	K2OPerK  = (2*potassium + oxygen) / (2 * potassium)
	NPerNH4  = nitrogen / (nitrogen + 4*hydrogen)
	NPerNH3  = nitrogen / (nitrogen + 3*hydrogen)
	NPerNO3  = nitrogen / (nitrogen + 3*oxygen)
	PPerPO4  = phosphorus / (phosphorus + 4*oxygen)

	SPerSO4    = sulphur / (sulphur + 4*oxygen)
	CaPerCaO   = calcium / (calcium + oxygen)
	CaPerCaCO3 = calcium / (calcium + carbon + 3*oxygen)
	MgPerMgO   = magnesium / (magnesium + oxygen)
	MgPerMgCO3 = magnesium / (magnesium + carbon + 3*oxygen)
	// NPerUrea is the nitrogen in urea, CO(NH2)2.
	NPerUrea = 2 * nitrogen / (carbon + oxygen + 2*nitrogen + 4*hydrogen)

	hydrogen   = 1.007975
	nitrogen   = 14.006855
	oxygen     = 15.9994
	phosphorus = 30.973761998
	potassium  = 39.0983
	sulphur    = 32.0675
	calcium    = 40.078
	magnesium  = 24.3055
	carbon     = 12.0106
)

// Oxides names the pair of factors between phosphorus and P2O5 and between
// potassium and K2O. Published answers depend on which pair was used.
type Oxides int

const (
	// OxidesMolar is the exact pair P2O5PerP, K2OPerK.
	OxidesMolar Oxides = iota
	// OxidesRounded is 2.29 and 1.20, as in Alberta Agriculture and Food,
	// Nutrient Management Planning Guide, Agdex 400/28-3.
	OxidesRounded
	// OxidesCoarse is 2.3 and 1.2, as in LPE Learning Center, Manure Testing.
	OxidesCoarse
	// OxidesWhole is 2.2910 and 1.2051, printed in Virginia Cooperative Extension
	// SPES-201NP; the second comes from whole-number atomic weights.
	OxidesWhole
)

var oxideNames = Names{"molar", "2.29/1.20", "2.3/1.2", "2.2910/1.2051"}

var oxideFactors = [...][2]float64{
	{P2O5PerP, K2OPerK}, {2.29, 1.20}, {2.3, 1.2}, {2.2910, 1.2051},
}

// P2O5PerP returns the mass of P2O5 per mass of P, 0 for an unknown o.
func (o Oxides) P2O5PerP() float64 { return o.factors()[0] }

// K2OPerK returns the mass of K2O per mass of K, 0 for an unknown o.
func (o Oxides) K2OPerK() float64 { return o.factors()[1] }

func (o Oxides) factors() [2]float64 {
	if o < 0 || int(o) >= len(oxideFactors) {
		return [2]float64{}
	}
	return oxideFactors[o]
}

// String returns the name that MarshalText writes.
func (o Oxides) String() string { return oxideNames.String(int(o)) }

// MarshalText writes the name.
func (o Oxides) MarshalText() ([]byte, error) { return oxideNames.Marshal(int(o)) }

// UnmarshalText reads a name; the error lists the names.
func (o *Oxides) UnmarshalText(text []byte) error { return UnmarshalName(oxideNames, text, o) }
