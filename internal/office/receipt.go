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
func (v *View) FlagsOf(first, last uint64) (lines []answer.Line) {
	for _, f := range v.State.Flags() {
		if first <= f.Fact && f.Fact <= last {
			lines = append(lines, answer.Line{Key: f.Key, Args: answer.Args{"of": f.Of, "also": f.Also}, Mark: answer.Care})
		}
	}
	for _, f := range v.State.Yard.Flags() {
		if first <= f.Fact && f.Fact <= last {
			lines = append(lines, yardLine(f))
		}
	}
	for _, f := range v.State.Goods.Flags() {
		if first <= f.Fact && f.Fact <= last {
			lines = append(lines, goodsLine(f))
		}
	}
	return append(lines, v.belowZero(first, last)...)
}

// belowZero lists contents that facts first to last name and that hold less than
// nothing now.
func (v *View) belowZero(first, last uint64) (lines []answer.Line) {
	seen := map[record.Code]bool{}
	for seq := first; seq <= last && seq <= v.Facts(); seq++ {
		e, err := v.Fact(uint64(seq))
		if err != nil {
			continue
		}
		record.Names(e.Fact, func(c record.Code, _ bool, _ []record.Entity) {
			for _, n := range v.State.RootsOf(c) {
				m, code := v.State.Graph().Left(n), v.State.NodeCode(n)
				if m < 0 && v.State.NodeKind(n) == house.ContentNode && !seen[code] {
					seen[code] = true
					lines = append(lines, answer.Line{Key: "odd.below-zero", Args: answer.Args{"of": code, "mass": m}, Mark: answer.Bad})
				}
			}
		})
	}
	return lines
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
