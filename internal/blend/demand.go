package blend

import (
	"slices"
)

// A Demand is one thing that a batch asks, to be named when it can't be had.
type Demand struct {
	Batch int
	Kind  DemandKind
	Index int // into the batch's Limits, Shares, Label, Use, Apart or Marks
}

// A DemandKind is what sort of thing is asked.
type DemandKind uint8

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

// dropped are demands that are not asked for the moment.
type dropped map[Demand]bool
