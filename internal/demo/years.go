package demo

import (
	"fmt"
	"time"

	"combline/internal/record"
)

// Years is the season n times over, one after the other in the same house, as entries
// ready to be written: what a house has after years, for measuring. Each season has
// lots, drums, runs and orders of its own; sites, vessels, machines and people are
// those of the first. Between two seasons the vessels are emptied and the holds
// lifted. yield gets the entries in the order of writing, until it says false.
func Years(n int, yield func(record.Entry) bool) { seasons(n, yield, nil) }

// seasons is [Years] with what else is written after each season, when there is
// something; also says false when nobody wants more.
func seasons(n int, yield func(record.Entry) bool, also func(w *years, year int) bool) {
	w := years{yield: yield, standing: standing()}
	for year := range n {
		for i, s := range Season() {
			var facts []record.Fact
			for _, f := range s.Facts {
				if year == 0 {
					facts = append(facts, f)
				} else if !setsUp(f) {
					facts = append(facts, w.renumbered(f, year))
				}
			}
			if !w.write(year, i, s.When, s.Written, facts) {
				return
			}
		}
		if !w.write(year, 99_999, record.At(end), end, w.close(year)) || also != nil && !also(&w, year) {
			return
		}
	}
}

type years struct {
	yield    func(record.Entry) bool
	seq      uint64
	standing map[string]bool // codes of what stays from season to season
}

// write gives one step of a season as entries.
func (w *years) write(year, step int, when record.When, written time.Time, facts []record.Fact) bool {
	const season = 365 * 24 * 60 // minutes
	shift := int64(year) * season
	var key record.Key
	copy(key[:], fmt.Sprintf("%08d%08d", year, step))
	when.Minute += shift
	for part, f := range facts {
		w.seq++
		e := record.Entry{Seq: w.seq, Batch: key, Part: uint32(part), Parts: uint32(len(facts)),
			WrittenMS: written.UnixMilli() + shift*60_000, When: when, Person: "owner", Device: "office-pc", Fact: f}
		if !w.yield(e) {
			return false
		}
	}
	return true
}

// setsUp reports whether a fact says what the house has, not what happened in it.
func setsUp(f record.Fact) bool {
	switch f.(type) {
	case *record.HouseNamed, *record.PersonNamed, *record.DeviceNamed, *record.PlaceNamed, *record.MachineNamed,
		*record.InstrumentNamed, *record.VesselNamed, *record.SiteOpened, *record.SupersMarked, *record.ProductNamed, *record.RecipeSet,
		*record.CustomerNamed, *record.SupplierNamed, *record.MaterialNamed, *record.SettingChanged:
		return true
	}
	return false
}

// standing are the codes that the facts of setting up name.
func standing() map[string]bool {
	all := map[string]bool{}
	for _, s := range Season() {
		for _, f := range s.Facts {
			if setsUp(f) {
				record.Names(f, func(c record.Code, fresh bool, _ []record.Entity) { all[c.Fold()] = true })
			}
		}
	}
	return all
}

// renumbered is a copy of a fact in which what is new each season has a year's mark.
func (w *years) renumbered(original record.Fact, year int) record.Fact {
	b, err := record.Marshal(original)
	if err != nil {
		panic(err) // the season's facts are written in every test
	}
	f, err := record.Unmarshal(string(b))
	if err != nil {
		panic(err)
	}
	mark := fmt.Sprintf("-Y%d", year)
	record.Visit(f, func(x record.Field) {
		for _, c := range x.Codes {
			if *c != "" && !w.standing[c.Fold()] {
				*c += record.Code(mark)
			}
		}
	})
	switch f := f.(type) {
	case *record.Cased:
		f.Cases.Prefix += mark
	case *record.Palletised:
		for i := range f.Cases {
			f.Cases[i].Prefix += mark
		}
	case *record.Sent:
		for i := range f.Lines {
			if f.Lines[i].Cases.First > 0 {
				f.Lines[i].Cases.Prefix += mark
			}
		}
	}
	return f
}

// close empties every vessel and lifts the season's holds.
func (w *years) close(year int) (facts []record.Fact) {
	for _, s := range Season() {
		for _, f := range s.Facts {
			switch f := f.(type) {
			case *record.VesselNamed:
				facts = append(facts, &record.Destroyed{What: f.Vessel, Reason: "emptied for the next season"})
			case *record.HoldSet:
				facts = append(facts, w.renewed(&record.HoldLifted{Hold: f.Hold, Reason: "end of the season", Role: roleOwner}, year))
			case *record.EnquiryOpened:
				facts = append(facts, w.renewed(&record.EnquiryRuled{Enquiry: f.Enquiry, Ruling: record.Cleared, By: "bee inspector"}, year))
			case *record.ComplaintTaken:
				facts = append(facts, w.renewed(&record.ComplaintAnswered{Complaint: f.Complaint, Answer: "replaced"}, year))
			}
		}
	}
	return facts
}

func (w *years) renewed(f record.Fact, year int) record.Fact {
	if year == 0 {
		return f
	}
	return w.renumbered(f, year)
}
