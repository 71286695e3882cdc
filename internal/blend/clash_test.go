package blend

import (
	"testing"

	"combline/internal/linear"
	"pgregory.net/rapid"
)

// without gives the problem with a demand dropped.
func without(p Problem, d Demand) Problem {
	x := Change{Demand: d}
	p.Batches = append([]Batch(nil), p.Batches...)
	b := &p.Batches[d.Batch]
	switch d.Kind {
	case AskGrams:
		b.Under, b.Over = b.Grams-1000, mostGrams
	case AskTank:
		b.Tank = 0
	case AskContents:
		b.Most = 0
	case AskParcel:
		b.Parcel = 0
	case AskLimit:
		b.Limits = append(append([]Limit(nil), b.Limits[:d.Index]...), b.Limits[d.Index+1:]...)
	case AskShare:
		b.Shares = append(append([]Share(nil), b.Shares[:d.Index]...), b.Shares[d.Index+1:]...)
	case AskLabel:
		b.Label = nil
	case AskTime:
		b.Timed = false
	default: // use, apart, mark, whole drums
		return x.Apply(p)
	}
	return p
}

// Every clash is irreducible: all its demands together can't be met, and with any one
// of them dropped the rest of the clash can. What is proposed instead was tried: it
// passes the check of the changed problem.
func TestClashesAreIrreducible(t *testing.T) {
	sets, changes := 0, 0
	any := rapid.Custom(anyProblem)
	for seed := 0; sets < 60; seed++ {
		p := any.Example(seed)
		p.Batches, p.Prices = p.Batches[:1], Prices{} // no short batch: it must be met
		if seed%3 == 0 {
			p.Batches[0].Parcel, p.Batches[0].Tank = 150_000, 400_000
		}
		r, err := Find(p, plain, linear.Options{})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if r.Clash == nil || len(r.Clash.Set) == 0 {
			continue
		}
		sets++
		in := map[Demand]bool{}
		for _, d := range r.Clash.Set {
			in[d] = true
		}
		tk := must(prepare(&p))
		only := p // the demands of the set and no others
		all := tk.demands(0)
		for i := len(all) - 1; i >= 0; i-- { // from behind: places before stay right
			if !in[all[i]] {
				only = without(only, all[i])
			}
		}
		if r := must2(find(only, solver{plain, linear.Options{}})); r.Plan != nil {
			t.Errorf("seed %d: %v is no clash: %+v", seed, r, r.Plan)
		}
		for i, d := range r.Clash.Set {
			eased := p
			for k := len(all) - 1; k >= 0; k-- {
				if !in[all[k]] || all[k] == d {
					eased = without(eased, all[k])
				}
			}
			if got := must2(find(eased, solver{plain, linear.Options{}})); got.Plan == nil {
				t.Errorf("seed %d: without %v (%d) it still can't be met: %s", seed, d.Kind, i, got.Status)
			}
		}
		for _, x := range r.Clash.Changes {
			changes++
			changed := x.Apply(p)
			if _, faults, err := Check(&changed, x.Plan.Draws); err != nil || len(faults) > 0 {
				t.Errorf("seed %d: change %+v: %v %v", seed, x, faults, err)
			}
		}
	}
	if changes == 0 {
		t.Error("no change was proposed")
	}
}

func must2(r *Result, _ *task, err error) *Result {
	if err != nil {
		panic(err)
	}
	return r
}
