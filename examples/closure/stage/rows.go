package stage

// Rows is what a stage hands on besides its own result.
type Rows struct {
	Items    []Item     `json:"items,omitempty"`    // of the bill of quantities
	Open     []Open     `json:"open,omitempty"`     // questions
	Tasks    []Task     `json:"tasks,omitempty"`    // of the calendar
	Evidence []Evidence `json:"evidence,omitempty"` // to keep
	Cautions []string   `json:"cautions,omitempty"` // for the crew
}

// Add appends the rows of another stage. A caution that stands there already is not
// said again.
func (r *Rows) Add(more Rows) {
	r.Items = append(r.Items, more.Items...)
	r.Open = append(r.Open, more.Open...)
	r.Tasks = append(r.Tasks, more.Tasks...)
	r.Evidence = append(r.Evidence, more.Evidence...)
	said := map[string]bool{}
	for _, c := range r.Cautions {
		said[c] = true
	}
	for _, c := range more.Cautions {
		if !said[c] {
			r.Cautions = append(r.Cautions, c)
		}
		said[c] = true
	}
}
