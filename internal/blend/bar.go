package blend

import (
	"slices"

	"combline/internal/standard"
)

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
