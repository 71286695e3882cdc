// Package yard is the state of sites, colonies and boxes, folded from facts: may
// honey be pulled, where are the supers, and what did the boxes of a site touch.
//
// Facts come in the order in which they happened. What happened is never refused:
// what can't be or should not be so shows in [Yard.Flags].
package yard

import (
	"maps"
	"slices"

	"combline/internal/record"
)

// A Stamp says which fact something rests on and when that happened.
type Stamp struct {
	Fact uint64 // number in the ledger
	When record.When
}

func stamp(e *record.Entry) Stamp { return Stamp{e.Seq, e.When} }

// Day is the local calendar day.
func (s Stamp) Day() record.Day {
	m := s.When.Minute + int64(s.When.Offset)
	d := m / 1440
	if m%1440 < 0 {
		d--
	}
	return record.Day(d)
}

// span is the time in which it happened, in minutes: from, and before.
func (s Stamp) span() (from, before int64) {
	from = s.When.Minute
	switch s.When.Precision {
	case record.ToDay:
		return from, from + 1440
	case record.ToHalfHour:
		return from, from + 30
	}
	return from, from + 1
}

// A Yard is the state. The zero Yard is empty and ready. It keeps facts that it
// was given; nobody changes them.
type Yard struct {
	sites      map[string]*site
	lots       map[string]*lot
	treatments map[string]Treatment
	enquiries  map[string]Enquiry
	marks      []marked
	moves      []Move
	odd        []Flag // oddities that show in the fact alone
}

// New returns an empty yard.
func New() *Yard { return &Yard{} }

// Clone returns an independent copy. What is only ever added to is shared.
func (y *Yard) Clone() *Yard {
	c := &Yard{
		sites: make(map[string]*site, len(y.sites)), lots: make(map[string]*lot, len(y.lots)),
		treatments: maps.Clone(y.treatments), enquiries: maps.Clone(y.enquiries),
		marks: slices.Clip(y.marks), moves: slices.Clip(y.moves), odd: slices.Clip(y.odd),
	}
	for k, s := range y.sites {
		c.sites[k] = s.clone()
	}
	for k, l := range y.lots {
		c.lots[k] = l.clone()
	}
	return c
}

// Fold takes in a fact of the yard and passes over every other.
func (y *Yard) Fold(e *record.Entry) {
	switch f := e.Fact.(type) {
	case *record.SiteOpened:
		s := y.site(f.Site)
		s.opened, s.openedAt = f, stamp(e)
	case *record.HivesCounted:
		s := y.site(f.Site)
		s.counted, s.countedAt = f, stamp(e)
	case *record.RipenessRead:
		s := y.site(f.Site)
		s.ripe, s.ripeAt = f, stamp(e)
	case *record.SiteDescribed:
		y.site(f.Site).describe(f, stamp(e))
	case *record.Fed:
		y.fed(f, stamp(e))
	case *record.NotFed:
		s := y.site(f.Site)
		s.notFed = append(s.notFed, NotFed{f.From, f.To, stamp(e)})
	case *record.NotTreated:
		s := y.site(f.Site)
		s.notTreated = append(s.notTreated, NotFed{f.From, f.To, stamp(e)})
	case *record.Treated:
		y.treated(f, stamp(e))
	case *record.TreatmentEnded:
		y.treatmentEnded(f, stamp(e))
	case *record.EnquiryOpened:
		y.enquiryOpened(f, stamp(e))
	case *record.EnquiryRuled:
		y.enquiryRuled(f, stamp(e))
	case *record.SupersMarked:
		y.marked(f)
	case *record.SupersPlaced:
		y.placed(f, stamp(e))
	case *record.SupersPulled:
		y.pulled(f, stamp(e))
	case *record.SupersSentBack:
		y.sentBack(f, stamp(e))
	case *record.CombsStored:
		y.stored(f, stamp(e))
	default:
		y.foldLot(e)
	}
}
