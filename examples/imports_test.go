// Package examples_test holds the rules of the module that no compiler checks.
package examples_test

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const module = "example.org/earthbasin"

// Each domain package imports units, gonum and the standard library, and
// never a sibling; units imports the standard library, its helpers gonum too.
func TestImports(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports,Standard", module+"/...").Output()
	require.NoError(t, err)
	seen := map[string]bool{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := d.Decode(&p); err == io.EOF {
			break
		} else {
			require.NoError(t, err)
		}
		top, _, _ := strings.Cut(strings.TrimPrefix(p.ImportPath, module+"/"), "/")
		seen[top] = true
		if top == "examples" || p.ImportPath == module+"/units/evidence" {
			continue
		}
		for _, i := range p.Imports {
			first, _, _ := strings.Cut(i, "/")
			standard := !strings.Contains(first, ".")
			gonum := strings.HasPrefix(i, "gonum.org/v1/gonum/") && p.ImportPath != module+"/units"
			ground := i == module+"/units" || strings.HasPrefix(i, module+"/units/")
			own := strings.HasPrefix(i, module+"/"+top+"/") || i == module+"/"+top
			require.True(t, standard || gonum || ground || own, "%s imports %s", p.ImportPath, i)
		}
	}
	for _, want := range []string{"units", "volume", "sludge", "nutrient", "calibrate", "cover", "examples"} {
		require.True(t, seen[want], "no package under %s", want)
	}
	require.Len(t, seen, 7)
}

// The root module depends on gonum, testify and go-cmp, and on nothing else
// directly.
func TestDependencies(t *testing.T) {
	out, err := exec.Command("go", "list", "-m", "-f", "{{if not (or .Main .Indirect)}}{{.Path}}{{end}}", "all").Output()
	require.NoError(t, err)
	require.ElementsMatch(t,
		[]string{"github.com/google/go-cmp", "github.com/stretchr/testify", "gonum.org/v1/gonum"},
		strings.Fields(string(out)))
}

// The top level is the owner's card.
func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir("..")
	require.NoError(t, err)
	card := "volume nutrient calibrate sludge units cover examples testdata README.md DEVELOPERS.md go.mod go.sum"
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") {
			require.Contains(t, strings.Fields(card), e.Name())
		}
	}
}
