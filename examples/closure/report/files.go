package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

// JSON is the pages as data, for a program that lays them out itself.
func (d *Document) JSON() ([]byte, error) {
	text, err := json.MarshalIndent(d, "", "  ")
	return append(text, '\n'), err
}

// CSV is the bill of quantities in the long form, a line for each quantity and each
// amount of money, with numbers apart from their units: for bids and for spreadsheets.
func CSV(of *plan.Plan, style units.Style) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	currency := ""
	if m := of.Scenario.Money; m != nil {
		currency = m.Currency
	}
	w.Write([]string{"key", "item", "figure", "best", "low", "high", "unit", "source"})
	for _, i := range of.Results.Bill.Items {
		name, how := cell(style.Phrase(i.What.Item)), cell(style.Phrase(i.What.How))
		if best, unit, ok := numeric(style, i.What.Value); ok {
			low, _, _ := numeric(style, i.Low)
			high, _, _ := numeric(style, i.High)
			w.Write([]string{i.Key, name, "quantity", best, low, high, unit, how})
		} else if text := style.Text(i.What.Value); text != "" {
			w.Write([]string{i.Key, name, "quantity", cell(text), "", "", "", how})
		}
		if i.Hours > 0 {
			w.Write([]string{i.Key, name, "time", decimal(i.Hours.In(units.Hour)), "", "", "h", how})
		}
		if c := i.Cost; c != nil {
			w.Write([]string{i.Key, name, "cost", decimal(c.Likely), decimal(c.Low), decimal(c.High), currency, how})
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// cell is text that no spreadsheet takes for a formula.
func cell(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}

// numeric is a quantity or a count as a number and its unit in the style's system.
func numeric(style units.Style, v any) (number, unit string, ok bool) {
	switch v := v.(type) {
	case units.Shown:
		return numeric(style, v.Quantity)
	case units.Quantity:
		x, unit := style.System.Number(v)
		return decimal(x), unit, true
	case units.Count:
		return strconv.Itoa(v.N), v.Of, true
	case int:
		return strconv.Itoa(v), "each", true
	case float64:
		return decimal(v), "", true
	}
	return "", "", false
}

func decimal(x float64) string { return strconv.FormatFloat(x+0, 'f', 2, 64) }
