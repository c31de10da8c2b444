package nutrient

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// heads returns the classes into which a key of the invented states is cut.
func heads(r *rand.Rand, key string) []string {
	some := r.IntN(3)
	switch key {
	case "species":
		return [][]string{{"cows", "hens", "pigs"}, {"cows; hens", "pigs"}, {""}}[some]
	case "dryMatter":
		return [][]string{{"below 6 %", "from 6 % below 18 %", "from 18 %"}, {"to 12 %", "over 12 %"}, {""}}[some]
	case "time":
		return [][]string{{"to 12 h", "over 12 h to 4 d", "over 4 d or never"}, {"below 24 h", "from 24 h", "never"}, {"from 0 h or never"}}[some]
	case "day":
		return [][]string{{"1 Jan to 30 Jun", "1 Jul to 31 Dec"}, {"15 Nov to 10 Feb", "11 Feb to 14 Nov"}, {""}}[some]
	}
	return nil
}

// spoiled is a head that is a little off.
var spoiled = map[string]string{"cows; hens": "cows", "hens": "hens; pigs", "below 6 %": "to 6 %", "from 6 % below 18 %": "over 6 % below 18 %", "from 18 %": "from 17.9 %", "to 12 %": "below 12 %",
	"over 12 %": "from 12 %", "over 12 h to 4 d": "over 12 h below 4 d", "over 4 d or never": "over 4 d", "never": "from 99 d", "from 24 h": "from 25 h", "1 Jul to 31 Dec": "2 Jul to 31 Dec", "1 Jan to 30 Jun": "1 Jan to 1 Jul",
	"15 Nov to 10 Feb": "15 Nov to 9 Feb", "11 Feb to 14 Nov": "10 Feb to 14 Nov"}

// Tables of random classes, whole and with a slip, are taken or refused as looking at
// every combination of choices, ends and days demands: one line for each.
func TestLoaderProvesAsLookingAtAllDoes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	count := map[bool]int{}
	for range 300 {
		keys := []string{"species", "dryMatter", "time", "day"}
		r.Shuffle(len(keys), func(i, j int) { keys[i], keys[j] = keys[j], keys[i] })
		keys = keys[:1+r.IntN(2)]
		rows := [][]any{{}}
		for _, key := range keys {
			var next [][]any
			for _, row := range rows {
				for _, h := range heads(r, key) {
					next = append(next, append(slices.Clone(row), h))
				}
			}
			rows = next
		}
		for i := range rows {
			rows[i] = append(rows[i], 20+i)
		}
		switch r.IntN(4) {
		case 0: // a line is missing
			if len(rows) > 1 {
				i := r.IntN(len(rows))
				rows = slices.Delete(rows, i, i+1)
			}
		case 1, 2:
			i, k := r.IntN(len(rows)), r.IntN(len(keys))
			if h := spoiled[rows[i][k].(string)]; h != "" {
				rows[i] = slices.Clone(rows[i])
				rows[i][k] = h
			}
		}
		declared := map[string]string{
			"species": `{"name": "species", "label": "Animal", "values": ["cows", "hens", "pigs"]}`, "dryMatter": `{"name": "dryMatter", "label": "Dry matter", "unit": "%"}`,
			"time": `{"name": "time", "label": "Time", "unit": "h", "never": "never"}`, "day": `{"name": "day", "label": "Day", "date": true}`,
		}
		var list []string
		for _, k := range keys {
			if slices.ContainsFunc(rows, func(row []any) bool { return row[slices.Index(keys, k)] != "" }) {
				list = append(list, declared[k])
			}
		}
		by, err := json.Marshal(keys)
		require.NoError(t, err)
		cells, err := json.Marshal(rows)
		require.NoError(t, err)
		for _, k := range keys { // a key for which nobody asks cannot stand in by
			if !strings.Contains(strings.Join(list, ""), `"`+k+`"`) {
				list = append(list, declared[k])
			}
		}
		text := fmt.Sprintf(`{"id": "invented", "jurisdiction": "Atlantis", "source": {"title": "T", "publisher": "P", "edition": "1"}, "keys": [%s],
			"tables": [{"place": "1", "gives": "organic", "of": "original", "unit": "%%", "when": {"year": 1}, "by": %s, "rows": %s}], "unchecked": "invented"}`, strings.Join(list, ", "), by, cells)
		p := &plainState{skip: map[string]bool{}}
		p.parse(t, "invented", []byte(text), 0)
		whole := true
		var look func(i int, q map[string]plainValue)
		look = func(i int, q map[string]plainValue) {
			if i == len(keys) {
				q["year"] = plainValue{number: 1}
				lines, _ := p.fit("organic", "value", q)
				whole = whole && len(lines) == 1
				return
			}
			k := p.keys[slices.IndexFunc(p.keys, func(k plainKey) bool { return k.Name == keys[i] })]
			for _, v := range append(p.probes(k), plainValue{number: map[bool]float64{true: 101}[k.Date]}) {
				if len(k.Values) > 0 && v.word == "" {
					continue
				}
				q[keys[i]] = v
				look(i+1, q)
			}
		}
		look(0, map[string]plainValue{})
		_, err = ParseState([]byte(text))
		if err != nil && strings.Contains(err.Error(), "for which a table asks") {
			continue // no line asks for one of the keys
		}
		require.Equal(t, whole, err == nil, "%s\n%v", text, err)
		count[whole]++
	}
	require.Greater(t, count[true], 60)
	require.Greater(t, count[false], 60)
}

// With years of a pool and with what a file says that it lacks: each question has one line,
// or none and a lack that speaks of it, as looking at every combination shows.
func TestLoaderProvesYearsAndLacks(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	count := map[[3]bool]int{}
	const declared = `{"name": "species", "label": "Animal", "values": ["cows", "hens", "pigs"]}, {"name": "dryMatter", "label": "Dry matter", "unit": "%"}, {"name": "time", "label": "Time", "unit": "h", "never": "never"}, {"name": "day", "label": "Day", "date": true}`
	draws := 400
	if testing.Short() {
		draws = 150
	}
	for range draws {
		keys := []string{"species", "dryMatter", "time", "day"}
		r.Shuffle(len(keys), func(i, j int) { keys[i], keys[j] = keys[j], keys[i] })
		keys = keys[:1+r.IntN(2)]
		years := []string{""}
		if r.IntN(2) == 0 {
			years = [][]string{{"1"}, {"1", "2"}, {"1-2"}, {"1", "2-3"}, {"2"}}[r.IntN(5)]
		}
		pool := years[0] != ""
		var rows [][]any
		for _, year := range years { // each year has classes of its own
			next := [][]any{{year}}
			for _, key := range keys {
				list, cut := next, heads(r, key)
				next = nil
				for _, row := range list {
					for _, h := range cut {
						next = append(next, append(slices.Clone(row), h))
					}
				}
			}
			rows = append(rows, next...)
		}
		for i := range rows {
			rows[i] = append(rows[i], 5+i)
		}
		for range r.IntN(3) {
			if i := r.IntN(len(rows)); len(rows) > 1 {
				rows = slices.Delete(rows, i, i+1)
			}
		}
		if i, k := r.IntN(len(rows)), r.IntN(len(keys)); r.IntN(3) == 0 {
			if h := spoiled[rows[i][1+k].(string)]; h != "" {
				rows[i] = slices.Clone(rows[i])
				rows[i][1+k] = h
			}
		}
		var lacks []map[string]string
		for range r.IntN(3) {
			when := map[string]string{}
			for _, key := range append([]string{"year"}, keys...) {
				cut := []string{"1", "2"}
				if key != "year" {
					cut = heads(r, key)
				}
				if h := cut[r.IntN(len(cut))]; h != "" && r.IntN(2) == 0 && (key != "year" || pool) {
					when[key] = h
				}
			}
			lacks = append(lacks, when)
		}
		gives, by := `"gives": "lime", "unit": "t"`, keys
		if pool {
			gives = fmt.Sprintf(`"gives": %q, "of": "original", "unit": "%%"`, []string{"organic", "ammonium", "p", "k"}[r.IntN(4)])
			by = append([]string{"year"}, keys...)
		}
		last := 1
		for i, row := range rows {
			if pool {
				last = max(last, int(row[0].(string)[len(row[0].(string))-1]-'0'))
			} else {
				rows[i] = row[1:]
			}
		}
		lacking := []map[string]any{}
		for _, when := range lacks {
			lacking = append(lacking, map[string]any{"gives": []string{strings.Split(gives, `"`)[3]}, "when": when, "why": "left out"})
		}
		// A table of its own asks for all keys, so that none is without use.
		text := fmt.Sprintf(`{"id": "invented", "jurisdiction": "Atlantis", "source": {"title": "T", "publisher": "P", "edition": "1"}, "unchecked": "invented", "keys": [%s],
			"tables": [{"place": "1", %s, "by": %s, "rows": %s}, {"place": "2", "gives": "depth", "as": "cap", "unit": "1", "by": ["species", "dryMatter", "time", "day"], "rows": [["cows", "to 5", "to 5", "1 Jan to 2 Jan", 1]]}], "lacks": %s}`,
			declared, gives, must(json.Marshal(by)), must(json.Marshal(rows)), must(json.Marshal(lacking)))
		p := &plainState{skip: map[string]bool{}}
		p.parse(t, "invented", []byte(text), 0)
		of := func(name string) plainKey {
			return p.keys[slices.IndexFunc(p.keys, func(k plainKey) bool { return k.Name == name })]
		}
		for _, when := range lacks { // so that their ends are looked at, too
			p.lines = append(p.lines, plainLine{gives: "lacks", heads: when})
		}
		gap, twice := false, false
		var look func(i int, q map[string]plainValue)
		look = func(i int, q map[string]plainValue) {
			if i < len(keys) {
				k := of(keys[i])
				for _, v := range append(p.probes(k), plainValue{number: map[bool]float64{true: 101}[k.Date]}) {
					if len(k.Values) == 0 || v.word != "" {
						q[keys[i]] = v
						look(i+1, q)
					}
				}
				return
			}
			for year := 1; year <= last; year++ {
				q["year"] = plainValue{number: float64(year)}
				lines, _ := p.fit(strings.Split(gives, `"`)[3], "value", q)
				told := slices.ContainsFunc(lacks, func(when map[string]string) bool {
					for name, h := range when {
						if !of(name).fits(q[name], h, 0) {
							return false
						}
					}
					return true
				})
				gap, twice = gap || len(lines) == 0 && !told, twice || len(lines) > 1
			}
		}
		look(0, map[string]plainValue{})
		_, err := ParseState([]byte(text))
		message := fmt.Sprint(err)
		require.Equal(t, gap, strings.Contains(message, "no line for"), "%s\n%v", text, err)
		require.Equal(t, twice, strings.Contains(message, "a second answer"), "%s\n%v", text, err)
		require.Equal(t, !gap && !twice, err == nil, "%s\n%v", text, err)
		count[[3]bool{pool, gap, twice}]++
	}
	for _, pool := range []bool{true, false} {
		require.Greater(t, count[[3]bool{pool, false, false}], draws/12)
		require.Greater(t, count[[3]bool{pool, true, false}], draws/12)
	}
}
