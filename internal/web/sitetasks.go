package web

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
	"combline/internal/yard"
)

// What is written down about sites, colonies and boxes in the yard.

// siteCell is the site of a fact: given when the form is about one, else asked for.
func (v *visit) siteCell(t *task, p *part, of record.Code) error {
	if of == "" {
		v.s.office.Read(func(h *office.View) {
			p.Cells = append(p.Cells, cell{Name: "site", Likely: named(h, record.Site, nil), Need: true})
		})
		return nil
	}
	site, err := v.must(of, record.Site)
	if err != nil {
		return err
	}
	if t.Of = site; p.Fixed == nil {
		p.Fixed = map[string]string{}
	}
	p.Fixed["site"] = string(site)
	return nil
}

// about is a task of one fact about a site.
func (v *visit) siteFact(of record.Code, kind record.Kind, cells ...cell) (*task, error) {
	t, p := &task{}, part{Kind: kind}
	if err := v.siteCell(t, &p, of); err != nil {
		return nil, err
	}
	p.Cells = append(p.Cells, cells...)
	t.Parts = []part{p}
	return t, nil
}

func (v *visit) siteTask(record.Code) (*task, error) {
	return &task{Parts: []part{{Kind: record.KindSiteOpened, Cells: []cell{{Name: "site"}, {Name: "country", Hint: v.say("page.enter.site.country")},
		{Name: "place"}, {Name: "owner", Hint: v.say("page.enter.site.owner")}, {Name: "hives"}}}}}, nil
}

func (v *visit) hivesTask(of record.Code) (*task, error) {
	t, err := v.siteFact(of, record.KindHivesCounted, cell{Name: "hives", Need: true}, cell{Name: "note"})
	if err == nil {
		t.Keys = true
	}
	return t, err
}

func (v *visit) supersOnTask(of record.Code) (*task, error) {
	return v.siteFact(of, record.KindSupersPlaced, cell{Name: "boxes", Need: true},
		cell{Name: "from", Label: v.say("page.enter.supers-on.from"), Hint: v.say("page.enter.supers-on.from.hint")})
}

func (v *visit) treatedTask(of record.Code) (*task, error) {
	var code record.Code
	v.s.office.Read(func(h *office.View) { code = h.NextCode(record.Treatment, "TR-01") })
	t, err := v.siteFact(of, record.KindTreated, cell{Name: "product"}, cell{Name: "against"}, cell{Name: "product_batch"}, cell{Name: "dose"}, cell{Name: "hives"},
		cell{Name: "wait_days", Hint: v.say("page.enter.treated.wait"), Unit: v.say("page.days")}, cell{Name: "supers_allowed", Hint: v.say("page.enter.treated.supers")},
		cell{Name: "adviser"}, cell{Name: "treatment", Start: string(code)})
	if err == nil {
		t.Note = v.say("page.enter.treated.note")
	}
	return t, err
}

func (v *visit) endedTask(of record.Code) (*task, error) {
	t := &task{}
	v.s.office.Read(func(h *office.View) {
		var likely []option
		for _, x := range h.Treating() {
			site := x.Treated.Site
			on := of.Fold() == x.Code.Fold() || of.Fold() == site.Fold()
			likely = append(likely, option{Value: string(x.Code), Text: string(site) + " · " + x.Treated.Product, Note: string(x.Code) + " · " + v.text(x.At.When), On: on})
		}
		t.Parts = []part{{Kind: record.KindTreatmentEnded, Cells: []cell{{Name: "treatment", Likely: likely, Need: true}, {Name: "note"}}}}
	})
	return t, nil
}

// period is the days from and to of something that was not done.
func (v *visit) period() []cell {
	return []cell{{Name: "from", Label: v.say("page.enter.from"), Start: (v.day() - yard.RecordDays).String()}, {Name: "to", Label: v.say("page.enter.to"), Start: v.day().String()}}
}

func (v *visit) notTreatedTask(of record.Code) (*task, error) {
	return v.siteFact(of, record.KindNotTreated, v.period()...)
}

func (v *visit) notFedTask(of record.Code) (*task, error) {
	return v.siteFact(of, record.KindNotFed, v.period()...)
}

func (v *visit) fedTask(of record.Code) (*task, error) {
	return v.siteFact(of, record.KindFed, cell{Name: "feed"}, cell{Name: "hives"}, cell{Name: "each_hive", Guess: true},
		cell{Name: "supers_on", Hint: v.say("page.enter.fed.supers")})
}

func (v *visit) ripenessTask(of record.Code) (*task, error) {
	t, err := v.siteFact(of, record.KindRipenessRead, cell{Name: "capped"}, cell{Name: "water"}, cell{Name: "note"})
	if err == nil {
		t.Keys, t.Note = true, v.say("page.enter.ripeness.note")
	}
	return t, err
}

func (v *visit) enquiryTask(of record.Code) (*task, error) {
	t := &task{Of: of, Alarm: true, Note: v.say("page.enter.enquiry.note")}
	v.s.office.Read(func(h *office.View) {
		sites := named(h, record.Site, nil)
		if site, ok := h.State.Yard.Site(of); ok {
			if chosen(sites, string(site.Code)); !slices.ContainsFunc(sites, func(o option) bool { return o.On }) {
				sites = append([]option{{Value: string(site.Code), Text: string(site.Code), On: true}}, sites...)
			}
		}
		t.Parts = []part{{Kind: record.KindEnquiryOpened, Cells: []cell{{Name: "sites", Likely: sites, Need: true}, {Name: "disease"}, {Name: "hive"},
			{Name: "told", Label: v.say("page.enter.enquiry.told")}, {Name: "note"}, {Name: "enquiry", Start: string(h.NextCode(record.Enquiry, "E-01"))}}}}
	})
	return t, nil
}

func (v *visit) rulingTask(of record.Code) (*task, error) {
	t := &task{}
	v.s.office.Read(func(h *office.View) {
		var likely []option
		for _, e := range h.State.Yard.Enquiries() {
			if e.Opened != nil && e.Standing(v.day()) {
				on := e.Code.Fold() == of.Fold() || slices.ContainsFunc(e.Opened.Sites, func(c record.Code) bool { return c.Fold() == of.Fold() })
				likely = append(likely, option{Value: string(e.Code), Text: string(e.Code) + " · " + e.Opened.Disease, Note: v.text(e.Opened.Sites), On: on})
			}
		}
		t.Parts = []part{{Kind: record.KindEnquiryRuled, Cells: []cell{{Name: "enquiry", Likely: likely, Need: true}, {Name: "ruling"},
			{Name: "by", Label: v.say("page.enter.ruling.by")}, {Name: "note"}}}}
	})
	return t, nil
}

// given stands for a code that another fact of the same task gives.
const given = "-"

// loadTask is the load sheet: a lot gets its name and the boxes that were pulled.
func (v *visit) loadTask(of record.Code) (*task, error) {
	t := &task{}
	open := part{Kind: record.KindLotOpened}
	if err := v.siteCell(t, &open, of); err != nil {
		return nil, err
	}
	v.s.office.Read(func(h *office.View) {
		open.Cells = append(open.Cells, cell{Name: "lot", Label: v.say("page.enter.load.lot"), Start: string(h.NextCode(record.Lot, "L01"))})
		if t.Of != "" {
			t.About = v.pullLine(h.State.Yard.MayPull(t.Of, v.day()))
		}
	})
	open.Cells = append(open.Cells, cell{Name: "pulled", Start: v.day().String()}, cell{Name: "honey", Hint: v.say("page.enter.load.honey")})
	t.Parts = []part{open, {Kind: record.KindSupersPulled, Head: v.say("page.enter.load.boxes"), Fixed: map[string]string{"lot": given, "site": given}, Cells: []cell{
		{Name: "boxes", Need: true}, {Name: "capped"}, {Name: "vehicle"}, {Name: "vehicle_clean"},
		{Name: "marks.1.prefix", Label: v.say("page.enter.marks.prefix"), Hint: v.say("page.enter.marks.hint")}, {Name: "marks.1.first", Label: v.say("page.enter.marks.first"), Free: true, Small: true}, {Name: "marks.1.last", Label: v.say("page.enter.marks.last"), Free: true, Small: true}}}}
	t.Make = func(d *house.Draft) error {
		opened, ok1 := d.Facts[0].(*record.LotOpened)
		pulled, ok2 := d.Facts[1].(*record.SupersPulled)
		if ok1 && ok2 {
			pulled.Lot, pulled.Site = opened.Lot, opened.Site
		}
		return nil
	}
	return t, nil
}

// pullLine says in one line whether a site may be pulled, and the first reason why not.
func (v *visit) pullLine(p yard.Pull) string {
	line := v.say(pullKeys[p.Allowed]) + "."
	for _, r := range p.Reasons {
		if r.Allowed == p.Allowed && r.Allowed != record.Yes {
			return line + " " + v.reason(r)
		}
	}
	return line
}

// combsBackTask is wet or clean combs of a lot going to a site: its own, or it is asked.
func (v *visit) combsBackTask(of record.Code) (*task, error) {
	t := &task{}
	p := part{Kind: record.KindSupersSentBack}
	v.s.office.Read(func(h *office.View) {
		lots, home, boxes := v.combsIn(h, of)
		sites := chosen(named(h, record.Site, nil), home)
		if home != "" && !slices.ContainsFunc(sites, func(o option) bool { return o.On }) {
			sites = append([]option{{Value: home, Text: home, On: true}}, sites...)
		}
		p.Cells = []cell{{Name: "lot", Likely: lots, Need: true}, {Name: "site", Label: v.say("page.enter.combs-back.to"), Likely: sites, Need: true},
			{Name: "boxes", Start: boxes}}
	})
	p.Cells = append(p.Cells, cell{Name: "marks.1.prefix", Label: v.say("page.enter.marks.prefix"), Hint: v.say("page.enter.marks.hint")},
		cell{Name: "marks.1.first", Label: v.say("page.enter.marks.first"), Free: true, Small: true}, cell{Name: "marks.1.last", Label: v.say("page.enter.marks.last"), Free: true, Small: true}, cell{Name: "note"})
	t.Parts, t.Make = []part{p}, v.warnOtherSite
	t.Note = v.say("page.enter.combs-back.note")
	return t, nil
}

// combsIn are lots with combs in the house; of is chosen, with its site and boxes.
func (v *visit) combsIn(h *office.View, of record.Code) (lots []option, home, boxes string) {
	all := h.State.Yard.Lots()
	slices.Reverse(all)
	for _, l := range all {
		on := l.Code.Fold() == of.Fold()
		if on {
			home, boxes = string(l.Site), v.num(max(0, l.InHouse))
			if boxes == "0" {
				boxes = ""
			}
		}
		if on || l.InHouse > 0 && len(lots) < mostLikely {
			lots = append(lots, option{Value: string(l.Code), Text: string(l.Code) + " " + string(l.Site), Note: v.say("page.weigh.boxes", "n", l.InHouse), On: on})
		}
	}
	return lots, home, boxes
}

// warnOtherSite asks before combs go to another site than their own, or to one that
// must stand still: that is how disease travels.
func (v *visit) warnOtherSite(d *house.Draft) (err error) {
	back, ok := d.Facts[0].(*record.SupersSentBack)
	if !ok {
		return nil
	}
	v.s.office.Read(func(h *office.View) {
		l, known := h.State.Yard.Lot(back.Lot)
		for _, site := range []record.Code{back.Site, l.Site} {
			for _, r := range h.State.Yard.MayPull(site, v.day()).Reasons {
				if err == nil && r.Allowed == record.No && (r.Key == yard.PullEnquiry || r.Key == yard.PullDisease || r.Key == yard.PullTouched) {
					err = askFirst(d, "page.ask.enquiry", answer.Args{"site": site, "enquiry": r.Of})
				}
			}
		}
		if err == nil && known && l.Site != "" && l.Site.Fold() != back.Site.Fold() {
			err = askFirst(d, "page.ask.other-site", answer.Args{"lot": l.Code, "home": l.Site, "site": back.Site})
		}
	})
	return err
}

func (v *visit) combsStoredTask(of record.Code) (*task, error) {
	t := &task{}
	v.s.office.Read(func(h *office.View) {
		lots, _, boxes := v.combsIn(h, of)
		t.Parts = []part{{Kind: record.KindCombsStored, Cells: []cell{{Name: "lot", Likely: lots, Need: true}, {Name: "place", Likely: named(h, record.Place, nil), Need: true}, {Name: "boxes", Start: boxes}}}}
	})
	return t, nil
}
