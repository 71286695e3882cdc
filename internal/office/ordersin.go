package office

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// lineColumns are short names of the columns of an order's line.
var lineColumns = map[string]string{"product": "lines.product", "units": "lines.units", "drums": "lines.drums", "price": "lines.price"}

// OrderColumns gives the columns of a table of orders the names that the fact's fields
// have: product is lines.product.
func OrderColumns(header []string, rows []TableRow) ([]string, []TableRow) {
	header = slices.Clone(header)
	for i, name := range header {
		if long, ok := lineColumns[name]; ok {
			header[i] = long
		}
	}
	for i := range rows {
		cells := map[string]string{}
		for name, text := range rows[i].Cells {
			cells[cmp.Or(lineColumns[name], name)] = text
		}
		rows[i].Cells = cells
	}
	return header, rows
}

// OrdersIn makes orders of a table with one row for each line of an order: rows that
// bear the same order number are lines of one order. All rows are in order, or none is
// taken and every bad row is named.
func (o *Office) OrdersIn(rows []TableRow, d house.Draft, style quantity.NumberStyle) (house.Draft, []RowError) {
	t := &orderTable{at: map[string]int{}, draft: d, apart: d}
	for _, r := range rows {
		t.row(r, style)
	}
	o.Read(func(v *View) { t.check(v, record.At(o.now())) })
	if len(t.bad) > 0 {
		for i := range t.bad {
			t.bad[i].Column = shortColumn(t.bad[i].Column)
		}
		slices.SortStableFunc(t.bad, func(a, b RowError) int { return cmp.Compare(a.Line, b.Line) })
		return house.Draft{}, t.bad
	}
	return t.draft, nil
}

// shortColumn is lines.1.product as a table of orders has it: product.
func shortColumn(name string) string {
	if at := strings.LastIndexByte(name, '.'); at >= 0 && strings.HasPrefix(name, "lines.") {
		return name[at+1:]
	}
	return name
}

type orderTable struct {
	draft house.Draft    // one fact an order
	apart house.Draft    // one fact a row, each under a number of its own, to be checked
	lines []int          // of the facts in apart
	at    map[string]int // the order's fact in draft
	first []int          // the line at which each order begins
	bad   []RowError
}

func (t *orderTable) row(r TableRow, style quantity.NumberStyle) {
	f, wrong := record.FromCells(record.KindOrderTaken, r.Cells, style)
	for _, err := range wrong {
		column := ""
		var c *record.CellError
		if errors.As(err, &c) {
			column = c.Column
		}
		t.bad = append(t.bad, RowError{r.Line, column, err})
	}
	own, ok := f.(*record.OrderTaken)
	if len(wrong) > 0 || !ok {
		return
	}
	if len(own.Lines) == 0 || own.Lines[0].Units <= 0 {
		t.refuse(r.Line, "lines.units", &house.Refusal{Key: "orders.in.no-units", Args: answer.Args{"order": own.Order}, Next: "next.type-again"})
		return
	}
	k := own.Order.Fold()
	i, more := t.at[k]
	apart := *own
	if more {
		apart.Order = record.Code(string(own.Order) + " #" + strconv.Itoa(r.Line))
	}
	t.apart.Facts, t.apart.Stamps, t.lines = append(t.apart.Facts, &apart), append(t.apart.Stamps, stampOf(r, t.draft)), append(t.lines, r.Line)
	if !more {
		t.at[k] = len(t.draft.Facts)
		t.draft.Facts, t.draft.Stamps, t.first = append(t.draft.Facts, own), append(t.draft.Stamps, stampOf(r, t.draft)), append(t.first, r.Line)
		return
	}
	was := t.draft.Facts[i].(*record.OrderTaken)
	if was.Customer.Fold() != own.Customer.Fold() || was.Due != own.Due {
		t.refuse(r.Line, "order", &house.Refusal{Key: "orders.in.differs", Next: "next.type-again",
			Args: answer.Args{"order": own.Order, "line": int64(t.first[i]), "customer": was.Customer, "due": dayOrNil(was.Due)}})
		return
	}
	was.Lines = append(was.Lines, own.Lines...)
	if was.Terms == "" {
		was.Terms = strings.TrimSpace(own.Terms)
	}
}

func (t *orderTable) refuse(line int, column string, err error) {
	t.bad = append(t.bad, RowError{line, column, err})
}

func (t *orderTable) check(v *View, now record.When) {
	if len(t.apart.Facts) == 0 {
		return
	}
	for i, err := range v.State.CheckEach(&t.apart, now) {
		if err != nil {
			t.bad = append(t.bad, RowError{t.lines[i], refusedField(err), err})
		}
	}
}
