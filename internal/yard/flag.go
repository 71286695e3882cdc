package yard

import (
	"cmp"
	"slices"

	"combline/internal/record"
)

// Keys of [Flag].
const (
	FlagOtherSite        = "yard.sent_to_other_site"     // boxes went to a site that the lot is not from
	FlagPulledElsewhere  = "yard.pulled_at_other_site"   // boxes of a lot were pulled at a site that it is not named for
	FlagMoreReceived     = "yard.more_received"          // than pulled
	FlagMoreSpun         = "yard.more_spun"              // than pulled
	FlagMoreWet          = "yard.more_weighed_out"       // than pulled
	FlagMoreBack         = "yard.more_back"              // at sites and stored than pulled
	FlagMorePulled       = "yard.more_pulled"            // than were on the hives
	FlagPulledTreated    = "yard.pulled_under_treatment" // or in its waiting time, or supers that were on with it
	FlagPulledFed        = "yard.pulled_after_feed"      // that was given with the supers on
	FlagMovedUnder       = "yard.moved_under_enquiry"    // boxes moved from or to a site that had to stand still
	FlagMovedTouched     = "yard.moved_touched"          // the same, of a site that such boxes had come or may have come to
	FlagFedSupersOn      = "yard.fed_supers_on"          // said to be fed without supers, while boxes were on
	FlagTreatmentUnknown = "yard.treatment_unknown"      // an end without a beginning
	FlagEnquiryUnknown   = "yard.enquiry_unknown"        // a ruling without an enquiry
	FlagCountOdd         = "yard.count_odd"              // a number of boxes that can't be; left out
)

// A Flag is something that was recorded and can't be, or should not have been.
type Flag struct {
	Key    string
	Site   record.Code
	Lot    record.Code
	Of     record.Code // treatment or enquiry
	Boxes  int64       // what was written down
	Most   int64       // what could be at most, where that is the point
	Reason string      // key of the pull's reason
	Stamp
}

// Flags lists what is odd, in order of time.
func (y *Yard) Flags() []Flag {
	all := slices.Clone(y.odd)
	for _, l := range y.lots {
		all = y.lotFlags(all, l)
	}
	for _, s := range y.sites {
		if s.short > 0 {
			all = append(all, Flag{Key: FlagMorePulled, Site: s.code, Boxes: s.short, Stamp: s.shortAt})
		}
	}
	for i := range y.moves {
		all = y.moveFlags(all, &y.moves[i])
	}
	for _, e := range y.Enquiries() {
		all = y.enquiryFlags(all, e)
	}
	slices.SortStableFunc(all, func(a, b Flag) int {
		return cmp.Or(cmp.Compare(a.When.Minute, b.When.Minute), cmp.Compare(a.Fact, b.Fact), cmp.Compare(a.Key, b.Key),
			cmp.Compare(a.Of, b.Of), cmp.Compare(a.Reason, b.Reason))
	})
	return all
}

func (y *Yard) lotFlags(all []Flag, l *lot) []Flag {
	if l.pulled.n == 0 {
		return all // counts of boxes that nobody wrote down as pulled compare with nothing
	}
	received := l.unsided
	for _, t := range []tally{l.before, l.after} {
		if t.at.When.Minute >= received.at.When.Minute {
			received.at = t.at
		}
	}
	received.n = l.received()
	out := tally{l.back.n + l.stored.n, l.back.at}
	if l.stored.at.When.Minute > out.at.When.Minute || out.at.Fact == 0 {
		out.at = l.stored.at
	}
	for _, c := range []struct {
		key string
		tally
	}{{FlagMoreReceived, received}, {FlagMoreSpun, l.spun}, {FlagMoreWet, l.wet}, {FlagMoreBack, out}} {
		if c.n > l.pulled.n {
			all = append(all, Flag{Key: c.key, Lot: l.code, Boxes: c.n, Most: l.pulled.n, Stamp: c.at})
		}
	}
	return all
}

func (y *Yard) moveFlags(all []Flag, m *Move) []Flag {
	f := Flag{Site: m.Site, Lot: m.Lot, Boxes: m.Boxes, Stamp: m.Stamp}
	l := y.lots[m.Lot.Fold()]
	switch m.Kind {
	case SentBack:
		known := len(l.sites) > 0 || l.opened != nil
		own := slices.ContainsFunc(l.sites, func(c record.Code) bool { return c.Fold() == m.Site.Fold() })
		if known && !own && !(l.opened != nil && l.opened.Site.Fold() == m.Site.Fold()) {
			f.Key = FlagOtherSite
			all = append(all, f)
		}
	case Pulled:
		if l.opened != nil && l.opened.Site.Fold() != m.Site.Fold() {
			f.Key = FlagPulledElsewhere
			all = append(all, f)
		}
		all = y.pullFlags(all, f)
	}
	return all
}

func (y *Yard) pullFlags(all []Flag, f Flag) []Flag {
	p, s := Pull{Site: f.Site, Day: f.Day()}, y.site(f.Site)
	y.pullTreatments(&p, s)
	y.pullFeed(&p, s)
	for _, r := range p.Reasons {
		if r.Allowed != record.No {
			continue
		}
		f.Key, f.Of, f.Reason = FlagPulledTreated, r.Of, r.Key
		if r.Key == PullFedWithSupers {
			f.Key = FlagPulledFed
		}
		all = append(all, f)
	}
	return all
}

// enquiryFlags finds the movements while sites had to stand still.
func (y *Yard) enquiryFlags(all []Flag, e Enquiry) []Flag {
	if e.Opened == nil {
		return all
	}
	during := y.during(e)
	if len(during) == 0 {
		return all
	}
	sites := map[string]TouchedSite{}
	for _, s := range y.Reach(e.Opened.Sites, 0).Sites {
		sites[s.Site.Fold()] = s
	}
	for _, m := range during {
		if key, site := y.stoodStill(m, sites); key != "" {
			all = append(all, Flag{Key: key, Site: site, Lot: m.Lot, Of: e.Code, Boxes: m.Boxes, Stamp: m.Stamp})
		}
	}
	return all
}

// during is the movements while an enquiry is open and not cleared.
func (y *Yard) during(e Enquiry) (all []*Move) {
	opened, _ := e.At.span()
	for i := range y.moves {
		m := &y.moves[i]
		from, before := m.span()
		if m.Kind == Stored || before <= opened {
			continue
		}
		if e.Ruled != nil && e.Ruled.Ruling == record.Cleared {
			if _, over := e.RuledAt.span(); from >= over {
				continue
			}
		}
		all = append(all, m)
	}
	return all
}

// stoodStill names the site that a movement should not have come from or gone to.
func (y *Yard) stoodStill(m *Move, sites map[string]TouchedSite) (key string, site record.Code) {
	ends := []record.Code{m.Site}
	if m.Kind == SentBack {
		ends = append(ends, y.lots[m.Lot.Fold()].sites...)
	}
	if m.Home != "" {
		ends = append(ends, m.Home)
	}
	_, before := m.span()
	for _, c := range ends {
		s, ok := sites[c.Fold()]
		if !ok {
			continue
		}
		if s.Suspect {
			return FlagMovedUnder, s.Site
		}
		if from, _ := s.At.span(); from < before && s.At.Fact != m.Fact {
			key, site = FlagMovedTouched, s.Site
		}
	}
	return key, site
}
