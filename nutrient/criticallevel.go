package nutrient

import (
	"slices"

	"example.org/earthbasin/units"
)

// What the tables of a state give of critical levels.
const (
	GivesCriticalP = "criticalP" // soil test of phosphorus at which the response ends
	GivesCriticalK = "criticalK" // soil test of potassium at which the response ends
)

// CriticalLevel is the soil test above which a crop does not answer to more of a
// nutrient, so that more of it is worth nothing.
type CriticalLevel struct {
	Level      SoilTest `json:"level"`                // highest test at which the crop answers
	CountAbove bool     `json:"countAbove,omitempty"` // the caller counts the nutrient above it too, such as to build up the soil
	Source     Source   `json:"source,omitzero"`      // of the level
}

// Answers reports whether a nutrient counts on a field with the soil test: up to the
// critical level, and above it only where the caller says so. A test by another
// extractant, or in a unit without a factor to that of the level, is a
// [units.FieldError] on test.
func (c *CriticalLevel) Answers(test SoilTest) (bool, error) {
	var f units.Faults
	if c == nil {
		f.Missing("critical", "a critical level")
		return false, f.Err()
	}
	f.Sub("critical.level", c.Level.Check())
	f.Sub("test", test.Check())
	if f.Err() != nil {
		return false, f.Err()
	}
	if test.Unit == c.Level.Unit && test.Extractant == c.Level.Extractant {
		return c.CountAbove || test.Value <= c.Level.Value, nil
	}
	same, err := test.As(c.Level.Extractant)
	if f.Sub("test", err); err == nil {
		level, ok := c.Level.PPM()
		if ok {
			return c.CountAbove || same.Value <= level, nil
		}
		f.Add("test.unit", string(test.Unit), "%v, that of the critical level", units.Word(c.Level.Unit))
	}
	return false, f.Err()
}

// CriticalLevel returns the soil test at which the response of a crop ends, by the tables
// of the state that give it, [GivesCriticalP] or [GivesCriticalK], with its source; of a
// printed range it is the high end. It is that of the extractant of test; where the tables
// name none, as [State.Asks] tells, it counts as one of the same extractant. Faults are
// those of [State.Answer], and those of test on test.
func (s *State) CriticalLevel(gives, crop string, test SoilTest) (CriticalLevel, error) {
	var f units.Faults
	f.Sub("test", test.Check())
	if f.Err() != nil {
		return CriticalLevel{}, f.Err()
	}
	q := Query{KeyCrop: crop}
	if slices.Contains(s.Asks(gives), KeyExtractant) {
		q[KeyExtractant] = string(test.Extractant)
	}
	r, err := s.Answer(gives, q)
	if err != nil {
		return CriticalLevel{}, err
	}
	level := CriticalLevel{Level: SoilTest{Value: r.Figure.High, Unit: SoilTestUnit(r.Unit), Extractant: test.Extractant}}
	if len(r.Steps) > 0 {
		level.Source = r.Steps[0].Source
	}
	return level, nil
}
