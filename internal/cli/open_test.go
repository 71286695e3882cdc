package cli

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"combline/internal/ledger"
)

// started runs a command that serves pages; address is where, stop ends it and gives
// its exit code.
func started(t *testing.T, args ...string) (address string, stop func() int) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	r, w := io.Pipe()
	code := make(chan int, 1)
	go func() {
		code <- Run(ctx, append(args, "--listen", "127.0.0.1:0", "--no-browser"), Streams{nil, w, os.Stderr})
		w.Close()
	}()
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		if address = regexp.MustCompile(`http://[^ ",]+`).FindString(lines.Text()); address != "" {
			break
		}
	}
	go func() { _, _ = io.Copy(io.Discard, r) }()
	if address == "" {
		t.Fatalf("combline %s says no address; exit code %d", strings.Join(args, " "), <-code)
	}
	return address, func() int { cancel(); return <-code }
}

func get(t *testing.T, url string) string {
	t.Helper()
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	b, err := io.ReadAll(r.Body)
	if err != nil || r.StatusCode != http.StatusOK {
		t.Errorf("%s: %s, %v", url, r.Status, err)
	}
	return string(b)
}

// A new house is set up by opening a folder; its pages are there until the program is
// ended, while a stream of news is open too; then the house is free again.
func TestOpenSetsUpAHouse(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	dir := filepath.Join(t.TempDir(), "North Barn")
	address, stop := started(t, "open", dir, "--lang", "pl")
	if page := get(t, address); !strings.Contains(page, "<html") {
		t.Errorf("the first page is %.200s", page)
	}
	news, err := http.Get(address + "news")
	if err != nil {
		t.Fatal(err)
	}
	defer news.Body.Close()
	expect(t, 11, "has the house in", "--house", dir, "record", "noted", "note=x")
	if code := stop(); code != 0 {
		t.Errorf("ended with exit code %d", code)
	}
	if _, err := io.Copy(io.Discard, news.Body); err != nil { // it ends with the program
		t.Log(err)
	}
	expect(t, 0, "North Barn", "day") // the last house opened
	expect(t, 0, "Wszystko jest całe: 1 wpis", "--lang", "pl", "ledger", "verify")
	l, err := ledger.Open(t.Context(), dir, ledger.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
}

// The demo house is made and opened by one command, and opened as it is by the next.
func TestDemoOpens(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	dir := filepath.Join(t.TempDir(), "demo")
	for range 2 {
		address, stop := started(t, "demo", dir)
		if page := get(t, address+"stock"); !strings.Contains(page, "D002") {
			t.Error("the stock page does not show D002")
		}
		if code := stop(); code != 0 {
			t.Errorf("ended with exit code %d", code)
		}
	}
}

func TestFolderStore(t *testing.T) {
	s := folderStore(filepath.Join(t.TempDir(), "pages"))
	if b, err := s.Load("devices"); b != nil || err != nil {
		t.Errorf("nothing saved gives %q, %v", b, err)
	}
	for _, value := range []string{"one", "two", ""} {
		if err := s.Save("devices", []byte(value)); err != nil {
			t.Fatal(err)
		}
		if b, err := s.Load("devices"); string(b) != value || b == nil || err != nil {
			t.Errorf("saved %q, loaded %q, %v", value, b, err)
		}
	}
	for _, name := range []string{"", "../lock", "a/b", `a\b`, ".hidden", "c:x"} {
		if err := s.Save(name, nil); err == nil {
			t.Errorf("%q was taken for a name", name)
		}
		if _, err := s.Load(name); err == nil {
			t.Errorf("%q was taken for a name", name)
		}
	}
	if files, err := os.ReadDir(string(s)); err != nil || len(files) != 1 {
		t.Errorf("left in the folder: %v, %v", files, err)
	}
}
