package stage

import "example.org/earthbasin/units"

// Item is a line of the bill of quantities.
type Item struct {
	// Key names the line for programs and stays the same from version to version, such
	// as "closing.fill.import".
	Key string `json:"key"`
	// What is the thing in plain words, how much of it by the best figure (a quantity or
	// a count; nil for a lump sum), and how that came about or where it is from.
	What units.Line `json:"what"`
	// Low and High are the quantity's interval, of the type of its best figure; nil where
	// it is exact or nobody knows.
	Low  any `json:"-"`
	High any `json:"-"`
	// Hours are those of the machines and the crew; 0 where they are counted elsewhere.
	Hours units.Duration `json:"hours,omitempty"`
	// Cost is in the currency of the scenario; nil where no price was told.
	Cost *Cost `json:"cost,omitempty"`
}

// Cost is an amount of money with its interval: Low at most Likely at most High. All
// three are the same where the amount is sure. What is paid to the owner is negative.
type Cost struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
}

// Sure is an amount without doubt.
func Sure(amount float64) *Cost { return &Cost{amount, amount, amount} }

// Plus adds two costs whose doubt goes together: low to low and high to high. A nil
// cost is unknown, and so is the sum.
func (c *Cost) Plus(d *Cost) *Cost {
	if c == nil || d == nil {
		return nil
	}
	return &Cost{c.Low + d.Low, c.Likely + d.Likely, c.High + d.High}
}

// Total adds the costs of the items that have one and returns the keys of those that
// have none.
func Total(items []Item) (sum Cost, unpriced []string) {
	for _, i := range items {
		if i.Cost == nil {
			unpriced = append(unpriced, i.Key)
			continue
		}
		sum = *sum.Plus(i.Cost)
	}
	return sum, unpriced
}
