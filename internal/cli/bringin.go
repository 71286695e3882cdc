package cli

import (
	"context"
	"errors"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

type bringInCommand struct {
	Kind    string `arg:"" optional:"" help:"What each row says, as drum-filled."`
	File    string `arg:"" optional:"" help:"A table as CSV, its columns parted by comma, semicolon or tab; - is standard input."`
	List    bool   `help:"Name the kinds, or the columns of a kind."`
	Decimal string `enum:"point,comma,either" default:"either" help:"The sign before the decimals: point or comma. Without it, a figure that could be read both ways is asked back."`
	writer
}

func (c *bringInCommand) Run(ctx context.Context, a *app) error {
	if c.List {
		return a.listKinds(c.Kind)
	}
	if c.Kind == "" || c.File == "" {
		return usage("bring-in")
	}
	kind, err := kindNamed(c.Kind)
	if err != nil {
		return err
	}
	content, err := a.contents(c.File)
	if err != nil {
		return err
	}
	header, rows, bad := office.ReadTable(content)
	if bad = append(bad, office.NotColumns(kind, header)...); len(bad) > 0 {
		return a.badTable(bad)
	}
	if len(rows) == 0 {
		return usage("no-row", "file", c.File)
	}
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	d, err := c.draft(h, office.TableKey(kind, content))
	if err != nil {
		return a.badTable([]office.TableError{{Key: "cli.csv.time", Args: map[string]any{"typed": c.When}}})
	}
	if bad := office.StampRows(kind, rows, h.when); len(bad) > 0 {
		return a.badTable(bad)
	}
	if first, ok := recordedBefore(h, d.Key); ok {
		return a.broughtIn(office.Receipt{First: first, Last: first + uint64(len(rows)) - 1, Repeated: true})
	}
	d, wrong := c.made(h, kind, rows, d)
	if len(wrong) > 0 {
		return a.badRows(wrong)
	}
	r, err := submit(ctx, h.Office, d, c.Confirm)
	if err != nil {
		return inFolder(h.dir, err)
	}
	return a.broughtIn(r)
}

func (c *bringInCommand) style() quantity.NumberStyle {
	return map[string]quantity.NumberStyle{"point": quantity.DecimalPoint, "comma": quantity.DecimalComma}[c.Decimal]
}

// made makes the facts of all rows, with the questions that --confirm answers.
func (c *bringInCommand) made(h *opened, kind record.Kind, rows []office.TableRow, d house.Draft) (house.Draft, []office.RowError) {
	made, bad := h.BringIn(kind, rows, d, c.style())
	for _, b := range bad {
		var asks house.Asks
		if errors.As(b.Err, &asks) {
			d.Confirmed = append(d.Confirmed, answered(asks, c.Confirm)...)
		}
	}
	if len(d.Confirmed) > 0 {
		return h.BringIn(kind, rows, d, c.style())
	}
	return made, bad
}

// recordedBefore finds the table's batch in the record.
func recordedBefore(h *opened, key record.Key) (first uint64, ok bool) {
	h.Read(func(v *office.View) {
		var e record.Entry
		e, ok = v.Batch(key)
		first = e.Seq
	})
	return first, ok
}

func (a *app) broughtIn(r office.Receipt) error {
	x := answer.Answer{Question: "bring-in"}
	receipt(&x, r)
	return a.show(x)
}
