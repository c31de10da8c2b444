package study

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// state is the text of an unfinished job or of a part: the design, and the sums of
// the blocks that are done, to the bit. Before it stands a line with a checksum, since
// a flipped bit in a sum looks like another sum.
type state struct {
	ID      string `json:"id"`
	Design  Design `json:"design"`
	Part    Part   `json:"part"`
	Done    runs   `json:"done"`
	Draws   int64  `json:"draws"`
	Refused int64  `json:"refused"`
	Fault   string `json:"fault,omitempty"`
	FaultAt int64  `json:"faultAt"`
	Ends    []ends `json:"ends"` // of each output
	Sums    string `json:"sums"` // packed
}

type ends struct {
	N   int64   `json:"n"`
	Min float64 `json:"min"`
	Max float64 `json:"max"`
}

// State returns what is done as text, to be taken up by [Study.Resume] or put together
// with others by [Study.Merge].
func (j *Job) State() []byte {
	j.mutex.Lock()
	defer j.mutex.Unlock()
	t := j.tally
	s := state{ID: j.design.model.ID, Design: j.design.Design, Part: j.part, Done: j.done, Draws: t.draws, Refused: t.refused, Fault: t.fault, FaultAt: t.faultAt}
	for k := range t.outputs {
		o := &t.outputs[k]
		s.Ends = append(s.Ends, ends{o.n, o.min, o.max})
	}
	s.Sums = base64.RawStdEncoding.EncodeToString(t.pack())
	data, err := json.Marshal(s)
	if err != nil {
		panic(err) // finite numbers and text only
	}
	return append([]byte(checksum(data)), data...)
}

// checksum is the first line of a state.
func checksum(data []byte) string {
	sum := sha256.Sum256(data)
	return "sha256 " + hex.EncodeToString(sum[:]) + "\n"
}

// pack puts counts and sums in a row, each as short as it is.
func (t *tally) pack() []byte {
	var b []byte
	all := func(list []wide) {
		for _, w := range list {
			b = w.appendTo(b)
		}
	}
	for k := range t.outputs {
		o := &t.outputs[k]
		all(o.powers[:])
		used, last := 0, 0
		for range o.sketch.each {
			used++
		}
		b = binary.AppendUvarint(b, uint64(used))
		for i, page := range o.sketch.pages {
			for j := 0; page != nil && j < pageSize; j++ {
				if n := page[j]; n > 0 {
					c := i<<pageBits + j
					b = binary.AppendUvarint(b, uint64(c-last))
					b = binary.AppendUvarint(b, uint64(n))
					last = c
				}
			}
		}
	}
	for i := range t.effects {
		for _, n := range t.effects[i].n {
			b = binary.AppendUvarint(b, uint64(n))
		}
		all(t.effects[i].sum)
	}
	for i := range t.groups {
		g := &t.groups[i]
		b = binary.AppendUvarint(b, uint64(g.n))
		all(g.powers)
		for _, s := range g.sums {
			all(s)
		}
	}
	return b
}

// unpack reads what pack wrote; draws and the numbers of values are in t already. What
// does not add up is told in words.
func (t *tally) unpack(b []byte) (wrong string) {
	good := true
	number := func() int64 {
		v, n := binary.Uvarint(b)
		if n <= 0 || v > mostDraws {
			good = false
			return 0
		}
		b = b[n:]
		return int64(v)
	}
	all := func(list []wide) {
		for i := range list {
			var ok bool
			if !good {
				return
			}
			list[i], b, ok = readWide(b)
			good = good && ok
		}
	}
	for k := range t.outputs {
		o := &t.outputs[k]
		all(o.powers[:])
		used, c, n := number(), int64(0), int64(0)
		for i := int64(0); good && i < used; i++ {
			step, count := number(), number()
			c += step
			n += count
			if c >= classes || i > 0 && step == 0 || count == 0 || n > mostDraws {
				return "counts that are not those of classes, ascending"
			}
			o.sketch.add(int(c), count)
		}
		if good && n != o.n {
			return fmt.Sprintf("counts of output %d that add up to %d", k, n)
		}
	}
	for i := range t.effects {
		var n int64
		for c := range t.effects[i].n {
			t.effects[i].n[c] = number()
			n += t.effects[i].n[c]
		}
		if good && n != t.draws {
			return fmt.Sprintf("counts of input %d that add up to %d", i, n)
		}
		all(t.effects[i].sum)
	}
	var groups int64
	for i := range t.groups {
		g := &t.groups[i]
		g.n = number()
		groups += g.n
		all(g.powers)
		for _, s := range g.sums {
			all(s)
		}
	}
	switch {
	case !good || len(b) > 0:
		return "too few or too many bytes"
	case t.groups != nil && groups != t.draws:
		return fmt.Sprintf("groups that add up to %d", groups)
	}
	return ""
}

// read takes up a state. What a job of the study cannot have written is a fault.
func (s *Study) read(text []byte) (*Job, error) {
	var f units.Faults
	end := bytes.IndexByte(text, '\n') + 1
	if string(text[:end]) != checksum(text[end:]) {
		f.Say("line 1", "a checksum that is not that of the rest", "the file as this program wrote it")
		return nil, f.Err()
	}
	var v state
	if err := strict.Decode(text[end:], &v); err != nil {
		return nil, err
	}
	if v.ID != s.model.ID {
		f.Say("id", v.ID, "%v, that of this study and this program", s.model.ID)
		return nil, f.Err()
	}
	j, err := s.Start(v.Design, v.Part)
	if err != nil {
		return nil, err
	}
	if j.design.Design != v.Design {
		f.Say("design", v.Design.String(), "%s", j.design.Design)
	}
	var draws int64
	at := j.from
	for i, r := range v.Done {
		if r[0] < at || r[1] <= r[0] || r[1] > j.to {
			e := f.At("done", i)
			e.Add("", units.Words("blocks %v to %v", r[0], r[1]), "blocks of %d to %d, ascending", j.from, j.to)
			break
		}
		at = r[1] + 1
		draws += j.design.upTo(r[1]) - j.design.upTo(r[0])
	}
	t := j.tally
	if v.Draws < 0 || v.Refused < 0 || v.Draws > mostDraws || v.Refused > mostDraws || f.Err() == nil && v.Draws+v.Refused != draws {
		f.Add("draws", v.Draws, "%d with those refused", draws)
	}
	if len(v.Ends) != len(t.outputs) {
		f.Count("ends", len(v.Ends), "outputs", "%d", len(t.outputs))
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	j.done, t.draws, t.refused, t.fault, t.faultAt = v.Done, v.Draws, v.Refused, v.Fault, v.FaultAt
	if t.refused == 0 {
		t.faultAt = math.MaxInt64
	}
	for k, e := range v.Ends {
		o := &t.outputs[k]
		want := v.Draws * int64(j.design.random())
		if e.N != want || !(e.Min <= e.Max) || math.Abs(e.Min) > mostOutput || math.Abs(e.Max) > mostOutput {
			at := f.At("ends", k)
			at.Add("", units.Words("%v values from %v to %v", e.N, e.Min, e.Max), "%d values", want)
		}
		o.ends(e.N, e.Min, e.Max)
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	packed, err := base64.RawStdEncoding.Strict().DecodeString(v.Sums)
	if err != nil {
		packed = nil
	}
	if wrong := t.unpack(packed); wrong != "" {
		f.Say("sums", wrong, "those of %d draws", v.Draws)
	}
	return j, f.Err()
}

// Resume takes up a job from its state, which has to be that of the design and part.
func (s *Study) Resume(d Design, p Part, text []byte) (*Job, error) {
	fresh, err := s.Start(d, p)
	if err != nil {
		return nil, err
	}
	j, err := s.read(text)
	if err != nil {
		return nil, err
	}
	if j.design.Design != fresh.design.Design || j.from != fresh.from || j.to != fresh.to {
		var f units.Faults
		f.Say("design", j.String(), "that of this run, %s", fresh.String())
		return nil, f.Err()
	}
	return j, nil
}

// String says which blocks of which design the job works off.
func (j *Job) String() string {
	return fmt.Sprintf("%v, blocks %d to %d", j.design.Design, j.from, j.to)
}

// Merge puts the states of all parts of one design together. Every block has to be
// there, once. A fault names the state by its place in the list.
func (s *Study) Merge(texts ...[]byte) (*Job, error) {
	var f units.Faults
	f.CountBetween("states", len(texts), "states", 1, 1e6)
	var sum *Job
	for i, text := range texts {
		at := f.At("states", i)
		j, err := s.read(text)
		if err != nil {
			at.Sub("", err)
			continue
		}
		if sum == nil {
			if sum, err = s.Start(j.design.Design, Part{}); err != nil {
				return nil, err
			}
		}
		if j.design.Design != sum.design.Design {
			at.Say("design", j.String(), "that of the first state, %s", sum.design.Design.String())
			continue
		}
		again := false
		for n, r := range j.done {
			if sum.done.overlaps(r) {
				e := at.At("done", n)
				e.Add("", units.Words("blocks %v to %v again", r[0], r[1]), "each block once")
				again = true
			}
		}
		if again {
			continue
		}
		for _, r := range j.done {
			sum.done = sum.done.with(r[0], r[1])
		}
		sum.tally.merge(j.tally)
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	if gaps := sum.done.gaps(sum.to); gaps != nil {
		f.Say("states", "without the blocks "+strings.Join(gaps, ", "), "every block of 0 to %d", sum.to)
	}
	return sum, f.Err()
}
