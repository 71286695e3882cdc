package web

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"combline/internal/demo"
	"combline/internal/ledger"
	"combline/internal/record"
)

// TestBrowser drives the pages in a real Chromium. Each script in browser/ is a test of
// its own with houses of its own, copied from one demo house; make tools and make
// assets install what they need. One after the other: two browsers on two cores wait
// for each other.
func TestBrowser(t *testing.T) {
	chromium := browserPath(t)
	program, house := demoProgram(t)
	large := largeFolder(t)
	scripts, err := filepath.Glob("browser/*.test.mjs")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts in browser: %v", err)
	}
	for _, script := range scripts {
		t.Run(strings.TrimSuffix(filepath.Base(script), ".test.mjs"), func(t *testing.T) {
			run := exec.Command("node", "--test", "--test-force-exit", "--test-reporter=spec", script)
			run.Env = append(os.Environ(), "COMBLINE="+program, "HOUSE="+house, "LARGE="+large, "CHROMIUM="+chromium, "HOME="+t.TempDir())
			if out, err := run.CombinedOutput(); err != nil {
				t.Errorf("%v\n%s", err, out)
			}
		})
	}
}

// browserPath is the browser, once everything that the scripts need is there.
func browserPath(t *testing.T) string {
	t.Helper()
	if _, err := exec.LookPath("node"); err != nil {
		t.Skip("no Node here: make tools")
	}
	for _, module := range []string{"playwright-core", "axe-core"} {
		if _, err := os.Stat(filepath.Join("../../node_modules", module)); err != nil {
			t.Skip("no " + module + " here: make assets")
		}
	}
	if matches, _ := filepath.Glob("asset/built/combline.js"); len(matches) == 0 {
		t.Skip("the pages' script is not built: make assets")
	}
	for _, name := range []string{os.Getenv("CHROMIUM"), "chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); name != "" && err == nil {
			return path
		}
	}
	t.Skip("no Chromium here: make tools")
	return ""
}

// demoProgram builds the program and makes the demo house with it.
func demoProgram(t *testing.T) (program, house string) {
	t.Helper()
	dir := t.TempDir()
	program, house = filepath.Join(dir, "combline"), filepath.Join(dir, "house")
	for _, command := range [][]string{{"go", "build", "-o", program, "combline/cmd/combline"}, {program, "demo", house, "--no-pages"}} {
		run := exec.Command(command[0], command[1:]...)
		if command[0] == program {
			run.Env = append(os.Environ(), "HOME="+dir)
		}
		if out, err := run.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", strings.Join(command, " "), err, out)
		}
	}
	return program, house
}

// largeFolder is the folder of a house with 600 drums, 250 sites and five seasons.
func largeFolder(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "large")
	l, err := ledger.Open(t.Context(), dir, ledger.Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	var bodies [][]byte
	demo.Large(1, 0, func(e record.Entry) bool {
		body, err := record.Encode(e)
		if err != nil {
			t.Fatal(err)
		}
		bodies = append(bodies, body)
		return true
	})
	if _, err := l.Append(t.Context(), l.Head(), bodies...); err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	return dir
}
