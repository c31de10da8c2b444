package units

import (
	"encoding/json"
	"strings"
	"text/tabwriter"
)

// Line is one line of a result's working: what a paper form would show.
type Line struct {
	// Item is what the figure is.
	Item Phrase
	// Value is the figure, of the types of [Style.Text].
	Value any
	// How is the formula or the place it comes from, empty for an input.
	How Phrase
}

// ValueText returns the value in US English.
func (l Line) ValueText() string { return Style{}.Text(l.Value) }

// Working is the lines that show how a result came about, in the order of the
// computation: data, which a [Style] shows in any units and words, and which JSON
// keeps. Its String is a plain table in US English.
type Working []Line

// Add appends a line. Item is taken as it stands; how and args are as in [Words].
// Text as value is shown as it is.
func (w *Working) Add(item string, value any, how string, args ...any) {
	w.Put(Words(item), value, Words(how, args...))
}

// Put appends a line whose item has values in it, too.
func (w *Working) Put(item Phrase, value any, how Phrase) {
	v := valueOf(value)
	if text, ok := v.(string); ok {
		v = Word(text)
	}
	*w = append(*w, Line{item, v, how})
}

// String returns the lines as a table of three columns.
func (w Working) String() string { return Style{}.Working(w) }

type lineJSON struct {
	Item  Phrase          `json:"item"`
	Value json.RawMessage `json:"value"`
	How   Phrase          `json:"how"`
}

// MarshalJSON writes the members item, value and how; UnmarshalJSON reads them back.
func (l Line) MarshalJSON() ([]byte, error) {
	value, err := marshalValue(l.Value)
	if err != nil {
		return nil, err
	}
	return json.Marshal(lineJSON{l.Item, value, l.How})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (l *Line) UnmarshalJSON(text []byte) error {
	var j lineJSON
	if err := json.Unmarshal(text, &j); err != nil {
		return err
	}
	var value any
	if j.Value != nil {
		var err error
		if value, err = unmarshalValue(j.Value); err != nil {
			return err
		}
	}
	*l = Line{j.Item, value, j.How}
	return nil
}

// LineText is a line of a working as text.
type LineText struct {
	Item  string `json:"item"`  // what it is about
	Value string `json:"value"` // with its unit
	How   string `json:"how"`   // how it was come by; may be empty
}

// Lines returns the lines of a working as text, for a page or for JSON.
func (s Style) Lines(w Working) []LineText {
	list := make([]LineText, len(w))
	for i, l := range w {
		list[i] = LineText{s.Phrase(l.Item), s.Text(l.Value), s.Phrase(l.How)}
	}
	return list
}

// Working returns the lines as a table of three columns.
func (s Style) Working(w Working) string {
	rows := make([][]any, len(w))
	for i, l := range w {
		rows[i] = []any{l.Item, l.Value, l.How}
	}
	return s.Table(rows)
}

// Table returns rows of values as text in columns.
func (s Style) Table(rows [][]any) string {
	var b strings.Builder
	t := tabwriter.NewWriter(&b, 0, 4, 2, ' ', 0)
	for _, row := range rows {
		cells := make([]string, len(row))
		for i, v := range row {
			cells[i] = s.Text(v)
		}
		t.Write([]byte(strings.Join(cells, "\t") + "\n"))
	}
	t.Flush()
	lines := strings.Split(b.String(), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	return strings.Join(lines, "\n")
}
