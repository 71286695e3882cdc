package plan

import (
	"testing"
	"time"
)

func TestQuickIsSound(t *testing.T) {
	for seed := range uint64(8) {
		p := drawProblem(seed, 20, 200, 14)
		if err := p.Check(); err != nil {
			t.Fatal(err)
		}
		n := 0
		for j := range p.Jobs {
			o, _ := p.options(j)
			n += len(o)
		}
		t0 := time.Now()
		got, err := Quick(p, QuickSteps)
		if err != nil {
			t.Fatal(err)
		}
		t.Log(seed, "options", n, "took", time.Since(t0), "unmet", len(got.Unmet), got.Cost)
		if b := Check(p, &got); len(b) > 0 {
			t.Errorf("seed %d: %v", seed, b)
		}
	}
}
