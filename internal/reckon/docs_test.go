package reckon

import (
	"bytes"
	"flag"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "write docs/reckon.md anew")

func TestDocsAreCurrent(t *testing.T) {
	const path = "../../docs/reckon.md"
	var b bytes.Buffer
	if err := Docs(&b); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, b.Bytes()) {
		t.Error("docs/reckon.md is not what the subjects say; run go test ./internal/reckon -run Docs -update")
	}
}
