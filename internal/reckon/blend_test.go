package reckon

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

func blendFlags(i int) []string {
	at := func(what string) string {
		return filepath.Join("..", "blend", "testdata", fmt.Sprintf("ex%d.%s.csv", i, what))
	}
	return []string{"blend", "--lots", at("lots"), "--orders", at("orders")}
}

// Two reference instances with their optima, proven equal by HiGHS, CBC and GLPK to a
// relative gap of 1e-7 (the other two are held in package milp).
func TestBlendReference(t *testing.T) {
	for i, want := range map[int]float64{1: 27338.99780, 2: 133626.42360} {
		q := mustOf(t, "", append(blendFlags(i), "--gap-pct", "0.00001")...)
		if got := q.answered("total").number; math.Abs(got-want) > 1e-6*want {
			t.Errorf("ex%d: %.5f, want %.5f", i, got, want)
		}
		if q.answered("proven").word != "yes" {
			t.Errorf("ex%d: not proven", i)
		}
	}
}

// The first instance's plan as rows: its 437 kg short stand with it.
func TestBlendRows(t *testing.T) {
	var b strings.Builder
	if err := mustOf(t, "", blendFlags(1)...).answered("rows").rows.writeCSV(&b); err != nil {
		t.Fatal(err)
	}
	if lines := strings.Split(b.String(), "\n"); lines[0] != "order,lot,units,kg" || lines[1] != "O000,SHORT,,437" {
		t.Errorf("%s", b.String())
	}
}

func TestBlendRefusals(t *testing.T) {
	const lots = "id,kind,unit,count,cost,moist,hmf,hold\nD1,drum,290,4,3,18.3,12,\nD2,drum,290,6,3.6,17.5,4,\nD3,drum,290,9,1,16,4,on_hold\n"
	say := func(orders string, more ...string) string {
		o, err := readOptions(append([]string{"blend", "--lots", lots, "--orders", orders}, more...))
		if err != nil {
			return err.Error()
		}
		q := newQuery(o.subject)
		if err := q.read(o.flags); err != nil {
			return err.Error()
		}
		if err := q.reckon(); err != nil {
			return err.Error()
		}
		return "answered: " + strings.Join(q.notes, "; ")
	}
	for _, c := range []struct {
		orders, want string
		more         []string
	}{
		{"id,qty,moist_max\nO1,580,17.8\n", "left out of O1: on hold: D3", nil},
		{"id,qty,moist_max\nO1,580,17.2\n", "O1: water at most 17.2 %", []string{"--short-price", "0"}},
		{"id,qty,moist_max\nO1,580,17.2\n", "Any one of these would do (tried): O1: water at most 17.5 %", []string{"--short-price", "0"}},
		{"id,qty\nO1,58000\n", "O1: 58000 kg. Any one of these would do (tried): O1: 2900 kg", []string{"--short-price", "0"}},
		{"id,qty,moist_max\nO1,580,0.172\n", "is it in another unit?", nil},
		{"id,qty,moist_max\nO1,580,17.8\n", "no aim", []string{"--aims", "beauty"}},
		{"id,qty,moist_max\nO1,580,17.8\n", "chance of a breach", []string{"--chance-pct", "90"}},
		{"id,qty,moist_max,colour\nO1,580,17.8,30\n", "unknown column", nil},
		{"id,qty,hmf_max,diast_min\nO1,580,20,8\n", "no reading of diastase: D1 D2", nil},
	} {
		if got := say(c.orders, c.more...); !strings.Contains(got, c.want) {
			t.Errorf("%q: %s\nwant %s", c.orders, got, c.want)
		}
	}
}

// The packer's question 17 with its worked answer (the trade's own sum, re-added by
// hand); ±0.2 on both readings. Tolerances are half the last digit told.
func TestTwoDrum(t *testing.T) {
	q := must(t, "two-drum --wet-kg 814 --wet-pct 19.4 --dry-kg 1496 --dry-pct 17 --target-pct 18 --wet-yeast-per-g 3200 --dry-yeast-per-g 0")
	for name, want := range map[string]float64{"dry_needed_kg": 1140, "yeast_per_g": 1333, "miss_pct": 50, "keeps_kg": 1791, "keeps_yeast_per_g": 1000} {
		if got := q.answered(name).number; math.Abs(got-want) > 0.5 {
			t.Errorf("%s %g, want %g", name, got, want)
		}
	}
	for name, want := range map[string]string{"there": "yes", "safe": "no", "keeps_there": "no"} {
		if got := q.answered(name).word; got != want {
			t.Errorf("%s %q, want %q", name, got, want)
		}
	}
	if aim := q.answered("aim_pct").number; !(aim < 17.95 && aim > 17.75) {
		t.Errorf("aim at %g", aim)
	}
	for _, bad := range []string{"--wet-kg 0 --wet-pct 19.4", "--wet-kg 814 --wet-pct 17", "--wet-kg 814 --wet-pct 0.194"} {
		if q, err := ask(t, "two-drum --dry-kg 1496 --dry-pct 17 --target-pct 18 "+bad); err == nil {
			t.Errorf("%s: %v", bad, q.out)
		}
	}
}
