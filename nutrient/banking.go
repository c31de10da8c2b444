package nutrient

import "example.org/earthbasin/units"

// Room returns the total P2O5 that one application may bring under the rule when
// each crop takes off removal: removal x years / share that counts. The rule and
// the removal are taken as they are; [Budget] checks a plan against them.
func (b Banking) Room(removal units.MassPerArea) units.MassPerArea {
	return units.MassPerArea(float64(removal) * float64(b.Years) / b.Available)
}
