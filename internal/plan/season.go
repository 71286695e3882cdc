package plan

import (
	"cmp"
	"slices"
)

// A Supply is what there is of one thing, by week of the season: honey of a kind in
// grams, half-hours of a line, half-hours of hands. What a week brings can serve
// whatever is due in it or later, so weeks add up: honey keeps, and a line or people can
// work ahead.
type Supply struct {
	Name  string
	Comes []int64 // by week; after the last week nothing more comes
}

// A Want is what an order needs of one thing by the end of the week in which it is due.
type Want struct {
	Supply int
	Order  string
	Week   int
	Amount int64
}

// A Week is how a supply stands at the end of a week.
type Week struct {
	Supply int
	Week   int
	There  int64  // all that has come by then
	Wanted int64  // all that is due by then
	Short  int64  // by which the wants of some week up to this are more than what was there
	First  string // the order that first runs short by then, in the order of dates
}

// Season sets what is promised against what there is, over some weeks. An order that is
// due before the first week is due in it. No way of doing the work can do with less than
// is told short; that nothing is short does not prove that it can be done, which is for
// the plan in half-hours.
func Season(weeks int, supplies []Supply, wants []Want) []Week {
	wants = slices.Clone(wants)
	slices.SortStableFunc(wants, func(a, b Want) int { return cmp.Or(a.Week-b.Week, cmp.Compare(a.Order, b.Order)) })
	var all []Week
	for s := range supplies {
		now := Week{Supply: s}
		for w := range weeks {
			now.Week = w
			if w < len(supplies[s].Comes) {
				now.There += supplies[s].Comes[w]
			}
			for _, x := range wants {
				if x.Supply != s || max(0, x.Week) != w {
					continue
				}
				if now.Wanted += x.Amount; now.Wanted > now.There && now.First == "" {
					now.First = x.Order
				}
			}
			now.Short = max(now.Short, now.Wanted-now.There)
			all = append(all, now)
		}
	}
	return all
}
