package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/record"
	"combline/internal/yard"
)

// Boxes answers which boxes are due back where: how many of each site stand in the house,
// from which lots, and which stand on the wrong hives; with a site, what to load on the
// truck that goes there.
func (v *View) Boxes(site record.Code, day record.Day) answer.Answer {
	a := answer.Answer{Question: "boxes", Of: v.properCode(site)}
	y := v.State.Yard
	if site != "" {
		if _, ok := y.Site(site); !ok {
			a.Cannot = v.noSite(site)
			return a
		}
	}
	if len(y.Sites()) == 0 {
		a.Cannot = &answer.Line{Key: "boxes.nothing-written"}
		return a
	}
	stopped := v.stopped(day)
	dues := slices.DeleteFunc(y.Dues(), func(d yard.Due) bool { return site != "" && d.Home != "" && d.Home.Fold() != site.Fold() })
	due := a.Table("boxes-due", "site", "least", "most", "of_lots", "stands_still")
	astray := a.Table("boxes-astray", "site", "stand_at", "boxes", "certain")
	var sure, maybe int64
	for _, d := range dues {
		mark, still := answer.Plain, any(false)
		if e := stopped[d.Home.Fold()]; e != "" {
			mark, still = answer.Bad, e
		}
		if d.Most > 0 {
			due.Row(mark, orNil(d.Home), d.Least, d.Most, lotsOf(d.Lots), still)
		}
		if site == "" || d.Home.Fold() == site.Fold() {
			sure, maybe = sure+d.Least, maybe+d.Most
		}
		for _, s := range d.Elsewhere {
			astray.Row(answer.Care, orNil(d.Home), s.Site, s.Boxes, true)
		}
		for _, s := range d.MaybeThere {
			astray.Row(answer.Plain, orNil(d.Home), s.Site, s.Boxes, false)
		}
		if mark == answer.Bad && d.Most > 0 {
			a.Then("next.boxes.keep", answer.Args{"site": d.Home, "enquiry": still})
		}
	}
	v.boxesSaid(&a, site, sure, maybe, stopped)
	if len(astray.Rows) > 0 {
		a.Warn("boxes.astray", answer.Args{"n": int64(len(astray.Rows))})
	}
	if site == "" {
		v.boxCount(&a)
	} else {
		v.onSite(&a, site)
	}
	a.Follows("follows.boxes", nil)
	v.restsOnRecord(&a)
	return a
}

func lotsOf(all []yard.LotBoxes) any {
	var codes []record.Code
	for _, l := range all {
		codes = append(codes, l.Lot)
	}
	return listOrNil(codes)
}

// stopped are the sites whose combs stand still on a day, with the enquiry.
func (v *View) stopped(day record.Day) map[string]record.Code {
	all := map[string]record.Code{}
	for _, e := range v.State.Yard.Enquiries() {
		if !e.Standing(day) {
			continue
		}
		for _, s := range v.State.Yard.Reach(e.Opened.Sites, 0).Sites {
			all[s.Site.Fold()] = e.Code
		}
	}
	return all
}

// boxesSaid says in a line what to load.
func (v *View) boxesSaid(a *answer.Answer, site record.Code, sure, maybe int64, stopped map[string]record.Code) {
	args := answer.Args{"site": a.Of, "n": sure, "most": maybe}
	if e := stopped[site.Fold()]; site != "" && e != "" {
		args["enquiry"] = e
		a.Lines = append(a.Lines, answer.Line{Key: "boxes.stand-still", Args: args, Mark: answer.Bad})
		return
	}
	switch {
	case site == "" && maybe == 0:
		a.Say("boxes.none-due", nil)
	case site == "":
		a.Say("boxes.due", args)
	case maybe == 0:
		a.Say("boxes.none-for", args)
	case sure == maybe:
		a.Lines = append(a.Lines, answer.Line{Key: "boxes.load", Args: args, Mark: answer.Good})
	default:
		a.Warn("boxes.load-maybe", args)
	}
}

// boxCount counts the boxes of each site: on its hives, whose they are.
func (v *View) boxCount(a *answer.Answer) {
	t := a.Table("boxes-sites", "site", "boxes", "own_least", "own_most", "others")
	for _, s := range v.State.Yard.Sites() {
		var on, least, most any
		var others int64
		if s.Known == record.Yes {
			on = s.OnHives
		}
		for _, h := range s.Homes {
			switch h.Home.Fold() {
			case s.Code.Fold():
				least, most = h.Least, h.Most
			default:
				if h.Home != "" {
					others += h.Most
				}
			}
		}
		mark := answer.Plain
		if others > 0 {
			mark = answer.Care
		}
		t.Row(mark, s.Code, on, least, most, others)
	}
}

// onSite says what is on the hives of the site itself.
func (v *View) onSite(a *answer.Answer, site record.Code) {
	s, _ := v.State.Yard.Site(site)
	if s.Known != record.Yes {
		a.Warn("pulls.on-unknown", answer.Args{"site": s.Code})
		return
	}
	a.Say("pulls.on", answer.Args{"site": s.Code, "boxes": s.OnHives})
}
