// Package report lays the plan of a closure out for readers: as text, as one HTML
// page with pictures, and as JSON.
package report

import (
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/internal/chart"
	"example.org/earthbasin/units"
)

// Document is a plan for readers: the results of the library as data, and the same
// laid out as pages to read in the order in which the work is done.
type Document struct {
	Title    string        `json:"title"`
	Date     string        `json:"date"`
	Site     string        `json:"site"`
	Decision []string      `json:"decision"` // the plan in a few sentences
	Steps    []Step        `json:"steps"`
	Results  *plan.Results `json:"results"`
}

// Step is one step of the work, or one closing page.
type Step struct {
	Name     string    `json:"name"`
	Intro    string    `json:"intro,omitempty"`
	Blocks   []Block   `json:"blocks"`
	Cautions []string  `json:"cautions,omitempty"`
	Confirm  []Confirm `json:"confirm,omitempty"`
	OwnPage  bool      `json:"-"` // starts a page of its own in print
}

// Block is a table with its caption, the working of a result, or a picture.
type Block struct {
	Caption string        `json:"caption"`
	Working units.Working `json:"working,omitempty"`
	Table   *Table        `json:"table,omitempty"`
	Picture *chart.Chart  `json:"-"`
	Notes   []string      `json:"notes,omitempty"`
}

// Table is rows under a head; the first Left columns are text, the others are
// figures.
type Table struct {
	Head []string   `json:"head"`
	Left int        `json:"-"`
	Rows [][]string `json:"rows"`
}

// Confirm is something that has to be confirmed by somebody else.
type Confirm struct {
	By   string `json:"by"`
	What string `json:"what"`
}
