//go:build linux

package cli

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// mounted is a small disk of its own; the test is skipped where none may be made.
func mounted(t *testing.T, options string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", options, "combline-test", dir).CombinedOutput(); err != nil {
		t.Skipf("no disk can be mounted here: %v %s", err, out)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// On a full disk an entry is refused with an exit code of its own and nothing is
// lost; once there is room, it is taken.
func TestFullDisk(t *testing.T) {
	disk := mounted(t, "size=12m")
	dir := demoHouse(t, filepath.Join(disk, "house"))
	ballast, err := os.Create(filepath.Join(disk, "ballast"))
	if err != nil {
		t.Fatal(err)
	}
	for err == nil {
		_, err = ballast.Write(make([]byte, 4096))
	}
	size, err := ballast.Seek(0, io.SeekCurrent)
	if err != nil {
		t.Fatal(err)
	}
	if err := ballast.Truncate(size - 256<<10); err != nil { // room to open the house, not to write the table
		t.Fatal(err)
	}
	ballast.Close()
	table := filepath.Join(t.TempDir(), "notes.csv")
	rows := "about,note\n"
	for range 200 { // more than what room is left in the files
		rows += "D002," + strings.Repeat("much to say ", 300) + "\n"
	}
	if err := os.WriteFile(table, []byte(rows), 0o644); err != nil {
		t.Fatal(err)
	}
	expect(t, 6, "The disk is full. Nothing was recorded", "--house", dir, "bring-in", "noted", table)
	if err := os.Remove(ballast.Name()); err != nil {
		t.Fatal(err)
	}
	expect(t, 0, "All is whole", "--house", dir, "ledger", "verify")
	if _, printed := run1(t, "--house", dir, "facts", "D002"); strings.Contains(printed, "much to say") {
		t.Error("some rows were recorded on a full disk")
	}
	expect(t, 0, "Recorded: 200 entries", "--house", dir, "bring-in", "noted", table)
}

// In a folder that can't be written questions are answered; what would write is
// refused with an exit code of its own.
func TestReadOnlyFolder(t *testing.T) {
	disk := mounted(t, "size=16m")
	dir := demoHouse(t, filepath.Join(disk, "house"))
	if out, err := exec.Command("mount", "-o", "remount,ro", disk).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	expect(t, 0, "1 204.1 kg", "--house", dir, "trace", "R1")
	expect(t, 7, "can't be written. Nothing was recorded", "--house", dir, "record", "noted", "about=D002", "note=x")
	expect(t, 7, "can't be written", "open", filepath.Join(disk, "new"), "--no-browser")
	expect(t, 7, "can't be written", "demo", filepath.Join(disk, "new"), "--no-pages")
}
