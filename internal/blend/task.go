package blend

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A task is a problem made ready for search.
type task struct {
	p      *Problem
	z      float64
	groups []group
	of     []int // the group of each content
	points map[rowKey][][]float64
	// room is how far inside its limits and shares a batch is planned, in parts of its
	// mass: what rounding to grams may move.
	room  []float64
	bound float64 // by the first aim, without that room
	// careful takes each content's doubt as if all errors had the same sign: no point
	// to look at, but a blend may be missed.
	careful bool
}

// A group is one content, or single drums that are equal in every figure but their
// name: one unknown for all of them, or the search would try them in every order.
type group struct {
	members []int   // contents, by name
	unit    float64 // kg of one drum; 1 for a tank
	drum    quantity.Gram
	count   float64 // drums, or kg in a tank
	kg      float64
}

// A rowKey names a term of a limit of a batch.
type rowKey struct{ batch, limit, way, term int }

func prepare(p *Problem) (*task, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	t := &task{p: p, z: p.z(), of: make([]int, len(p.Contents)), points: map[rowKey][][]float64{}, room: make([]float64, len(p.Batches)), bound: math.Inf(1)}
	alone := map[string]bool{}
	for i := range p.Batches {
		for _, name := range p.Batches[i].named() {
			alone[name] = true
		}
	}
	seen := map[string]int{}
	for i := range p.Contents {
		c := &p.Contents[i]
		key, mergeable := likeness(c)
		at, known := seen[key]
		if !known || !mergeable || alone[c.Name] {
			at = len(t.groups)
			t.groups = append(t.groups, groupOf(c))
			if mergeable && !alone[c.Name] {
				seen[key] = at
			}
		} else {
			t.groups[at].count += float64(c.Grams / c.Drum)
			t.groups[at].kg += float64(c.Grams) / 1000
		}
		t.groups[at].members = append(t.groups[at].members, i)
		t.of[i] = at
	}
	return t, nil
}

func groupOf(c *Content) group {
	kg := float64(c.Grams) / 1000
	if c.Drum == 0 {
		return group{unit: 1, count: kg, kg: kg}
	}
	return group{unit: float64(c.Drum) / 1000, drum: c.Drum, count: float64(c.Grams / c.Drum), kg: kg}
}

// likeness is a text that is the same for contents which are equal in all but name.
// Only single drums are merged, so that drums count contents; tanks never, nor what
// carries a doubt of its own: two independent readings of one value are a better
// reading of their mix.
func likeness(c *Content) (string, bool) {
	if c.Drum == 0 || c.Grams != c.Drum {
		return "", false
	}
	key := fmt.Sprint(c.Drum, c.Split, c.Least, c.Cost, c.AgeDays, c.Parts, c.Marks, c.TipAfter, c.Stops)
	for f := Figure(0); f < figureCount; f++ {
		u, read := c.Figures[f]
		if read && u.Own != 0 {
			return "", false
		}
		key += fmt.Sprint(";", read, u)
	}
	return key, true
}

// content is the first member, which stands for the group.
func (t *task) content(g int) *Content { return &t.p.Contents[t.groups[g].members[0]] }

const (
	AskGrams    DemandKind = iota // the amount
	AskTank                       // that it fits the tank
	AskContents                   // at most so many contents
	AskParcel                     // no parcel under a weight
	AskLimit
	AskShare
	AskLabel // a declared country and its share
	AskUse
	AskApart
	AskMark
	AskTime  // that all can be tipped in time
	AskWhole // that drums are tipped whole
)
