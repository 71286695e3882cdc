package cli

import (
	"errors"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// badTable prints what is wrong with a table itself.
func (a *app) badTable(bad []office.TableError) error {
	x := answer.Answer{Question: "bring-in"}
	for _, b := range bad {
		a.row(&x, b.Line, b.Column, a.say().Say(b.Key, b.Args))
	}
	return a.wrong(x)
}

// badRows prints every row that is not in order: line, column, and what is wrong. When
// all of it are questions, they can be answered with --confirm.
func (a *app) badRows(bad []office.RowError) error {
	x := answer.Answer{Question: "bring-in"}
	var asks house.Asks
	for _, b := range bad {
		var q house.Asks
		if errors.As(b.Err, &q) {
			asks = append(asks, q...)
		}
		a.row(&x, b.Line, b.Column, a.rowText(b))
	}
	if len(asks) == 0 || len(asks) < len(bad) {
		return a.wrong(x)
	}
	for _, q := range asks {
		x.Then("cli.confirm-with", answer.Args{"id": short(q)})
	}
	x.Then("cli.confirm", nil)
	_ = a.wrong(x)
	return &told{asks}
}

func (a *app) row(x *answer.Answer, line int, column, what string) {
	args := answer.Args{"line": int64(line), "column": column, "what": what}
	x.Lines = append(x.Lines, answer.Line{Key: "cli.bad-row", Mark: answer.Bad, Args: args})
}

// rowText is what is wrong, without the column, which stands before it.
func (a *app) rowText(b office.RowError) string {
	var cell *record.CellError
	if errors.As(b.Err, &cell) {
		return a.cellAlone(cell)
	}
	p := a.tell(b.Err)
	if p.Next != "" && len(p.Asks) == 0 {
		return p.Text + " " + p.Next
	}
	return p.Text
}
