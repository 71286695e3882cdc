package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/record"
	"combline/internal/yard"
)

// HarvestStatement is a beekeeper's statement of a lot, from the record alone: where and
// when it was pulled, what it weighed, and what treatment, feed and suspicion of disease
// there was at its sites in the year before. Of a delivery it lists the papers that came
// with it; with no code, every lot in one line. What nobody wrote down is said to be not
// known, which is not none.
func (v *View) HarvestStatement(code record.Code) answer.Answer {
	a := answer.Answer{Question: "harvest-statement", Of: v.properCode(code)}
	if code == "" {
		v.statements(&a)
		return a
	}
	t, ok := v.State.Find(code)
	if !ok {
		return v.notTraced(a, code)
	}
	if d, ok := v.State.Named(t).(*record.HoneyBought); ok {
		v.boughtStatement(&a, d)
		return a
	}
	l, ok := v.State.Yard.Lot(code)
	if !ok || v.State.KindOf(t) != record.Lot {
		a.Cannot = &answer.Line{Key: "statement.not-of", Args: answer.Args{"of": a.Of, "kind": answer.Key(v.State.KindOf(t).Key())}}
		return a
	}
	v.lotStatement(&a, l)
	return a
}

func (v *View) lotStatement(a *answer.Answer, l yard.Lot) {
	opened := v.opened(l.Code)
	a.Say("statement.lot", answer.Args{"lot": l.Code, "day": dayOrNil(l.Day), "boxes": l.Pulled, "honey": textOrNil(opened.Honey), "owner": textOrNil(cmp.Or(opened.Owner, v.State.House().Name))})
	if t, ok := v.State.Find(l.Code); ok {
		if x, ok := v.State.Lot(t); ok && x.BoxesIn > 0 && x.BoxesWet > 0 {
			a.Say("statement.weight", answer.Args{"gross": x.GrossIn, "wet": x.WetOut, "removed": x.GrossIn - x.WetOut})
		} else {
			a.Warn("statement.no-weight", nil)
		}
	}
	sites := a.Table("statement-sites", "site", "place", "country", "owner", "hives", "capped", "water")
	treatments := a.Table("statement-treatments", "site", "product", "product_batch", "against", "dose", "placed", "ended", "wait_days", "supers_allowed", "adviser")
	feed := a.Table("statement-feed", "site", "when", "feed", "hives", "each_hive", "supers_on")
	enquiries := a.Table("statement-enquiries", "enquiry", "opened", "sites", "disease", "ruling", "ruled_on")
	for _, c := range l.Sites {
		s, _ := v.State.Yard.Site(c)
		sites.Row(answer.Plain, c, textOrNil(s.Place), textOrNil(s.Country), textOrNil(s.Owner), givenOrNil(s.Hives), givenOrNil(s.Capped), givenOrNil(s.Water))
		v.statementTreatments(a, treatments, c, l.Day)
		v.statementFeed(a, feed, c, l.Day)
		n := v.statementEnquiries(enquiries, c, l.Day)
		if n == 0 {
			a.Say("statement.no-enquiry", answer.Args{"site": c})
		}
	}
	v.statementFoot(a)
}

func (v *View) opened(lot record.Code) record.LotOpened {
	if t, ok := v.State.Find(lot); ok {
		if o, ok := v.State.Named(t).(*record.LotOpened); ok {
			return *o
		}
	}
	return record.LotOpened{}
}

// statementTreatments lists those of a site that were in during the year before a day.
func (v *View) statementTreatments(a *answer.Answer, t *answer.Table, site record.Code, day record.Day) {
	n := 0
	for _, x := range v.State.Yard.Treatments(site) {
		if x.Treated == nil || x.At.Day() > day || x.Over == record.Yes && x.OverAt.Day() < day-yard.RecordDays {
			continue
		}
		n++
		var ended any
		mark := answer.Care
		if x.Over == record.Yes && x.OverAt.Day() <= day {
			ended, mark = x.OverAt.Day(), answer.Plain
		}
		f := x.Treated
		t.Row(mark, site, f.Product, textOrNil(f.ProductBatch), textOrNil(f.Against), textOrNil(f.Dose), x.At.Day(), ended, givenOrNil(f.WaitDays), f.SupersAllowed, textOrNil(f.Adviser))
	}
	if n > 0 {
		return
	}
	p := v.State.Yard.MayPull(site, day)
	if slices.ContainsFunc(p.Reasons, func(r yard.Reason) bool { return r.Key == yard.PullNotTreated }) {
		a.Say("statement.not-treated", answer.Args{"site": site})
		return
	}
	a.Warn("statement.treatment-unknown", answer.Args{"site": site})
}

func (v *View) statementFeed(a *answer.Answer, t *answer.Table, site record.Code, day record.Day) {
	fed, not := v.State.Yard.Feedings(site)
	n := 0
	for _, f := range fed {
		if f.Day() <= day && f.Day() >= day-yard.RecordDays {
			n++
			t.Row(answer.Plain, site, f.When, f.Feed, countOrNil(f.Hives), givenOrNil(f.EachHive.Figure), f.SupersOn)
		}
	}
	switch {
	case n > 0:
	case slices.ContainsFunc(not, func(x yard.NotFed) bool { return x.From <= day && x.To >= day-yard.RecordDays }):
		a.Say("statement.not-fed", answer.Args{"site": site})
	default:
		a.Warn("statement.feed-unknown", answer.Args{"site": site})
	}
}

// statementEnquiries lists every suspicion at a site, also one from after the pull: spores
// were there before anybody saw them.
func (v *View) statementEnquiries(t *answer.Table, site record.Code, day record.Day) (n int) {
	for _, e := range v.State.Yard.Enquiries() {
		if e.Opened == nil || !slices.ContainsFunc(e.Opened.Sites, func(c record.Code) bool { return c.Fold() == site.Fold() }) {
			continue
		}
		n++
		var ruling, on any
		mark := answer.Bad
		if e.Ruled != nil {
			ruling, on = answer.Key("choice.confirmed"), e.RuledAt.Day()
			if e.Ruled.Ruling == record.Cleared {
				ruling, mark = answer.Key("choice.cleared"), answer.Plain
			}
		}
		t.Row(mark, e.Code, e.At.Day(), e.Opened.Sites, textOrNil(e.Opened.Disease), ruling, on)
	}
	return n
}

// boughtStatement is what came with honey that was bought.
func (v *View) boughtStatement(a *answer.Answer, d *record.HoneyBought) {
	a.Say("statement.bought", answer.Args{"delivery": d.Delivery, "supplier": d.Supplier, "owner": textOrNil(d.Owner), "country": textOrNil(d.Country), "district": textOrNil(d.District), "lot": textOrNil(d.TheirLot)})
	if d.FarmerDay != 0 {
		a.Say("statement.their-day", answer.Args{"day": d.FarmerDay})
	} else {
		a.Warn("statement.no-their-day", nil)
	}
	t := a.Table("statement-papers", "paper", "dated")
	for _, p := range d.Papers {
		t.Row(answer.Plain, p.Paper, dayOrNil(p.Day))
	}
	if len(d.Papers) == 0 {
		a.Warn("statement.no-papers", nil)
	}
	v.statementFoot(a)
}

// statements is every lot in one line.
func (v *View) statements(a *answer.Answer) {
	t := a.Table("harvest-statements", "lot", "sites", "day", "boxes", "gross_in_g", "wet_out_g", "removed_g", "treatments", "enquiries")
	for _, l := range v.State.Yard.Lots() {
		var gross, wet, removed any
		if th, ok := v.State.Find(l.Code); ok {
			if x, ok := v.State.Lot(th); ok && x.BoxesIn > 0 && x.BoxesWet > 0 {
				gross, wet, removed = x.GrossIn, x.WetOut, x.GrossIn-x.WetOut
			}
		}
		one := answer.Answer{}
		v.lotStatement(&one, l)
		n := map[string]int64{}
		mark := answer.Plain
		for _, x := range one.Tables {
			n[x.Key] = int64(len(x.Rows))
			for _, r := range x.Rows {
				mark = max(mark, r.Mark)
			}
		}
		for _, line := range one.Lines {
			mark = max(mark, line.Mark)
		}
		t.Row(mark, l.Code, l.Sites, dayOrNil(l.Day), l.Pulled, gross, wet, removed, n["statement-treatments"], n["statement-enquiries"])
	}
	a.Say("statement.count", answer.Args{"n": int64(len(t.Rows))})
	v.restsOnRecord(a)
}

func (v *View) statementFoot(a *answer.Answer) {
	if address := strings.TrimSpace(v.State.SettingText(addressSetting)); address != "" {
		a.Say("statement.from", answer.Args{"name": v.State.House().Name, "address": address})
	}
	a.Then("statement.sign", nil)
	a.Follows("statement.follows", nil)
	v.restsOnRecord(a)
}
