package office

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Every rule that an answer asks the house for can be set, and every one that can be
// set is asked for.
func TestRulesAreTheOnesAskedFor(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	asked := map[string]bool{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`(?:State\.Setting|\.span)\("([a-z.]+)"`).FindAllStringSubmatch(string(b), -1) {
			if !strings.HasSuffix(m[1], ".") { // one for each product, as plan.rate.sachet 12
				asked[m[1]] = true
			}
		}
	}
	if len(asked) == 0 {
		t.Fatal("no rule is asked for")
	}
	for name := range asked {
		if !slices.ContainsFunc(Rules(), func(r Rule) bool { return r.Name == name }) {
			t.Errorf("%s can't be set", name)
		}
	}
	for _, r := range Rules() {
		if !asked[r.Name] {
			t.Errorf("%s is asked for nowhere", r.Name)
		}
	}
}
