package cover

import (
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// Judge holds a mix against every rule of the set and returns a line for each, in
// the order of the set. A rule whose outcome hangs on something that the species
// table does not know (the bloom period of a species, say) is VerdictCannotSay and names
// the species.
func (s *RuleSet) Judge(mix MixResult) []Finding {
	var list []Finding
	for _, r := range s.spec.Rules {
		list = append(list, r.judge(mix))
	}
	return list
}

// pick is the rows that a selector surely and perhaps picks.
type pick struct{ sure, perhaps []MixRow }

func (s SpeciesSelector) pick(rows []MixRow) pick {
	var p pick
	for _, row := range rows {
		switch s.fit(row.Species) {
		case VerdictMet:
			p.sure = append(p.sure, row)
		case VerdictCannotSay:
			p.perhaps = append(p.perhaps, row)
		}
	}
	return p
}

// span returns the least and the greatest sum of what, with and without the rows
// in doubt.
func (p pick) span(what func(MixRow) float64) (lo, hi float64) {
	for _, row := range p.sure {
		lo += what(row)
	}
	hi = lo
	for _, row := range p.perhaps {
		hi += what(row)
	}
	return lo, hi
}

func (r Rule) judge(mix MixResult) Finding {
	f := Finding{Rule: r.Name, Want: units.Words(r.want())}
	p := r.Of.pick(mix.Rows)
	seeds := func(row MixRow) float64 { return row.BaseSeeds.SI() }
	rate := func(row MixRow) float64 { return row.BaseRate.SI() }
	whole := mix.BaseSeeds.SI()
	if r.In != nil {
		_, whole = r.In.pick(mix.Rows).span(seeds)
	}
	share := func(row MixRow) float64 {
		if whole == 0 {
			return 0 // no species of the whole in the mix
		}
		return seeds(row) / whole
	}
	number := func(x float64) any { return int(x) }
	perArea := func(x float64) any { return units.SeedsPerArea(x) }
	part := func(x float64) any { return units.Share(x) }
	weight := func(x float64) any { return units.MassPerArea(x) }

	switch r.Measure {
	case MeasureSpecies:
		lo, hi := p.span(func(MixRow) float64 { return 1 })
		f.settle(r, lo, hi, number)
	case MeasureBloomPeriods:
		lo, hi := 0.0, 0.0
		var unknown []MixRow
		for _, b := range []Bloom{BloomEarly, BloomMid, BloomLate} {
			sure, perhaps := 0, 0
			for _, row := range p.sure {
				switch bloom := row.Species.Bloom; {
				case len(bloom) == 0:
					perhaps++
					unknown = append(unknown, row)
				case bloom[0] == b:
					sure++
				}
			}
			for _, row := range p.perhaps {
				perhaps += int(one(len(row.Species.Bloom) == 0 || row.Species.Bloom[0] == b))
			}
			lo += one(sure >= r.Each)
			hi += one(sure+perhaps >= r.Each)
		}
		p.perhaps = append(p.perhaps, unknown...)
		f.settle(r, lo, hi, number)
	case MeasureSeeds:
		lo, hi := p.span(seeds)
		f.settle(r, lo, hi, perArea)
	case MeasureShareOfSeeds:
		lo, hi := p.span(share)
		f.settle(r, lo, hi, part)
	case MeasureRate:
		lo, hi := p.span(rate)
		f.settle(r, lo, hi, weight)
	case MeasureEachShareOfSeeds:
		f.each(r, p, share, part)
	case MeasureEachRate:
		f.each(r, p, rate, weight)
	case MeasureOnly:
		allowed := SpeciesSelector{Species: r.Allowed}
		f.eachBy(p, func(row MixRow) bool { return allowed.fit(row.Species) == VerdictMet },
			func(row MixRow) units.Phrase { return units.Words(row.Species.Common) })
	case MeasureArea:
		x := mix.Spec.Area.SI()
		f.settle(r, x, x, func(x float64) any { return units.Area(x) })
	case MeasureWidth:
		if mix.Spec.Width == 0 {
			f.Value, f.Verdict, f.Why = units.Words("not given"), VerdictCannotSay, "the width of the stand is not given"
			break
		}
		x := mix.Spec.Width.SI()
		f.settle(r, x, x, func(x float64) any { return units.Length(x) })
	}
	if f.Verdict == VerdictCannotSay && f.Why == "" {
		f.Why = "not known of " + common(p.perhaps)
	}
	return f
}

// settle compares a figure that lies between lo and hi with the bounds.
func (f *Finding) settle(r Rule, lo, hi float64, show func(float64) any) {
	f.Value = units.Words("%v", show(lo))
	if hi != lo {
		f.Value = f.Value.And(" to %v", show(hi))
	}
	f.Verdict = verdict(lo, hi, r.least, r.most)
}

// each compares every picked row with the bounds; rows in doubt leave the
// verdict open only when they would fail.
func (f *Finding) each(r Rule, p pick, what func(MixRow) float64, show func(float64) any) {
	f.eachBy(p,
		func(row MixRow) bool { x := what(row); return verdict(x, x, r.least, r.most) == VerdictMet },
		func(row MixRow) units.Phrase { return units.Words(row.Species.Common).And(" %v", show(what(row))) })
}

func (f *Finding) eachBy(p pick, good func(MixRow) bool, text func(MixRow) units.Phrase) {
	failing := func(rows []MixRow) (bad []MixRow) {
		for _, row := range rows {
			if !good(row) {
				bad = append(bad, row)
			}
		}
		return bad
	}
	bad, open := failing(p.sure), failing(p.perhaps)
	f.Value = units.Words("none")
	for i, row := range p.sure {
		if one := text(row); i == 0 {
			f.Value = one
		} else {
			f.Value = f.Value.And(", ").And(one.Text, one.Args...)
		}
	}
	switch {
	case len(bad) > 0:
		f.Verdict, f.Why = VerdictNotMet, common(bad)
	case len(open) > 0:
		f.Verdict, f.Why = VerdictCannotSay, "not known of "+common(open)
	default:
		f.Verdict = VerdictMet
	}
}

// want writes the bounds.
func (r Rule) want() string {
	switch {
	case r.Measure == MeasureOnly:
		return "only " + strings.Join(r.Allowed, ", ")
	case r.Min == r.Max:
		return r.Min
	case r.Max == "":
		return "at least " + r.Min
	case r.Min == "":
		return "at most " + r.Max
	}
	return r.Min + " to " + r.Max
}

func common(rows []MixRow) string {
	var list []string
	for _, row := range rows {
		if !slices.Contains(list, row.Species.Common) {
			list = append(list, row.Species.Common)
		}
	}
	return strings.Join(list, ", ")
}

func one(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
