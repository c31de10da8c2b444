package main

import (
	"bytes"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestProgress(t *testing.T) {
	require.Equal(t, " 25 %  250000 of 1000000 draws, 100000 a second, 8s left", progress(250_000, 1_000_000, 50_000, 2*time.Second))
	require.Equal(t, "  5 %  50000 of 1000000 draws", progress(50_000, 1_000_000, 50_000, 0))
}

func TestQuietElsewhere(t *testing.T) {
	require.False(t, onTerminal(&bytes.Buffer{}))
	file, err := os.Create(t.TempDir() + "/file")
	require.NoError(t, err)
	defer file.Close()
	require.False(t, onTerminal(file))
	var b bytes.Buffer
	newMeter(&b, 10, 0).show(10)
	require.Empty(t, b.String())

	m := newMeter(&b, 10, 0)
	m.w = &b
	m.show(10)
	require.Contains(t, b.String(), "\r100 %  10 of 10 draws")
	require.Contains(t, b.String(), "\n")
}
