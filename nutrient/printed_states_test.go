package nutrient

import (
	"encoding/json"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

// printedFigures are numbers, but for those within a name such as P2O5 or m3.
var printedFigures = regexp.MustCompile(`[A-Za-z]+[0-9][A-Za-z0-9]*|[0-9]+(?:\.[0-9]+)?`)

// figuresOf lists the figures of some members of a file in the order in which they stand.
func figuresOf(parts ...json.RawMessage) (list []string) {
	for _, part := range parts {
		for _, at := range printedFigures.FindAllIndex(part, -1) {
			s := string(part[at[0]:at[1]])
			if s[0] > '9' {
				continue
			}
			if at[0] > 1 && part[at[0]-1] == '-' && strings.ContainsRune(` ",[`, rune(part[at[0]-2])) {
				s = "-" + s
			}
			list = append(list, s)
		}
	}
	return list
}

// printedLine is a line of testdata/printed.txt, or what a file has in its place.
type printedLine struct{ words, figures string }

// Every figure of the states of the package, against a second reading of the pages that
// was typed without the files: testdata/printed.txt. A state without one fails, too.
func TestStatesAreAsPrinted(t *testing.T) {
	text, err := os.ReadFile("testdata/printed.txt")
	require.NoError(t, err)
	printed := map[string][]printedLine{}
	id := ""
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		if rest, ok := strings.CutPrefix(line, "== "); ok {
			id = rest
			require.NotContains(t, printed, id)
			printed[id] = nil
		} else if rest, ok := strings.CutPrefix(line, "-- "); ok {
			printed[id] = append(printed[id], printedLine{words: "table of " + rest})
		} else if line != "" && line[0] != '#' {
			words, figures, ok := strings.Cut(line, "|")
			require.True(t, ok, line)
			printed[id] = append(printed[id], printedLine{strings.TrimSpace(words), strings.TrimSpace(figures)})
		}
	}
	for _, id := range publishedIDs {
		want := printed[id]
		require.NotEmpty(t, want, "testdata/printed.txt lacks %s: type its tables from the pages", id)
		delete(printed, id)
		var wantFigures, gotFigures []string
		file := fileLines(t, id)
		for _, l := range want {
			wantFigures = append(wantFigures, l.figures)
		}
		for _, l := range file {
			gotFigures = append(gotFigures, l.figures)
		}
		require.Empty(t, cmp.Diff(wantFigures, gotFigures), "%s: figures as printed (-) and as in the file (+)", id)
		for i, l := range want {
			for word := range strings.FieldsSeq(l.words) {
				require.Contains(t, file[i].words, word, "%s: %s | %s", id, l.words, l.figures)
			}
		}
	}
	require.Empty(t, printed, "testdata/printed.txt has states that the package does not have")
}

// fileLines is the file of a state in the form of testdata/printed.txt.
func fileLines(t *testing.T, id string) (list []printedLine) {
	data, err := files.ReadFile("states/" + id + ".json")
	require.NoError(t, err)
	var file struct {
		Keys   []map[string]json.RawMessage
		Lacks  []map[string]json.RawMessage
		Checks []map[string]json.RawMessage
		Tables []struct {
			Gives, When, Plus, Round, Within json.RawMessage
			Cols                             []map[string]json.RawMessage
			Rows                             []json.RawMessage
		}
	}
	require.NoError(t, json.Unmarshal(data, &file))
	add := func(first string, parts ...json.RawMessage) {
		words := first
		for _, part := range parts {
			words += " " + string(part)
		}
		if figures := figuresOf(parts...); len(figures) > 0 || first == "" {
			list = append(list, printedLine{words, strings.Join(figures, " ")})
		}
	}
	var keys []json.RawMessage
	for _, k := range file.Keys {
		keys = append(keys, k["values"], k["unit"], k["also"])
	}
	add("keys", keys...)
	for _, table := range file.Tables {
		gives := string(table.Gives)
		top := []json.RawMessage{table.When}
		for _, col := range table.Cols {
			gives += string(col["gives"])
			delete(col, "gives")
			delete(col, "unit")
			delete(col, "title")
			head, err := json.Marshal(col)
			require.NoError(t, err)
			top = append(top, head)
		}
		list = append(list, printedLine{words: "table of " + gives})
		add("top", append(top, table.Round, table.Plus, table.Within)...)
		for _, row := range table.Rows {
			add("", row)
		}
	}
	for _, l := range file.Lacks {
		add("lacks "+string(l["gives"]), l["when"])
	}
	for _, c := range file.Checks {
		var parts []map[string]json.RawMessage
		if c["parts"] != nil {
			require.NoError(t, json.Unmarshal(c["parts"], &parts))
		}
		add("checks "+string(c["gives"]), c["ask"], c["times"], c["want"], c["tolerance"])
		for _, p := range parts {
			add("part "+string(p["gives"]), p["given"], p["ask"], p["times"], p["want"], p["tolerance"])
		}
	}
	return list
}

// Every source of a state has a title, a publisher, or the words that none is named, an
// edition and a place.
func TestStateSourcesAreWhole(t *testing.T) {
	for _, id := range publishedIDs {
		data, err := files.ReadFile("states/" + id + ".json")
		require.NoError(t, err)
		var file struct {
			Source  map[string]string
			Sources map[string]map[string]string
		}
		require.NoError(t, json.Unmarshal(data, &file))
		for name, s := range file.Sources {
			for _, member := range []string{"title", "publisher", "edition", "place"} {
				require.NotEmpty(t, s[member], "%s: sources.%s.%s", id, name, member)
			}
		}
		for _, member := range []string{"title", "publisher", "edition", "place"} {
			require.NotEmpty(t, file.Source[member], "%s: source.%s", id, member)
		}
	}
}
