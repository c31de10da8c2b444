package doubt

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
)

// input is a figure in doubt, ready for draws.
type input struct {
	study.Input
	spec  int      // its place in the spec
	paths []string // of the figures that it sets; none for a choice
	// Choices are the figures of an input that is no number, such as a word or the months
	// of a year; its values count them.
	choices []study.Figure
}

// mostEach bounds the list that an index * stands for.
const mostEach = 1000

// expand lists the places of a path with an index *.
func expand(p *plan.Prepared, path string) ([]string, error) {
	before, after, each := strings.Cut(path, "[*]")
	if !each {
		_, err := p.With([]string{path})
		return []string{path}, err
	}
	var list []string
	for i := range mostEach {
		more, err := expand(p, fmt.Sprintf("%s[%d]%s", before, i, after))
		if err != nil {
			if i == 0 {
				return nil, err
			}
			break
		}
		list = append(list, more...)
	}
	return list, nil
}

// scale reads and shows figures at a place of a prepared scenario.
func scale(p *plan.Prepared, path string) study.Scale {
	d, err := p.With([]string{path})
	if err != nil {
		return study.Scale{Read: func(any) (float64, error) { return 0, err }, Show: func(float64) string { return "" }}
	}
	shown := map[float64]string{} // as they were written
	read := func(figure any) (float64, error) {
		text, ok := figure.(string)
		if x, number := figure.(float64); number {
			text, ok = strconv.FormatFloat(x, 'g', -1, 64), true
		}
		if !ok {
			return 0, units.Fault(units.FaultMalformed, "", fmt.Sprint(figure), "a text with a unit, or a number")
		}
		x, err := d.Read(0, text)
		if err == nil {
			shown[x] = text
		}
		return x, err
	}
	show := func(x float64) string {
		if text, ok := shown[x]; ok {
			return text
		}
		return strconv.FormatFloat(x, 'g', 4, 64) + " in SI units"
	}
	// What is above 0 in the scenario stays so; the checks of the plan bound the rest.
	const most = 1e15
	least := -most
	if d.Value(0) > 0 {
		least = 0
	}
	if least == 0 {
		shown[0] = "0"
	}
	return study.Scale{Read: read, Show: show, Least: least, Most: most}
}

// choose reads an input whose figures are choices.
func choose(s plan.Scenario, in study.InputSpec) (study.Input, []study.Figure, error) {
	var list []study.Figure
	var f units.Faults
	if want := place(s, in.Path); want != "" {
		f.Say("path", in.Path, "%s", want)
		return study.Input{}, nil, f.Err()
	}
	out, err := in.Input(study.Scale{Least: 0, Most: 1e6, Named: true,
		Show: func(x float64) string {
			text := fmt.Sprint(list[int(x)].Any())
			return text[:min(len(text), 60)]
		},
		Read: func(figure any) (float64, error) {
			if _, err := patched(s, in.Path, study.FigureOf(figure)); err != nil {
				for _, e := range units.FieldErrors(err) {
					return 0, e.At("")
				}
				return 0, err
			}
			list = append(list, study.FigureOf(figure))
			return float64(len(list) - 1), nil
		}})
	return out, list, err
}
