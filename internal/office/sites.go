package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/record"
	"combline/internal/yard"
)

// A SiteLine is one site in the list of all.
type SiteLine struct {
	yard.Site
	Pull    yard.Pull
	LastLot record.Code
	Pulled  record.Day // of its last lot; 0: never
}

// Sites lists every site with whether it may be pulled on a day; q, if any, is looked
// for in code, place and owner.
func (v *View) Sites(day record.Day, q string) (all []SiteLine) {
	last := v.lastLots()
	pulls := map[string]yard.Pull{}
	for _, p := range v.State.Yard.Pulls(day) {
		pulls[p.Site.Fold()] = p
	}
	q = strings.ToLower(strings.TrimSpace(q))
	for _, s := range v.State.Yard.Sites() {
		text := strings.ToLower(string(s.Code) + "\x00" + s.Place + "\x00" + s.Owner + "\x00" + s.Country)
		if q != "" && !strings.Contains(text, q) {
			continue
		}
		l := SiteLine{Site: s}
		if p, ok := pulls[s.Code.Fold()]; ok {
			l.Pull = p
		} else {
			l.Pull = v.State.Yard.MayPull(s.Code, day)
		}
		if lot, ok := last[s.Code.Fold()]; ok {
			l.LastLot, l.Pulled = lot.Lot, lot.Pulled
		}
		all = append(all, l)
	}
	slices.SortFunc(all, func(a, b SiteLine) int { return cmp.Compare(natural(a.Code), natural(b.Code)) })
	return all
}

func (v *View) lastLots() map[string]*record.LotOpened {
	last := map[string]*record.LotOpened{}
	for _, t := range v.State.OfKind(record.Lot) {
		if l, ok := v.State.Lot(t); ok {
			if was := last[l.Opened.Site.Fold()]; was == nil || was.Pulled <= l.Opened.Pulled {
				last[l.Opened.Site.Fold()] = l.Opened
			}
		}
	}
	return last
}

// A SiteNow is one site with everything that a pull, a visit or an inspector asks for.
type SiteNow struct {
	yard.Site
	Pull       yard.Pull
	Treatments []yard.Treatment
	Fed        []yard.Feeding
	NotFed     []yard.NotFed
	NotTreated []record.Entry // of kind not-treated
	Enquiries  []yard.Enquiry
	Lots       []LoadSheet // the latest first
	Out        []yard.Lot  // lots of the site with combs in the house
	Moves      []yard.Move // of boxes, the latest first
}

// SiteNow answers about one site.
func (v *View) SiteNow(code record.Code, day record.Day) (n SiteNow, ok bool) {
	y := v.State.Yard
	if n.Site, ok = y.Site(code); !ok {
		return n, false
	}
	n.Pull = y.MayPull(code, day)
	n.Treatments = y.Treatments(code)
	slices.Reverse(n.Treatments)
	n.Fed, n.NotFed = y.Feedings(code)
	for _, e := range v.Mentions(code) {
		if _, is := e.Fact.(*record.NotTreated); is {
			n.NotTreated = append(n.NotTreated, e)
		}
	}
	for _, e := range y.Enquiries() {
		if e.Opened != nil && slices.ContainsFunc(e.Opened.Sites, func(c record.Code) bool { return c.Fold() == code.Fold() }) {
			n.Enquiries = append(n.Enquiries, e)
		}
	}
	for _, t := range v.State.OfKind(record.Lot) {
		s, ok := v.LoadSheet(v.State.Code(t))
		if !ok || s.Site.Fold() != code.Fold() {
			continue
		}
		n.Lots = append(n.Lots, s)
		if l, ok := y.Lot(s.Lot); ok && l.InHouse > 0 {
			n.Out = append(n.Out, l)
		}
	}
	slices.Reverse(n.Lots)
	n.Moves = y.Moves(code)
	slices.Reverse(n.Moves)
	return n, true
}

// Treating lists the treatments that are in, by site.
func (v *View) Treating() (all []yard.Treatment) {
	for _, s := range v.State.Yard.Sites() {
		for _, t := range v.State.Yard.Treatments(s.Code) {
			if t.Over != record.Yes && t.Treated != nil {
				all = append(all, t)
			}
		}
	}
	return all
}
