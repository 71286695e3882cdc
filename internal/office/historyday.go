package office

import (
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
)

// histSpan is how many days before and after a day of an earlier year are looked at: a
// season runs early or late by a week or two, and a week's work shows what was done
// (common practice, no source).
var histSpan = quantity.Figure{Mantissa: 3, Unit: quantity.Day}

// A LastYearAsk asks what was done around one day of earlier years.
type LastYearAsk struct {
	Day   record.Day
	Site  record.Code // only what is about the site and its lots
	Honey string      // only what is about lots of the honey
	Years int64       // how many years back; 0: one
}

// mostLastYear is how many entries are listed one by one; a harvest week has hundreds of
// weighings, and those are summed instead.
const mostLastYear = 200

// LastYear answers what was done around the same day of earlier years: by site, by honey,
// or all of it. Weighings are summed by day and lot.
func (v *View) LastYear(ask LastYearAsk) answer.Answer {
	a := answer.Answer{Question: "last-year", Of: v.properCode(ask.Site)}
	if ask.Site != "" {
		if _, ok := v.State.Yard.Site(ask.Site); !ok {
			a.Cannot = v.noSite(ask.Site)
			return a
		}
	}
	about := v.lotsAbout(ask)
	span := record.Day(min(max(0, inDays(v.State.Setting("history.span", histSpan))), 31))
	sums, deeds := a.Table("day-sums", "day", "site", "lot", "honey", "what", "boxes", "mass_g"), a.Table("day-done", "when", "kind", "says", "person", "fact")
	found := 0
	for back := int64(1); back <= min(max(1, ask.Years), 30); back++ {
		day := yearsBefore(ask.Day, int(back))
		n := v.around(day, span, about, ask, sums, deeds)
		found += n
		if n > 0 {
			a.Say("last-year.found", answer.Args{"day": day, "span": int64(span), "n": int64(n)})
		} else {
			a.Warn("last-year.nothing", answer.Args{"day": day, "span": int64(span)})
		}
	}
	if first, err := v.Fact(1); found == 0 && err == nil {
		a.Cannot = &answer.Line{Key: "last-year.begins", Args: answer.Args{"day": yearsBefore(ask.Day, 1), "first": v.firstDay(first)}}
	}
	v.lastYearPulls(&a, ask)
	a.Follows("follows.last-year", answer.Args{"span": int64(span)})
	v.restsOnRecord(&a)
	return a
}

// firstDay is the earliest day that an entry of the record happened on.
func (v *View) firstDay(first record.Entry) record.Day {
	for step, err := range v.line.From(0, v.log.read) {
		if err == nil {
			return DayOf(step.Entry.When)
		}
	}
	return DayOf(first.When)
}

// yearsBefore is the same day of an earlier year; of 29 February the 28th.
func yearsBefore(d record.Day, n int) record.Day {
	t := d.Time()
	y, m, day := t.Date()
	if last := time.Date(y-n, m+1, 0, 0, 0, 0, 0, time.UTC).Day(); day > last {
		day = last
	}
	return record.DayOf(time.Date(y-n, m, day, 0, 0, 0, 0, time.UTC))
}

// lotsAbout are the lots of the site or honey that was asked for; nil: all.
func (v *View) lotsAbout(ask LastYearAsk) map[string]bool {
	if ask.Site == "" && ask.Honey == "" {
		return nil
	}
	about := map[string]bool{}
	for _, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if ok && (ask.Site == "" || l.Opened.Site.Fold() == ask.Site.Fold()) && (ask.Honey == "" || sameText(l.Opened.Honey, ask.Honey)) {
			about[v.State.Code(t).Fold()] = true
		}
	}
	return about
}

func sameText(a, b string) bool { return record.Code(a).Fold() == record.Code(b).Fold() }

// around lists what happened from some days before a day to as many after it.
func (v *View) around(day, span record.Day, about map[string]bool, ask LastYearAsk, sums, deeds *answer.Table) (n int) {
	type sum struct {
		day   record.Day
		lot   record.Code
		what  answer.Key
		boxes int64
		mass  quantity.Gram
	}
	var all []sum
	add := func(e record.Entry, lot record.Code, what answer.Key, boxes int64, mass quantity.Gram) {
		i := slices.IndexFunc(all, func(s sum) bool { return s.day == DayOf(e.When) && s.lot.Fold() == lot.Fold() && s.what == what })
		if i < 0 {
			i = len(all)
			all = append(all, sum{day: DayOf(e.When), lot: lot, what: what})
		}
		all[i].boxes, all[i].mass = all[i].boxes+boxes, all[i].mass+mass
	}
	for d := day - span; d <= day+span; d++ {
		for _, e := range v.OfDay(d) {
			if about != nil && !mentioned(e.Fact, about, ask.Site) {
				continue
			}
			n++
			switch f := e.Fact.(type) {
			case *record.SupersReceived:
				add(e, f.Lot, "kind.supers-received", stackBoxes(f.Stacks), stackGross(f.Stacks))
			case *record.WetSupersWeighed:
				add(e, f.Lot, "kind.wet-supers-weighed", stackBoxes(f.Stacks), stackGross(f.Stacks))
			case *record.InstrumentChecked, *record.NozzlesChecked, *record.StreamRead, *record.JarsFilled, *record.Printed:
			default:
				if len(deeds.Rows) < mostLastYear {
					deeds.Row(answer.Plain, e.When, answer.Key(e.Fact.Kind().Key()), Says(e.Fact), e.Person, int64(e.Seq))
				}
			}
		}
	}
	for _, s := range all {
		var site, honey any
		if t, ok := v.State.Find(s.lot); ok {
			if l, ok := v.State.Lot(t); ok {
				site, honey = l.Opened.Site, textOrNil(l.Opened.Honey)
			}
		}
		sums.Row(answer.Plain, s.day, site, s.lot, honey, s.what, s.boxes, s.mass)
	}
	return n
}

func stackBoxes(stacks []record.Stack) (n int64) {
	for _, s := range stacks {
		n += s.Boxes
	}
	return n
}

// stackGross is stacks without their trays.
func stackGross(stacks []record.Stack) (g quantity.Gram) {
	for _, s := range stacks {
		g += s.Gross.Grams() - s.Tray.Grams()
	}
	return g
}

// mentioned reports whether a fact bears the site or one of the lots.
func mentioned(f record.Fact, about map[string]bool, site record.Code) (is bool) {
	record.Names(f, func(c record.Code, fresh bool, of []record.Entity) {
		is = is || about[c.Fold()] || site != "" && c.Fold() == site.Fold()
	})
	return is
}

// lastYearPulls shows every pull of the site or honey in the years asked for: when the
// season was early or late, the pull itself is what one looks for.
func (v *View) lastYearPulls(a *answer.Answer, ask LastYearAsk) {
	if ask.Site == "" && ask.Honey == "" {
		return
	}
	about := v.lotsAbout(ask)
	t := a.Table("site-pulls", "lot", "site", "day", "honey", "boxes", "capped", "removed_g", "clean_g", "water_pct")
	balances := once(v, "lots", v.lotBalances)
	for i, x := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(x)
		code := v.State.Code(x)
		if !ok || !about[code.Fold()] || l.Opened.Pulled > ask.Day {
			continue
		}
		var capped, water any
		for _, e := range v.Mentions(code) {
			if f, ok := e.Fact.(*record.SupersPulled); ok && f.Capped.Given() {
				capped = f.Capped
			}
		}
		for _, n := range v.State.RootsOf(code) {
			if r, ok := v.reading(n, record.Water); ok && r.Value.Given() {
				water = r.Value
			}
		}
		t.Row(answer.Plain, code, l.Opened.Site, l.Opened.Pulled, textOrNil(l.Opened.Honey), l.Boxes, capped, l.GrossIn-l.WetOut, outOf(balances[i], "balance.clean"), water)
	}
}
