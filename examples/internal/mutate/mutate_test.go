package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A small module of which some places are held by its test and some are not.
func TestPlacesAndFates(t *testing.T) {
	if testing.Short() {
		t.Skip("builds programs")
	}
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{
		"go.mod": "module toy\n\ngo 1.26\n",
		"toy/toy.go": `package toy

import (
	_ "embed"
	"encoding/json"
)

//go:embed rates.json
var data []byte

type table struct {
	Title       string
	Low, High   float64
}

const mostArea = 5

// Held is 3 low + 1.
func Held() float64 {
	var t table
	if json.Unmarshal(data, &t) != nil {
		return 0
	}
	return 3*t.Low + 1
}

// Loose is held by nothing.
func Loose(x float64) float64 { return x * 7 }
`,
		"toy/rates.json": `{"Title": "table 12", "Low": 2.5, "High": 4}`,
		"toy/toy_test.go": `package toy

import "testing"

func TestHeld(t *testing.T) {
	if Held() != 8.5 {
		t.Fatal("8.5")
	}
}
`,
	} {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	}
	t.Setenv("GOFLAGS", "")
	all, err := places("toy")
	require.NoError(t, err)
	var list []string
	at := map[string]place{}
	for _, p := range all {
		key := p.kind + " " + p.old + " " + p.new
		at[key] = p
		list = append(list, key)
	}
	require.ElementsMatch(t, []string{"cell 2.5 3.0", "cell 4 5", "bound 5 6", "field Low High", "number 0 1", "number 3 4", "operator * /", "number 1 2", "operator + -", "operator != ==", "operator * /", "number 7 8"}, list)
	o := options{timeout: time.Minute}
	for key, want := range map[string]fate{"cell 2.5 3.0": noticed, "number 7 8": survived} {
		got, err := o.try("toy", at[key])
		require.NoError(t, err)
		require.Equal(t, want, got, key)
	}
	broken := at["number 7 8"]
	broken.new = `"x"`
	got, err := o.try("toy", broken)
	require.NoError(t, err)
	require.Equal(t, notBuilt, got)
}
