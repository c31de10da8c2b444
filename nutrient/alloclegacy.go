package nutrient

import "example.org/earthbasin/units"

// huge is above every number of the trade in SI units, and its inverse below;
// quotients of two numbers between them are finite.
const huge = 1e150

func modest(x float64) bool { return x == 0 || x > 1/huge && x < huge }

// checkModest records a fault unless q is 0 or a number that can be worked with.
func checkModest(f *units.Faults, field string, q units.Quantity) {
	if !modest(q.SI()) {
		f.Add(field, q, "0 or more")
	}
}

// checkForm records a fault when the form of m is not the one wanted.
func checkForm(f *units.Faults, field string, m measure, form Form) {
	if m.form != form {
		f.Say(field, m.form.String(), "the form of the material: "+form.String())
	}
}

// checkContent records the faults of the content c of a material.
func checkContent(f *units.Faults, field string, c Content, form Form) {
	checkForm(f, field, c.measure, form)
	checkModest(f, field, c.quantity())
}

// checkPositive records a fault unless q is above 0 and can be worked with.
func checkPositive(f *units.Faults, field string, q units.Quantity) {
	if q.SI() == 0 || !modest(q.SI()) {
		f.Add(field, q, "more than 0")
	}
}
