package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
)

// fate is what became of an altered place.
type fate int

const (
	noticed fate = iota
	survived
	notBuilt
)

// try runs the tests with one place altered.
func (o options) try(folder string, p place) (fate, error) {
	text, err := os.ReadFile(p.file)
	if err != nil {
		return 0, err
	}
	if got := string(text[p.at : p.at+len(p.old)]); got != p.old {
		return 0, fmt.Errorf("%s changed while it was read: %q at %d", p.file, got, p.at)
	}
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)
	altered := filepath.Join(dir, filepath.Base(p.file))
	if err := os.WriteFile(altered, bytes.Join([][]byte{text[:p.at], []byte(p.new), text[p.at+len(p.old):]}, nil), 0o644); err != nil {
		return 0, err
	}
	path, err := filepath.Abs(p.file)
	if err != nil {
		return 0, err
	}
	overlay, err := json.Marshal(map[string]any{"Replace": map[string]string{path: altered}})
	if err != nil {
		return 0, err
	}
	name := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(name, overlay, 0o644); err != nil {
		return 0, err
	}
	binary := filepath.Join(dir, "tests")
	if out, err := o.build(folder, binary, name); err != nil {
		if bytes.HasPrefix(out, []byte("# ")) { // the compiler's faults come under the name of the package
			return notBuilt, nil
		}
		return 0, fmt.Errorf("%w\n%s", err, out)
	}
	if _, err := o.test(folder, binary); err != nil {
		return noticed, nil
	}
	return survived, nil
}

// build makes the tests of a package with an overlay, none for "".
func (o options) build(folder, binary, overlay string) ([]byte, error) {
	args := []string{"test", "-c", "-vet=off", "-o", binary}
	if overlay != "" {
		args = append(args, "-overlay", overlay)
	}
	return exec.Command("go", append(args, "./"+filepath.ToSlash(folder))...).CombinedOutput()
}

// test runs the tests, the quick ones first.
func (o options) test(folder, binary string) (out []byte, err error) {
	rest := []string{"-test.run", o.run}
	stages := [][]string{rest}
	if o.first != "" {
		stages = [][]string{{"-test.run", o.first}, append(rest, "-test.skip", o.first)}
	}
	for _, stage := range stages {
		c := exec.Command(binary, append(stage, "-test.failfast", "-test.timeout", o.timeout.String())...)
		c.Dir = folder
		if out, err = c.CombinedOutput(); err != nil {
			break
		}
	}
	return out, err
}
