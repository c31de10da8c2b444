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
	if block.Shows != nil {
		textTable(b, block.Shows)
	}
	for _, n := range block.Notes {
		wrap(b, "  * ", n)
	}
	for _, who := range block.Sign {
		fmt.Fprintf(b, "  %-28s name %s  signature %s  date %s\n", who, strings.Repeat("_", 16), strings.Repeat("_", 16), strings.Repeat("_", 10))
	}
}

// textTable sets columns to their widest cell; figures are right-aligned. Where the
// table is wider than the line, cells are broken at words, those first that make it
// the least longer.
func textTable(b *bytes.Buffer, t *Table) {
	working := t.Head == nil
	rows := t.Rows
	if !working {
		rows = append([][]string{t.Head}, rows...)
	}
	widths := columnWidths(rows, lineWidth)
	for i, r := range rows {
		cells := make([][]string, len(r))
		lines := 1
		for j, cell := range r {
			cells[j] = broken(cell, widths[j])
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
				if j < t.Left || working && j == 2 {
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

// columnWidths returns the width of each column in a line of room, at least that of its
// longest word.
func columnWidths(rows [][]string, room int) []int {
	var widths, words []int
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
	lines := make([][]int, len(widths)) // of each cell of a column
	for j, w := range widths {
		lines[j] = linesOf(rows, j, w)
	}
	for total(widths) > room {
		best, fewest := -1, 0
		var narrowed []int
		for j, w := range widths {
			if w <= words[j] {
				continue
			}
			tried := linesOf(rows, j, w-1)
			lines[j], tried = tried, lines[j]
			length := 0
			for i := range rows {
				tallest := 0
				for _, column := range lines {
					tallest = max(tallest, column[i])
				}
				length += tallest
			}
			lines[j], tried = tried, lines[j]
			if best < 0 || length < fewest || length == fewest && w > widths[best] {
				best, fewest, narrowed = j, length, tried
			}
		}
		if best < 0 {
			break
		}
		widths[best]--
		lines[best] = narrowed
	}
	return widths
}

// linesOf returns how many lines each cell of a column takes at a width.
func linesOf(rows [][]string, column, width int) []int {
	lines := make([]int, len(rows))
	for i, r := range rows {
		if column < len(r) {
			lines[i] = len(broken(r[column], width))
		}
	}
	return lines
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
