package web

import (
	"testing"

	"combline/internal/answer"
)

// A file's name must hold on every system: the characters that Windows forbids in one are
// listed in its own documentation ("Naming Files, Paths, and Namespaces", memory).
func TestFileName(t *testing.T) {
	for title, want := range map[string]string{"Stock": "Stock", "Balance · L05": "Balance · L05", `a/b\c:d*e?f"g<h>i|j`: "a-b-c-d-e-f-g-h-i-j", "  . ": "", "a\r\nb": "a--b"} {
		if got := fileName(title); got != want {
			t.Errorf("fileName(%q) = %q, want %q", title, got, want)
		}
	}
}

func TestWithRows(t *testing.T) {
	var a answer.Answer
	a.Table("empty", "x")
	a.Table("full", "x").Row(answer.Plain, int64(1))
	if got := withRows(a); len(got) != 1 || got[0].Key != "full" {
		t.Errorf("tables with rows: %v", got)
	}
}
