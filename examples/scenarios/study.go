package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// Study is the whole input: a closure with what is known, and how well, of each of
// its quantities. Both materials are handled as liquids.
type Study struct {
	Title    string `json:"title"`
	Site     string `json:"site"`
	Currency string `json:"currency"`

	Basin       volume.RectangularSpec `json:"basin"`
	LiquidDepth Dist[units.Length]     `json:"liquidDepth"` // surface of the liquid over the floor
	SludgeDepth Dist[units.Length]     `json:"sludgeDepth"` // mean of the survey over the floor

	Effluent Material `json:"effluent"`
	Sludge   Material `json:"sludge"`
	// Sets are availability sets of the caller; other ids are those of the library.
	Sets []nutrient.SetSpec `json:"sets"`
	Land Land               `json:"land"`
	// Fleet hauls the sludge. Density is that of the sludge, and is needed when the
	// fleet has a payload.
	Fleet   removal.Fleet `json:"fleet"`
	Density units.Density `json:"density"`

	Prices Prices `json:"prices"`
	// Show names the outputs that the picture shows.
	Show []string `json:"show"`
}

// Material is one of the two things that the basin holds.
type Material struct {
	TKN       Dist[units.Concentration] `json:"tkn"`
	AmmoniumN Dist[units.Concentration] `json:"ammoniumN"`
	P2O5      Dist[units.Concentration] `json:"p2o5"`
	K2O       Dist[units.Concentration] `json:"k2o"`

	Set   string         `json:"set"`
	Query nutrient.Query `json:"query"`
	// Ammonium and Organic say where between the low and the high figure of the set
	// the availability of the pool lies, 0 to 1. A set that does not part the pools
	// goes by Organic.
	Ammonium Dist[float64] `json:"ammonium"`
	Organic  Dist[float64] `json:"organic"`

	MostPerPass nutrient.Rate                   `json:"mostPerPass"`
	Calibration Dist[float64]                   `json:"calibration"` // rate put down over rate aimed at
	Spread      Dist[units.Price[units.Volume]] `json:"spread"`
	HaulPerMile Dist[units.Price[units.Volume]] `json:"haulPerMile"`
	Distance    units.Length                    `json:"distance"` // one way
}

// Land is what an acre may take.
type Land struct {
	NeedN     Dist[units.MassPerArea] `json:"needN"`     // available N, less all credits
	AllowP2O5 Dist[units.MassPerArea] `json:"allowP2O5"` // by the budget or the rule
	NeedP2O5  Dist[units.MassPerArea] `json:"needP2O5"`  // that is worth its price
	NeedK2O   Dist[units.MassPerArea] `json:"needK2O"`
}

// Prices are those of the nutrients in fertilizer.
type Prices struct {
	N    Dist[units.Price[units.Mass]] `json:"n"`
	P2O5 Dist[units.Price[units.Mass]] `json:"p2o5"`
	K2O  Dist[units.Price[units.Mass]] `json:"k2o"`
}

// fingerprint tells studies apart by all that they say, not by how the file is laid
// out.
func (s Study) fingerprint() (string, error) {
	data, err := json.Marshal(s)
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:8]), err
}

// schedules returns the availability of each pool of the material.
func (s Study) schedule(f *units.Faults, path string, m Material) *nutrient.Schedule {
	var set *nutrient.Set
	var err error
	if i := slices.IndexFunc(s.Sets, func(o nutrient.SetSpec) bool { return o.ID == m.Set }); i >= 0 {
		if set, err = nutrient.NewSet(s.Sets[i]); err != nil {
			return nil // told where the sets are checked
		}
	} else if set, err = nutrient.PublishedSet(m.Set); err != nil {
		f.Sub(path, err)
		return nil
	}
	c, err := set.Schedule(m.Query)
	f.Sub(path+".query", err)
	return c
}
