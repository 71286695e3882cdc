// Package chapter lets the tests of a package hold its chapter of docs/models.md to
// what the package gives. Only tests use it.
package chapter

import (
	"bytes"
	"os"
	"testing"
)

const path = "../../docs/models.md"

// Hold compares a chapter with what it should be, or writes it anew.
func Hold(t *testing.T, name string, want []byte, update bool) {
	t.Helper()
	begin, end := []byte("<!-- chapter "+name+" -->"), []byte("<!-- end of "+name+" -->")
	have, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok := bytes.Cut(have, begin)
	_, after, ok2 := bytes.Cut(rest, end)
	if !ok || !ok2 {
		t.Fatalf("docs/models.md has no place for the %s chapter", name)
	}
	whole := bytes.Join([][]byte{before, begin, want, end, after}, nil)
	if update {
		if err := os.WriteFile(path, whole, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(have, whole) {
		t.Errorf("the %s chapter of docs/models.md is not what the package gives: run this test with -update", name)
	}
}
