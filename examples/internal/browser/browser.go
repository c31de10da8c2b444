// Package browser opens the pages of the example programs in a real browser and reports
// what a reader would stumble over: text that is cut or too small, tables without a
// head, pictures without words. Tests that use it are passed over where no browser is
// installed.
package browser

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

//go:embed look.js
var look string

// Smallest is the least size of text on a screen in pixels.
const Smallest = 11

// On paper text has 7 points or more, of 96 pixels an inch, and Letter is 7.4 inches wide
// between its margins.
const (
	smallestOnPaper = 7.0 / 72 * 96
	paperWidth      = 710
)

// find returns the program of a browser, or skips the test.
func find(t testing.TB) string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Skip("no browser is installed, so the page is not opened")
	return ""
}

// run starts the browser with more arguments and returns what it prints.
func run(t testing.TB, args ...string) string {
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	args = append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--user-data-dir=" + t.TempDir()}, args...)
	out, err := exec.CommandContext(ctx, find(t), args...).Output()
	if err != nil {
		t.Fatalf("the browser: %v", err)
	}
	return string(out)
}

// Faults opens a page as wide as width pixels and returns what is wrong with it, a line
// each.
func Faults(t testing.TB, page []byte, width int) []string {
	return faults(t, page, width, Smallest, false)
}

// PaperFaults lays a page out as it is printed on Letter and returns what is wrong with it.
func PaperFaults(t testing.TB, page []byte) []string {
	return faults(t, page, paperWidth, smallestOnPaper, true)
}

func faults(t testing.TB, page []byte, width int, smallest float64, paper bool) []string {
	find(t)
	mux := http.NewServeMux()
	mux.HandleFunc("/page", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Write(page)
	})
	// A browser's window has a least width, a frame has none.
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprintf(w, `<!doctype html><body style="margin:0"><iframe id="page" src="/page" style="width:%dpx;height:2000px;border:0"></iframe>`+
			`<script>const smallest=%g,paper=%t;%s</script><pre id="faults"></pre></body>`, width, smallest, paper, look)
	})
	server := httptest.NewServer(mux)
	defer server.Close()
	dom := run(t, "--virtual-time-budget=20000", "--dump-dom", server.URL+"/")
	m := regexp.MustCompile(`(?s)<pre id="faults">(.*?)</pre>`).FindStringSubmatch(dom)
	if m == nil || m[1] == "" {
		t.Fatal("the page was not looked at")
	}
	text := strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(m[1])
	var faults []string
	if err := json.Unmarshal([]byte(text), &faults); err != nil {
		t.Fatal(err)
	}
	return faults
}

// DOM opens an address and returns the page as it stands after scripts and forms.
func DOM(t testing.TB, address string) string {
	find(t)
	return run(t, "--virtual-time-budget=20000", "--dump-dom", address)
}

// Pages prints a page and returns how many sheets of a paper such as "A4" it takes, of the
// browser's own where none is named.
func Pages(t testing.TB, page []byte, paper string) int {
	find(t)
	if paper != "" {
		page = bytes.Replace(page, []byte("</head>"), fmt.Appendf(nil, "<style>@page{size:%s}</style></head>", paper), 1)
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "page.html"), filepath.Join(dir, "page.pdf")
	if err := os.WriteFile(in, page, 0o600); err != nil {
		t.Fatal(err)
	}
	run(t, "--no-pdf-header-footer", "--print-to-pdf="+out, "file://"+in)
	pdf, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return len(regexp.MustCompile(`/Type\s*/Page[^s]`).FindAll(pdf, -1))
}
