package units

// The products and quotients of quantities, one method each: the name of the
// method and the types of its operands say what comes out.

// Times returns the rectangle of the sides l and w.
func (l Length) Times(w Length) Area { return Area(l * w) }

// OverTime returns the speed of the distance l in d.
func (l Length) OverTime(d Duration) Speed { return Speed(float64(l) / float64(d)) }

// OverSpeed returns the time that the distance l takes at v.
func (l Length) OverSpeed(v Speed) Duration { return Duration(float64(l) / float64(v)) }

// Applied returns the depth l of liquid as a volume per area.
func (l Length) Applied() VolumePerArea { return VolumePerArea(l) }

// Times returns the prism of base a and height h.
func (a Area) Times(h Length) Volume { return Volume(float64(a) * float64(h)) }

// OverLength returns the other side of the rectangle of area a and side l.
func (a Area) OverLength(l Length) Length { return Length(float64(a) / float64(l)) }

// Over returns the volume v spread over a.
func (v Volume) Over(a Area) VolumePerArea { return VolumePerArea(float64(v) / float64(a)) }

// OverRate returns the area that v covers at the rate r.
func (v Volume) OverRate(r VolumePerArea) Area { return Area(float64(v) / float64(r)) }

// OverTime returns the flow that moves v in d.
func (v Volume) OverTime(d Duration) Flow { return Flow(float64(v) / float64(d)) }

// OverFlow returns the time in which f moves v.
func (v Volume) OverFlow(f Flow) Duration { return Duration(float64(v) / float64(f)) }

// Times returns the mass of v at the density d.
func (d Density) Times(v Volume) Mass { return Mass(float64(d) * float64(v)) }

// Over returns the mass m spread over a.
func (m Mass) Over(a Area) MassPerArea { return MassPerArea(float64(m) / float64(a)) }

// OverRate returns the area that m covers at the rate r.
func (m Mass) OverRate(r MassPerArea) Area { return Area(float64(m) / float64(r)) }

// OverVolume returns the density of a material of mass m and volume v.
func (m Mass) OverVolume(v Volume) Density { return Density(float64(m) / float64(v)) }

// OverDensity returns the volume of m at the density d.
func (m Mass) OverDensity(d Density) Volume { return Volume(float64(m) / float64(d)) }

// OverMass returns m as a fraction of the mass whole that holds it.
func (m Mass) OverMass(whole Mass) MassFraction { return MassFraction(m / whole) }

// Dissolved returns the concentration of m in the volume v that carries it.
func (m Mass) Dissolved(v Volume) Concentration { return Concentration(float64(m) / float64(v)) }

// Times returns the mass that v carries at c.
func (c Concentration) Times(v Volume) Mass { return Mass(float64(c) * float64(v)) }

// OverDensity returns c as a fraction of the mass of a liquid of density d.
func (c Concentration) OverDensity(d Density) MassFraction {
	return MassFraction(float64(c) / float64(d))
}

// Times returns the mass of the constituent in the mass m.
func (x MassFraction) Times(m Mass) Mass { return Mass(float64(x) * float64(m)) }

// At returns x as mass per volume of a material of density d.
func (x MassFraction) At(d Density) Concentration { return Concentration(float64(x) * float64(d)) }

// Times returns the mass on a at the rate r.
func (r MassPerArea) Times(a Area) Mass { return Mass(float64(r) * float64(a)) }

// OverConcentration returns the liquid rate that puts down r of a constituent
// at the concentration c.
func (r MassPerArea) OverConcentration(c Concentration) VolumePerArea {
	return VolumePerArea(float64(r) / float64(c))
}

// OverFraction returns the rate of material that puts down r of a constituent
// of which it holds the fraction x.
func (r MassPerArea) OverFraction(x MassFraction) MassPerArea {
	return MassPerArea(float64(r) / float64(x))
}

// Seeds returns the seeds on an area at the seed rate r of c seeds per mass. In
// trade units seeds/ft2 = lb/acre x seeds/lb / 43,560.
func (r MassPerArea) Seeds(c SeedsPerMass) SeedsPerArea {
	return SeedsPerArea(float64(r) * float64(c))
}

// OverCount returns the seed rate that puts down r of a seed of c per mass.
func (r SeedsPerArea) OverCount(c SeedsPerMass) MassPerArea {
	return MassPerArea(float64(r) / float64(c))
}

// Carrying returns the rate of a constituent in the material rate r at the
// fraction x.
func (r MassPerArea) Carrying(x MassFraction) MassPerArea {
	return MassPerArea(float64(r) * float64(x))
}

// Times returns the volume on a at the rate r.
func (r VolumePerArea) Times(a Area) Volume { return Volume(float64(r) * float64(a)) }

// Depth returns r as a depth of liquid.
func (r VolumePerArea) Depth() Length { return Length(r) }

// Carrying returns the rate of a constituent in the liquid rate r at the
// concentration c. In trade units lb/1000 gal times gal/acre over 1000 is
// lb/acre, exactly.
func (r VolumePerArea) Carrying(c Concentration) MassPerArea {
	return MassPerArea(float64(r) * float64(c))
}

// Times returns the volume that f moves in d.
func (f Flow) Times(d Duration) Volume { return Volume(float64(f) * float64(d)) }

// OverSwath returns the rate that f puts down behind a tool of width w that
// moves at v. In trade units gal/acre = 495 gpm/(mph ft).
func (f Flow) OverSwath(v Speed, w Length) VolumePerArea {
	return VolumePerArea(float64(f) / (float64(v) * float64(w)))
}

// OverArea returns the depth rate of f over a.
func (f Flow) OverArea(a Area) DepthRate { return DepthRate(float64(f) / float64(a)) }

// Times returns the distance at v in d.
func (v Speed) Times(d Duration) Length { return Length(float64(v) * float64(d)) }

// Times returns the depth that falls in d.
func (r DepthRate) Times(d Duration) Length { return Length(float64(r) * float64(d)) }

// TimesArea returns the flow of the depth rate r on a.
func (r DepthRate) TimesArea(a Area) Flow { return Flow(float64(r) * float64(a)) }

// Over returns the power of each unit of the volume.
func (p Power) Over(v Volume) PowerPerVolume { return PowerPerVolume(float64(p) / float64(v)) }
