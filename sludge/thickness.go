package sludge

import (
	"math"
	"sort"
	"time"

	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
)

// resolved is one sounding brought to the reference surface, in metres.
type resolved struct {
	thickness, toSludge float64
	flags               readingFlag
	zeroed              bool // a sludge top a little below the assumed floor
}

// resolve reads one sounding; of one that is going to be dropped nothing has to be known
// of the floor.
func resolve(spec *SurveySpec, in *Sounding, dropped bool) (resolved, error) {
	var f units.Faults
	outline.CheckPlace(&f, "at", in.At)
	outline.CheckCoordinate(&f, "levelRise", in.LevelRise)
	depth(&f, "toSludge", in.ToSludge)
	depth(&f, "toFloor", in.ToFloor)
	depth(&f, "thickness", in.Thickness)
	if in.Track < -maxTrack || in.Track > maxTrack {
		f.Add("track", in.Track, "-1e9 to 1e9")
	}
	if in.Thickness != nil {
		if in.ToSludge != nil || in.ToFloor != nil {
			f.Add("thickness", *in.Thickness, "either a thickness or depths")
		}
		return resolved{thickness: float64(*in.Thickness), toSludge: math.NaN()}, f.Err()
	}
	if in.ToSludge == nil {
		f.Missing("toSludge", "the depth to the sludge top, or a thickness")
	}
	if in.ToFloor == nil && spec.Floor == nil {
		f.Missing("toFloor", "the depth to the hard floor, or a floor for the survey")
	}
	rise := levelRise(spec, in, &f)
	if err := f.Err(); err != nil {
		return resolved{}, err
	}
	r := resolved{toSludge: float64(*in.ToSludge) - rise}
	if in.ToFloor != nil {
		r.thickness = float64(*in.ToFloor - *in.ToSludge) // one surface, whatever its level
		if r.thickness < 0 {
			f.Add("toFloor", *in.ToFloor, "at least the depth to the sludge top, %v", named(units.Words("%v", *in.ToSludge), in))
		}
		return r, f.Err()
	}
	r.flags = floorAssumed
	floor, known := depthAt(spec.Floor, in.At)
	if !known {
		if dropped {
			return r, nil
		}
		f.Missing("toFloor", "a depth to the hard floor, as the survey's floor is not known at %v", place(in))
		return r, f.Err()
	}
	r.thickness = float64(floor) - r.toSludge
	if r.thickness < 0 {
		if r.thickness < -float64(spec.FloorTolerance) {
			f.Add("toSludge", *in.ToSludge, "at most the depth to the assumed floor, %v", named(units.Words("%v", units.Length(float64(floor)+rise)), in))
		}
		r.thickness, r.zeroed = 0, true
	}
	return r, f.Err()
}

// maxTrack keeps the numbers of tracks within int32.
const maxTrack = 1e9

func depth(f *units.Faults, field string, v *units.Length) {
	if v != nil && !(*v >= 0 && *v <= maxDepth) {
		f.Between(field, *v, 0*units.Metre, units.Length(maxDepth))
	}
}

// levelRise returns how far the liquid stood above the reference surface at a
// sounding, in metres.
func levelRise(spec *SurveySpec, in *Sounding, f *units.Faults) float64 {
	if len(spec.Levels) == 0 {
		return float64(in.LevelRise)
	}
	after := sort.Search(len(spec.Levels), func(k int) bool { return spec.Levels[k].Time.After(in.Time) })
	end := spec.Levels[len(spec.Levels)-1].Time
	switch {
	case in.LevelRise != 0:
		f.Add("levelRise", in.LevelRise, "none where the survey has level readings")
		return 0
	case after == 0 || in.Time.After(end):
		f.Say("time", stamp(in.Time), "between the first and the last level reading, %v to %v", units.Word(stamp(spec.Levels[0].Time)), units.Word(stamp(end)))
		return 0
	}
	a := spec.Levels[after-1]
	level := float64(a.Level)
	if after < len(spec.Levels) {
		b := spec.Levels[after]
		level += in.Time.Sub(a.Time).Seconds() / b.Time.Sub(a.Time).Seconds() * float64(b.Level-a.Level)
	}
	return level - float64(referenceLevel(spec))
}

func referenceLevel(spec *SurveySpec) units.Length {
	if spec.ReferenceLevel != nil {
		return *spec.ReferenceLevel
	}
	return spec.Levels[0].Level
}

func checkLevels(spec SurveySpec, f *units.Faults) {
	if spec.ReferenceLevel != nil {
		f.Between("referenceLevel", *spec.ReferenceLevel, units.Length(-maxDepth), units.Length(maxDepth))
		if len(spec.Levels) == 0 {
			f.Missing("levels", "level readings, which a reference level refers to")
		}
	}
	for i, l := range spec.Levels {
		at := f.At("levels", i)
		at.Between("level", l.Level, units.Length(-maxDepth), units.Length(maxDepth))
		if l.Time.IsZero() {
			at.Missing("time", "the time of the reading")
		} else if i > 0 && !l.Time.After(spec.Levels[i-1].Time) {
			at.Say("time", stamp(l.Time), "later than the reading before it")
		}
	}
}

// place returns where a sounding lies for a message.
func place(in *Sounding) units.Phrase { return named(outline.Place(in.At), in) }

// named returns a phrase with the name of a sounding behind it.
func named(p units.Phrase, in *Sounding) units.Phrase {
	if in.Name == "" {
		return p
	}
	return p.And(" at %v", units.Word(in.Name))
}

func stamp(t time.Time) string { return t.Format(time.RFC3339) }
