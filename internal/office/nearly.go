package office

import (
	"combline/internal/house"
	"combline/internal/record"
)

// kept is how many of the last facts a late one may stand among without the whole
// record being folded again: some days of a busy house.
const kept = 2000

// nearly is the house short of its last facts, kept by the writer: what is typed some
// minutes or hours late folds again from there. With 250,000 facts that takes a tenth
// of the time.
type nearly struct {
	state *house.State
	facts int // how many, in the order of folding
}

// refold makes the house again with facts that were taken into line late.
func (n *nearly) refold(line *house.Timeline, late []record.Entry, read func(uint64) (record.Entry, error)) (*house.State, error) {
	if n.state == nil || !n.before(line, late) {
		return n.again(line, read)
	}
	s := n.state.Clone()
	for step, err := range line.From(n.facts, read) {
		if err != nil {
			return nil, err
		}
		s.FoldStep(step)
	}
	return s, nil
}

// before reports whether all of the late facts stand after what is kept. A correction
// changes a fact that may be anywhere.
func (n *nearly) before(line *house.Timeline, late []record.Entry) bool {
	if line.Len()-n.facts > 4*kept { // it has fallen behind
		return false
	}
	for i := range late {
		switch late[i].Fact.(type) {
		case *record.Amended, *record.Struck:
			return false
		}
		if line.Corrected() || line.Place(&late[i]) < n.facts {
			return false
		}
	}
	return true
}

// again folds everything and keeps the state short of the last facts.
func (n *nearly) again(line *house.Timeline, read func(uint64) (record.Entry, error)) (*house.State, error) {
	*n = nearly{}
	s, i := house.New(), 0
	for step, err := range line.Each(read) {
		if err != nil {
			*n = nearly{}
			return nil, err
		}
		if i == line.Len()-kept {
			*n = nearly{s.Clone(), i}
		}
		s.FoldStep(step)
		i++
	}
	return s, nil
}
