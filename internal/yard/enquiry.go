package yard

import (
	"cmp"
	"maps"
	"slices"

	"combline/internal/record"
)

// An Enquiry is a suspicion of bee disease at sites. Opened is nil while only its
// ruling was written down.
type Enquiry struct {
	Code    record.Code
	Opened  *record.EnquiryOpened
	At      Stamp
	Ruled   *record.EnquiryRuled // the last ruling; nil while there is none
	RuledAt Stamp
}

// Standing reports whether its sites must stand still on a day: until an inspector
// clears them. A confirmed disease stands until it is cleared.
func (e Enquiry) Standing(day record.Day) bool {
	if e.Opened == nil || e.At.Day() > day {
		return false
	}
	return e.Ruled == nil || e.Ruled.Ruling != record.Cleared || e.RuledAt.Day() > day
}

func (y *Yard) enquiry(c record.Code) Enquiry {
	if y.enquiries == nil {
		y.enquiries = map[string]Enquiry{}
	}
	e, ok := y.enquiries[c.Fold()]
	if !ok {
		e.Code = c
	}
	return e
}

func (y *Yard) enquiryOpened(f *record.EnquiryOpened, at Stamp) {
	e := y.enquiry(f.Enquiry)
	e.Opened, e.At = f, at
	y.enquiries[f.Enquiry.Fold()] = e
	for _, c := range f.Sites {
		y.site(c)
	}
}

func (y *Yard) enquiryRuled(f *record.EnquiryRuled, at Stamp) {
	e := y.enquiry(f.Enquiry)
	if e.Opened == nil {
		y.odd = append(y.odd, Flag{Key: FlagEnquiryUnknown, Of: f.Enquiry, Stamp: at})
	}
	e.Ruled, e.RuledAt = f, at
	y.enquiries[f.Enquiry.Fold()] = e
}

// Enquiries lists the enquiries by the time they were opened.
func (y *Yard) Enquiries() []Enquiry {
	all := slices.Collect(maps.Values(y.enquiries))
	slices.SortFunc(all, func(a, b Enquiry) int {
		return cmp.Or(cmp.Compare(a.At.When.Minute, b.At.When.Minute), cmp.Compare(a.Code.Fold(), b.Code.Fold()))
	})
	return all
}
