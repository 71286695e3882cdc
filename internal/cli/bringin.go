package cli

import (
	"context"
	"crypto/sha256"
	"errors"
	"strings"

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

// stampColumns may stand in every table: when a row happened and who wrote it, for
// rows that differ from what --when and --person say.
var stampColumns = []string{"happened", "person"}

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
	header, rows, bad := table(content)
	if bad = append(bad, notColumns(kind, header)...); len(bad) > 0 {
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
	d, err := c.draft(h, tableKey(kind, content))
	if err != nil {
		return a.badTable([]badCell{{key: "cli.csv.time", args: map[string]any{"typed": c.When}}})
	}
	if bad := stamped(h, kind, rows); len(bad) > 0 {
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

// tableKey follows from the table's content, so that bringing the same table in twice
// makes it once.
func tableKey(kind record.Kind, content []byte) record.Key {
	sum := sha256.Sum256(append([]byte("bring in "+kind.String()+"\n"), content...))
	return record.Key(sum[:16])
}

func (c *bringInCommand) style() quantity.NumberStyle {
	return map[string]quantity.NumberStyle{"point": quantity.DecimalPoint, "comma": quantity.DecimalComma}[c.Decimal]
}

// stamped takes out of the rows when each happened and who wrote it.
func stamped(h *opened, kind record.Kind, rows []office.TableRow) (bad []badCell) {
	own := map[string]bool{}
	for _, f := range record.Schema(kind) {
		own[f.Name] = true
	}
	for i := range rows {
		r := &rows[i]
		if text := take(r.Cells, "happened", own); text != "" {
			when, err := h.when(text)
			if err != nil {
				bad = append(bad, badCell{line: r.Line, column: "happened", key: "cli.csv.time", args: map[string]any{"typed": text}})
			}
			r.When = when
		}
		r.Person = record.Code(take(r.Cells, "person", own))
	}
	return bad
}

// take takes a stamp out of the cells, unless the kind has a field of that name.
func take(cells map[string]string, name string, own map[string]bool) string {
	if own[name] {
		return ""
	}
	text := strings.TrimSpace(cells[name])
	delete(cells, name)
	return text
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
