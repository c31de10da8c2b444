package nutrient

import (
	"strings"

	"example.org/earthbasin/units"
)

// Source says where the figures of a table or a set come from.
type Source struct {
	Title     string `json:"title"`     // of the publication
	Publisher string `json:"publisher"` // who put it out
	Number    string `json:"number"`    // of the publication or the rule
	Edition   string `json:"edition"`   // edition or date; editions differ in their figures
	Place     string `json:"place"`     // table, page or section
	URL       string `json:"url"`       // where it was read
}

// String returns the source as one line, without the address.
func (s Source) String() string {
	parts := make([]string, 0, 5)
	for _, p := range []string{s.Title, s.Publisher, s.Number, s.Edition, s.Place} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}

// check records what a reader would miss when looking the figures up.
func (s Source) check(f *units.Faults, path string) {
	if s.Title == "" {
		f.Missing(path+".title", "the title of the publication")
	}
	if s.Edition == "" {
		f.Missing(path+".edition", "the edition or date of the figures")
	}
	if s.Publisher == "" && s.Number == "" && s.URL == "" && s.Place == "" {
		f.Missing(path+".publisher", "a publisher, a number, a place in the text or an address")
	}
}
