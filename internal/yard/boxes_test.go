package yard

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"combline/internal/record"
)

// A box of a pretended house, where every box is followed one by one: what the
// yard says from the facts alone is checked against where the boxes really are.
type box struct {
	number  int64
	home    record.Code
	site    record.Code // on its hives; empty in the house
	lot     record.Code // the lot that it came to the house in last
	stored  bool        // put away since
	touched bool        // was at a place that the disease had reached
}

type house struct {
	*book
	t       *rapid.T
	sites   []record.Code
	boxes   []*box
	lots    []record.Code
	minute  int
	touched map[record.Code]bool
	writes  bool // marks are written down
	opens   bool // may boxes be set out from the store without naming their lot
	strange bool // may new boxes of one site be set on another
}

func (h *house) where(ok func(*box) bool) []*box {
	var all []*box
	for _, b := range h.boxes {
		if ok(b) {
			all = append(all, b)
		}
	}
	return all
}

// some draws boxes at random.
func (h *house) some(from []*box) []*box {
	if len(from) == 0 {
		return nil
	}
	from = rapid.Permutation(from).Draw(h.t, "boxes")
	return from[:rapid.IntRange(1, len(from)).Draw(h.t, "how many")]
}

func (h *house) marks(of []*box) []record.Marks {
	if !h.writes || rapid.IntRange(0, 3).Draw(h.t, "unread marks") == 0 {
		return nil
	}
	var all []record.Marks
	for _, b := range of {
		all = append(all, record.Marks{Prefix: "bx-", First: b.number, Last: b.number})
	}
	return all
}

func (h *house) note(f record.Fact) {
	h.minute++
	h.at(day(5, 1), h.minute, f)
}

func (h *house) arrive(of []*box, site record.Code) {
	for _, b := range of {
		b.site, b.stored = site, false
		h.touched[site] = h.touched[site] || b.touched
	}
	for _, b := range h.boxes {
		b.touched = b.touched || h.touched[b.site] // drifting and robbing bees
	}
}

func (h *house) placeNew() {
	site := rapid.SampledFrom(h.sites).Draw(h.t, "site")
	home := site
	if h.strange {
		home = rapid.SampledFrom(h.sites).Draw(h.t, "home")
	}
	var fresh []*box
	for range rapid.IntRange(1, 6).Draw(h.t, "new boxes") {
		b := &box{number: int64(len(h.boxes) + 1), home: home, touched: h.touched[home]}
		h.boxes, fresh = append(h.boxes, b), append(fresh, b)
	}
	if h.writes {
		h.note(&record.SupersMarked{Site: home, Boxes: int64(len(fresh)), Marks: []record.Marks{{Prefix: "BX-", First: fresh[0].number, Last: fresh[len(fresh)-1].number}}})
	}
	f := &record.SupersPlaced{Site: site, Boxes: int64(len(fresh)), From: home}
	if home == site && rapid.Bool().Draw(h.t, "no home written") {
		f.From, f.Marks = "", h.marks(fresh)
	}
	h.note(f)
	h.arrive(fresh, site)
}

func (h *house) pull() {
	site := rapid.SampledFrom(h.sites).Draw(h.t, "site")
	took := h.some(h.where(func(b *box) bool { return b.site == site }))
	if took == nil {
		return
	}
	if len(h.lots) == 0 || rapid.IntRange(0, 2).Draw(h.t, "new lot") > 0 {
		h.lots = append(h.lots, record.Code(fmt.Sprint("L", len(h.lots)+1)))
	}
	lot := h.lots[len(h.lots)-1]
	h.note(&record.SupersPulled{Lot: lot, Site: site, Boxes: int64(len(took)), Marks: h.marks(took)})
	for _, b := range took {
		b.site, b.lot = "", lot
	}
}

// ofLot draws boxes of a lot in the house; those that are put away are touched
// last, as no word says which of them went.
func (h *house) ofLot(stored bool) (record.Code, []*box) {
	if len(h.lots) == 0 {
		return "", nil
	}
	lot := rapid.SampledFrom(h.lots).Draw(h.t, "lot")
	there := h.where(func(b *box) bool { return b.site == "" && b.lot == lot && !b.stored })
	if len(there) == 0 && stored {
		there = h.where(func(b *box) bool { return b.site == "" && b.lot == lot })
	}
	return lot, h.some(there)
}

func (h *house) back() {
	lot, took := h.ofLot(true)
	if took == nil {
		return
	}
	site := rapid.SampledFrom(h.sites).Draw(h.t, "site")
	h.note(&record.SupersSentBack{Lot: lot, Site: site, Boxes: int64(len(took)), Marks: h.marks(took)})
	h.arrive(took, site)
}

func (h *house) store() {
	if lot, took := h.ofLot(false); took != nil {
		h.note(&record.CombsStored{Lot: lot, Place: "barn", Boxes: int64(len(took))})
		for _, b := range took {
			b.stored = true
		}
	}
}

// takeOff brings boxes that were sent back home again and puts them away, without
// a word of the site that they came from.
func (h *house) takeOff() {
	if len(h.lots) == 0 || !h.opens {
		return
	}
	lot := rapid.SampledFrom(h.lots).Draw(h.t, "lot")
	took := h.some(h.where(func(b *box) bool { return b.site != "" && b.lot == lot }))
	if took == nil || len(h.where(func(b *box) bool { return b.site == "" && b.lot == lot && !b.stored })) > 0 {
		return
	}
	h.note(&record.CombsStored{Lot: lot, Place: "barn", Boxes: int64(len(took))})
	for _, b := range took {
		b.site, b.stored = "", true
	}
}

// setOut puts boxes of any lots on hives without naming the lots.
func (h *house) setOut() {
	took := h.some(h.where(func(b *box) bool { return b.site == "" }))
	if took == nil || !h.opens {
		return
	}
	site := rapid.SampledFrom(h.sites).Draw(h.t, "site")
	f := &record.SupersPlaced{Site: site, Boxes: int64(len(took)), Marks: h.marks(took)}
	if !slices.ContainsFunc(took, func(b *box) bool { return b.home != took[0].home }) && rapid.Bool().Draw(h.t, "home written") {
		f.From = took[0].home
	}
	h.note(f)
	h.arrive(took, site)
}

func newHouse(t *rapid.T) *house {
	h := &house{book: newBook(), t: t, sites: []record.Code{"A", "B", "C", "D", "E"}, touched: map[record.Code]bool{}, writes: rapid.Bool().Draw(t, "marks")}
	return h
}

func (h *house) run() {
	for range rapid.IntRange(3, 60).Draw(h.t, "steps") {
		switch rapid.IntRange(0, 7).Draw(h.t, "step") {
		case 0:
			h.placeNew()
		case 1, 2:
			h.pull()
		case 3, 4:
			h.back()
		case 5:
			h.store()
		case 6:
			h.setOut()
		case 7:
			h.takeOff()
		}
	}
}

// Law: the homes of the boxes on hives and in lots are within what the yard says.
func TestHomesHoldTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := newHouse(t)
		h.strange = true
		h.run()
		check := func(of string, total int64, homes []Home, is func(*box) bool) {
			checkMix(t, of, total, homes)
			truth := map[record.Code]int64{}
			for _, b := range h.where(is) {
				truth[b.home]++
				truth["all"]++
			}
			if truth["all"] != total {
				t.Fatalf("%s: %d boxes; the yard says %d", of, truth["all"], total)
			}
			var unknown int64
			for _, x := range homes {
				if x.Home == "" {
					unknown = x.Most
				}
			}
			for _, s := range h.sites {
				var x Home
				for _, y := range homes {
					if y.Home == s {
						x = y
					}
				}
				if n := truth[s]; n < x.Least || n > x.Most+unknown {
					t.Fatalf("%s: %d boxes of %s; the yard says %d to %d and %d unknown", of, n, s, x.Least, x.Most, unknown)
				}
			}
		}
		for _, s := range h.y.Sites() {
			check("site "+string(s.Code), s.OnHives, s.Homes, func(b *box) bool { return b.site == s.Code })
		}
		for _, l := range h.y.Lots() {
			check("lot "+string(l.Code), l.InHouse+l.Stored, l.Homes, func(b *box) bool { return b.site == "" && b.lot == l.Code })
		}
	})
}

// Law: the reach of a disease is never too short, and what is called certain is
// so. Which sites it reached is known here because each box is followed; in the
// yard only from the facts.
func TestReachIsNeverTooShort(t *testing.T) {
	reached := 0
	rapid.Check(t, func(t *rapid.T) {
		h := newHouse(t)
		h.opens, h.strange = rapid.Bool().Draw(t, "set out from the store"), rapid.Bool().Draw(t, "strange boxes")
		h.touched["A"] = true
		h.run()
		got := h.y.Reach([]record.Code{"A"}, 0)
		sites := map[record.Code]TouchedSite{}
		for _, s := range got.Sites {
			sites[s.Site] = s
			if s.Certain && !h.touched[s.Site] && !h.opens {
				t.Fatalf("site %s is said to be touched for certain; it was not", s.Site)
			}
		}
		lots := map[record.Code]bool{}
		for _, l := range got.Lots {
			lots[l.Lot] = true
		}
		for s := range h.touched {
			if _, ok := sites[s]; !ok && h.touched[s] {
				t.Fatalf("site %s got boxes of A; the reach is %+v", s, got.Sites)
			}
		}
		for _, b := range h.boxes {
			if b.site == "" && b.touched && !lots[b.lot] && !h.opens {
				t.Fatalf("box %d of lot %s is touched; the lots are %+v", b.number, b.lot, got.Lots)
			}
		}
		reached += len(sites) - 1
	})
	if reached == 0 {
		t.Error("no disease reached any site: the law was not tried")
	}
}
