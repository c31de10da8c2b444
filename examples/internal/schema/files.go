package schema

import (
	"bytes"
	"encoding/json"
	"flag"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/strict"
)

// File is a kind of file that people write: what it is read into, where its schema
// stands, and files of the kind.
type File[Spec any] struct {
	Schema, Title string
	Root          string // folder of the module
	Examples      []string
	Load          func([]byte) error
}

// Hold holds the schema of a kind of file to its types and to the loader, each in both
// directions and by files at random: what the types say the schema says, whatever its
// words, and the other way round; what the loader reads follows the schema, in files
// that were changed, and what follows the schema is read.
func Hold[Spec any](t *testing.T, f File[Spec]) {
	var spec Spec
	var missing []string
	for _, e := range units.FieldErrors(f.Load([]byte("{}"))) {
		if e.Kind == units.FaultMissing && e.Field != "" && !bytes.ContainsAny([]byte(e.Field), ".[") {
			missing = append(missing, e.Field)
		}
	}
	text, err := Of("https://example.org/earthbasin/"+filepath.Base(f.Schema), f.Title, f.Root, spec, missing)
	require.NoError(t, err)
	if flag.Lookup("update").Value.String() == "true" {
		evidence.Golden(t, f.Schema, text)
	}
	kept, err := os.ReadFile(f.Schema)
	require.NoError(t, err)
	s, err := Read(kept)
	require.NoError(t, err)
	now, err := Read(text)
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(1, 1))
	for _, name := range f.Examples {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		require.NoError(t, f.Load(data), name)
		if named, object := bytes.CutPrefix(data, []byte("{")); object {
			require.NoError(t, f.Load(append([]byte(`{"$schema": "`+filepath.Base(f.Schema)+`",`), named...)), "a file that names its schema")
		}
		var file any
		require.NoError(t, json.Unmarshal(data, &file))
		require.Empty(t, s.Fault("", file), name)
		for range changes {
			changed := Changed(r, file)
			text, err := json.Marshal(changed)
			require.NoError(t, err)
			if f.Load(text) == nil {
				require.Empty(t, s.Fault("", changed), "the loader reads %s", text)
			}
		}
	}
	for range changes {
		require.Empty(t, s.Fault("", now.Random(r, 6)), "%s does not have what the types have: run with -update if the change is meant", f.Schema)
		file := s.Random(r, 6)
		require.Empty(t, now.Fault("", file), "%s has what the types do not have: run with -update if the change is meant", f.Schema)
		text, err := json.Marshal(file)
		require.NoError(t, err)
		require.NoError(t, strict.Decode(text, new(Spec)), "the schema allows %s", text)
	}
}

// changes is how many changed and how many random files are tried.
const changes = 200
