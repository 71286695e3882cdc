package office

import (
	"combline/internal/answer"
)

// Latest lists the last facts written before one, or at all, the latest first.
func (v *View) Latest(before uint64, most int) answer.Table {
	a := answer.Answer{}
	t := a.Table("facts", "fact", "when", "kind", "says", "person", "corrected_by")
	corrected := map[uint64]uint64{}
	for _, c := range v.State.Corrections() {
		corrected[c.Of] = c.By
	}
	last := v.Facts()
	if before > 0 && before <= last {
		last = before - 1
	}
	for seq := last; seq > 0 && len(t.Rows) < most; seq-- {
		e, err := v.Fact(seq)
		if err != nil {
			continue
		}
		var by any
		mark := answer.Plain
		if c := corrected[seq]; c != 0 {
			by, mark = int64(c), answer.Care
		}
		t.Row(mark, int64(seq), e.When, answer.Key(e.Fact.Kind().Key()), Says(e.Fact), orNil(e.Person), by)
	}
	return *t
}
