package examples_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var imports = map[string]string{
	"context": "context",
	"errors":  "errors", "fmt": "fmt", "log": "log",
	"units": module + "/units", "plane": module + "/units/plane", "volume": module + "/volume", "earthwork": module + "/volume/earthwork", "sludge": module + "/sludge",
	"nutrient": module + "/nutrient", "calibrate": module + "/calibrate", "cover": module + "/cover",
}

// The snippets of the README compile and print what they say.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	blocks := regexp.MustCompile("(?s)\\*\\*(\\w+)\\*\\*\n\n```go\n(.*?)```").FindAllStringSubmatch(string(text), -1)
	require.Len(t, blocks, 6)
	dir := t.TempDir()
	var all strings.Builder
	var want strings.Builder
	used := map[string]bool{}
	for _, b := range blocks {
		code, output, ok := strings.Cut(b[2], "// Output:\n")
		require.True(t, ok, b[1])
		fmt.Fprintf(&all, "func %s_() {\n%s}\n\n", b[1], code)
		want.WriteString(strings.ReplaceAll(output, "// ", ""))
		for name := range imports {
			used[name] = used[name] || regexp.MustCompile(`\b`+name+`\.[A-Z]`).MatchString(code)
		}
	}
	var head strings.Builder
	head.WriteString("package main\n\nimport (\n")
	for name, path := range imports {
		if used[name] {
			fmt.Fprintf(&head, "\t%q\n", path)
		}
	}
	head.WriteString(")\n\nfunc main() {\n")
	for _, b := range blocks {
		fmt.Fprintf(&head, "\t%s_()\n", b[1])
	}
	head.WriteString("}\n\n")
	file := filepath.Join(dir, "main.go")
	require.NoError(t, os.WriteFile(file, []byte(head.String()+all.String()), 0o600))
	got, err := exec.Command("go", "run", file).CombinedOutput()
	require.NoError(t, err, string(got))
	require.Equal(t, want.String(), string(got))
}
