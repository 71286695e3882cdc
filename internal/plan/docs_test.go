package plan

import (
	"flag"
	"os"
	"testing"

	"combline/internal/chapter"
)

var update = flag.Bool("update", false, "write the plan's chapter of docs/models.md anew")

func TestDocsAreUpToDate(t *testing.T) {
	text, err := os.ReadFile("testdata/plan.md")
	if err != nil {
		t.Fatal(err)
	}
	chapter.Hold(t, "plan", text, *update)
}
