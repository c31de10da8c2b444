package cover

import "example.org/earthbasin/units"

// Source is a paper or page from which rows of a [State] were read.
type Source struct {
	ID        string `json:"id"`               // short name by which rows refer to it, each once
	Title     string `json:"title"`            // as printed, or what it is where it has none
	Publisher string `json:"publisher"`        // who answers for it
	Number    string `json:"number,omitempty"` // of a series, with chapter and page where all rows are on one
	Year      string `json:"year,omitempty"`   // of the edition, where it has one
	URL       string `json:"url,omitempty"`    // address at the publisher, may be empty
}

// String returns the source as a list of references has it.
func (s Source) String() string {
	text := s.Publisher + ", " + s.Title
	if s.Number != "" {
		text += ", " + s.Number
	}
	if s.Year != "" {
		text += " (" + s.Year + ")"
	}
	return text
}

func (s Source) check() error {
	var f units.Faults
	required(&f, "id", s.ID)
	required(&f, "title", s.Title)
	required(&f, "publisher", s.Publisher)
	return f.Err()
}

// cite names the source and the place in it for a working line: in full where the
// source is a published one, else by the words of the row.
func cite(source, place string) string {
	for _, s := range PublishedStates() {
		if full, err := s.Source(source); err == nil {
			source = full.String()
			break
		}
	}
	if place != "" {
		return source + ", " + place
	}
	return source
}
