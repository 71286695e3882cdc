package yard

import (
	"slices"
	"strings"

	"combline/internal/record"
)

// A Due is boxes of one home site that stand in the house or in store: they go back to
// that site and to no other. Least and Most differ where a mixed stack without marks may
// be anyone's.
type Due struct {
	Home        record.Code // empty: nobody knows whose they are
	Least, Most int64
	Lots        []LotBoxes
	Elsewhere   []SiteBoxes // boxes of this home that are, for sure, on the hives of other sites
	MaybeThere  []SiteBoxes // boxes that may be
}

// LotBoxes is boxes of one lot, at least and at most.
type LotBoxes struct {
	Lot         record.Code
	Least, Most int64
}

// Dues lists what is due back, by home site, the unknown last. A site of which nothing is
// in the house is listed when boxes of it are on other hives.
func (y *Yard) Dues() []Due {
	at := map[string]*Due{}
	of := func(home record.Code) *Due {
		d := at[home.Fold()]
		if d == nil {
			d = &Due{Home: y.name(home)}
			at[home.Fold()] = d
		}
		return d
	}
	for _, l := range y.Lots() {
		for _, h := range l.Homes {
			d := of(h.Home)
			d.Least, d.Most = d.Least+h.Least, d.Most+h.Most
			d.Lots = append(d.Lots, LotBoxes{l.Code, h.Least, h.Most})
		}
	}
	for _, s := range y.Sites() {
		for _, h := range s.Homes {
			if h.Home == "" || h.Home.Fold() == s.Code.Fold() {
				continue
			}
			d := of(h.Home)
			if h.Least > 0 {
				d.Elsewhere = append(d.Elsewhere, SiteBoxes{s.Code, h.Least})
			}
			if h.Most > h.Least {
				d.MaybeThere = append(d.MaybeThere, SiteBoxes{s.Code, h.Most - h.Least})
			}
		}
	}
	var all []Due
	for _, d := range at {
		all = append(all, *d)
	}
	slices.SortFunc(all, func(a, b Due) int {
		if (a.Home == "") != (b.Home == "") {
			return later(a.Home == "")
		}
		return strings.Compare(a.Home.Fold(), b.Home.Fold())
	})
	return all
}

func later(last bool) int {
	if last {
		return 1
	}
	return -1
}
