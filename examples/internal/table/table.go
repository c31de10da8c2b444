package table

import (
	"bytes"
	"encoding"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

// mostFaults is how many rows may be at fault before the rest is not looked at.
const mostFaults = 200

// Table is a file of rows under a head, with its faults, which carry the line and
// the column of the file.
type Table struct {
	name    string
	columns map[string]column // by the name that the program knows
	rows    [][]string
	lines   []int
	parted  rune // by which the cells are
	faults  *units.Faults
}

// column is where a column stands, its name in the file, and its unit there.
type column struct {
	index      int
	name, unit string
}

// Read reads a file whose head has columns of the given names only, each at most
// once and in any order. Capitals, spaces, hyphens and underscores make no difference
// in a name; behind it may stand the unit of the column in brackets, as in
// "To sludge (ft)". Lines that start with # are passed over.
//
// Cells are parted by tabs, semicolons or commas, whichever the head has, or as a
// first line such as "sep=;" says. Spreadsheets part by semicolons where the comma is
// the decimal sign, so it is that here; between tabs it could be either, and a comma
// in a number is a fault.
func Read(name string, data []byte, columns []string, faults *units.Faults) *Table {
	t := &Table{name: name, columns: map[string]column{}, faults: faults}
	text, ok := decode(name, data, faults)
	if !ok {
		return t
	}
	t.parted, text = separator(text)
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.Comment, r.TrimLeadingSpace = t.parted, '#', t.parted != '\t'
	if t.head(r, columns) {
		t.body(r)
	}
	return t
}

// separator returns what parts the cells, and the text with a line that only says so
// made a comment, so that the others keep their numbers.
func separator(text []byte) (rune, []byte) {
	for line := range bytes.Lines(text) {
		line := bytes.TrimRight(line, "\n")
		if sign, ok := bytes.CutPrefix(line, []byte("sep=")); ok && len(sign) == 1 && bytes.ContainsAny(sign, ",;\t") {
			return rune(sign[0]), bytes.Replace(text, line, []byte("#"), 1)
		}
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		for _, sign := range "\t;" {
			if bytes.ContainsRune(line, sign) {
				return sign, text
			}
		}
		break
	}
	return ',', text
}

// folded is a name without what makes no difference.
func folded(name string) string {
	return strings.NewReplacer(" ", "", "-", "", "_", "").Replace(strings.ToLower(name))
}

func (t *Table) head(r *csv.Reader, columns []string) bool {
	want := "columns of " + strings.Join(columns, ", ") + ", each at most once"
	head, err := r.Read()
	if err != nil {
		t.faults.Missing(t.name, "a first line that names its "+want)
		return false
	}
	known := map[string]string{}
	for _, c := range columns {
		known[folded(c)] = c
	}
	for i, cell := range head {
		name, unit, _ := strings.Cut(strings.TrimSuffix(strings.TrimSpace(cell), ")"), "(")
		name = strings.TrimSpace(name)
		c, ok := known[folded(name)]
		if _, twice := t.columns[c]; twice || !ok {
			line, _ := r.FieldPos(i)
			t.faults.Add(t.line(line), name, want)
		}
		t.columns[c] = column{i, name, strings.TrimSpace(unit)}
	}
	return true
}

func (t *Table) body(r *csv.Reader) {
	for wrong := 0; ; {
		row, err := r.Read()
		if err == io.EOF {
			return
		}
		if err == nil {
			line, _ := r.FieldPos(0)
			t.rows, t.lines = append(t.rows, row), append(t.lines, line)
			continue
		}
		if wrong++; wrong > mostFaults {
			t.faults.Say(t.name, fmt.Sprintf("more than %d rows at fault", mostFaults), "fewer; the rest was not looked at")
			return
		}
		at := (*csv.ParseError)(nil)
		errors.As(err, &at)
		if at.Err == csv.ErrFieldCount {
			t.faults.Count(t.line(at.StartLine), len(row), "cells", "%v, as in the head", r.FieldsPerRecord)
		} else {
			t.faults.Say(t.line(at.Line), "a cell with a stray quotation mark", `quotation marks around a whole cell, doubled within it`)
		}
	}
}

func (t *Table) line(n int) string { return fmt.Sprintf("%s line %d", t.name, n) }

// Name returns the name of the file.
func (t *Table) Name() string { return t.name }

// Len returns the number of rows under the head.
func (t *Table) Len() int { return len(t.rows) }

// Has reports whether the head has the column.
func (t *Table) Has(column string) bool { _, ok := t.columns[column]; return ok }

// Line returns where a row stands in the file, as faults name it.
func (t *Table) Line(row int) string { return t.line(t.lines[row]) }

// At returns where a cell stands in the file, as faults name it.
func (t *Table) At(row int, column string) string {
	if c, ok := t.columns[column]; ok {
		column = c.name
	}
	return t.Line(row) + ", " + column
}

// Text returns a cell, empty when the head does not have the column.
func (t *Table) Text(row int, column string) string {
	if c, ok := t.columns[column]; ok {
		return strings.TrimSpace(t.rows[row][c.index])
	}
	return ""
}

// Number returns a cell that holds a number without a unit. Anything else is a fault
// that says want.
func (t *Table) Number(row int, column, want string) float64 {
	text, ok := t.decimal(row, column)
	x, err := strconv.ParseFloat(text, 64)
	if ok && err != nil {
		t.faults.Add(t.At(row, column), t.Text(row, column), want)
	}
	return x
}

// Length returns a cell that holds a length, whose unit stands in the cell or in the
// head; nil when it is empty.
func (t *Table) Length(row int, column string) *units.Length {
	var l units.Length
	if !t.Into(row, column, &l) {
		return nil
	}
	return &l
}

// Into reads a cell with a quantity, whose unit stands in the cell or in the head, or
// other text; it reports whether the cell holds anything.
func (t *Table) Into(row int, column string, into encoding.TextUnmarshaler) bool {
	text, ok := t.decimal(row, column)
	if text == "" {
		return false
	}
	if err := into.UnmarshalText([]byte(strings.TrimSpace(text + " " + t.columns[column].unit))); ok && err != nil {
		t.faults.Sub(t.At(row, column), err)
	}
	return true
}

var (
	comma = regexp.MustCompile(`([0-9]),([0-9])`)
	point = regexp.MustCompile(`[0-9]\.[0-9]`)
)

// decimal returns a cell with decimal points.
func (t *Table) decimal(row int, column string) (text string, ok bool) {
	text = t.Text(row, column)
	if t.parted == ',' || !comma.MatchString(text) {
		return text, true
	}
	switch {
	case t.parted == '\t':
		t.faults.Add(t.At(row, column), text, "a number without a comma, which between tabs could be the decimal sign or part thousands")
		return text, false
	case point.MatchString(text) || strings.Count(text, ",") > 1:
		t.faults.Add(t.At(row, column), text, "no sign between thousands; where semicolons part the cells the comma is the decimal sign")
		return text, false
	}
	return comma.ReplaceAllString(text, "$1.$2"), true
}
