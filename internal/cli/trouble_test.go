package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"combline/internal/ledger"
)

// run1 carries out one command line and returns its exit code and all that it printed.
func run1(t *testing.T, args ...string) (code int, printed string) {
	t.Helper()
	var b strings.Builder
	code = Run(t.Context(), args, Streams{strings.NewReader(""), &b, &b})
	return code, b.String()
}

// demoHouse makes a demo house in dir.
func demoHouse(t *testing.T, dir string) string {
	t.Helper()
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	if code, printed := run1(t, "demo", "--no-pages", dir); code != 0 {
		t.Fatalf("exit code %d: %s", code, printed)
	}
	return dir
}

// expect holds a command to its exit code and to what it says.
func expect(t *testing.T, code int, says string, args ...string) {
	t.Helper()
	got, printed := run1(t, args...)
	if got != code || !strings.Contains(printed, says) {
		t.Errorf("combline %s: exit code %d, want %d, and %q in:\n%s", strings.Join(args, " "), got, code, says, printed)
	}
}

// Beside a process that has the house open, questions are answered; what would write
// is refused with that process's name. Once it is closed, writing works.
func TestBesideAnotherProcess(t *testing.T) {
	dir := demoHouse(t, filepath.Join(t.TempDir(), "house"))
	l, err := ledger.Open(t.Context(), dir, ledger.Options{})
	if err != nil {
		t.Fatal(err)
	}
	me, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	expect(t, 0, "1 204.1 kg", "--house", dir, "trace", "R1")
	expect(t, 0, "All is whole", "--house", dir, "ledger", "verify")
	expect(t, 11, filepath.Base(me)+" (process ", "--house", dir, "record", "noted", "about=D002", "note=x")
	expect(t, 11, "has the house in", "open", dir, "--no-browser")
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	expect(t, 0, "Recorded: 1 entry", "--house", dir, "record", "noted", "about=D002", "note=x")
}
