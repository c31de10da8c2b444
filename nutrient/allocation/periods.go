package allocation

// period is what a limit or a need is about: a season by its number, a year by its
// number behind those of the seasons, or all seasons together.
type period int

const together = period(-1)

// periods is the seasons and the crop years in which they lie.
type periods struct {
	year  []int // by season
	years int
	index map[string]period
}

// reset makes p those of s.
func (p *periods) reset(s *AllocateSpec) {
	if p.index == nil {
		p.index = map[string]period{}
	}
	clear(p.index)
	p.year, p.years = p.year[:0], 0
	for t, name := range s.Seasons {
		p.index[name] = period(t)
	}
	for t := range s.Seasons {
		if t == 0 || len(s.Years) == 0 || s.Years[t] != s.Years[t-1] {
			if len(s.Years) > 0 {
				p.index[s.Years[t]] = period(len(s.Seasons) + p.years)
			}
			p.years++
		}
		p.year = append(p.year, p.years-1)
	}
}

// of returns the period of a name that the check has found.
func (p *periods) of(name string) period {
	if name == "" {
		return together
	}
	return p.index[name]
}

// has reports whether the season s lies in in.
func (p *periods) has(in period, s int) bool {
	return in == together || int(in) == s || int(in) == len(p.year)+p.year[s]
}

// brings returns what an application in season s, of which one unit holds l, brings in
// the period in.
func (p *periods) brings(l lags, s int, in period) (sum float64) {
	lag := 0
	switch n := len(p.year); {
	case in == together:
		for _, x := range l[:min(len(l), p.years-p.year[s])] {
			sum += x
		}
		return sum
	case int(in) == s:
	case int(in) >= n:
		lag = int(in) - n - p.year[s]
	case p.year[in] == p.year[s]:
		return 0
	default:
		lag = p.year[in] - p.year[s]
	}
	if lag < 0 || lag >= len(l) {
		return 0
	}
	return l[lag]
}
