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
	var columns []column
	for i, r := range rows {
		for j, text := range r {
			if j == len(columns) {
				columns = append(columns, column{cells: make([][]int, len(rows)), least: 0, lines: make([]int, len(rows)), narrower: make([]int, len(rows))})
			}
			c := &columns[j]
			for _, word := range wordsOf(text) {
				n := utf8.RuneCountInString(word)
				c.cells[i] = append(c.cells[i], n)
				c.least = max(c.least, n)
			}
			c.width = max(c.width, utf8.RuneCountInString(text))
		}
	}
	over := -room
	for j := range columns {
		c := &columns[j]
		c.count(c.lines, c.width)
		c.count(c.narrower, c.width-1)
		over += 2 + c.width
	}
	for ; over > 0; over-- {
		best, fewest := -1, 0
		for j := range columns {
			c := &columns[j]
			if c.width <= c.least {
				continue
			}
			c.lines, c.narrower = c.narrower, c.lines
			length := 0
			for i := range rows {
				tallest := 0
				for k := range columns {
					tallest = max(tallest, columns[k].lines[i])
				}
				length += tallest
			}
			c.lines, c.narrower = c.narrower, c.lines
			if best < 0 || length < fewest || length == fewest && c.width > columns[best].width {
				best, fewest = j, length
			}
		}
		if best < 0 {
			break
		}
		c := &columns[best]
		c.width--
		c.lines, c.narrower = c.narrower, c.lines
		c.count(c.narrower, c.width-1)
	}
	widths := make([]int, len(columns))
	for j, c := range columns {
		widths[j] = c.width
	}
	return widths
}

// column is the words of the cells of a column, by their lengths, and the lines that each
// cell takes at its width and at one less.
type column struct {
	cells           [][]int
	width, least    int
	lines, narrower []int
}

// count tells how many lines each cell takes at a width, as [broken] breaks it.
func (c *column) count(lines []int, width int) {
	for i, words := range c.cells {
		n, used := 0, 0
		for _, w := range words {
			if n == 0 || used+1+w > width {
				n, used = n+1, w
			} else {
				used += 1 + w
			}
		}
		lines[i] = n
	}
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
