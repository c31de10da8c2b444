package table

import (
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

var columns = []string{"name", "x", "toSludge"}

// fields returns the paths of all faults.
func fields(f *units.Faults) []string {
	var at []string
	for _, e := range units.FieldErrors(f.Err()) {
		at = append(at, e.Field)
	}
	return at
}

func wide(text string, order binary.AppendByteOrder) []byte {
	var data []byte
	for _, c := range utf16.Encode([]rune("\ufeff" + text)) {
		data = order.AppendUint16(data, c)
	}
	return data
}

// One table, as different machines write it.
func TestSameTableFromEveryMachine(t *testing.T) {
	const plain = "name,x (ft),toSludge\nBühne,1.5,2 ft 3 in\n"
	for name, data := range map[string][]byte{
		"plain":         []byte(plain),
		"mark":          []byte("\ufeff" + plain),
		"UTF-16 little": wide(plain, binary.LittleEndian),
		"UTF-16 big":    wide(plain, binary.BigEndian),
		"lines of CRLF": []byte(strings.ReplaceAll(plain, "\n", "\r\n")),
		"lines of CR":   []byte(strings.ReplaceAll(plain, "\n", "\r")),
		"tabs":          []byte(strings.ReplaceAll(plain, ",", "\t")),
		"semicolons":    []byte("name;x (ft);toSludge\nBühne;1,5;2 ft 3 in\n"),
		"points":        []byte("name;x (ft);toSludge\nBühne;1.5;2 ft 3 in\n"),
		"said":          []byte("sep=;\nname;x (ft);toSludge\nBühne;1,5;2 ft 3 in\n"),
		"capitals":      []byte("NAME,X (ft),To Sludge\nBühne,1.5,2 ft 3 in\n"),
		"snakes":        []byte("name,x (ft),to_sludge\nBühne,1.5,2 ft 3 in\n"),
		"other order":   []byte("toSludge (in),name,x\n\"27\", Bühne ,18 in\n"),
		"comments":      []byte("# From the boat, July; with a pole\n\nname,x (ft),toSludge\n# the first\nBühne,1.5,2 ft 3 in\n"),
	} {
		t.Run(name, func(t *testing.T) {
			var f units.Faults
			table := Read("in.csv", data, columns, &f)
			require.NoError(t, f.Err())
			require.Equal(t, 1, table.Len())
			require.Equal(t, "Bühne", table.Text(0, "name"))
			require.InDelta(t, 1.5, table.Length(0, "x").In(units.Foot), 1e-12)
			require.InDelta(t, 27, table.Length(0, "toSludge").In(units.Inch), 1e-12)
			require.NoError(t, f.Err())
		})
	}
}

func TestRefusedByName(t *testing.T) {
	const plain = "name,x (ft)\nB\u00fchne,1.5\n"
	latin := []byte(strings.ReplaceAll(plain, "\u00fc", "\xfc"))
	for name, c := range map[string]struct {
		data     []byte
		at, says string
	}{
		"Latin-1":             {latin, "in.csv line 2", "Latin-1"},
		"UTF-16 without mark": {wide(plain, binary.LittleEndian)[2:], "in.csv", "without a byte-order mark"},
		"half a character":    {wide(plain, binary.LittleEndian)[:9], "in.csv", "ends within a character"},
		"UTF-32":              {[]byte{0xFF, 0xFE, 0, 0, 'n', 0, 0, 0}, "in.csv", "UTF-32"},
		"empty":               {nil, "in.csv", "a first line that names its columns of name, x, toSludge"},
		"unknown column":      {[]byte("name,y\n"), "in.csv line 1", "name, x, toSludge"},
		"twice":               {[]byte("name,Name\n"), "in.csv line 1", "at most once"},
		"cells":               {[]byte("name,x\n\na\n"), "in.csv line 3", "as in the head"},
		"quotation marks":     {[]byte("name,x\na\"b\",1\n"), "in.csv line 2", "quotation mark"},
	} {
		t.Run(name, func(t *testing.T) {
			var f units.Faults
			Read("in.csv", c.data, columns, &f)
			require.Equal(t, []string{c.at}, fields(&f))
			require.ErrorContains(t, f.Err(), c.says)
		})
	}
}

// What a comma means is never guessed.
func TestCommas(t *testing.T) {
	read := func(text string) (x *units.Length, at []string) {
		var f units.Faults
		x = Read("in", []byte("Name"+text[:1]+"X (m)\na"+text+"\n"), columns, &f).Length(0, "x")
		return x, fields(&f)
	}
	x, at := read(`,"1,234"`)
	require.Empty(t, at)
	require.InDelta(t, 1234, x.SI(), 0)
	x, at = read(";1,234")
	require.Empty(t, at)
	require.InDelta(t, 1.234, x.SI(), 0)
	for _, text := range []string{`,"12,5"`, "\t1,234", "\t12,5", ";1.234,5", ";1,234,567"} {
		_, at = read(text)
		require.Equal(t, []string{"in line 2, X"}, at, text)
	}
}

func TestManyRowsAtFault(t *testing.T) {
	var f units.Faults
	Read("in", []byte("name,x\n"+strings.Repeat("a\n", 9*mostFaults)), columns, &f)
	require.Len(t, fields(&f), mostFaults+1)
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("name;x (ft)\na;1,5\n"))
	f.Add(wide("name\tx (ft)\na\t1.5\n", binary.BigEndian))
	f.Fuzz(func(t *testing.T, data []byte) {
		var f units.Faults
		table := Read("in", data, columns, &f)
		for i := range table.Len() {
			table.Length(i, "x")
			table.Number(i, "toSludge", "a number")
			require.NotContains(t, table.Text(i, "name"), "\x00")
		}
	})
}
