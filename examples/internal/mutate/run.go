package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
)

// fate is what became of an altered place.
type fate int

const (
	noticed fate = iota
	endless      // noticed, since the tests did not end in time: on a busy machine by chance, perhaps
	survived
	notBuilt
	equivalent
)

// bench holds the programs of the tests of one package while its places are altered.
type bench struct {
	options
	folder, dir string
	image       []byte        // of the program as it is
	numbers     map[place]int // of the places that one program holds together
}

// newBench builds the tests, and one program that holds as many of the drawn places of
// the source as it can. Both must pass while nothing is altered.
func (o options) newBench(folder, dir string, drawn []place) (*bench, error) {
	b := &bench{options: o, folder: folder, dir: dir}
	if out, err := b.build("plain", nil); err != nil {
		return nil, fmt.Errorf("%w\n%s", err, out)
	}
	if out, err := b.test("plain", 0); err != nil {
		return nil, fmt.Errorf("the tests of %s fail before anything is altered: %w\n%s", folder, err, out)
	}
	var err error
	if b.image, err = os.ReadFile(b.program("plain")); err != nil {
		return nil, err
	}
	files, numbers, err := together(folder, drawn)
	if err != nil {
		return nil, err
	}
	if len(numbers) == 0 {
		return b, nil
	}
	if out, err := b.build("together", files); err != nil {
		return nil, fmt.Errorf("%w\n%s", err, out)
	}
	if out, err := b.test("together", 0); err != nil {
		return nil, fmt.Errorf("the tests of %s fail before anything is in force: %w\n%s", folder, err, out)
	}
	b.numbers = numbers
	return b, nil
}

func (b *bench) program(name string) string { return filepath.Join(b.dir, name) }

// try runs the tests with one place altered: by its number, in the image of the program,
// or in a build of its own.
func (b *bench) try(p place) (fate, error) {
	if p.unseen {
		return equivalent, nil
	}
	text, err := os.ReadFile(p.file)
	if err != nil {
		return 0, err
	}
	if got := string(text[p.at : p.at+len(p.old)]); got != p.old {
		return 0, fmt.Errorf("%s changed while it was read: %q at %d", p.file, got, p.at)
	}
	if n := b.numbers[p]; n > 0 {
		return b.run("together", n), nil
	}
	if p.kind == "cell" {
		if image := bytes.ReplaceAll(b.image, text, sameLength(text, p)); !bytes.Equal(image, b.image) {
			if err := os.WriteFile(b.program("patched"), image, 0o755); err != nil {
				return 0, err
			}
			return b.run("patched", 0), nil
		}
	}
	altered := bytes.Join([][]byte{text[:p.at], []byte(p.new), text[p.at+len(p.old):]}, nil)
	if out, err := b.build("alone", map[string][]byte{p.file: altered}); err != nil {
		if bytes.HasPrefix(out, []byte("# ")) { // the compiler's faults come under the name of the package
			return notBuilt, nil
		}
		return 0, fmt.Errorf("%w\n%s", err, out)
	}
	return b.run("alone", 0), nil
}

// sameLength is a JSON file with one cell altered and spaces added at the end or taken
// from between its lines, so that the length stays; nil where it cannot.
func sameLength(text []byte, p place) []byte {
	list := [][]byte{text[:p.at], []byte(p.new), text[p.at+len(p.old):]}
	longer := len(p.new) - len(p.old)
	if longer < 0 {
		list = append(list, bytes.Repeat([]byte(" "), -longer))
	}
	out := bytes.Join(list, nil)
	for ; longer > 0; longer-- {
		i := bytes.Index(out, []byte("\n "))
		if i < 0 {
			return text
		}
		out = append(out[:i+1], out[i+2:]...)
	}
	return out
}

func (b *bench) run(program string, mutant int) fate {
	out, err := b.test(program, mutant)
	switch {
	case err != nil && bytes.Contains(out, []byte("panic: test timed out")):
		return endless
	case err != nil:
		return noticed
	}
	return survived
}

// build makes the tests of the package with some files altered.
func (b *bench) build(program string, files map[string][]byte) ([]byte, error) {
	args := []string{"test", "-c", "-vet=off", "-ldflags=-w", "-o", b.program(program)}
	if len(files) > 0 {
		replace := map[string]string{}
		for name, text := range files {
			path, err := filepath.Abs(name)
			if err != nil {
				return nil, err
			}
			replace[path] = filepath.Join(b.dir, filepath.Base(name))
			if err := os.WriteFile(replace[path], text, 0o644); err != nil {
				return nil, err
			}
		}
		overlay, err := json.Marshal(map[string]any{"Replace": replace})
		if err != nil {
			return nil, err
		}
		name := filepath.Join(b.dir, "overlay.json")
		if err := os.WriteFile(name, overlay, 0o644); err != nil {
			return nil, err
		}
		args = append(args, "-overlay", name)
	}
	return exec.Command("go", append(args, "./"+filepath.ToSlash(b.folder))...).CombinedOutput()
}

// test runs the tests of a program, the quick ones first.
func (b *bench) test(program string, mutant int) (out []byte, err error) {
	skip := b.skip
	stages := [][]string{{"-test.run", b.options.run, "-test.skip", skip}}
	if b.first != "" {
		all := b.first
		if skip != "" {
			all += "|" + skip
		}
		stages = [][]string{{"-test.run", b.first, "-test.skip", skip}, {"-test.run", b.options.run, "-test.skip", all}}
	}
	for _, stage := range stages {
		c := exec.Command(b.program(program), append(stage, "-test.short", "-test.failfast", "-test.timeout", b.timeout.String())...)
		c.Dir = b.folder
		c.Env = append(os.Environ(), variable+"="+strconv.Itoa(mutant))
		if out, err = c.CombinedOutput(); err != nil {
			if !errors.As(err, new(*exec.ExitError)) {
				return out, err
			}
			break
		}
	}
	return out, err
}
