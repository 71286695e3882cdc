package cli

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"combline/internal/office"
)

// A photo is in the house's own file: a back-up that is restored, and an export that is
// read in again, have it byte for byte. What is no picture or too large is refused, and
// nothing is recorded of a thing that is not there.
func TestPhotoIsKeptWhole(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	run := func(want int, args ...string) string {
		t.Helper()
		var out, errs strings.Builder
		if code := Run(context.Background(), args, Streams{nil, &out, &errs}); code != want {
			t.Fatalf("%v: exit code %d, want %d: %s%s", args, code, want, out.String(), errs.String())
		}
		return out.String()
	}
	var photo bytes.Buffer
	if err := png.Encode(&photo, image.NewGray(image.Rect(0, 0, 200, 100))); err != nil {
		t.Fatal(err)
	}
	for name, b := range map[string][]byte{"jar.png": photo.Bytes(), "text.png": []byte("no picture"), "cut.png": photo.Bytes()[:20],
		"large.png": append(bytes.Clone(photo.Bytes()), make([]byte, office.MostPhoto)...)} {
		if err := os.WriteFile(at(name), b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if code := Run(context.Background(), []string{"demo", "--no-pages", at("house")}, Streams{nil, io.Discard, os.Stderr}); code != 0 {
		t.Fatal("no demo house")
	}
	before := run(0, "--house", at("house"), "ledger", "verify")
	for _, bad := range []string{"text.png", "cut.png", "large.png"} {
		run(1, "--house", at("house"), "photo", "K-01", at(bad))
	}
	run(1, "--house", at("house"), "photo", "K-99", at("jar.png"))
	if after := run(0, "--house", at("house"), "ledger", "verify"); after != before {
		t.Errorf("what was refused left something: %s%s", before, after)
	}
	run(0, "--house", at("house"), "photo", "K-01", at("jar.png"), "--note", "lid domed")
	run(0, "--house", at("house"), "ledger", "back-up", at("copy"))
	run(0, "ledger", "restore", at("copy"), at("again"))
	exported := run(0, "--house", at("house"), "ledger", "export")
	if err := os.WriteFile(at("lines"), []byte(exported), 0o600); err != nil {
		t.Fatal(err)
	}
	run(0, "ledger", "import", at("lines"), at("third"))
	for _, house := range []string{"house", "again", "third"} {
		run(0, "--house", at(house), "photo", "K-01", "--out", at(house+"-photos"))
		files, err := filepath.Glob(at(house + "-photos/*.png"))
		if err != nil || len(files) != 1 {
			t.Fatalf("%s: %v, %v", house, files, err)
		}
		if b, err := os.ReadFile(files[0]); err != nil || !bytes.Equal(b, photo.Bytes()) {
			t.Errorf("%s: the photo is another: %v", house, err)
		}
	}
}
