package cli

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func fault(field string) error { return units.Fault(units.FaultRange, field, 3, "2") }

func TestFaults(t *testing.T) {
	var b bytes.Buffer
	Faults(&b, units.Style{}, "demo", "the study", errors.Join(fault("a"), fault("b[2].c")))
	require.Equal(t, "demo: 2 faults in the study\n  a: got 3, want 2\n  b[2].c: got 3, want 2\n", b.String())
	b.Reset()
	Faults(&b, units.Style{}, "demo", "the study", errors.New("not JSON"))
	require.Equal(t, "demo: 1 fault in the study\n  not JSON\n", b.String())
	b.Reset()
	Faults(&b, units.Style{}, "demo", "the study", errors.New(strings.Repeat("again\n", mostShown+8)+"again"))
	require.Contains(t, b.String(), "209 faults")
	require.Contains(t, b.String(), "  again\n  and 9 more\n")
}

func TestWriteFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out")
	for _, text := range []string{"first, and longer", "second"} {
		require.NoError(t, WriteFile(path, []byte(text)))
		got, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, text, string(got))
	}
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, entries, 1, "nothing is left beside the file")
	require.Error(t, WriteFile(filepath.Join(path, "under a file"), nil))
}

func TestWriteFileKeepsWhatItIs(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "out"), filepath.Join(dir, "link")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
	require.ErrorContains(t, WriteFile(dir, nil), "is a folder")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	require.NoError(t, WriteFile(link, []byte("new")))
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "new", string(got))
	is, err := os.Lstat(link)
	require.NoError(t, err)
	require.NotZero(t, is.Mode()&os.ModeSymlink)
	is, err = os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), is.Mode().Perm())

	r, w, err := os.Pipe()
	require.NoError(t, err)
	defer r.Close()
	pipe := fmt.Sprintf("/dev/fd/%d", w.Fd())
	if _, err := os.Stat(pipe); err != nil {
		t.Skip("no files for open pipes here: ", err)
	}
	require.NoError(t, WriteFile(pipe, []byte("through")))
	require.NoError(t, w.Close())
	got, err = io.ReadAll(r)
	require.NoError(t, err)
	require.Equal(t, "through", string(got))
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		args     []string
		operands bool
		status   int
		ok       bool
		says     string
	}{
		{[]string{"-n", "3"}, false, 0, true, ""},
		{[]string{"-n", "3", "file"}, true, 0, true, ""},
		{[]string{"-n", "3", "file"}, false, StatusWrong, false, `demo: got "file", want no arguments`},
		{[]string{"-n", "three"}, false, StatusWrong, false, "invalid value"},
		{[]string{"-m"}, false, StatusWrong, false, "not defined"},
		{[]string{"-h"}, false, 0, false, "a number"},
	} {
		var b bytes.Buffer
		flags := flag.NewFlagSet("demo", flag.PanicOnError)
		flags.Int("n", 1, "a number")
		status, ok := Parse(flags, c.args, c.operands, &b)
		require.Equal(t, c.status, status, c.args)
		require.Equal(t, c.ok, ok, c.args)
		require.Contains(t, b.String(), c.says)
	}
}

func TestOutputDropped(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out")
	require.NoError(t, WriteFile(path, []byte("old")))
	o, err := Create(path)
	require.NoError(t, err)
	o.Drop()
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "old", string(got))
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, entries, 1)

	o, err = Create(path)
	require.NoError(t, err)
	require.NoError(t, o.Finish([]byte("new")))
	o.Drop()
	got, err = os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "new", string(got))
	_, err = Create(filepath.Join(path, "under a file"))
	require.Error(t, err, "before any work")
}
