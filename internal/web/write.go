package web

import (
	"strconv"
	"strings"

	"combline/internal/office"
	"combline/internal/record"
)

// Any other entry: every kind of fact that the record knows has a form here, made from
// its fields, so that nothing that happened must stay out of the record.
type writePage struct {
	*frame
	Kinds []option
	Entry *entry
	Rows  string // address with one more row in each list
}

// byProgram are kinds that people do not write by hand: corrections have their own
// page, and these carry digests that a program makes.
var byProgram = map[record.Kind]bool{record.KindAmended: true, record.KindStruck: true, record.KindLedgerRestored: true, record.KindStreamRead: true, record.KindPhotoKept: true, record.KindLabelProved: true, record.KindLabelPrinted: true}

func (v *visit) write() error {
	p := writePage{frame: v.frame("", v.say("page.write"))}
	kind, ok := record.KindOf(v.arg("kind"))
	if !ok || byProgram[kind] {
		for _, k := range record.Kinds() {
			if !byProgram[k] {
				p.Kinds = append(p.Kinds, option{Text: v.say(k.Key()), Href: link("/write", "kind", k.String())})
			}
		}
		return v.render("write", p)
	}
	rows, err := strconv.Atoi(v.arg("rows"))
	if err != nil || rows < 1 || rows > 40 {
		rows = 1
	}
	p.Title = v.say(kind.Key())
	t := &task{Name: "write", Title: p.Title, Back: "/history", Keys: true}
	t.Parts = []part{{Kind: kind, Cells: v.everyCell(kind, rows)}}
	e, done, err := v.take(t)
	if err != nil || done {
		return err
	}
	p.Entry = e
	if hasList(kind) && v.r.Method != "POST" {
		p.Rows = link("/write", "kind", kind.String(), "rows", strconv.Itoa(rows+2))
	}
	return v.render("write", p)
}

// everyCell is all fields of a kind; those of lists so many times.
func (v *visit) everyCell(kind record.Kind, rows int) (cells []cell) {
	var list []record.Field
	flush := func() {
		for i := 1; i <= rows && len(list) > 0; i++ {
			for _, f := range list {
				head, name, _ := strings.Cut(f.Name, ".")
				c := v.plainCell(f)
				c.Name = head + "." + strconv.Itoa(i) + "." + name
				c.Label = v.numberedName(c.Name)
				c.Need = false
				cells = append(cells, c)
			}
		}
		list = nil
	}
	for _, f := range record.Schema(kind) {
		switch {
		case f.Type == record.TypeBytes:
		case isOnePart(kind, f.Name):
			flush()
			cells = append(cells, v.plainCell(f))
		case strings.Contains(f.Name, "."):
			list = append(list, f)
		default:
			flush()
			cells = append(cells, v.plainCell(f))
		}
	}
	flush()
	return cells
}

// isOnePart reports whether a field stands in a part that a fact has once, whose
// members bear no number.
func isOnePart(kind record.Kind, name string) bool {
	head, rest, ok := strings.Cut(name, ".")
	if !ok {
		return false
	}
	_, errs := record.FromCells(kind, map[string]string{head + ".1." + rest: "1"}, 0)
	for _, err := range errs {
		if c, ok := err.(*record.CellError); ok && c.Key == "cell.column" {
			return true
		}
	}
	return false
}

// plainCell is a field with the things of the house that it may name as buttons.
func (v *visit) plainCell(f record.Field) cell {
	c := cell{Name: f.Name, Small: true}
	switch f.Type {
	case record.TypeNew:
		v.s.office.Read(func(h *office.View) {
			if things := h.State.OfKind(f.Of[0]); len(things) > 0 {
				c.Start = string(h.NextCode(f.Of[0], ""))
			}
		})
	case record.TypeRef:
		v.s.office.Read(func(h *office.View) {
			for _, kind := range f.Of {
				if things := named(h, kind, nil); len(c.Likely)+len(things) <= mostLikely && len(h.State.OfKind(kind)) < mostLikely {
					c.Likely = append(c.Likely, things...)
				}
			}
		})
	}
	return c
}

// hasList reports whether a kind has fields that come several times.
func hasList(kind record.Kind) bool {
	for _, f := range record.Schema(kind) {
		if strings.Contains(f.Name, ".") && !isOnePart(kind, f.Name) {
			return true
		}
	}
	return false
}
