package yard

import (
	"maps"
	"slices"

	"combline/internal/record"
)

// Reasons why honey may or may not be pulled: keys of [Reason].
const (
	PullSiteUnknown       = "pull.site_unknown"        // no fact names the site
	PullEnquiry           = "pull.enquiry"             // a disease is suspected here: stand still
	PullDisease           = "pull.disease"             // a disease is confirmed here
	PullTouched           = "pull.touched"             // boxes of such a site came here
	PullMaybeTouched      = "pull.maybe_touched"       // boxes of such a site may have come here
	PullTreatmentIn       = "pull.treatment_in"        // a treatment is still in
	PullTreatmentAllows   = "pull.treatment_allows"    // it is in, and its label allows that
	PullWaiting           = "pull.waiting"             // inside the waiting time, up to and with day Until
	PullWaitUnknown       = "pull.wait_unknown"        // nobody wrote down the waiting time
	PullTreatmentOver     = "pull.treatment_over"      // over, and waited
	PullSupersInTreatment = "pull.supers_in_treatment" // these supers were on with a product that forbids it
	PullSupersUnknown     = "pull.supers_unknown"      // it is not known whether they were, or whether it forbids it
	PullNotTreated        = "pull.not_treated"         // it is written down that there was none, up to that day
	PullNoTreatmentRecord = "pull.no_treatment_record" // nothing is written down in the last year: ask
	PullFedWithSupers     = "pull.fed_with_supers"     // feed was given with these supers on
	PullFeedUnknown       = "pull.feed_unknown"        // feed was given; it is not known whether supers were on
	PullFedWithout        = "pull.fed_without_supers"  // feed was given before these supers
	PullNotFed            = "pull.not_fed"             // it is written down that there was none
	PullNoFeedRecord      = "pull.no_feed_record"      // nothing is written down in the last year: ask
)

// RecordDays is how far back a record of treatment or feeding speaks for a pull: a
// year, because colonies are treated and fed every year (common practice, no source).
const RecordDays = 365

// A Pull answers whether honey may be pulled at a site on a day.
type Pull struct {
	Site    record.Code
	Day     record.Day
	Allowed record.Truth // no if any reason says no; else not known if any does
	Reasons []Reason
}

// A Reason is one thing that speaks for or against.
type Reason struct {
	Key     string
	Allowed record.Truth // what this alone says
	Of      record.Code  // the treatment or enquiry
	Product string
	Until   record.Day // waiting: the last day of it
	Stamp              // the fact that it rests on; zero when none was written down
}

func (p *Pull) say(r Reason) { p.Reasons = append(p.Reasons, r) }

// MayPull answers from what is folded; treatments, feeding and enquiries after the
// day are left out. The day on which a treatment ended is not counted as waited.
func (y *Yard) MayPull(c record.Code, day record.Day) Pull {
	return y.mayPull(c, day, y.standing(day))
}

// Pulls answers for every site that was opened, by code.
func (y *Yard) Pulls(day record.Day) []Pull {
	var all []Pull
	standing := y.standing(day)
	for _, k := range slices.Sorted(maps.Keys(y.sites)) {
		if s := y.sites[k]; s.opened != nil {
			all = append(all, y.mayPull(s.code, day, standing))
		}
	}
	return all
}

func (y *Yard) mayPull(c record.Code, day record.Day, standing []stillStand) Pull {
	p := Pull{Site: c, Day: day, Allowed: record.Yes}
	s, ok := y.sites[c.Fold()]
	if !ok {
		p.say(Reason{Key: PullSiteUnknown, Allowed: record.NotKnown})
	} else {
		p.Site = s.code
		p.enquiries(standing)
		y.pullTreatments(&p, s)
		y.pullFeed(&p, s)
	}
	for _, r := range p.Reasons {
		if r.Allowed == record.No || r.Allowed == record.NotKnown && p.Allowed == record.Yes {
			p.Allowed = r.Allowed
		}
	}
	return p
}

// A stillStand is an enquiry that stands, with the sites that it stops.
type stillStand struct {
	Enquiry
	sites []TouchedSite
}

func (y *Yard) standing(day record.Day) []stillStand {
	var all []stillStand
	for _, e := range y.Enquiries() {
		if e.Standing(day) {
			all = append(all, stillStand{e, y.Reach(e.Opened.Sites, 0).Sites})
		}
	}
	return all
}

func (p *Pull) enquiries(standing []stillStand) {
	for _, e := range standing {
		for _, s := range e.sites {
			if s.Site.Fold() != p.Site.Fold() || s.At.Fact != 0 && s.At.Day() > p.Day {
				continue
			}
			r := Reason{Key: PullMaybeTouched, Allowed: record.NotKnown, Of: e.Code, Stamp: s.At}
			switch {
			case s.Suspect && e.Ruled != nil && e.Ruled.Ruling == record.Confirmed:
				r = Reason{Key: PullDisease, Allowed: record.No, Of: e.Code, Stamp: e.RuledAt}
			case s.Suspect:
				r = Reason{Key: PullEnquiry, Allowed: record.No, Of: e.Code, Stamp: e.At}
			case s.Certain:
				r.Key, r.Allowed = PullTouched, record.No
			}
			p.say(r)
		}
	}
}

func (y *Yard) pullTreatments(p *Pull, s *site) {
	known := false
	for _, k := range s.treated {
		t := y.treatments[k]
		if t.At.Day() > p.Day || t.Over == record.Yes && t.OverAt.Day() < p.Day-RecordDays {
			continue
		}
		known = true
		p.say(t.reason(p.Day))
	}
	for _, x := range s.exposed {
		t, ok := y.treatments[x.treatment]
		if !ok || !x.on(p.Day) {
			continue
		}
		r := Reason{Key: PullSupersUnknown, Allowed: record.NotKnown, Of: t.Code, Product: t.Treated.Product, Stamp: x.at}
		if x.sure {
			r.Key, r.Allowed = PullSupersInTreatment, record.No
		}
		p.say(r)
	}
	for _, f := range s.notTreated { // one placed after the period would not show: it must reach the day
		if f.From <= p.Day && f.To >= p.Day {
			known = true
			p.say(Reason{Key: PullNotTreated, Allowed: record.Yes, Until: f.To, Stamp: f.Stamp})
		}
	}
	if !known {
		p.say(Reason{Key: PullNoTreatmentRecord, Allowed: record.NotKnown})
	}
}

func (x *exposure) on(day record.Day) bool {
	return x.from <= day && (x.until == 0 || day <= x.until)
}

// reason is what a treatment that was placed by the day says of that day.
func (t Treatment) reason(day record.Day) Reason {
	r := Reason{Of: t.Code, Product: t.Treated.Product, Stamp: t.At}
	wait, known := t.Wait()
	in := t.Over != record.Yes || t.OverAt.Day() > day || t.OverAt.Day() < t.At.Day()
	if !in {
		r.Stamp, r.Until = t.OverAt, t.OverAt.Day()+wait
	}
	switch {
	case in && (t.Treated.SupersAllowed != record.Yes || wait > 0):
		r.Key, r.Allowed = PullTreatmentIn, record.No
	case !known:
		r.Key, r.Allowed, r.Until = PullWaitUnknown, record.NotKnown, 0
	case in:
		r.Key, r.Allowed = PullTreatmentAllows, record.Yes
	case wait > 0 && day <= r.Until:
		r.Key, r.Allowed = PullWaiting, record.No
	default:
		r.Key, r.Allowed = PullTreatmentOver, record.Yes
	}
	return r
}

func (y *Yard) pullFeed(p *Pull, s *site) {
	known := false
	for _, x := range s.exposed {
		if x.treatment != "" || !x.on(p.Day) {
			continue
		}
		known = true
		r := Reason{Key: PullFeedUnknown, Allowed: record.NotKnown, Stamp: x.at}
		if x.sure {
			r.Key, r.Allowed = PullFedWithSupers, record.No
		}
		p.say(r)
	}
	if known {
		return
	}
	for _, f := range s.fed {
		if d := f.Day(); d <= p.Day && d >= p.Day-RecordDays {
			known = true
			p.say(Reason{Key: PullFedWithout, Allowed: record.Yes, Stamp: f.Stamp})
		}
	}
	for _, f := range s.notFed {
		if f.From <= p.Day && f.To >= p.Day-RecordDays {
			known = true
			p.say(Reason{Key: PullNotFed, Allowed: record.Yes, Until: f.To, Stamp: f.Stamp})
		}
	}
	if !known {
		p.say(Reason{Key: PullNoFeedRecord, Allowed: record.NotKnown})
	}
}
