package reckon

import (
	"math"
	"testing"
)

// FuzzLists: whatever is typed as a list of shares or weights is read as finite
// figures, or refused with a sentence.
func FuzzLists(f *testing.F) {
	for _, in := range []string{"VM 58.3, OS 41.7", "ES:2 t+FR:1450 kg", "ES 58,3; FR 41,7 %", "AA1BB2", "Ä AB ÄB 3", "net_g\n340.1\n339,9;341", ",;", "1e9 NaN"} {
		f.Add(in)
	}
	s, err := Find("batch")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, in string) {
		q := newQuery(s)
		i, err := s.flag("--weights")
		if err != nil {
			t.Fatal(err)
		}
		q.in[i] = value{given: true, word: in}
		parts, err := q.parts("weights")
		if err != nil && q.sentence(err) == "" || err == nil && len(parts) == 0 {
			t.Errorf("%q: %v, %v", in, parts, err)
		}
		for _, p := range parts {
			if len(p.code) != 2 || math.IsNaN(p.amount) || math.IsInf(p.amount, 0) || p.kg && p.pct {
				t.Errorf("%q: %+v", in, p)
			}
		}
		net, err := q.weights("weights")
		if err != nil && q.sentence(err) == "" {
			t.Errorf("%q is refused without a word", in)
		}
		for _, m := range net {
			if m <= 0 {
				t.Errorf("%q: a jar of %d mg", in, m)
			}
		}
	})
}
