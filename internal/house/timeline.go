package house

import (
	"cmp"
	"iter"
	"slices"

	"combline/internal/record"
)

// A Timeline is the order in which facts fold: by when they happened, then by when
// they were written. It knows which facts were amended or struck.
type Timeline struct {
	rows    []row             // in the order of folding
	last    map[uint64]uint64 // by fact: its last amendment or strike
	count   int
	shifted bool // some amendment moves a fact in time
}

// NewTimeline is an empty timeline with room for so many facts.
func NewTimeline(facts int) *Timeline { return &Timeline{rows: make([]row, 0, facts)} }

type row struct {
	minute int64
	seq    uint64
}

func (a row) compare(b row) int {
	return cmp.Or(cmp.Compare(a.minute, b.minute), cmp.Compare(a.seq, b.seq))
}

// A Standing says how a fact came into the timeline.
type Standing uint8

const (
	AtEnd  Standing = iota // it folds after all that was folded before
	Inside                 // it is late, or changes an earlier fact: fold again
)

// Add takes a fact in. Facts come in the order of the ledger.
func (t *Timeline) Add(e *record.Entry) Standing {
	if t.last == nil {
		t.last = map[uint64]uint64{}
	}
	t.count++
	place := AtEnd
	if of, ok := changes(e.Fact); ok {
		t.last[of] = e.Seq
		place = Inside
		if a, ok := e.Fact.(*record.Amended); ok && a.When != (record.When{}) {
			t.shifted = true
		}
	}
	r := row{e.When.Minute, e.Seq}
	if n := len(t.rows); n == 0 || t.rows[n-1].compare(r) < 0 {
		t.rows = append(t.rows, r)
		return place
	}
	at, _ := slices.BinarySearchFunc(t.rows, r, row.compare)
	t.rows = slices.Insert(t.rows, at, r)
	return Inside
}

// changes returns the fact that an amendment or a strike is about.
func changes(f record.Fact) (uint64, bool) {
	switch f := f.(type) {
	case *record.Amended:
		return uint64(f.Fact), true
	case *record.Struck:
		return uint64(f.Fact), true
	}
	return 0, false
}

// Corrected reports whether some fact was amended to another time, so that the order
// is not that of the times first written.
func (t *Timeline) Corrected() bool { return t.shifted }

// Len is how many facts there are.
func (t *Timeline) Len() int { return t.count }

// Place is where a fact that was taken in stands in the order of writing's times;
// amendments that move facts in time are not looked at.
func (t *Timeline) Place(e *record.Entry) int {
	at, _ := slices.BinarySearchFunc(t.rows, row{e.When.Minute, e.Seq}, row.compare)
	return at
}

// Clone returns an independent copy.
func (t *Timeline) Clone() *Timeline {
	c := &Timeline{rows: slices.Clone(t.rows), last: make(map[uint64]uint64, len(t.last)), count: t.count, shifted: t.shifted}
	for k, v := range t.last {
		c.last[k] = v
	}
	return c
}

// A Step is one fact to fold. Struck facts come too: they name nothing, but
// their codes stay used.
type Step struct {
	Entry  record.Entry
	Struck bool
}

// Each yields the facts in the order of folding, as they are now said to have
// been. read returns a fact by its number; it and the order end at the first error.
func (t *Timeline) Each(read func(seq uint64) (record.Entry, error)) iter.Seq2[Step, error] {
	return t.From(0, read)
}

// From yields the facts from the at-th in the order of folding on.
func (t *Timeline) From(at int, read func(seq uint64) (record.Entry, error)) iter.Seq2[Step, error] {
	return t.some(func(rows []row) []row { return rows[at:] }, read)
}

// Between yields the facts that happened from one minute to another (both included), in
// the order of folding, without reading the others.
func (t *Timeline) Between(first, last int64, read func(seq uint64) (record.Entry, error)) iter.Seq2[Step, error] {
	return t.some(func(rows []row) []row {
		from, _ := slices.BinarySearchFunc(rows, row{first, 0}, row.compare)
		to, _ := slices.BinarySearchFunc(rows, row{last + 1, 0}, row.compare)
		return rows[from:max(from, to)]
	}, read)
}

// some yields the facts of those rows that are picked.
func (t *Timeline) some(pick func([]row) []row, read func(seq uint64) (record.Entry, error)) iter.Seq2[Step, error] {
	return func(yield func(Step, error) bool) {
		rows, changed, err := t.moved(read)
		if err != nil {
			yield(Step{}, err)
			return
		}
		for _, r := range pick(rows) {
			step, ok := changed[r.seq]
			if !ok {
				e, err := read(r.seq)
				if err != nil {
					yield(Step{}, err)
					return
				}
				step = Step{Entry: e}
			}
			if !yield(step, nil) {
				return
			}
		}
	}
}

// moved returns the rows with amended facts at their amended times, and the facts
// that were changed.
func (t *Timeline) moved(read func(uint64) (record.Entry, error)) ([]row, map[uint64]Step, error) {
	if len(t.last) == 0 {
		return t.rows, nil, nil
	}
	changed := make(map[uint64]Step, len(t.last))
	shifted := false
	for of, by := range t.last {
		e, err := read(of)
		if err != nil {
			return nil, nil, err
		}
		change, err := read(by)
		if err != nil {
			return nil, nil, err
		}
		step, err := amended(e, change)
		if err != nil {
			return nil, nil, err
		}
		shifted = shifted || step.Entry.When.Minute != e.When.Minute
		changed[of] = step
	}
	if !shifted {
		return t.rows, changed, nil
	}
	rows := slices.Clone(t.rows)
	for i, r := range rows {
		if c, ok := changed[r.seq]; ok {
			rows[i].minute = c.Entry.When.Minute
		}
	}
	slices.SortFunc(rows, row.compare)
	return rows, changed, nil
}

// amended is e as the change says that it was.
func amended(e, change record.Entry) (Step, error) {
	a, ok := change.Fact.(*record.Amended)
	if !ok {
		return Step{Entry: e, Struck: true}, nil
	}
	fact, err := record.Unmarshal(string(a.With))
	if err != nil {
		return Step{}, err
	}
	e.Fact = fact
	if a.When != (record.When{}) {
		e.When = a.When
	}
	return Step{Entry: e}, nil
}
