package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/record"
	"combline/internal/yard"
)

// pullKeys are the words for whether honey may be pulled.
var pullKeys = map[record.Truth]answer.Key{record.Yes: "pull.may", record.No: "pull.may-not", record.NotKnown: "pull.ask"}

var pullMarks = map[record.Truth]answer.Mark{record.Yes: answer.Good, record.No: answer.Bad, record.NotKnown: answer.Care}

// farthest is how many days ahead a site is looked at for the day from which it is free;
// no waiting time that is in use is as long (common practice, no source).
const farthest = 200

// FreeFrom is the first day from day on, on which nothing that is written down forbids a
// pull; 0 where no such day comes by waiting alone.
func (v *View) FreeFrom(site record.Code, day record.Day) record.Day {
	p := v.State.Yard.MayPull(site, day)
	for p.Allowed == record.No {
		next := p.Day
		for _, r := range p.Reasons {
			if r.Allowed != record.No {
				continue
			}
			if r.Key != yard.PullWaiting {
				return 0 // a treatment that is in, a disease: nobody knows how long
			}
			next = max(next, r.Until+1)
		}
		if next <= p.Day || next > day+farthest {
			return 0
		}
		p = v.State.Yard.MayPull(site, next)
	}
	return p.Day
}

// noSite says that a site is not there, with those whose names are near.
func (v *View) noSite(site record.Code) *answer.Line {
	near := v.State.Near(site, []record.Entity{record.Site})
	if len(near) == 0 {
		return &answer.Line{Key: "pulls.unknown", Args: answer.Args{"site": site}}
	}
	return &answer.Line{Key: "pulls.unknown-near", Args: answer.Args{"site": site, "near": near}}
}

// MayPull answers whether honey may be pulled at a site on a day, and by what: its
// treatments with their waiting days, disease enquiries, feed, and the supers on it.
func (v *View) MayPull(site record.Code, day record.Day) answer.Answer {
	a := answer.Answer{Question: "pull", Of: v.properCode(site)}
	s, ok := v.State.Yard.Site(site)
	if !ok {
		a.Cannot = v.noSite(site)
		return a
	}
	a.Of = s.Code
	p := v.State.Yard.MayPull(site, day)
	a.Lines = append(a.Lines, answer.Line{Key: map[record.Truth]string{record.Yes: "pulls.yes", record.No: "pulls.no", record.NotKnown: "pulls.hold"}[p.Allowed],
		Args: answer.Args{"site": s.Code, "day": day}, Mark: pullMarks[p.Allowed]})
	v.pullOn(&a, s)
	t := a.Table("pull-reasons", "says", "answer", "of", "until", "when", "fact")
	for _, r := range p.Reasons {
		var until, when, fact any
		if r.Until != 0 {
			until = r.Until
		}
		if r.Fact != 0 {
			when, fact = r.When, int64(r.Fact)
		}
		t.Row(pullMarks[r.Allowed], answer.Key(r.Key), pullKeys[r.Allowed], textOrNil(r.Product+colon(r.Product, r.Of)), until, when, fact)
	}
	v.pullNext(&a, p)
	a.Follows("follows.pull", answer.Args{"days": int64(yard.RecordDays)})
	v.restsOnRecord(&a)
	return a
}

func colon(product string, of record.Code) string {
	if product != "" && of != "" {
		return " · " + string(of)
	}
	return string(of)
}

// pullOn says what is on the hives and how ripe it was read.
func (v *View) pullOn(a *answer.Answer, s yard.Site) {
	switch {
	case s.Known != record.Yes:
		a.Warn("pulls.on-unknown", answer.Args{"site": s.Code})
	case s.OnHives == 0:
		a.Warn("pulls.on-none", answer.Args{"site": s.Code})
	default:
		a.Say("pulls.on", answer.Args{"site": s.Code, "boxes": s.OnHives})
	}
	if s.RipeAt == (yard.Stamp{}) {
		a.Warn("pulls.never-looked", answer.Args{"site": s.Code})
		return
	}
	a.Say("pulls.looked", answer.Args{"when": s.RipeAt.When, "capped": figureOrNil(s.Capped), "water": figureOrNil(s.Water)})
}

// pullNext says what to do about what speaks against it.
func (v *View) pullNext(a *answer.Answer, p yard.Pull) {
	if p.Allowed == record.No {
		if from := v.FreeFrom(p.Site, p.Day); from != 0 {
			a.Then("next.pull.from", answer.Args{"site": p.Site, "day": from})
		}
	}
	said := map[string]bool{}
	for _, r := range p.Reasons {
		key := map[string]string{
			yard.PullEnquiry: "next.pull.inspector", yard.PullDisease: "next.pull.inspector", yard.PullTouched: "next.pull.inspector", yard.PullMaybeTouched: "next.pull.inspector",
			yard.PullTreatmentIn: "next.pull.end", yard.PullSupersInTreatment: "next.pull.adviser", yard.PullSupersUnknown: "next.pull.adviser",
			yard.PullWaitUnknown: "next.pull.wait", yard.PullNoTreatmentRecord: "next.pull.treatment", yard.PullNoFeedRecord: "next.pull.feed",
			yard.PullFedWithSupers: "next.pull.fed", yard.PullFeedUnknown: "next.pull.fed", yard.PullSiteUnknown: "next.pull.site",
		}[r.Key]
		if key != "" && r.Allowed != record.Yes && !said[key] {
			said[key] = true
			a.Then(key, answer.Args{"site": p.Site})
		}
	}
	if p.Allowed != record.Yes && v.pulledSince(p) {
		a.Then("next.pull.hold-lot", answer.Args{"site": p.Site})
	}
}

// pulledSince reports whether boxes were pulled on that day all the same: then the honey
// is held, not argued about.
func (v *View) pulledSince(p yard.Pull) bool {
	return slices.ContainsFunc(v.State.Yard.Moves(p.Site), func(m yard.Move) bool { return m.Kind == yard.Pulled && m.Day() == p.Day })
}
