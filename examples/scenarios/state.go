package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"

	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// state is the file of an unfinished run or of a shard: the design, and the sums of
// the blocks that are done, to the bit. In the file a line with a checksum stands
// before it, since a flipped bit in a sum looks like another sum.
type state struct {
	Design design  `json:"design"`
	First  int     `json:"first"` // block
	End    int     `json:"end"`   // one after the last block
	Sums   []saved `json:"sums"`
}

type saved struct {
	Level int    `json:"level"`
	Index int    `json:"index"`
	Tally *tally `json:"tally"`
	// Classes are those of the sketch of each output, ascending, and how many values
	// are in each.
	Classes [][]int32 `json:"classes"`
	Counts  [][]int64 `json:"counts"`
}

// write keeps the state of a job.
func (j *job) write(path string) error {
	s := state{Design: j.design, First: j.first, End: j.end, Sums: []saved{}}
	for _, at := range j.done.spots() {
		sum := saved{Level: at.Level, Index: at.Index, Tally: j.done[at]}
		for _, o := range sum.Tally.Outputs {
			classes := o.sketch.classes()
			counts := make([]int64, len(classes))
			for i, c := range classes {
				counts[i] = o.sketch[c]
			}
			sum.Classes, sum.Counts = append(sum.Classes, classes), append(sum.Counts, counts)
		}
		s.Sums = append(s.Sums, sum)
	}
	data, err := json.Marshal(s)
	if err != nil {
		return err
	}
	return cli.WriteFile(path, append([]byte(checksum(data)), data...))
}

// checksum is the first line of the file of a state.
func checksum(data []byte) string {
	sum := sha256.Sum256(data)
	return "sha256 " + hex.EncodeToString(sum[:]) + "\n"
}

// readState reads a state file. What does not belong to the model is a fault with
// its path in the file.
func readState(path string, m *model) (*state, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return parseState(path, data, m)
}

// parseState reads the text of the state file at path.
func parseState(path string, data []byte, m *model) (*state, error) {
	end := bytes.IndexByte(data, '\n') + 1
	if line := checksum(data[end:]); string(data[:end]) != line {
		var f units.Faults
		f.Say("line 1", "a checksum that is not that of the rest", "the file as this program wrote it")
		return nil, inFile(path, f.Err())
	}
	var s state
	if err := strict.Decode(data[end:], &s); err != nil {
		return nil, inFile(path, err)
	}
	if err := s.check(m); err != nil {
		return nil, inFile(path, err)
	}
	return &s, nil
}

// inFile puts the name of a file before the paths of faults.
func inFile(path string, err error) error {
	var list []error
	for _, f := range units.FieldErrors(err) {
		at := path
		if f.Field != "" {
			at += ": " + f.Field
		}
		list = append(list, f.At(at))
	}
	return errors.Join(list...)
}

// check finds what a run of the model cannot have written, and sets the sketches.
func (s *state) check(m *model) error {
	var f units.Faults
	d := s.Design
	f.NumberBetween("design.draws", float64(d.Draws), 2, mostDraws)
	if !samplingNames.Has(int(d.Sampling)) {
		f.Add("design.sampling", d.Sampling, samplingNames.Want())
	}
	if f.Err() != nil {
		return f.Err()
	}
	if s.First < 0 || s.End < s.First || s.End > d.blocks() {
		f.Say("end", fmt.Sprintf("blocks %d to %d", s.First, s.End), fmt.Sprintf("a part of 0 to %d", d.blocks()))
	}
	for i := range s.Sums {
		var sub units.Faults
		s.Sums[i].check(&sub, m, s)
		f.Sub(fmt.Sprintf("sums[%d]", i), sub.Err())
	}
	return f.Err()
}

func (v *saved) check(f *units.Faults, m *model, s *state) {
	if blocks := s.Design.blocks(); v.Level < 0 || v.Level > 40 || v.Index < 0 || v.Index > blocks>>v.Level {
		f.Say("level", fmt.Sprintf("%d, with index %d", v.Level, v.Index), fmt.Sprintf("0 to 40, with an index among %d blocks", blocks))
		return
	}
	from, to := spot{v.Level, v.Index}.blocks()
	if from < s.First || to > s.End {
		f.Say("index", fmt.Sprintf("blocks %d to %d", from, to), fmt.Sprintf("a part of %d to %d", s.First, s.End))
		return
	}
	t := v.Tally
	if t == nil {
		f.Missing("tally", "the sums")
		return
	}
	draws := s.Design.upTo(to) - s.Design.upTo(from)
	if t.Draws < 0 || t.Refused < 0 || t.Draws+t.Refused != draws {
		f.Add("tally.draws", t.Draws, fmt.Sprintf("%d with those refused", draws))
	}
	if len(t.Outputs) != len(m.outputs) || len(v.Classes) != len(m.outputs) || len(v.Counts) != len(m.outputs) {
		f.Add("tally.outputs", len(t.Outputs), fmt.Sprintf("%d, with classes and counts for each", len(m.outputs)))
		return
	}
	if len(t.Inputs) != len(m.inputs) {
		f.Add("tally.inputs", len(t.Inputs), fmt.Sprint(len(m.inputs)))
	}
	for i, e := range t.Inputs {
		var n int64
		for _, c := range e.N {
			n += c
			if c < 0 || c > draws {
				n = -1
				break
			}
		}
		if n != t.Draws {
			f.Say(fmt.Sprintf("tally.inputs[%d].n", i), "counts that add up to something else", fmt.Sprint(t.Draws))
		}
		if len(e.Sum) != mostLevels*len(m.outputs) {
			f.Add(fmt.Sprintf("tally.inputs[%d].sum", i), len(e.Sum), fmt.Sprintf("%d sums", mostLevels*len(m.outputs)))
		}
	}
	for k := range t.Outputs {
		o := &t.Outputs[k]
		if o.M2 < 0 {
			f.Add(fmt.Sprintf("tally.outputs[%d].m2", k), o.M2, "0 or more")
		}
		o.sketch = sketch{}
		n, good := int64(0), len(v.Classes[k]) == len(v.Counts[k])
		for i := 0; good && i < len(v.Classes[k]); i++ {
			c := v.Counts[k][i]
			n += c
			good = c > 0 && c <= draws && (i == 0 || v.Classes[k][i] > v.Classes[k][i-1])
			o.sketch[v.Classes[k][i]] = c
		}
		if !good || n != t.Draws {
			f.Say(fmt.Sprintf("counts[%d]", k), "no count for each class, ascending", fmt.Sprintf("counts above 0 that add up to %d", t.Draws))
		}
	}
}

// resume takes up the state at path, which need not be there yet.
func (j *job) resume(path string) error {
	s, err := readState(path, j.model)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if s.Design != j.design || s.First != j.first || s.End != j.end {
		var f units.Faults
		f.Say("design", s.String(), "that of this run, "+(&state{Design: j.design, First: j.first, End: j.end}).String())
		return inFile(path, f.Err())
	}
	return j.take(path, s)
}

func (s *state) String() string {
	return fmt.Sprintf("study %s, %s, %v, %d draws, seed %d, blocks %d to %d", s.Design.Study, s.Design.Program, s.Design.Sampling, s.Design.Draws, s.Design.Seed, s.First, s.End)
}

// take adds the sums of a state; blocks that are in already are a fault.
func (j *job) take(path string, s *state) error {
	var f units.Faults
	for i, v := range s.Sums {
		at := spot{v.Level, v.Index}
		if j.done.overlaps(at) {
			from, to := at.blocks()
			f.Say(fmt.Sprintf("sums[%d]", i), fmt.Sprintf("blocks %d to %d again", from, to), "each block once")
			continue
		}
		j.done.add(at, v.Tally)
	}
	if f.Err() == nil {
		return nil
	}
	return inFile(path, f.Err())
}

// mergeStates puts the shards of one study together. Every block has to be there.
func mergeStates(m *model, study string, paths []string) (*job, error) {
	var f units.Faults
	j := &job{model: m, done: forest{}}
	for i, path := range paths {
		s, err := readState(path, m)
		if err != nil {
			if units.FieldErrors(err) == nil {
				return nil, err
			}
			f.Sub("", err)
			continue
		}
		if i == 0 {
			j.design = s.Design
		}
		switch {
		case s.Design.Study != study:
			f.Say(path+": design.study", s.Design.Study, study+", that of the study given")
		case s.Design.Program != version():
			f.Say(path+": design.program", s.Design.Program, version()+", that of this program")
		case s.Design != j.design:
			f.Say(path+": design", s.String(), "that of the first file")
		default:
			f.Sub("", j.take(path, s))
		}
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	j.end = j.design.blocks()
	if gaps := j.done.gaps(j.end); gaps != nil {
		f.Say("-merge", "files without the blocks "+strings.Join(gaps, ", "), fmt.Sprintf("every block of 0 to %d", j.end))
	}
	return j, f.Err()
}
