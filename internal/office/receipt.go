package office

import (
	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
)

// Batch returns the first fact of the batch with a key, when it is recorded.
func (v *View) Batch(key record.Key) (record.Entry, bool) {
	seq, ok := v.keys[key]
	if !ok {
		return record.Entry{}, false
	}
	e, err := v.Fact(uint64(seq))
	return e, err == nil
}

// FlagsOf lists what is odd now about the facts first to last.
func (v *View) FlagsOf(first, last uint64) []answer.Line {
	var entries []record.Entry
	for seq := first; seq <= last && seq <= v.Facts(); seq++ {
		if e, err := v.Fact(seq); err == nil {
			entries = append(entries, e)
		}
	}
	return flagsOf(v.State, 0, entries)
}

// Corrected says which correction now stands in a fact's place.
func (v *View) Corrected(fact uint64) (by house.Correction, ok bool) {
	for _, c := range v.State.Corrections() {
		if c.Of == fact {
			by, ok = c, true
		}
	}
	return by, ok
}

// AsCorrected is a fact as it is now said to have been: its last amendment, if that
// was not struck.
func (v *View) AsCorrected(e record.Entry) record.Fact {
	c, ok := v.Corrected(e.Seq)
	if !ok || c.Struck {
		return e.Fact
	}
	by, err := v.Fact(c.By)
	if err != nil {
		return e.Fact
	}
	if a, ok := by.Fact.(*record.Amended); ok {
		if f, err := record.Unmarshal(string(a.With)); err == nil {
			return f
		}
	}
	return e.Fact
}
