package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"

	"example.org/earthbasin/units"
)

const lineWidth = 96

// Text lays the plan out for a terminal or a plain print.
func (p *Document) Text() ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\n%s\n%s, %s\n\n", p.Title, strings.Repeat("=", utf8.RuneCountInString(p.Title)), p.Site, p.Date)
	for _, d := range p.Decision {
		wrap(&b, "- ", d)
	}
	for i, s := range p.Steps {
		head := fmt.Sprintf("%d. %s", i+1, s.Name)
		fmt.Fprintf(&b, "\n\n%s\n%s\n", head, strings.Repeat("-", utf8.RuneCountInString(head)))
		if s.Intro != "" {
			wrap(&b, "", s.Intro)
		}
		for _, c := range s.Cautions {
			wrap(&b, "  ! CAUTION: ", c)
		}
		for _, block := range s.Blocks {
			textBlock(&b, block)
		}
		for _, c := range s.Confirm {
			wrap(&b, "  ? Confirm with "+c.By+": ", c.What)
		}
	}
	return b.Bytes(), nil
}

func textBlock(b *bytes.Buffer, block Block) {
	b.WriteByte('\n')
	wrap(b, "", block.Caption)
	if block.Working != nil {
		t := Table{Left: 1}
		for _, l := range block.Working {
			item, value, how := units.Style{}.Line(l)
			if how != "" {
				how = "[" + how + "]"
			}
			t.Rows = append(t.Rows, []string{item, value, how})
		}
		textTable(b, &t, true)
	}
	if block.Table != nil {
		textTable(b, block.Table, false)
	}
	if block.Picture != nil {
		wrap(b, "  ", block.Picture.Desc)
	}
	for _, n := range block.Notes {
		wrap(b, "  * ", n)
	}
}

// textTable sets columns to their widest cell; figures are right-aligned. Columns
// of prose are narrowed until the table fits the line, their cells broken at words.
func textTable(b *bytes.Buffer, t *Table, working bool) {
	rows := t.Rows
	if t.Head != nil {
		rows = append([][]string{t.Head}, t.Rows...)
	}
	prose := func(j int) bool { return j < t.Left || working && j == 2 }
	var widths, words []int // of the widest cell and the longest word of a column
	for _, r := range rows {
		for j, cell := range r {
			if j == len(widths) {
				widths, words = append(widths, 0), append(words, 0)
			}
			widths[j] = max(widths[j], utf8.RuneCountInString(cell))
			for _, word := range strings.Fields(cell) {
				words[j] = max(words[j], utf8.RuneCountInString(word))
			}
		}
	}
	for total(widths) > lineWidth {
		widest := -1
		for j, w := range widths {
			if !prose(j) || w <= words[j] {
				continue
			}
			if working && j == 2 && w > lineWidth/3 {
				widest = j // how a line was worked out gives way first
			} else if widest < 0 || w > widths[widest] {
				widest = j
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
	}
	for i, r := range rows {
		cells := make([][]string, len(r))
		lines := 1
		for j, cell := range r {
			cells[j] = []string{cell}
			if prose(j) {
				cells[j] = broken(cell, widths[j])
			}
			lines = max(lines, len(cells[j]))
		}
		for k := range lines {
			line := ""
			for j := range r {
				cell := ""
				if k < len(cells[j]) {
					cell = cells[j][k]
				}
				pad := strings.Repeat(" ", max(0, widths[j]-utf8.RuneCountInString(cell)))
				if prose(j) {
					line += "  " + cell + pad
				} else {
					line += "  " + pad + cell
				}
			}
			b.WriteString(strings.TrimRight(line, " ") + "\n")
		}
		if t.Head != nil && i == 0 {
			for _, w := range widths {
				b.WriteString("  " + strings.Repeat("-", w))
			}
			b.WriteString("\n")
		}
	}
}

// total is the length of a line of columns with two spaces before each.
func total(widths []int) int {
	sum := 0
	for _, w := range widths {
		sum += 2 + w
	}
	return sum
}

// broken cuts text at words into lines of at most width, but for longer words.
func broken(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// wrap writes text after prefix, broken at words, later lines indented like it.
func wrap(b *bytes.Buffer, prefix, text string) {
	indent := utf8.RuneCountInString(prefix)
	for _, line := range broken(text, lineWidth-indent) {
		b.WriteString(prefix + line + "\n")
		prefix = strings.Repeat(" ", indent)
	}
}

// JSON is the pages and the results as data.
func (p *Document) JSON() ([]byte, error) {
	text, err := json.MarshalIndent(p, "", "  ")
	return append(text, '\n'), err
}

// texts returns phrases in US English.
func texts(phrases []units.Phrase) []string {
	var list []string
	for _, p := range phrases {
		list = append(list, p.String())
	}
	return list
}
