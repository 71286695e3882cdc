package office

import (
	"fmt"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
)

// lateAsk compares the house before and after facts that fold in their own place.
// When they move something that they do not name themselves, it asks first.
func lateAsk(was, now *house.State, d *house.Draft) (house.Ask, bool) {
	named := map[string]bool{}
	for _, f := range d.Facts {
		record.Names(f, func(c record.Code, _ bool, _ []record.Entity) { named[c.Fold()] = true })
	}
	var moved, held []string
	for _, c := range house.Compare(was, now) {
		vessel, _, _ := strings.Cut(record.Code(c.Code).Fold(), "/") // a tank's contents bear its code and a number
		if !c.WasThere || (named[record.Code(c.Code).Fold()] || named[vessel]) && len(c.HoldsMore) == 0 {
			continue
		}
		if len(c.HoldsMore) > 0 {
			held = append(held, c.Code)
		} else if c.SharesMoved || c.Was != c.Now {
			moved = append(moved, c.Code)
		}
	}
	if len(moved)+len(held) == 0 {
		return house.Ask{}, false
	}
	args := answer.Args{"moved": int64(len(moved)), "held": int64(len(held)), "which": codes(held, moved)}
	id := fmt.Sprintf("ask.late/moved=%d/held=%d/%s", len(moved), len(held), strings.Join(append(held, moved...), ","))
	if slices.Contains(d.Confirmed, id) {
		return house.Ask{}, false
	}
	return house.Ask{ID: id, Key: "ask.late", Args: args}, true
}

// codes lists the first few of each, holds first.
func codes(held, moved []string) []record.Code {
	var all []record.Code
	for _, c := range append(slices.Clone(held), moved...) {
		if len(all) == 12 {
			break
		}
		all = append(all, record.Code(c))
	}
	return all
}
