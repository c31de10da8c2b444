package nutrient

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// This file holds the lines of a file against each other. What gives one thing is
// split along one key after another, at each choice, each end of a class and what
// lies between the ends, until every query of a part has the same lines: so that one
// query a part proves that none is without answer and none has two.

// maxParts bounds the work of one proof.
const maxParts = 200000

// maxTold bounds the gaps of one thing that are spelled out.
const maxTold = 20

// proof is under way for the lines that give one thing.
type proof struct {
	*stateLoader
	gives      string
	at         string // path of the first table of the file that gives it
	pool       Pool   // 0 for what is no share
	lacks      []*line
	points     []bool // keys of which lines print points
	parts      int
	gaps       int
	told       map[string]bool
	mend       map[string]string // by the name of a gap between two classes, how to write the lower one so that they meet
	last, year int               // last year of the pool; place of the key of the year
}

// prove holds the lines of each thing against each other.
func (l *stateLoader) prove() {
	l.proveYears()
	for _, gives := range slices.Sorted(maps.Keys(l.lines)) {
		if l.broken[gives] {
			continue // its lines cannot be held against each other
		}
		var values []*line
		factors := map[*boundTable][]*line{}
		for _, n := range l.lines[gives] {
			switch n.table.As {
			case AsValue:
				values = append(values, n)
			case AsTimes:
				factors[n.table] = append(factors[n.table], n)
			}
		}
		l.proveLines(gives, values)
		for _, t := range l.tables {
			if factors[t] != nil {
				l.proveFactors(t, gives, factors[t])
			}
		}
	}
}

// proveYears finds the last year of each pool.
func (l *stateLoader) proveYears() {
	year := len(l.keys) - 1
	for p := Pool(1); p < poolCount; p++ {
		for _, n := range l.lines[p.String()] {
			if i := slices.IndexFunc(n.asks, func(d demand) bool { return d.key == year }); i >= 0 {
				l.years[p] = max(l.years[p], int(min(n.asks[i].in.high, maxYear)))
			} else if n.table.As == AsValue {
				l.faults.Say(n.place(), "a share without a year", "the year after application, 1 being the season of application, in when, by or cols")
			}
		}
	}
	if l.years[PoolTotalN] > 0 && (l.years[PoolAmmonium] > 0 || l.years[PoolOrganic] > 0) {
		l.faults.Say("tables", "totalN beside ammonium or organic", "either, since together they count N twice")
	}
}

// place is the path of the figure of a line in its file.
func (n *line) place() string {
	if n.table.layer > 0 {
		return "base"
	}
	return fmt.Sprintf("%s.rows[%d][%d]", n.table.path, n.row, n.col)
}

func (l *stateLoader) proofOf(gives string, as As, lines []*line) proof {
	lacks := slices.DeleteFunc(slices.Clone(l.lacks[gives]), func(n *line) bool { return !n.table.speaksOf(as) })
	p := proof{stateLoader: l, gives: gives, at: "tables", lacks: lacks, told: map[string]bool{}, mend: map[string]string{}, points: make([]bool, len(l.keys)), year: len(l.keys) - 1}
	for _, n := range lines {
		for _, d := range n.asks {
			p.points[d.key] = p.points[d.key] || d.point
		}
	}
	if i := slices.IndexFunc(lines, func(n *line) bool { return n.table.layer == 0 }); i >= 0 {
		p.at = lines[i].table.path
	}
	return p
}

func (l *stateLoader) proveLines(gives string, lines []*line) {
	if lines == nil {
		return
	}
	p := l.proofOf(gives, AsValue, lines)
	if i := slices.Index(poolNames, gives); i > 0 {
		p.pool, p.last = Pool(i), l.years[i]
	}
	p.split(lines, p.lacks, make([]bool, len(l.keys)), nil)
	if p.gaps > maxTold {
		l.faults.Add(p.at, units.Words("%v more without a line for %v", p.gaps-maxTold, units.Word(gives)), "a line each, or a word in lacks")
	}
}

// proveFactors proves a table that multiplies, within its own conditions.
func (l *stateLoader) proveFactors(t *boundTable, gives string, lines []*line) {
	p := l.proofOf(gives, AsTimes, lines)
	done := make([]bool, len(l.keys))
	for _, d := range t.when {
		done[d.key] = true
	}
	p.split(lines, p.lacks, done, nil)
}

// split takes the lines and the lacks that the part at where leaves open; done are the
// keys along which it was split.
func (p *proof) split(open, lacks []*line, done []bool, where []string) {
	if p.parts++; p.parts >= maxParts {
		if p.parts == maxParts {
			p.faults.Add(p.at, units.Words("too many classes together for %v", units.Word(p.gives)), "at most %v parts", maxParts)
		}
		return
	}
	key, ok := p.next(open, done)
	if !ok && p.lacking(open, lacks, done) {
		key, ok = p.next(lacks, done)
	}
	if !ok {
		p.leaf(open, lacks, where)
		return
	}
	done[key] = true
	for _, at := range p.spots(key, open, lacks) {
		p.split(fitting(open, key, at.spot), fitting(lacks, key, at.spot), done, append(where[:len(where):len(where)], p.keys[key].Name+" "+at.name))
	}
	done[key] = false
}

// next is the first key for which a line still asks; ok is false when none does. The year
// of a pool is no such key, since all years of a query belong together. Keys of which
// points are printed come last, since which points depends on the others.
func (p *proof) next(lines []*line, done []bool) (first int, ok bool) {
	before := func(a, b int) bool {
		if p.points[a] != p.points[b] {
			return p.points[b]
		}
		return a < b
	}
	for _, n := range lines {
		for _, d := range n.asks {
			if !done[d.key] && !(p.pool > 0 && d.key == p.year) && (!ok || before(d.key, first)) {
				first, ok = d.key, true
			}
		}
	}
	return first, ok
}

// lacking reports whether a part has no answer, in some year.
func (p *proof) lacking(open, lacks []*line, done []bool) bool {
	settled := func(n *line) bool {
		_, asks := p.next([]*line{n}, done)
		return !asks
	}
	return slices.ContainsFunc(p.years(), func(y int) bool {
		return p.ofYear(open, y) == nil && !slices.ContainsFunc(p.ofYear(lacks, y), settled)
	})
}

// years are those of which each query needs an answer: of a pool the first to the last, of
// all else one.
func (p *proof) years() (list []int) {
	for y := range max(p.last, 1) {
		list = append(list, y+1)
	}
	return list
}

// ofYear returns the lines that hold in a year of a pool.
func (p *proof) ofYear(lines []*line, year int) []*line {
	if p.pool == 0 {
		return lines
	}
	return fitting(lines, p.year, spot{number: float64(year)})
}

// fitting returns the lines that do not speak against a value of a key.
func fitting(lines []*line, key int, at spot) (list []*line) {
	for _, n := range lines {
		if !slices.ContainsFunc(n.asks, func(d demand) bool { return d.key == key && !d.holds(at) }) {
			list = append(list, n)
		}
	}
	return list
}

// leaf checks a part whose queries all have the same lines.
func (p *proof) leaf(open, lacks []*line, where []string) {
	var rows []*line
	for _, y := range p.years() {
		lines := p.ofYear(open, y)
		at := slices.Clone(where)
		if p.pool > 0 {
			at = append(at, fmt.Sprintf("year %d", y))
		}
		if len(lines) == 0 {
			rows = append(rows, nil)
			if len(p.ofYear(lacks, y)) == 0 {
				if p.gaps++; p.gaps <= maxTold {
					wanted := units.Words("a line, or a word in lacks")
					for _, part := range where {
						if whole := p.mend[part]; whole != "" {
							wanted = wanted.And(", or classes that meet, such as %v, or round in the table", units.Word(whole))
						}
					}
					want(&p.faults, p.at, units.Words("no line for %v", units.Word(strings.Join(append([]string{p.gives}, at...), ", "))), wanted)
				}
			}
			continue
		}
		best := lines[0]
		for _, n := range lines[1:] {
			switch {
			case n.table.layer < best.table.layer:
				best = n
			case n.table.layer == best.table.layer:
				if pair := best.place() + n.place(); !p.told[pair] {
					p.told[pair] = true
					p.faults.Add(n.place(), units.Words("a second answer beside %v for %v", units.Word(best.place()), units.Word(strings.Join(append([]string{p.gives}, at...), ", "))), "one line that answers")
				}
			}
		}
		rows = append(rows, best)
	}
	if p.pool > 0 {
		p.sum(rows, where)
	}
}

// sum holds the shares of all years to no more than all.
func (p *proof) sum(rows []*line, where []string) {
	low, high := sums(sharesOf(rowsOf(rows)))
	if who := fmt.Sprint(rows); high > 1+1e-9 && !p.told[who] { // the same lines
		p.told[who] = true
		at := "any query"
		if where != nil {
			at = strings.Join(where, ", ")
		}
		if low > 1+1e-9 {
			p.faults.Add("tables", units.Words("shares of %v that add up to %.4g over the years: %v", units.Word(p.gives), low, units.Word(at)), "at most 1")
			return
		}
		p.remarks = append(p.remarks, fmt.Sprintf("the high values of %s add up to %.4g over the years, of which no more than 1 is counted: %s", p.gives, high, at))
	}
}

// part is a value of a key that stands for a class.
type part struct {
	spot
	name string
}

// spots returns values that stand for all of a key, as far as the lines tell them
// apart.
func (p *proof) spots(key int, lists ...[]*line) (list []part) {
	k := &p.keys[key]
	var asks []demand
	for _, lines := range lists {
		for _, n := range lines {
			for _, d := range n.asks {
				if d.key == key {
					asks = append(asks, d)
				}
			}
		}
	}
	add := func(x float64, name string) { list = append(list, part{spot{number: x}, name}) }
	switch {
	case k.Date:
		var days []int // the days before the first end are those after the last
		for _, d := range asks {
			days = append(days, d.window.from, (d.window.to+1)%yearDays)
		}
		slices.Sort(days)
		for _, day := range slices.Compact(days) {
			add(float64(day), dayText(day))
		}
		return list
	case !k.quantity():
		for i, v := range k.Values {
			list = append(list, part{spot{choice: i}, v})
		}
		return list
	}
	var ends []float64
	points := true
	for _, d := range asks {
		points = points && (d.point || !d.ranged)
		for _, x := range []float64{d.in.low, d.in.high} {
			if d.ranged && x > 0 && x <= k.most {
				ends = append(ends, x)
			}
		}
	}
	slices.Sort(ends)
	ends = slices.CompactFunc(ends, same)
	if k.Never != "" {
		list = append(list, part{spot{never: true}, k.Never})
	}
	if k.whole {
		for y := 1; y <= int(slices.Max(append(ends, 1))); y++ {
			add(float64(y), fmt.Sprint(y))
		}
		return list
	}
	if points && len(ends) > 0 {
		for _, x := range ends {
			add(x, k.show(x))
		}
		if slices.ContainsFunc(asks, func(d demand) bool { return d.point && d.in.low == 0 }) {
			add(0, k.show(0))
		}
		return list
	}
	add(0, k.show(0))
	low, below := 0.0, "below "
	for _, x := range ends {
		for _, d := range asks {
			if low > 0 && d.ranged && !d.point && same(d.in.high, low) && !d.in.highOpen && !d.in.lowOpen {
				p.mend[k.Name+" "+below+k.show(x)] = strings.TrimPrefix("from "+k.show(d.in.low)+" below ", "from "+k.show(0)+" ") + k.show(x)
			}
		}
		add(middle(low, x), below+k.show(x))
		add(x, k.show(x))
		low, below = x, "between "+k.show(x)+" and "
	}
	if low < k.most {
		add(middle(low, k.most), "over "+k.show(low))
	}
	return list
}

func middle(a, b float64) float64 { return (a + b) / 2 }

// checkUnit records a fault unless the unit of a line fits what it gives.
func (l *stateLoader) checkUnit(f *units.Faults, n line) {
	unit, want := n.unit, ""
	pool := slices.Index(poolNames, n.gives)
	switch {
	case pool > 0 && (n.per != nil || n.perGives != nil):
		f.Say("", "a share that multiplies", "a share alone: per is for amounts")
		return
	case pool > 0 || n.table.As == AsTimes:
		whole, loses := strings.CutSuffix(unit, lost)
		if whole != "%" && whole != "fraction" {
			want = "% or fraction of the share, or % lost or fraction lost"
		} else if most := map[string]float64{"%": 100, "fraction": 1}[whole]; n.figure.High > most && (loses || n.table.As != AsTimes) {
			f.Add("", n.token, "a share of up to all")
			return
		}
		if pool > 0 && want == "" && n.table.As == AsValue {
			l.checkBasis(f, n, Pool(pool))
		}
	case n.table.As == AsBan:
	case slices.Contains([]string{"n", "p2o5", "k2o", "removalN", "removalP2O5", "removalK2O", "creditN"}, n.gives):
		if !isUnit[units.MassPerArea](unit) && !perYield(unit) {
			want = "a mass per area or per unit of yield, such as lb/acre or lb/bu"
		}
	case n.gives == "totalNApplied" || n.gives == "metalCumulative" || n.gives == "metalAnnual":
		if !isUnit[units.MassPerArea](unit) {
			want = "a mass per area, such as lb/acre"
		}
	case n.gives == "materialApplied":
		if !isUnit[units.MassPerArea](unit) && !isUnit[units.VolumePerArea](unit) {
			want = "a rate, such as ton/acre or gal/acre"
		}
	case n.gives == "metalCeiling" || n.gives == "metalLow":
		if !isUnit[units.MassFraction](unit) {
			want = "a share of the dry matter, such as mg/kg"
		}
	case n.gives == "setback":
		if !isUnit[units.Length](unit) {
			want = "a length, such as ft"
		}
	case unit == "":
		want = "the unit of the figures, 1 for a bare number"
	}
	told := n.table.path + unit + n.gives
	if want == "" || l.told[told] {
		return
	}
	l.told[told] = true
	if at := l.faults.At(n.table.path); unit == "" {
		at.Missing("unit", want)
	} else {
		at.Add("unit", unit, want)
	}
}

// checkBasis checks what a share is of.
func (l *stateLoader) checkBasis(f *units.Faults, n line, p Pool) {
	bases := []Basis{BasisOriginal, BasisRemaining, BasisTotal}
	switch p {
	case PoolTotalN:
		bases = bases[1:] // original and total are the same: one spelling
	case PoolP, PoolK:
		bases = bases[:2]
	}
	told := n.table.path + "of"
	if slices.Contains(bases, n.table.Of) || l.told[told] {
		return
	}
	l.told[told] = true
	var names []string
	for _, b := range bases {
		names = append(names, b.String())
	}
	which, pool := units.Word(strings.Join(names, ", ")), units.Word(p.String())
	if at := l.faults.At(n.table.path); n.table.Of == 0 {
		at.Missing("of", "one of %v for %v", which, pool)
	} else {
		at.Add("of", n.table.Of, "one of %v for %v", which, pool)
	}
}

// share is the figure of a line as a fraction.
func (n *line) share() units.Range[float64] {
	if n.shareUnit() == "%" {
		return units.Range[float64]{Low: n.figure.Low / 100, High: n.figure.High / 100}
	}
	return n.figure.Range
}

// answered is what a state says of a pool in a year.
type answered struct {
	basis    Basis
	fraction units.Range[float64]
	steps    []Step
}

// rowsOf are lines as answers; a year without a figure releases nothing.
func rowsOf(lines []*line) []answered {
	list := make([]answered, len(lines))
	for i, n := range lines {
		if n != nil && n.figure.lacks == "" {
			list[i] = answered{basis: n.table.Of, fraction: n.share()}
		}
	}
	return list
}

// sums adds the low and the high ends of the shares up over the years.
func sums(list []share) (low, high float64) {
	var pool, total units.Range[float64]
	for _, s := range list {
		pool.Low, pool.High = pool.Low+s.pool.Low, pool.High+s.pool.High
		total.Low, total.High = total.Low+s.total.Low, total.High+s.total.High
	}
	return max(pool.Low, total.Low), max(pool.High, total.High)
}
