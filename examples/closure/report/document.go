// Package report lays the plan of a closure out for readers: a summary of two pages,
// sheets that people carry, and an annex with every working, as text, as one HTML file
// with pictures, and as data. It knows no formula: every figure is the plan's.
package report

import (
	"strings"

	"example.org/earthbasin/examples/internal/chart"
)

// Document is a plan for readers, in the units and words of one style.
type Document struct {
	Title string `json:"title"`
	Site  string `json:"site,omitempty"`
	Date  string `json:"date,omitempty"`
	Parts []Part `json:"parts"`
}

// Part is the summary, the sheets or the annex.
type Part struct {
	Key   string `json:"key"` // one of PartKeys
	Name  string `json:"name"`
	Pages []Page `json:"pages"`
}

// PartKeys are the parts that a document may have, in their order.
func PartKeys() []string { return []string{"summary", "sheets", "annex"} }

// Page is a piece of a part under its own heading.
type Page struct {
	Key      string    `json:"key"` // stays the same from version to version
	Name     string    `json:"name"`
	Intro    []string  `json:"intro,omitempty"` // paragraphs
	Cautions []string  `json:"cautions,omitempty"`
	Blocks   []Block   `json:"blocks,omitempty"`
	Confirm  []Confirm `json:"confirm,omitempty"`
	Alone    bool      `json:"alone,omitempty"` // starts a page of its own in print
}

// Block is a table, a picture with its figures, a list or lines to sign, under its caption.
type Block struct {
	Caption string       `json:"caption"`
	Table   *Table       `json:"table,omitempty"`
	Picture *chart.Chart `json:"-"`
	Shows   *Table       `json:"shows,omitempty"` // figures of the picture, for who does not see it
	Notes   []string     `json:"notes,omitempty"`
	Sign    []string     `json:"sign,omitempty"` // who signs, each with a line for name, signature and date
}

// Table is rows under a head. The first Left columns are text, the others are figures;
// the first cell of a row names it.
type Table struct {
	Head []string   `json:"head,omitempty"` // none in a working: item, value, how
	Left int        `json:"-"`
	Rows [][]string `json:"rows"`
}

// Blank is a cell to be filled in by hand.
const Blank = "______"

// Confirm is something that has to be confirmed by somebody else.
type Confirm struct {
	By   string `json:"by"`
	What string `json:"what"`
}

// unparted keeps a number and its unit, and a day and its month, on one line.
func unparted(text string) string {
	r := []rune(text)
	for i := 1; i < len(r)-1; i++ {
		if r[i] == ' ' && r[i-1] >= '0' && r[i-1] <= '9' && r[i+1] != ' ' && r[i+1] != '(' {
			r[i] = '\u00a0'
		}
	}
	return string(r)
}

// parted turns spaces that do not break into plain ones, for text that is laid out in
// columns.
func parted(text string) string { return strings.ReplaceAll(text, "\u00a0", " ") }
