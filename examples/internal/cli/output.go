package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// Output is a file that is opened before long work, so that a place where nothing can
// be written is told at once, and holds all of its text or what it held before.
type Output struct {
	path string // that it gets when complete
	file *os.File
	mode os.FileMode
	is   bool // a device or pipe, which is written to and stays what it is
}

// Create opens the file for [Output.Finish]. A file that is there keeps what it
// holds until then, and its mode and its links after it.
func Create(path string) (*Output, error) {
	o := &Output{path: path, mode: 0o644}
	was, err := os.Stat(path)
	switch {
	case err != nil: // a new file
	case was.IsDir():
		return nil, fmt.Errorf("%s is a folder", path)
	case !was.Mode().IsRegular():
		o.is = true
		o.file, err = os.OpenFile(path, os.O_WRONLY, 0)
		return o, err
	default:
		o.mode = was.Mode().Perm()
		if o.path, err = filepath.EvalSymlinks(path); err != nil {
			return nil, err
		}
	}
	o.file, err = os.CreateTemp(filepath.Dir(o.path), "."+filepath.Base(o.path)+"-*")
	return o, err
}

// Write writes a piece of the text, for one that is too long for [Output.Finish] alone.
func (o *Output) Write(data []byte) (int, error) { return o.file.Write(data) }

// Finish writes data and puts the file in its place.
func (o *Output) Finish(data []byte) error {
	_, err := o.file.Write(data)
	if o.is {
		return errors.Join(err, o.file.Close())
	}
	defer os.Remove(o.file.Name()) // fails after the rename, as it should
	err = errors.Join(err, o.file.Chmod(o.mode), o.file.Sync(), o.file.Close())
	if err != nil {
		return err
	}
	return os.Rename(o.file.Name(), o.path)
}

// Drop gives the file up and leaves what was there. After Finish it does nothing.
func (o *Output) Drop() {
	if o.file.Close() == nil && !o.is {
		os.Remove(o.file.Name())
	}
}

// WriteFile writes the whole file, or leaves what was there.
func WriteFile(path string, data []byte) error {
	o, err := Create(path)
	if err != nil {
		return err
	}
	return o.Finish(data)
}
