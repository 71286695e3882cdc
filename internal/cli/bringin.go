package cli

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
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
		return &usageError{"say what to bring in: combline bring-in KIND FILE, or --list for the kinds"}
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
		return &usageError{fmt.Sprintf("%s has no row below its header", c.File)}
	}
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	digest := sha256.Sum256(append([]byte("bring in "+kind.String()+"\n"), content...))
	groups, bad := c.group(h, kind, rows, digest)
	if len(bad) > 0 {
		return a.badTable(bad)
	}
	return a.bringIn(ctx, h, kind, groups, c)
}

func (c *bringInCommand) style() quantity.NumberStyle {
	return map[string]quantity.NumberStyle{"point": quantity.DecimalPoint, "comma": quantity.DecimalComma}[c.Decimal]
}

// A group is rows that happened at one time and were written by one person: one
// batch. A table without the stamp columns is one group.
type group struct {
	draft house.Draft
	rows  []office.TableRow
	first uint64 // the batch's first fact, when it was recorded before
}

// group parts the rows. The key of each group follows from the table's content, so
// that bringing the same table in twice makes it once.
func (c *bringInCommand) group(h *opened, kind record.Kind, rows []office.TableRow, digest [32]byte) (groups []*group, bad []badCell) {
	own := map[string]bool{}
	for _, f := range record.Schema(kind) {
		own[f.Name] = true
	}
	usual, err := c.draft(h, record.Key{})
	if err != nil {
		return nil, []badCell{{key: "cli.csv.time", args: map[string]any{"typed": c.When}}}
	}
	for _, r := range rows {
		d := usual
		if text := take(r.Cells, "happened", own); text != "" {
			if d.When, err = h.when(text); err != nil {
				bad = append(bad, badCell{line: r.Line, column: "happened", key: "cli.csv.time", args: map[string]any{"typed": text}})
			}
		}
		if text := take(r.Cells, "person", own); text != "" {
			d.Person = record.Code(text)
		}
		if n := len(groups); n == 0 || groups[n-1].draft.When != d.When || groups[n-1].draft.Person != d.Person {
			sum := sha256.Sum256(binary.BigEndian.AppendUint64(digest[:], uint64(n)))
			d.Key = record.Key(sum[:16])
			groups = append(groups, &group{draft: d})
		}
		g := groups[len(groups)-1]
		g.rows = append(g.rows, r)
	}
	return groups, bad
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

// bringIn records all rows or none. What was recorded before is not recorded again.
func (a *app) bringIn(ctx context.Context, h *opened, kind record.Kind, groups []*group, c *bringInCommand) error {
	h.recordedBefore(groups)
	var left []*group
	var rows []office.TableRow
	for _, g := range groups {
		if g.first == 0 {
			left, rows = append(left, g), append(rows, g.rows...)
		}
	}
	if len(left) > 0 {
		made, bad := c.made(h, kind, rows, groups[0].check(h))
		if len(bad) > 0 {
			return a.badRows(bad)
		}
		for _, g := range left {
			g.draft.Facts, made.Facts = made.Facts[:len(g.rows)], made.Facts[len(g.rows):]
			g.draft.Confirmed = made.Confirmed
		}
	}
	if len(left) > 1 {
		if err := a.rehearse(ctx, h, left, c.Confirm); err != nil {
			return err
		}
	}
	return a.recordGroups(ctx, h, groups, c.Confirm)
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

// check is a draft that stands for all groups while their rows are checked together:
// each group's own time is checked when it is submitted.
func (g *group) check(h *opened) house.Draft {
	d := g.draft
	d.When = record.At(h.Now())
	return d
}

// recordedBefore finds groups that are in the record already.
func (h *opened) recordedBefore(groups []*group) {
	byKey := map[record.Key]*group{}
	for _, g := range groups {
		byKey[g.draft.Key] = g
	}
	h.Read(func(v *office.View) {
		for seq := uint64(1); seq <= v.Facts(); seq++ {
			e, err := v.Fact(seq)
			if g := byKey[e.Batch]; err == nil && g != nil && e.Part == 0 {
				g.first = seq
			}
		}
	})
}

func (a *app) recordGroups(ctx context.Context, h *opened, groups []*group, confirm []string) error {
	x := answer.Answer{Question: "bring-in"}
	var all office.Receipt
	repeated := 0
	for _, g := range groups {
		r := office.Receipt{First: g.first, Last: g.first + uint64(len(g.rows)) - 1, Repeated: true}
		if g.first == 0 {
			var err error
			if r, err = submit(ctx, h.Office, g.draft, confirm); err != nil {
				return inFolder(h.dir, a.atLine(g, err))
			}
		}
		if r.Repeated {
			repeated++
		}
		if all.First == 0 {
			all.First = r.First
		}
		all.Last, all.Late, all.Flags = r.Last, all.Late || r.Late, append(all.Flags, r.Flags...)
	}
	all.Repeated = repeated == len(groups)
	receipt(&x, all)
	return a.show(x)
}

// atLine says at which row of the table the house said no.
func (a *app) atLine(g *group, err error) error {
	var asks house.Asks
	if errors.As(err, &asks) || is[*house.Refusal](err) {
		return a.badRows([]office.RowError{{Line: g.rows[0].Line, Err: err}})
	}
	return err
}
