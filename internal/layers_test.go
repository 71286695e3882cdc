package internal_test

import (
	"encoding/json"
	"io"
	"os/exec"
	"strings"
	"testing"
)

// layer is design.md's table: an import goes to a lower layer only.
var layer = map[string]int{
	"quantity": 0, "chain": 0, "linear": 0,
	"words": 1, "standard": 1, "honey": 1, "record": 1, "branch": 1, "split": 1,
	"answer": 2, "gs1": 2, "heat": 2, "flow": 2, "blend": 2, "fill": 2, "trace": 2, "yard": 2, "goods": 2, "cost": 2,
	"house": 3, "assay": 3, "epcis": 3, "label": 3,
	"plan": 4,
	// Up to here all is pure: no clock, file, network, SQL, goroutine or context.
	"office":  5,
	"chapter": 6, "ledger": 6, "milp": 6, "instrument": 6, "paper": 6, "replica": 6, "web": 6,
	"demo": 7, "reckon": 7,
	"cli": 8,
}

const lastPure = 4

// impure are the packages that a pure one may not import.
var impure = map[string]bool{"context": true, "os": true, "os/exec": true, "net": true, "net/http": true,
	"database/sql": true, "sync": true, "sync/atomic": true, "io/fs": true, "log": true, "log/slog": true,
	"math/rand": true, "math/rand/v2": true, "crypto/rand": true, "syscall": true, "runtime": true}

func TestImportsPointDown(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "combline/internal/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := d.Decode(&p); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimPrefix(p.ImportPath, "combline/internal/")
		if name == "combline/internal" {
			continue // this test's own folder
		}
		at, ok := layer[name]
		if !ok {
			t.Errorf("package %s has no layer", name)
			continue
		}
		seen++
		for _, i := range p.Imports {
			below, ours := strings.CutPrefix(i, "combline/internal/")
			if ours && layer[below] >= at {
				t.Errorf("%s (layer %d) imports %s (layer %d)", name, at, below, layer[below])
			}
			if at <= lastPure && impure[i] {
				t.Errorf("%s is pure and imports %s", name, i)
			}
		}
	}
	if seen == 0 {
		t.Error("no package seen")
	}
}

// A pure package may not read the clock or start a goroutine, which no import shows.
func TestPurePackagesKeepNoTime(t *testing.T) {
	for name, at := range layer {
		if at > lastPure {
			continue
		}
		out, err := exec.Command("grep", "-rnE", `time\.(Now|Since|Until|Sleep|After|Tick|NewTimer|NewTicker)\(|^\s*go (func|[a-z])`,
			"--include=*.go", "--exclude=*_test.go", name).CombinedOutput()
		if err == nil {
			t.Errorf("%s reads a clock or starts a goroutine:\n%s", name, out)
		}
	}
}
