package blend

import (
	"fmt"
	"slices"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A task is a problem made ready for search.
type task struct {
	p      *Problem
	z      float64
	groups []group
	of     []int // the group of each content
	points map[rowKey][][]float64
	spare  map[rowKey]float64
	// careful takes each content's doubt as if all errors had the same sign: no point
	// to look at, but a blend may be missed.
	careful bool
}

// A group is contents that are equal in every figure but their name: one unknown for
// all of them, or the search would try them in every order.
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
	t := &task{p: p, z: p.z(), of: make([]int, len(p.Contents)), points: map[rowKey][][]float64{}, spare: map[rowKey]float64{}}
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

// likeness is a text that is the same for contents which are equal in all but name
// and number of drums. Tanks are never merged, nor what carries a doubt of its own:
// two independent readings of one value are a better reading of their mix.
func likeness(c *Content) (string, bool) {
	if c.Drum == 0 {
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

// A Demand is one thing that a batch asks, to be named when it can't be had.
type Demand struct {
	Batch int
	Kind  DemandKind
	Index int // into the batch's Limits, Shares, Label, Use, Apart or Marks
}

// A DemandKind is what sort of thing is asked.
type DemandKind uint8

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

var demandNames = [...]string{"grams", "tank", "contents", "parcel", "limit", "share", "label", "use", "apart", "mark", "time", "whole_drums"}

// String is the kind's stable key.
func (k DemandKind) String() string {
	if int(k) >= len(demandNames) {
		return "unknown"
	}
	return demandNames[k]
}

// demands lists what a batch asks.
func (t *task) demands(j int) (all []Demand) {
	b := &t.p.Batches[j]
	one := func(k DemandKind, asked bool) {
		if asked {
			all = append(all, Demand{j, k, 0})
		}
	}
	each := func(k DemandKind, n int) {
		for i := range n {
			all = append(all, Demand{j, k, i})
		}
	}
	one(AskGrams, true)
	one(AskTank, b.Tank > 0)
	one(AskContents, b.Most > 0)
	one(AskParcel, b.Parcel > 0)
	each(AskLimit, len(b.Limits))
	each(AskShare, len(b.Shares))
	each(AskLabel, len(b.Label))
	each(AskUse, len(b.Use))
	each(AskApart, len(b.Apart))
	each(AskMark, len(b.Marks))
	one(AskTime, b.Timed)
	one(AskWhole, slices.ContainsFunc(t.groups, func(g group) bool { return g.drum > 0 && !t.p.Contents[g.members[0]].Split }))
	return all
}

// An Out is a content that is not proposed for a batch, and the rule.
type Out struct {
	Content, Batch int
	Rule           Stop
	Figure         Figure // that was not read, for NoReading
	Name           string // the country or mark, for those
}

// bar says why a content may not go into a batch when some demands are off; nil if
// it may.
func (t *task) bar(c *Content, j int, off dropped) *Out {
	b := &t.p.Batches[j]
	for _, s := range c.Stops {
		if s != Overheated || !b.Cooking {
			return &Out{Rule: s}
		}
	}
	if t.p.Table && !b.Cooking && overheated(c) {
		return &Out{Rule: Overheated}
	}
	if b.Timed && !off[Demand{j, AskTime, 0}] && c.TipAfter > b.Within {
		return &Out{Rule: NotInTime}
	}
	for i, m := range b.Marks {
		if !off[Demand{j, AskMark, i}] && !slices.Contains(c.Marks, m) {
			return &Out{Rule: NotMarked, Name: m}
		}
	}
	for i := range b.Limits {
		if off[Demand{j, AskLimit, i}] {
			continue
		}
		if o := t.barByLimit(c, &b.Limits[i]); o != nil {
			return o
		}
	}
	return t.barByShare(c, j, off)
}

// overheated reports honey that is itself beyond what the law takes in table honey.
// Few enzymes with little HMF are the flower's, not the heat's.
func overheated(c *Content) bool {
	table := standard.Honey{Kind: standard.Blossom}
	if l, err := standard.LimitOf(standard.EU, standard.HMF, table); err != nil || c.Figures[HMF].Value > l.Value {
		return true
	}
	d, read := c.Figures[Diastase]
	if !read {
		return false
	}
	hmf := standard.Reading{}
	if h, read := c.Figures[HMF]; read {
		hmf = standard.ReadingOf(h.Value, 0)
	}
	table.LowEnzyme = true
	v, err := standard.JudgeDiastase(standard.EU, table, standard.ReadingOf(d.Value, 0), hmf)
	return err != nil || v == standard.Breach
}

// barByLimit bars a content that can go no way of a limit.
func (t *task) barByLimit(c *Content, l *Limit) *Out {
	var first *Out
	for _, way := range l.Ways {
		o := t.lacks(c, way)
		if o == nil {
			return t.farOff(c, l)
		}
		if first == nil {
			first = o
		}
	}
	return first
}

// lacks says what a content lacks to be reckoned with in a way.
func (t *task) lacks(c *Content, way []Term) *Out {
	for _, term := range way {
		for _, f := range term.Measure.needs(t.p.Colour) {
			if _, read := c.Figures[f]; !read {
				return &Out{Rule: NoReading, Figure: f}
			}
		}
		if _, err := t.measured(c, term); err != nil {
			return &Out{Rule: DarkerThanScale, Figure: Colour}
		}
	}
	return nil
}

func (t *task) farOff(c *Content, l *Limit) *Out {
	for _, way := range l.Ways {
		for _, term := range way {
			v, far := c.Figures[Figure(term.Measure)].Value, false
			switch d := &t.p.Far; {
			case term.Measure == Measure(Water) && !term.Least && d.WaterPts > 0:
				far = v > term.Bound+d.WaterPts
			case term.Measure == Measure(HMF) && !term.Least && d.HMFTimes > 0:
				far = v > d.HMFTimes*term.Bound
			case term.Measure == Measure(Colour) && d.ColourMM > 0:
				far = term.Least && v < term.Bound-d.ColourMM || !term.Least && v > term.Bound+d.ColourMM
			}
			if far {
				return &Out{Rule: FarOff, Figure: Figure(term.Measure)}
			}
		}
	}
	return nil
}

func (t *task) barByShare(c *Content, j int, off dropped) *Out {
	b := &t.p.Batches[j]
	for i, s := range b.Shares {
		if off[Demand{j, AskShare, i}] {
			continue
		}
		m := c.Parts[s.By]
		switch {
		case s.Most < 100 && !m.whole():
			return &Out{Rule: OriginUnknown, Name: s.Name}
		case s.Most == 0 && m.of(s.Name) > 0:
			return &Out{Rule: OriginNotOnLabel, Name: s.Name}
		case s.By == ByKind && m.fraction(s.Name) < t.p.Far.ShareTime*float64(s.Least)/100:
			return &Out{Rule: FarOff, Name: s.Name}
		}
	}
	if !t.labelled(j, off) {
		return nil
	}
	m := c.Parts[ByCountry]
	if !m.whole() {
		return &Out{Rule: OriginUnknown}
	}
	for _, p := range m.Parts {
		if p.Grams > 0 && !slices.ContainsFunc(b.Label, func(x standard.Claim) bool { return x.Country == p.Name }) {
			return &Out{Rule: OriginNotOnLabel, Name: p.Name}
		}
	}
	return nil
}

// labelled reports whether any of the label's shares is asked.
func (t *task) labelled(j int, off dropped) bool {
	for i := range t.p.Batches[j].Label {
		if !off[Demand{j, AskLabel, i}] {
			return true
		}
	}
	return false
}

// dropped are demands that are not asked for the moment.
type dropped map[Demand]bool

// outs lists every content that is not proposed, by batch and content.
func (t *task) outs() (all []Out) {
	for j := range t.p.Batches {
		for i := range t.p.Contents {
			if o := t.bar(&t.p.Contents[i], j, nil); o != nil {
				o.Content, o.Batch = i, j
				all = append(all, *o)
			}
		}
	}
	return all
}
