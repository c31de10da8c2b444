package cover

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// BidItem is one line of the bill of quantities that all bidders price.
type BidItem struct {
	Name     string  `json:"name"`     // what is built or bought
	Quantity float64 `json:"quantity"` // more than 0
	Unit     string  `json:"unit"`     // what Quantity counts: acre, yd3, lump sum
}

// Bid is the offer of one bidder.
type Bid struct {
	Bidder string `json:"bidder"` // each once
	// UnitPrices are by item, 0 or more; null where the bidder gives none.
	UnitPrices []*float64 `json:"unitPrices"`
	// Stated is the total that the bid prints; 0 for none.
	Stated float64 `json:"stated"`
}

// BidsSpec is a comparison of bids for the same work.
type BidsSpec struct {
	Items   []BidItem  `json:"items"`   // 1 to 1000
	Bids    []Bid      `json:"bids"`    // 1 to 1000
	Payment float64    `json:"payment"` // cost-share payment that does not depend on the bid
	Area    units.Area `json:"area"`    // for the cost per area; 0 for none
}

// BidRow is one bid, checked.
type BidRow struct {
	Bidder   string    `json:"bidder"`   // as in the bid
	Amounts  []float64 `json:"amounts"`  // by item, 0 where there is no price
	Total    float64   `json:"total"`    // sum of the amounts
	Missing  []string  `json:"missing"`  // items without a price: the bid does not compare
	Complete bool      `json:"complete"` // there is a price for every item
	// StatedOff is the stated total less the sum, when they differ by more than
	// half a unit of money.
	StatedOff float64                 `json:"statedOff"`
	Net       float64                 `json:"net"`     // total less payment
	Above     float64                 `json:"above"`   // over the lowest complete bid, of a complete one
	PerArea   units.Price[units.Area] `json:"perArea"` // Total over the area of the spec; 0 without one
}

// BidsResult is the bids, complete ones first, by rising total.
type BidsResult struct {
	Spec   BidsSpec `json:"spec"`   // what it was worked out from
	Rows   []BidRow `json:"rows"`   // complete bids first, by rising total
	Lowest string   `json:"lowest"` // bidder of the lowest complete bid, "" when none is complete
}

// Bids works bids out anew from their unit prices, finds gaps and slips of
// addition, and ranks them. The lowest is not always the best: it says nothing of
// experience, insurance or time.
func Bids(spec BidsSpec) (BidsResult, error) {
	var f units.Faults
	f.CountBetween("items", len(spec.Items), "items", 1, mostLines)
	for i, it := range spec.Items {
		at := f.At("items", i)
		required(&at, "name", it.Name)
		required(&at, "unit", it.Unit)
		at.PositiveNumber("quantity", it.Quantity)
	}
	f.CountBetween("bids", len(spec.Bids), "bids", 1, mostLines)
	f.NotNegativeNumber("payment", spec.Payment)
	f.NotNegative("area", spec.Area)
	r := BidsResult{Spec: spec}
	bidders := map[string]bool{}
	for i, b := range spec.Bids {
		at := f.At("bids", i)
		at.Name("bidder", b.Bidder, "bid", bidders)
		at.NotNegativeNumber("stated", b.Stated)
		if len(b.UnitPrices) != len(spec.Items) {
			at.Count("unitPrices", len(b.UnitPrices), "prices", "a price or null for each of the %v items", len(spec.Items))
			continue
		}
		row := BidRow{Bidder: b.Bidder, Missing: []string{}}
		for j, p := range b.UnitPrices {
			amount := 0.0
			if p == nil {
				row.Missing = append(row.Missing, spec.Items[j].Name)
			} else {
				price := at.At("unitPrices", j)
				price.NotNegativeNumber("", *p)
				amount = *p * spec.Items[j].Quantity
			}
			row.Amounts = append(row.Amounts, amount)
			row.Total += amount
		}
		row.Complete = len(row.Missing) == 0
		if off := b.Stated - row.Total; b.Stated > 0 && math.Abs(off) > 0.5 {
			row.StatedOff = off
		}
		row.Net = row.Total - spec.Payment
		if spec.Area > 0 {
			row.PerArea = units.PricePer(row.Total, spec.Area)
		}
		if f.Err() == nil && !finite(row.Total, row.PerArea.SI()) {
			at.Add("unitPrices", row.Total, "prices whose sum, also per area, is a finite number")
		}
		r.Rows = append(r.Rows, row)
	}
	if err := f.Err(); err != nil {
		return BidsResult{}, err
	}
	slices.SortStableFunc(r.Rows, func(a, b BidRow) int {
		if a.Complete != b.Complete {
			return int(one(b.Complete) - one(a.Complete))
		}
		return cmp.Compare(a.Total, b.Total)
	})
	if low := r.Rows[0]; low.Complete {
		r.Lowest = low.Bidder
		for i := range r.Rows {
			if r.Rows[i].Complete {
				r.Rows[i].Above = r.Rows[i].Total - low.Total
			}
		}
	}
	return r, nil
}

// Working shows the ranking.
func (r BidsResult) Working() units.Working {
	var w units.Working
	for _, row := range r.Rows {
		how := units.Words("net %v, above the lowest %v", units.Money(row.Net), units.Money(row.Above))
		if len(row.Missing) > 0 {
			how = units.Words("no price for %v", units.Word(strings.Join(row.Missing, ", ")))
		}
		if row.StatedOff != 0 {
			how = how.And("; the stated total is off by %v", units.Money(row.StatedOff))
		}
		w.Put(units.Words(row.Bidder), units.Money(row.Total), how)
	}
	return w
}

// String prints the working.
func (r BidsResult) String() string { return r.Working().String() }
