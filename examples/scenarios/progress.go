package main

import (
	"fmt"
	"io"
	"os"
	"time"
)

// meter shows how far a run is on a terminal, and stays quiet elsewhere. What it
// shows depends on the clock; nothing else does.
type meter struct {
	w          io.Writer // nil: quiet
	due, begun int64     // draws of the run, and those done before it
	start      time.Time
	shown      time.Time
}

func newMeter(w io.Writer, due, begun int64) *meter {
	m := &meter{due: due, begun: begun, start: time.Now()}
	if onTerminal(w) {
		m.w = w
	}
	return m
}

// onTerminal reports whether w is a character device.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

func (m *meter) show(done int64) {
	now := time.Now()
	if m.w == nil || done < m.due && now.Sub(m.shown) < 200*time.Millisecond {
		return
	}
	m.shown = now
	fmt.Fprint(m.w, "\r"+progress(done, m.due, m.begun, now.Sub(m.start))+"\x1b[K")
	if done == m.due {
		fmt.Fprintln(m.w)
	}
}

// progress is the line that the meter shows.
func progress(done, due, begun int64, took time.Duration) string {
	line := fmt.Sprintf("%3d %%  %d of %d draws", 100*done/due, done, due)
	if done <= begun || took <= 0 {
		return line
	}
	rate := float64(done-begun) / took.Seconds()
	left := time.Duration(float64(due-done) / rate * float64(time.Second))
	return fmt.Sprintf("%s, %.0f a second, %v left", line, rate, left.Round(time.Second))
}
