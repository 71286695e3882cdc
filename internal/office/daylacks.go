package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/record"
)

// lacks says what was never written down, without which a sheet says little: not known is
// not nothing. Where no honey was, there are no sums of it.
func (s *DaySheet) lacks(a *answer.Answer) {
	state := s.Plan.v.State
	for _, x := range []struct {
		kind record.Entity
		key  string
	}{{record.Filling, "day.lacks.honey"}, {record.Product, "day.lacks.products"}, {record.Order, "day.lacks.orders"}} {
		if len(state.OfKind(x.kind)) > 0 || x.kind == record.Filling && (len(state.Contents()) > 0 || len(state.OfKind(record.Lot)) > 0) {
			continue
		}
		a.Warn(x.key, nil)
		if x.kind == record.Filling {
			a.Lines = slices.DeleteFunc(a.Lines, func(l answer.Line) bool { return l.Key == "stock.in-short" })
			a.Tables = slices.DeleteFunc(a.Tables, func(t answer.Table) bool { return t.Key == "sums" })
		}
	}
}
