package ledger

import (
	"bytes"
	"encoding"
	"encoding/csv"
	"strconv"

	"example.org/earthbasin/examples/internal/table"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

const (
	mostRecords = 20_000
	mostReports = 1_000
)

// columns are those of the records as a table, one line a record.
var columns = []string{"day", "field", "material", "machine", "operator", "amount", "loads", "load", "meterStart", "meterEnd", "area", "rate", "weather", "note"}

// ReadCSV reads records from a table with the columns day, field, material, machine,
// operator, amount, loads, load, meterStart, meterEnd, area, rate, weather and note, in
// any order; the unit of a column may stand in its head. Every fault is reported, with
// the line and the column.
func ReadCSV(name string, data []byte) (Book, error) {
	var f units.Faults
	t := table.Read(name, data, columns, &f)
	if t.Len() > mostRecords {
		f.Count(name, t.Len(), "records", "%v or fewer", mostRecords)
		return Book{}, f.Err()
	}
	var b Book
	for i := range t.Len() {
		b.Records = append(b.Records, readRecord(t, i, &f))
	}
	if err := f.Err(); err != nil {
		return Book{}, err
	}
	return b, nil
}

// readRecord reads a line, and checks it by itself.
func readRecord(t *table.Table, i int, f *units.Faults) Record {
	r := Record{at: t.Line(i)}
	before := f.Len()
	t.Into(i, "day", &r.Day)
	r.Field, r.Material = t.Text(i, "field"), t.Text(i, "material")
	r.Machine, r.Operator = t.Text(i, "machine"), t.Text(i, "operator")
	r.Weather, r.Note = t.Text(i, "weather"), t.Text(i, "note")
	for _, c := range []struct {
		column string
		to     encoding.TextUnmarshaler
	}{{"amount", &r.Amount}, {"load", &r.Load}, {"area", &r.Area}, {"rate", &r.Rate}} {
		t.Into(i, c.column, c.to)
	}
	if t.Text(i, "loads") != "" {
		r.Loads = t.Number(i, "loads", "a number of loads")
	}
	r.MeterStart, r.MeterEnd = reading(t, i, "meterStart"), reading(t, i, "meterEnd")
	if f.Len() > before {
		return r // what could not be read would be reported again as missing
	}
	var own units.Faults
	r.check(&own)
	for _, e := range units.FieldErrors(own.Err()) {
		f.Sub("", e.At(t.At(i, e.Field)))
	}
	return r
}

// reading is that of a meter, nil where the cell is empty.
func reading(t *table.Table, i int, column string) *units.Volume {
	var v units.Volume
	if !t.Into(i, column, &v) {
		return nil
	}
	return &v
}

// WriteCSV writes the records as a table that [ReadCSV] reads back to the same bits.
func (b Book) WriteCSV() ([]byte, error) {
	var f units.Faults
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Write(columns) // to memory, which takes everything
	for i := range b.Records {
		r := b.Records[i]
		at := r.At(&f, &f, i)
		r.check(&at)
		loads := ""
		if r.Loads != 0 {
			loads = strconv.FormatFloat(r.Loads, 'g', -1, 64)
		}
		w.Write([]string{r.Day.String(), r.Field, r.Material, r.Machine, r.Operator, amountText(r.Amount), loads, amountText(r.Load),
			volumeText(r.MeterStart), volumeText(r.MeterEnd), areaText(r.Area), rateText(r.Rate), r.Weather, r.Note})
	}
	w.Flush()
	if err := f.Err(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// ReadBook reads records and reports from JSON, and checks each by itself. Every fault
// is reported, with its path, line and column.
func ReadBook(data []byte) (Book, error) {
	var b Book
	err := strict.Check(data, &b, func() error {
		var f units.Faults
		b.check(&f, &f)
		return f.Err()
	})
	if err != nil {
		return Book{}, err
	}
	return b, nil
}

// check records what is wrong with each record and report by itself; f is the part of all
// the input where the book stands.
func (b *Book) check(all, f *units.Faults) {
	f.CountBetween("records", len(b.Records), "records", 0, mostRecords)
	f.CountBetween("reports", len(b.Reports), "reports", 0, mostReports)
	for i := range b.Records {
		at := b.Records[i].At(all, f, i)
		b.Records[i].check(&at)
	}
	for i, r := range b.Reports {
		at := f.At("reports", i)
		r.Day.Check(&at, "day")
		if r.Material == "" {
			at.Missing("material", "a name")
		}
		_, err := nutrient.Analyze(r.Report)
		at.Sub("report", err)
	}
}

// exact is the text in the trade's unit where it reads back to the same bits, else that
// in SI units.
func exact[T interface {
	comparable
	encoding.TextMarshaler
}](v T, text string, parse func(string) (T, error)) string {
	if back, err := parse(text); err == nil && back == v {
		return text
	}
	si, _ := v.MarshalText() // a sound value always has a text
	return string(si)
}

func in(x float64, unit string) string { return strconv.FormatFloat(x, 'f', -1, 64) + " " + unit }

func amountText(a nutrient.Amount) string {
	if v, ok := a.Volume(); ok {
		return volumeText(&v)
	}
	if m, ok := a.Mass(); ok {
		return exact(m, in(m.In(units.Ton), "ton"), units.ParseMass)
	}
	return ""
}

func volumeText(v *units.Volume) string {
	if v == nil {
		return ""
	}
	return exact(*v, in(v.In(units.Gallon), "gal"), units.ParseVolume)
}

func areaText(a units.Area) string {
	if a == 0 {
		return ""
	}
	return exact(a, in(a.In(units.Acre), "acre"), units.ParseArea)
}

func rateText(r nutrient.Rate) string {
	if v, ok := r.VolumePerArea(); ok {
		return exact(v, in(v.In(units.GallonPerAcre), "gal/acre"), units.ParseVolumePerArea)
	}
	if m, ok := r.MassPerArea(); ok {
		return exact(m, in(m.In(units.TonPerAcre), "ton/acre"), units.ParseMassPerArea)
	}
	return ""
}
