package report

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

const lineWidth = 96

// Text lays the plan out for a terminal or a plain print.
func (d *Document) Text() ([]byte, error) {
	var b bytes.Buffer
	heading(&b, d.Title, "=")
	wrap(&b, "", strings.Join(slices.DeleteFunc([]string{d.Site, d.Date}, func(s string) bool { return s == "" }), ", "))
	for _, part := range d.Parts {
		b.WriteString("\n\n")
		heading(&b, strings.ToUpper(part.Name), "=")
		for i, p := range part.Pages {
			b.WriteString("\n")
			heading(&b, fmt.Sprintf("%d. %s", i+1, p.Name), "-")
			for _, c := range p.Cautions {
				wrap(&b, "  ! CAUTION: ", c)
			}
			for _, in := range p.Intro {
				wrap(&b, "", in)
			}
			for _, block := range p.Blocks {
				textBlock(&b, block)
			}
			for _, c := range p.Confirm {
				wrap(&b, "  ? Confirm with "+c.By+": ", c.What)
			}
		}
	}
	return b.Bytes(), nil
}

func heading(b *bytes.Buffer, text, under string) {
	b.WriteString(text + "\n" + strings.Repeat(under, utf8.RuneCountInString(text)) + "\n")
}

func textBlock(b *bytes.Buffer, block Block) {
	b.WriteByte('\n')
	wrap(b, "", block.Caption)
	if block.Table != nil {
		textTable(b, block.Table)
	}
	if block.Picture != nil {
		wrap(b, "  ", block.Picture.Desc)
	}
	for _, n := range block.Notes {
		wrap(b, "  * ", n)
	}
	for _, who := range block.Sign {
		fmt.Fprintf(b, "  %-28s name %s  signature %s  date %s\n", who, strings.Repeat("_", 16), strings.Repeat("_", 16), strings.Repeat("_", 10))
	}
}

// textTable sets columns to their widest cell; figures are right-aligned. Columns
// of prose are narrowed until the table fits the line, their cells broken at words.
func textTable(b *bytes.Buffer, t *Table) {
	working := t.Head == nil
	rows := t.Rows
	if !working {
		rows = append([][]string{t.Head}, rows...)
	}
	prose := func(j int) bool { return j < t.Left || working && j == 2 }
	var widths, words []int // of the widest cell and the longest word of a column
	for _, r := range rows {
		for j, cell := range r {
			if j == len(widths) {
				widths, words = append(widths, 0), append(words, 0)
			}
			widths[j] = max(widths[j], utf8.RuneCountInString(cell))
			for _, word := range wordsOf(cell) {
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
			b.WriteString(parted(strings.TrimRight(line, " ")) + "\n")
		}
		if !working && i == 0 {
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

// wordsOf parts text at its spaces, but not at those that do not break.
func wordsOf(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' })
}

// broken cuts text at words into lines of at most width, but for longer words.
func broken(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range wordsOf(text) {
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
	for _, line := range broken(parted(text), lineWidth-indent) {
		b.WriteString(prefix + line + "\n")
		prefix = strings.Repeat(" ", indent)
	}
}
