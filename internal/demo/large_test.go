package demo

import (
	"context"
	"testing"

	"combline/internal/chain"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/record"
)

// The large house opens like any other, has what it says, and its honey adds up.
func TestLargeHouse(t *testing.T) {
	m := &ledger.Memory{}
	var head chain.Head
	n := 0
	Large(1, 0, func(e record.Entry) bool {
		body, err := record.Encode(e)
		if err != nil {
			t.Fatal(err)
		}
		n++
		if head, err = m.Append(context.Background(), head, body); err != nil {
			t.Fatal(err)
		}
		return true
	})
	o, err := office.Open(context.Background(), m, LargeEnd, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	o.Read(func(v *office.View) {
		if got := v.Facts(); got != uint64(n) || n < 5*1400 {
			t.Errorf("%d facts are folded of %d", got, n)
		}
		if sites := len(v.State.OfKind(record.Site)); sites < largeSites {
			t.Errorf("%d sites, want at least %d", sites, largeSites)
		}
		full, sum := 0, int64(0)
		for _, st := range v.Floor() {
			if st.Shape == record.Drum && !st.Empty {
				full, sum = full+1, sum+int64(st.Content.Grams)
			}
		}
		if want := int64(largeDrums) * int64(fullNet); full != largeDrums || sum != want {
			t.Errorf("%d full drums with %d g, want %d with %d", full, sum, largeDrums, want)
		}
	})
}
