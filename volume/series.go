package volume

import "example.org/earthbasin/units"

// Series returns the volume of each row over its height, in the given units, which
// must be above 0.
func (t StageTable) Series(height units.Length, volume units.Volume) units.Series {
	s := make(units.Series, len(t))
	for i, r := range t {
		s[i] = [2]float64{r.Height.In(height), r.Volume.In(volume)}
	}
	return s
}
