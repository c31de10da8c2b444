package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"
)

const lineWidth = 96

// renderText lays the plan out for a terminal or a plain print.
func renderText(p *Plan) ([]byte, error) {
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
	fmt.Fprintf(b, "\n%s\n", block.Caption)
	if block.Working != nil {
		t := Table{Left: 1}
		for _, l := range block.Working {
			t.Rows = append(t.Rows, []string{l.Item, l.Value, l.How})
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

// textTable sets columns to their widest cell; figures are right-aligned. The
// last column of a working is prose and takes what is left of the line.
func textTable(b *bytes.Buffer, t *Table, working bool) {
	rows := t.Rows
	if t.Head != nil {
		rule := make([]string, len(t.Head))
		rows = append([][]string{t.Head, rule}, t.Rows...)
	}
	var widths []int
	for _, r := range rows {
		for j, cell := range r {
			if j == len(widths) {
				widths = append(widths, 0)
			}
			if !(working && j == 2) {
				widths[j] = max(widths[j], utf8.RuneCountInString(cell))
			}
		}
	}
	for i, r := range rows {
		var line strings.Builder
		line.WriteString("  ")
		for j, cell := range r {
			pad := strings.Repeat(" ", max(0, widths[j]-utf8.RuneCountInString(cell)))
			switch {
			case t.Head != nil && i == 1:
				line.WriteString(strings.Repeat("-", widths[j]) + "  ")
			case working && j == 2 && cell != "":
				line.WriteString("[" + cell + "]")
			case j < t.Left || working && j == 2:
				line.WriteString(cell + pad + "  ")
			default:
				line.WriteString(pad + cell + "  ")
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

// wrap writes text after prefix, broken at words, later lines indented like it.
func wrap(b *bytes.Buffer, prefix, text string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(prefix))
	line := prefix
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > lineWidth {
			b.WriteString(line + "\n")
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(line + "\n")
}

func renderJSON(p *Plan) ([]byte, error) {
	text, err := json.MarshalIndent(p, "", "  ")
	return append(text, '\n'), err
}
