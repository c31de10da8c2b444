package report

import (
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/examples/internal/chart"
)

// What a printed sheet holds, in points: the lower page of the two, Letter, less its margins,
// its running heads and the title of the document. The test in a browser holds the rest.
const (
	roomOnSheet  = 700
	headOfPart   = 44 // that of the sheets, on the first
	headOfSheet  = 34 // its heading
	headOfTable  = 34 // caption, head and what stands above them
	textLine     = 12 // of a paragraph, a note or a caution
	tableLine    = 10.4
	tableRow     = 2    // above and below the lines of a row
	blankHeight  = 20.4 // of a row to fill in
	signHeight   = 38   // of a line to sign
	confirmBox   = 50   // around what is to be confirmed
	pictureScale = 0.74 // of a picture drawn for a desk, points for pixels
	charsOnSheet = 120  // of a paragraph
	tableOnSheet = 130  // characters of a row
)

const sameCautions = "The cautions of the first of these sheets hold here too."

// onSheets parts the pages that people carry so that each fits a printed page; the parts are
// numbered, the cautions stand on the first, and each has the head of its table. Rows to fill
// in go on to the end of the paper.
func onSheets(list []Page) []Page {
	var out []Page
	room := float64(roomOnSheet - headOfPart)
	for i := range list {
		out = append(out, parts(&list[i], room)...)
		room = roomOnSheet
	}
	return out
}

// parts are the sheets of one page, at least one.
func parts(page *Page, room float64) []Page {
	fixed := float64(headOfSheet)
	for _, c := range page.Cautions {
		fixed += textHeight(c)
	}
	sheets := []Page{*page}
	sheets[0].Blocks, sheets[0].Confirm = nil, nil
	used := fixed
	for _, in := range page.Intro {
		used += textHeight(in)
	}
	turn := func() {
		n := strconv.Itoa(len(sheets) + 1)
		sheets = append(sheets, Page{Key: page.Key + "-" + n, Name: page.Name, Alone: page.Alone})
		used, room = headOfSheet, roomOnSheet
		if page.Cautions != nil {
			sheets[len(sheets)-1].Intro = []string{sameCautions}
			used += textHeight(sameCautions)
		}
		fixed = used
	}
	for i, b := range page.Blocks {
		rest, end := b, 0.0 // what goes with the last row
		for _, note := range b.Notes {
			end += textHeight(note)
		}
		end += signHeight * float64(len(b.Sign))
		if b.Picture != nil {
			_, height := b.Picture.Draw(chart.Wide)
			end += pictureScale*height + textHeight(b.Caption+b.Picture.Desc) + headOfTable
		}
		if i == len(page.Blocks)-1 && page.Confirm != nil {
			end += confirmBox
			for _, c := range page.Confirm {
				end += textHeight(c.By + c.What)
			}
		}
		var heights []float64
		if b.Table != nil {
			heights = rowHeights(b.Table)
		}
		for {
			n, height := 0, 0.0
			if b.Picture == nil {
				height = headOfTable
			}
			for n < len(heights) && used+height+heights[n] <= room {
				height += heights[n]
				n++
			}
			here := &sheets[len(sheets)-1]
			whole := n == len(heights)
			if whole && used+height+end <= room || used == fixed && n < 2 {
				here.Blocks = append(here.Blocks, rest)
				used += height + end
				break
			}
			if whole {
				n-- // the last row goes with the notes and the signatures
			}
			if n > 1 { // not a row alone below its head
				part := *rest.Table
				part.Rows = rest.Table.Rows[:n]
				here.Blocks = append(here.Blocks, Block{Caption: b.Caption, Table: &part})
				left := *rest.Table
				left.Rows = rest.Table.Rows[n:]
				rest.Table, heights = &left, rowHeights(&left)
			}
			turn()
		}
	}
	last := len(sheets) - 1
	sheets[last].Confirm = page.Confirm
	grow(&sheets[last], room-used)
	if last > 0 {
		for i := range sheets {
			sheets[i].Name += ", " + strconv.Itoa(i+1) + " of " + strconv.Itoa(last+1)
		}
	}
	return sheets
}

// mostBlank is how many rows to fill in a table gets at most.
const mostBlank = 30

// grow adds rows to the tables that end in rows to fill in, in turn, while there is room.
func grow(sheet *Page, room float64) {
	for more := true; more; {
		more = false
		for i := range sheet.Blocks {
			t := sheet.Blocks[i].Table
			if t == nil || len(t.Rows) == 0 || room < blankHeight || len(t.Rows) >= mostBlank {
				continue
			}
			if last := t.Rows[len(t.Rows)-1]; !slices.ContainsFunc(last, func(c string) bool { return c != Blank }) {
				longer := *t
				longer.Rows = append(slices.Clip(t.Rows), last)
				sheet.Blocks[i].Table, room, more = &longer, room-blankHeight, true
			}
		}
	}
}

// textHeight is how high a paragraph is.
func textHeight(text string) float64 {
	return 4 + textLine*float64(len(broken(parted(text), charsOnSheet)))
}

// rowHeights is how high the rows of a table are, with its columns as wide as text has them.
func rowHeights(t *Table) []float64 {
	var rows [][]string
	for _, r := range t.Rows {
		r = slices.Clone(r)
		for j, cell := range r {
			if cell == Blank {
				r[j] = strings.Repeat("_", 8)
			}
		}
		rows = append(rows, r)
	}
	widths := columnWidths(append([][]string{t.Head}, rows...), tableOnSheet)
	var heights []float64
	for i, r := range rows {
		lines := 1
		for j, cell := range r {
			lines = max(lines, len(broken(cell, widths[j])))
		}
		height := tableRow + tableLine*float64(lines)
		if slices.Contains(t.Rows[i], Blank) {
			height = max(height, blankHeight)
		}
		heights = append(heights, height)
	}
	return heights
}
