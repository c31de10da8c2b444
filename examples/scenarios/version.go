package main

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"runtime"
	"runtime/debug"
	"sync"
)

// version tells programs apart that may answer a study differently: by the commit that
// they were built from, with the compiler and the processor, since the last bits of
// sums hang on these too; by a checksum of the program itself where the source was not
// that of a commit.
var version = sync.OnceValue(func() string {
	set := map[string]string{}
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			set[s.Key] = s.Value
		}
	}
	if commit := set["vcs.revision"]; commit != "" && set["vcs.modified"] == "false" {
		return commit + " " + runtime.Version() + " " + runtime.GOARCH
	}
	sum := sha256.New()
	if path, err := os.Executable(); err == nil {
		if file, err := os.Open(path); err == nil {
			defer file.Close()
			if _, err := io.Copy(sum, file); err == nil {
				return "program " + hex.EncodeToString(sum.Sum(nil)[:8])
			}
		}
	}
	return "unknown"
})
