package milp

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"combline/internal/linear"
)

// writeMPS writes a model in the free MPS form.
func writeMPS(t testing.TB, file string, m *linear.Model) {
	t.Helper()
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	fmt.Fprint(w, "NAME blend\nROWS\n N COST\n")
	for i, r := range m.Rows {
		kind := "E"
		if r.Low != r.High {
			kind = "L"
			if math.IsInf(r.High, 1) {
				kind = "G"
			}
		}
		fmt.Fprintf(w, " %s R%d\n", kind, i)
	}
	fmt.Fprint(w, "COLUMNS\n")
	for j, c := range m.Columns {
		if c.Whole {
			fmt.Fprintf(w, " M%d 'MARKER' 'INTORG'\n", j)
		}
		fmt.Fprintf(w, " C%d COST %.17g\n", j, c.Cost)
		for _, e := range c.Entries {
			fmt.Fprintf(w, " C%d R%d %.17g\n", j, e.Row, e.Value)
		}
		if c.Whole {
			fmt.Fprintf(w, " N%d 'MARKER' 'INTEND'\n", j)
		}
	}
	fmt.Fprint(w, "RHS\n")
	for i, r := range m.Rows {
		v := r.High
		if math.IsInf(v, 1) {
			v = r.Low
		}
		if v != 0 {
			fmt.Fprintf(w, " RHS R%d %.17g\n", i, v)
		}
	}
	fmt.Fprint(w, "BOUNDS\n")
	for j, c := range m.Columns {
		fmt.Fprintf(w, " UP BND C%d %.17g\n", j, c.High)
	}
	fmt.Fprint(w, "ENDATA\n")
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
}

// cbc solves a model with CBC, as a process of its own, to the gap: its objective, and
// the time it says that it took without reading the file.
func cbc(t testing.TB, m *linear.Model, gap float64, limit time.Duration) (objective float64, took time.Duration) {
	t.Helper()
	path, err := exec.LookPath("cbc")
	if err != nil {
		t.Skip("cbc, the reference, is not installed (Debian: coinor-cbc)")
	}
	file := filepath.Join(t.TempDir(), "m.mps")
	writeMPS(t, file, m)
	out, err := exec.Command(path, file, "-sec", fmt.Sprint(limit.Seconds()), "-ratio", fmt.Sprint(gap), "-allow", "0", "-solve", "-quit").CombinedOutput()
	if err != nil {
		t.Fatalf("cbc: %v\n%s", err, out)
	}
	objective = math.NaN()
	for s := bufio.NewScanner(bytes.NewReader(out)); s.Scan(); {
		if v, ok := strings.CutPrefix(s.Text(), "Objective value:"); ok {
			objective, _ = strconv.ParseFloat(strings.TrimSpace(v), 64)
		}
		if strings.HasPrefix(s.Text(), "Total time (CPU seconds):") {
			f := strings.Fields(s.Text())
			v, _ := strconv.ParseFloat(strings.TrimSuffix(f[len(f)-1], ")"), 64)
			took = time.Duration(v * float64(time.Second))
		}
	}
	return objective, took
}
