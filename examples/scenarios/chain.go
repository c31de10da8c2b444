package main

import (
	"fmt"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// reader collects the uncertain quantities of a study and what is wrong with it.
type reader struct {
	faults units.Faults
	inputs []input
}

// from returns a quantity of a draw, given the inputs of the draw.
type from[Q ~float64] func(x []float64) Q

// quantity checks the distribution at path, whose values may lie from least to
// most, and takes it among the inputs unless it is fixed.
func quantity[Q ~float64](r *reader, path string, d Dist[Q], least, most Q) from[Q] {
	var f units.Faults
	quantile, ok := d.law(&f, least, most)
	r.faults.Sub(path, f.Err())
	switch {
	case !ok:
		return nil
	case d.Kind == KindFixed && d.Levels == nil:
		return func([]float64) Q { return *d.Value }
	}
	in := input{name: path, quantile: quantile}
	for _, l := range d.Levels {
		in.levels = append(in.levels, float64(l))
	}
	if in.levels == nil {
		in.levels = []float64{quantile(0.5)}
	}
	i := len(r.inputs)
	r.inputs = append(r.inputs, in)
	return func(x []float64) Q { return Q(x[i]) }
}

// Bounds of what the quantities of a study may be, wide enough for any basin.
const (
	mostContent = 1000 * units.GramPerLitre
	mostLoad    = 10 * units.KilogramPerSquareMetre
	mostPrice   = 1e9 // for each SI unit
)

// chain is a study made ready: one draw after the other goes through it.
type chain struct {
	basin                    *volume.Rectangular
	liquidDepth, sludgeDepth from[units.Length]
	materials                [2]stream
	needN, allowP2O5         from[units.MassPerArea]
	needP2O5, needK2O        from[units.MassPerArea]
	priceN, priceP, priceK   from[units.Price[units.Mass]]
	haul                     removal.HaulSpec // of any volume
}

// stream is one material of the chain.
type stream struct {
	tkn, ammoniumN, p2o5, k2o from[units.Concentration]
	schedule                  *nutrient.Schedule
	ammonium, organic         from[float64]
	mostPerPass               nutrient.Rate
	calibration               from[float64]
	spread, haulPerMile       from[units.Price[units.Volume]]
	distance                  units.Length
}

// newModel checks a study and makes it ready. Every fault comes with its path in
// the file.
func newModel(s Study) (*model, error) {
	var r reader
	var c chain
	var err error
	deepest := s.Basin.Depth
	if c.basin, err = volume.NewRectangular(s.Basin); err != nil {
		r.faults.Sub("basin", err)
		deepest = units.Length(1e6)
	}
	c.liquidDepth = quantity(&r, "liquidDepth", s.LiquidDepth, 0, deepest)
	c.sludgeDepth = quantity(&r, "sludgeDepth", s.SludgeDepth, 0, deepest)
	for i, set := range s.Sets {
		_, err := nutrient.NewSet(set)
		r.faults.Sub(fmt.Sprintf("sets[%d]", i), err)
	}
	for i, m := range []Material{s.Effluent, s.Sludge} {
		c.materials[i] = s.stream(&r, materialNames[i], m)
	}
	c.needN = quantity(&r, "land.needN", s.Land.NeedN, 0, mostLoad)
	c.allowP2O5 = quantity(&r, "land.allowP2O5", s.Land.AllowP2O5, 0, mostLoad)
	c.needP2O5 = quantity(&r, "land.needP2O5", s.Land.NeedP2O5, 0, mostLoad)
	c.needK2O = quantity(&r, "land.needK2O", s.Land.NeedK2O, 0, mostLoad)
	c.priceN = quantity(&r, "prices.n", s.Prices.N, 0, mostPrice)
	c.priceP = quantity(&r, "prices.p2o5", s.Prices.P2O5, 0, mostPrice)
	c.priceK = quantity(&r, "prices.k2o", s.Prices.K2O, 0, mostPrice)
	c.haul = removal.HaulSpec{Volume: units.Gallon, Density: s.Density, Fleet: s.Fleet}
	_, err = removal.Haul(c.haul)
	r.faults.Sub("", err)
	if s.Currency == "" {
		r.faults.Missing("currency", "the name of the money, such as $")
	}
	m := &model{inputs: r.inputs, outputs: outputs(s.Currency), start: c.start}
	for i, name := range s.Show {
		if !slices.ContainsFunc(m.outputs, func(o output) bool { return o.name == name && !o.share }) {
			r.faults.Add(fmt.Sprintf("show[%d]", i), name, "an output that is not a share")
		}
	}
	if err := r.faults.Err(); err != nil {
		return nil, err
	}
	return m, m.settle()
}

var materialNames = [2]string{"effluent", "sludge"}

func (s Study) stream(r *reader, path string, m Material) stream {
	content := func(name string, d Dist[units.Concentration]) from[units.Concentration] {
		return quantity(r, path+"."+name, d, 0, mostContent)
	}
	r.faults.NotNegative(path+".distance", m.Distance)
	if _, ok := m.MostPerPass.VolumePerArea(); !ok {
		r.faults.Add(path+".mostPerPass", m.MostPerPass.String(), "a volume per area, such as 27,000 gal/acre")
	}
	return stream{
		tkn: content("tkn", m.TKN), ammoniumN: content("ammoniumN", m.AmmoniumN),
		p2o5: content("p2o5", m.P2O5), k2o: content("k2o", m.K2O),
		schedule:    s.schedule(&r.faults, path, m),
		ammonium:    quantity(r, path+".ammonium", m.Ammonium, 0, 1),
		organic:     quantity(r, path+".organic", m.Organic, 0, 1),
		mostPerPass: m.MostPerPass,
		calibration: quantity(r, path+".calibration", m.Calibration, 0, 10),
		spread:      quantity(r, path+".spread", m.Spread, 0, mostPrice),
		haulPerMile: quantity(r, path+".haulPerMile", m.HaulPerMile, 0, mostPrice),
		distance:    m.Distance,
	}
}
