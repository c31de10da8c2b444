package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// table is a CSV file with its faults, which carry the line and the column.
type table struct {
	column map[string]int
	unit   map[string]string // by column, from its head
	rows   [][]string
	lines  []int
	faults *units.Faults
	name   string
}

// readTable reads a file whose head has columns of the given names only.
func readTable(name string, data []byte, allowed []string, faults *units.Faults) table {
	t := table{map[string]int{}, map[string]string{}, nil, nil, faults, name}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff")))) // spreadsheets write a mark
	r.Comment, r.TrimLeadingSpace = '#', true
	head, err := r.Read()
	if err != nil {
		faults.Sub(name, err)
		return t
	}
	for i, cell := range head {
		column, unit, _ := strings.Cut(strings.TrimSuffix(strings.TrimSpace(cell), ")"), "(")
		column = strings.TrimSpace(column)
		if _, twice := t.column[column]; twice || !slices.Contains(allowed, column) {
			faults.Add(name+" line 1", column, "each of "+strings.Join(allowed, ", ")+" at most once")
		}
		t.column[column], t.unit[column] = i, strings.TrimSpace(unit)
	}
	for {
		row, err := r.Read()
		if row == nil {
			break
		}
		line, _ := r.FieldPos(0)
		if err != nil {
			faults.Sub(fmt.Sprintf("%s line %d", name, line), err)
			continue
		}
		t.rows, t.lines = append(t.rows, row), append(t.lines, line)
	}
	return t
}

func (t table) has(column string) bool { _, ok := t.column[column]; return ok }

func (t table) cell(row int, column string) string {
	if i, ok := t.column[column]; ok {
		return strings.TrimSpace(t.rows[row][i])
	}
	return ""
}

// length returns nil for an empty cell.
func (t table) length(row int, column string) *units.Length {
	text := t.cell(row, column)
	if text == "" {
		return nil
	}
	var l units.Length
	t.faults.Sub(t.at(row, column), l.UnmarshalText([]byte(strings.TrimSpace(text+" "+t.unit[column]))))
	return &l
}

func (t table) at(row int, column string) string {
	return fmt.Sprintf("%s line %d, %s", t.name, t.lines[row], column)
}

func (t table) degrees(row int, column string) float64 {
	x, err := strconv.ParseFloat(t.cell(row, column), 64)
	if err != nil {
		t.faults.Add(t.at(row, column), t.cell(row, column), "degrees, such as -95.5012")
	}
	return x
}

// places returns where the rows lie: as they are, or in a plane amid them.
func (t table) places(frame **sludge.TangentPlane) []plane.Point {
	list := make([]plane.Point, len(t.rows))
	if !t.has("lon") {
		for i := range t.rows {
			x, y := t.length(i, "x"), t.length(i, "y")
			if x == nil || y == nil {
				t.faults.Missing(t.at(i, "x"), "x and y, or columns lon and lat")
				continue
			}
			list[i] = plane.Point{X: *x, Y: *y}
		}
		return list
	}
	all := make([]sludge.LonLat, len(t.rows))
	for i := range t.rows {
		all[i] = sludge.LonLat{Lon: t.degrees(i, "lon"), Lat: t.degrees(i, "lat")}
	}
	if *frame == nil {
		p, err := sludge.PlaneOf(all, 0)
		if t.faults.Sub(t.name, err); err != nil {
			return list
		}
		*frame = p
	}
	for i, p := range all {
		var err error
		list[i], err = (*frame).Local(p)
		t.faults.Sub(fmt.Sprintf("%s line %d", t.name, t.lines[i]), err)
	}
	return list
}

// read returns the survey in the two files, and the plane of its longitudes and
// latitudes, nil when it has x and y.
func read(soundings, boundary []byte) (spec sludge.SurveySpec, frame *sludge.TangentPlane, err error) {
	var f units.Faults
	edge := readTable("boundary", boundary, []string{"name", "x", "y", "lon", "lat"}, &f)
	points := readTable("soundings", soundings, []string{"name", "x", "y", "lon", "lat", "toSludge", "toFloor", "thickness", "levelRise"}, &f)
	if f.Err() == nil && edge.has("lon") != points.has("lon") {
		f.Say("boundary line 1", "not placed as the soundings are", "x and y in both files, or lon and lat in both")
	}
	if err := f.Err(); err != nil {
		return spec, nil, err
	}
	spec.Boundary = edge.places(&frame)
	for i, p := range points.places(&frame) {
		s := sludge.Sounding{Name: points.cell(i, "name"), At: p, ToSludge: points.length(i, "toSludge"),
			ToFloor: points.length(i, "toFloor"), Thickness: points.length(i, "thickness")}
		if rise := points.length(i, "levelRise"); rise != nil {
			s.LevelRise = *rise
		}
		spec.Soundings = append(spec.Soundings, s)
	}
	return spec, frame, f.Err()
}
