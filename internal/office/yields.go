package office

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A SiteYield is what one site gave in a year.
type SiteYield struct {
	Site    record.Code
	Hives   quantity.Figure // not given when nobody counted them
	Lots    []record.Code
	Honeys  []string
	Boxes   int64
	Removed quantity.Gram // by weighing boxes in and out
	Clean   quantity.Gram // of its lots in drums
	Doubt   float64       // of removed, standard, in grams; NaN when a scale's is not known
	Shared  []record.Code // lots that shared a tank: what each gave is their share of it
	Open    []record.Code // lots that are still in work
	Unsure  []record.Code // lots not weighed on both sides
}

// Yields are the yields of every site that gave honey in a year; a site of "" for all.
func (v *View) Yields(year int, site record.Code) (all []SiteYield) {
	at := map[string]int{}
	balances := once(v, "lots", v.lotBalances)
	for i, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if !ok || l.Opened.Pulled.Time().Year() != year || site != "" && l.Opened.Site.Fold() != site.Fold() {
			continue
		}
		k, ok := at[l.Opened.Site.Fold()]
		if !ok {
			k = len(all)
			at[l.Opened.Site.Fold()] = k
			s, _ := v.State.Yard.Site(l.Opened.Site)
			all = append(all, SiteYield{Site: s.Code, Hives: s.Hives})
		}
		v.yieldOf(&all[k], t, l, balances[i])
	}
	slices.SortStableFunc(all, func(a, b SiteYield) int {
		return cmp.Or(-cmp.Compare(a.perHive(), b.perHive()), cmp.Compare(natural(a.Site), natural(b.Site)))
	})
	return all
}

func (v *View) yieldOf(y *SiteYield, t house.Thing, l house.Lot, b house.Balance) {
	code := v.State.Code(t)
	y.Lots = append(y.Lots, code)
	if l.Opened.Honey != "" && !slices.Contains(y.Honeys, l.Opened.Honey) {
		y.Honeys = append(y.Honeys, l.Opened.Honey)
	}
	y.Boxes += l.Boxes
	y.Removed += l.GrossIn - l.WetOut
	y.Clean += outOf(b, "balance.clean")
	if b.Doubt.Known() {
		low, high := b.Doubt.Band9in10()
		sd := (high - low) / 2 / 1.6449
		y.Doubt = math.Sqrt(y.Doubt*y.Doubt + sd*sd)
	} else {
		y.Doubt = math.NaN()
	}
	if !l.Closed {
		y.Open = append(y.Open, code)
	}
	if unweighed(b) {
		y.Unsure = append(y.Unsure, code)
	}
	for _, other := range v.tankMates(code) {
		y.Shared = withCode(y.Shared, other)
	}
}

// tankMates are lots whose honey was drawn into one drum with this lot's: they shared a
// tank, and each got its share by weight.
func (v *View) tankMates(lot record.Code) (all []record.Code) {
	mates := once(v, "tank mates", func() map[string][]record.Code {
		mates := map[string][]record.Code{}
		for _, t := range v.State.OfKind(record.Lot) {
			code := v.State.Code(t)
			for _, n := range v.State.RootsOf(code) {
				for _, into := range v.State.Graph().Next(n, trace.Forward) {
					if !into.Share || v.State.NodeKind(into.Node) != house.ContentNode || v.State.Purpose(into.Node) == record.CookingGrade {
						continue
					}
					for _, line := range v.State.ByOrigin(into.Node) {
						other := v.State.Code(v.State.OriginOf(line.Origin).Of)
						if line.Grams > 0 && other.Fold() != code.Fold() {
							mates[code.Fold()] = withCode(mates[code.Fold()], other)
						}
					}
				}
			}
		}
		return mates
	})
	return mates[lot.Fold()]
}

// perHive is clean honey a hive in grams; below zero when the hives were not counted.
func (y SiteYield) perHive() float64 {
	if !y.Hives.Given() || !(y.Hives.Float() > 0) {
		return -1
	}
	return float64(y.Clean) / y.Hives.Float()
}

// LastSeason is the year of the latest pull; 0 when there was none.
func (v *View) LastSeason() (year int) {
	for _, t := range v.State.OfKind(record.Lot) {
		if l, ok := v.State.Lot(t); ok {
			year = max(year, l.Opened.Pulled.Time().Year())
		}
	}
	return year
}

// Yield answers what each site gave in a year, and per hive.
func (v *View) Yield(year int, site record.Code) answer.Answer {
	a := answer.Answer{Question: "yield", Of: v.properCode(site)}
	if site != "" {
		if _, ok := v.State.Yard.Site(site); !ok {
			a.Cannot = v.noSite(site)
			return a
		}
	}
	if year == 0 {
		year = v.LastSeason()
	}
	if year == 0 {
		a.Cannot = &answer.Line{Key: "yield.never"}
		return a
	}
	all := v.Yields(year, site)
	if len(all) == 0 {
		a.Cannot = &answer.Line{Key: "yield.none", Args: answer.Args{"year": itoa(int64(year))}}
		return a
	}
	v.yieldSum(&a, all, year)
	t := a.Table("yields", "site", "honey", "of_lots", "hives", "boxes", "removed_g", "doubt_g", "clean_g", "hive_kg", "hive_removed_kg", "box_kg")
	for _, y := range all {
		mark := answer.Plain
		if len(y.Shared)+len(y.Open)+len(y.Unsure) > 0 || !y.Hives.Given() {
			mark = answer.Care
		}
		t.Row(mark, y.Site, textOrNil(namesText(y.Honeys)), y.Lots, figureOrNil(y.Hives), y.Boxes, y.Removed, y.doubt(), y.Clean, y.each(y.Clean), y.each(y.Removed), perBox(y.Clean, y.Boxes))
		v.yieldDoubts(&a, y)
	}
	v.yieldLots(&a, year, site)
	a.Follows("follows.yield", nil)
	v.restsOnRecord(&a)
	return a
}

func namesText(names []string) (text string) {
	for i, n := range names {
		if i > 0 {
			text += ", "
		}
		text += n
	}
	return text
}

// doubt is the half width of a 9-in-10 band.
func (y SiteYield) doubt() any {
	if math.IsNaN(y.Doubt) {
		return nil
	}
	return quantity.Gram(math.Round(1.6449 * y.Doubt))
}

func (y SiteYield) each(g quantity.Gram) any {
	if !y.Hives.Given() || !(y.Hives.Float() > 0) {
		return nil
	}
	return tenth(float64(g)/1000/y.Hives.Float(), quantity.KgUnit)
}

func perBox(g quantity.Gram, boxes int64) any {
	if boxes <= 0 {
		return nil
	}
	return tenth(float64(g)/1000/float64(boxes), quantity.KgUnit)
}

// yieldSum is the whole house in a line: all its hives, also those of sites that gave
// nothing.
func (v *View) yieldSum(a *answer.Answer, all []SiteYield, year int) {
	var clean, removed quantity.Gram
	hives, unknown := 0.0, int64(0)
	for _, y := range all {
		clean, removed = clean+y.Clean, removed+y.Removed
		if !y.Hives.Given() {
			unknown++
		}
		hives += y.Hives.Float()
	}
	args := answer.Args{"year": itoa(int64(year)), "clean": clean, "removed": removed, "sites": int64(len(all)), "unknown": unknown}
	if unknown > 0 || !(hives > 0) {
		a.Warn("yield.hives-unknown", args)
		return
	}
	args["hives"], args["each"] = int64(hives), tenth(float64(clean)/1000/hives, quantity.KgUnit)
	a.Lines = append(a.Lines, answer.Line{Key: "yield.sum", Args: args, Mark: answer.Good})
}

func (v *View) yieldDoubts(a *answer.Answer, y SiteYield) {
	if len(y.Shared) > 0 {
		a.Warn("yield.shared", answer.Args{"site": y.Site, "lots": y.Shared})
	}
	if len(y.Open) > 0 {
		a.Warn("yield.open", answer.Args{"site": y.Site, "lots": y.Open})
	}
	if len(y.Unsure) > 0 {
		a.Warn("yield.unweighed", answer.Args{"site": y.Site, "lots": y.Unsure})
	}
}

// yieldLots shows the lots behind it.
func (v *View) yieldLots(a *answer.Answer, year int, site record.Code) {
	t := a.Table("yield-lots", "lot", "site", "day", "honey", "boxes", "removed_g", "clean_g", "gap_g")
	balances := once(v, "lots", v.lotBalances)
	for i, x := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(x)
		if !ok || l.Opened.Pulled.Time().Year() != year || site != "" && l.Opened.Site.Fold() != site.Fold() {
			continue
		}
		t.Row(answer.Plain, v.State.Code(x), l.Opened.Site, l.Opened.Pulled, textOrNil(l.Opened.Honey), l.Boxes, l.GrossIn-l.WetOut, outOf(balances[i], "balance.clean"), balances[i].Gap)
	}
}
