package volume

import (
	"fmt"
	"math"
	"strings"
	"text/tabwriter"

	"example.org/earthbasin/units"
)

// Stage is one row of a stage-storage table.
type Stage struct {
	Height units.Length `json:"height"` // over the lowest point of the floor
	Area   units.Area   `json:"area"`   // of the level section there
	Volume units.Volume `json:"volume"` // below it
}

// StageTable is a stage-storage table from the floor upward.
type StageTable []Stage

// maxRows bounds tables and series.
const maxRows = 100_000

// StageStorageSpec asks for a stage-storage table.
type StageStorageSpec struct {
	Basin Basin        `json:"-"`    // any basin
	Step  units.Length `json:"step"` // between two rows; more than 0, and no more than 100,000 rows
}

// StageStorage returns the area and the volume of the basin at every multiple of the
// step from the floor to the top of the bank, which is always the last row. Errors are
// [units.FieldError] with the json field.
func StageStorage(spec StageStorageSpec) (StageTable, error) {
	var f units.Faults
	b, step := spec.Basin, spec.Step
	checkBasin(&f, b)
	f.UpTo("step", step, units.MaxLength)
	if err := f.Err(); err != nil {
		return nil, err
	}
	// A last step shorter than rounding is no row of its own.
	n := math.Ceil(float64(b.Depth()/step) * (1 - slack))
	if n > maxRows-1 {
		f.Add("step", step, "at least %v, which gives %v rows", b.Depth()/(maxRows-1), maxRows)
		return nil, f.Err()
	}
	var table StageTable
	for i := range int(n) {
		table = append(table, stageAt(b, units.Length(i)*step))
	}
	return append(table, stageAt(b, b.Depth())), nil
}

func stageAt(b Basin, h units.Length) Stage { return Stage{h, b.AreaAt(h), b.VolumeAt(h)} }

// String returns the table in feet, square feet, cubic feet and gallons.
func (t StageTable) String() string {
	var s strings.Builder
	w := tabwriter.NewWriter(&s, 0, 4, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "height\tarea\tvolume\tvolume\t")
	for _, r := range t {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t\n", r.Height.Text(units.Foot, 2), r.Area.Text(units.SquareFoot, 0),
			r.Volume.Text(units.CubicFoot, 0), r.Volume.Text(units.Gallon, 0))
	}
	w.Flush()
	return s.String()
}

// Series returns the volume of each row over its height, in the given units, which
// must be above 0.
func (t StageTable) Series(height units.Length, volume units.Volume) units.Series {
	s := make(units.Series, len(t))
	for i, r := range t {
		s[i] = [2]float64{r.Height.In(height), r.Volume.In(volume)}
	}
	return s
}
