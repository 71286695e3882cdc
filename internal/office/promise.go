package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/record"
)

// promisesSound refuses to put by what is not free: promises are kept against free
// stock only. A promise is an intent, so it may be refused; what was put by already
// stays as it is written down.
func promisesSound(s *house.State, d *house.Draft) error {
	if !slices.ContainsFunc(d.Facts, func(f record.Fact) bool { return f.Kind() == record.KindPromised }) {
		return nil
	}
	v := &View{State: s}
	if len(d.Facts) > 1 { // a fact of the batch sees those before it
		v.State = s.Clone()
	}
	held := v.State.Held()
	for i, f := range d.Facts {
		if p, ok := f.(*record.Promised); ok {
			if err := v.promiseSound(p, held); err != nil {
				return err
			}
		}
		if i < len(d.Facts)-1 {
			v.State.Fold(&record.Entry{Seq: v.State.Seq + 1, Parts: 1, When: d.Stamp(i).When, Person: d.Stamp(i).Person, Fact: f})
		}
	}
	return nil
}

func (v *View) promiseSound(f *record.Promised, held house.Held) error {
	o, _ := v.State.Goods.Order(f.Order)
	var free int64
	batches := false
	for _, c := range f.What {
		if hold, ok := v.blockedBy(held, c); ok {
			return &house.Refusal{Key: "refused.on-hold", Args: answer.Args{"what": c, "hold": hold}, Next: "next.release-or-override"}
		}
		if by, ok := v.putByOther(c, f.Order); ok {
			return &house.Refusal{Key: "refused.promise-taken", Args: answer.Args{"what": c, "order": by}, Next: "next.promise-other"}
		}
		if n, ok := v.State.Goods.Free(c); ok {
			free, batches = free+max(0, n), true
			if n <= 0 && f.Units == 0 {
				return short(f, o, c, 1, 0)
			}
			continue
		}
		if !v.isHere(c) {
			return &house.Refusal{Key: "refused.promise-gone", Args: answer.Args{"what": c}, Next: "next.promise-other"}
		}
	}
	if batches && f.Units > free {
		return short(f, o, f.What[0], f.Units, free)
	}
	return nil
}

func short(f *record.Promised, o goods.Order, what record.Code, asked, free int64) error {
	return &house.Refusal{Key: "refused.promise-short", Next: "next.promise-less",
		Args: answer.Args{"what": what, "asked": asked, "free": free, "short": asked - free, "order": f.Order, "due": dayOrNil(o.Due)}}
}

// blockedBy is the hold that blocks what a code stands for, if one does.
func (v *View) blockedBy(held house.Held, code record.Code) (record.Code, bool) {
	for _, n := range v.State.RootsOf(code) {
		for _, on := range held[n] {
			if on.Share && (v.State.NodeKind(n) == house.ContentNode || v.State.NodeKind(n) == house.BatchNode) {
				return v.State.Code(on.Hold), true
			}
		}
	}
	return "", false
}

// putByOther is another order for which a drum, a pallet or the whole of a batch is
// put by.
func (v *View) putByOther(code, order record.Code) (record.Code, bool) {
	if c, ok := v.bulkOf(code); ok {
		return v.contentPutBy(c, order)
	}
	return v.namePutBy(code, order)
}

// contentPutBy looks for a content's own number and the steel that it stands in.
func (v *View) contentPutBy(c house.Content, order record.Code) (record.Code, bool) {
	if by, ok := v.namePutBy(c.Code, order); ok || c.Vessel == "" {
		return by, ok
	}
	return v.namePutBy(c.Vessel, order)
}

func (v *View) namePutBy(name, order record.Code) (record.Code, bool) {
	for _, p := range v.State.Goods.PromisesOf(name) {
		if p.Order.Fold() != order.Fold() && p.Units == 0 {
			return p.Order, true
		}
	}
	return "", false
}

// isHere reports whether a drum has honey in it, or a pallet a case on it.
func (v *View) isHere(code record.Code) bool {
	if _, ok := v.bulkOf(code); ok {
		return true
	}
	return slices.ContainsFunc(v.State.Goods.CasesOn(code), func(r goods.CaseRange) bool { return !r.Gone })
}

// PutBy is what would be put by for an order from what is free, first expired first
// out, as facts; and what each line would still lack. A line that can't be met in full
// is put by as far as it goes only when some is set.
func (v *View) PutBy(order record.Code, some bool) (facts []record.Fact, lacks []Lack, err error) {
	p, err := v.Pick(PickAsk{Order: order})
	if err != nil {
		return nil, nil, err
	}
	lacks = p.Lacks
	if len(lacks) > 0 && !some {
		return nil, lacks, nil
	}
	units := map[string]int64{}
	var batches []record.Code
	for _, l := range p.Lines {
		if l.Drum {
			if !v.putByFor(l.Line.What, p.Order.Code) {
				facts = append(facts, &record.Promised{Order: p.Order.Code, What: []record.Code{l.Line.What}})
			}
			continue
		}
		for _, u := range l.Of {
			if units[u.Batch.Fold()] == 0 {
				batches = append(batches, u.Batch)
			}
			units[u.Batch.Fold()] += u.Units
		}
	}
	for _, b := range batches { // what is put by for it already needs no second promise
		if n := units[b.Fold()] - v.State.Goods.PutBy(b, p.Order.Code); n > 0 {
			facts = append(facts, &record.Promised{Order: p.Order.Code, What: []record.Code{b}, Units: n})
		}
	}
	return facts, lacks, nil
}

func (v *View) putByFor(code, order record.Code) bool {
	return slices.ContainsFunc(v.State.Goods.PromisesOf(code), func(p goods.Promise) bool { return p.Order.Fold() == order.Fold() })
}
