package web

import (
	"encoding/csv"
	"encoding/hex"
	"errors"
	"io"
	"net/http"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Tables are brought in with a look at them first: every bad row is named with its
// line, its column and what is wrong, and all rows are recorded or none.
type bringPage struct {
	*frame
	Usual, Others []option
	Kind          string
	Columns       []columnRow
	Template      string
	Entry         *entry
	Content       string
	Digest        string // of the table that was looked at
	Decimal       string
	Decimals      []option
	Bad           []badRow
	BadCount      int
	Checked       bool // all in order, nothing recorded yet
	Rows          int
	First         *sheet
}

type columnRow struct {
	Name, Means, Form string
	Need              bool
}

type badRow struct {
	Line   int
	Column string
	Text   string
}

// usualTables are what a house that begins has lists of already.
var usualTables = []record.Kind{record.KindVesselNamed, record.KindStockOpened, record.KindSiteOpened, record.KindDrumFilled, record.KindResultRead,
	record.KindCustomerNamed, record.KindSupplierNamed, record.KindProductNamed, record.KindMaterialNamed, record.KindPersonNamed, record.KindHivesCounted, record.KindTreated}

const (
	mostBad     = 200 // bad rows shown at once
	mostPreview = 12
)

func (v *visit) bringIn() error {
	p := &bringPage{frame: v.frame("", v.say("page.bring"))}
	kind, ok := record.KindOf(v.arg("kind"))
	if !ok || byProgram[kind] {
		for _, k := range record.Kinds() {
			o := option{Text: v.say(k.Key()), Href: link("/bring-in", "kind", k.String())}
			switch {
			case byProgram[k]:
			case slices.Contains(usualTables, k):
				p.Usual = append(p.Usual, o)
			default:
				p.Others = append(p.Others, o)
			}
		}
		return v.render("bringin", p)
	}
	p.Kind, p.Title, p.Columns = kind.String(), v.say("page.bring.of", "kind", v.say(kind.Key())), v.columns(kind)
	p.Template = link("/bring-in/empty", "kind", kind.String())
	p.Decimal = v.arg("decimal")
	p.Decimals = []option{{Value: "", Text: v.say("page.bring.either")}, {Value: "point", Text: "290.5"}, {Value: "comma", Text: "290,5"}}
	p.Entry = v.entry(&task{Name: "bring", Back: "/setup", Go: v.say("page.bring.check")})
	if v.r.Method == http.MethodPost {
		done, err := v.brought(p, kind)
		if err != nil || done {
			return err
		}
	}
	return v.render("bringin", p)
}

// columns are what a table of a kind may have.
func (v *visit) columns(kind record.Kind) (all []columnRow) {
	for _, f := range record.Schema(kind) {
		if f.Type == record.TypeBytes {
			continue
		}
		c := columnRow{Name: f.Name, Means: v.fieldName(f.Name), Need: f.Need, Form: v.say("page.bring.type." + strings.ReplaceAll(strings.ReplaceAll(string(f.Type), " ", "-"), "/", "-"))}
		if len(f.Choices) > 0 {
			c.Form = strings.TrimLeft(strings.Join(f.Choices, ", "), ", ")
		}
		if f.Type == record.TypeFigure || f.Type == record.TypeWeight {
			if u := v.c.Unit(f.Unit); u != "" {
				c.Form += ", " + u
			}
		}
		all = append(all, c)
	}
	return append(all, columnRow{Name: "happened", Means: v.say("page.form.when"), Form: "2026-09-30 14:05"}, columnRow{Name: "person", Means: v.fieldName("person")})
}

// emptyTable is a table with its header alone, to fill in elsewhere.
func (v *visit) emptyTable() error {
	kind, ok := record.KindOf(v.arg("kind"))
	if !ok || byProgram[kind] {
		return errNotFound
	}
	var names []string
	for _, f := range record.Schema(kind) {
		if f.Type != record.TypeBytes {
			names = append(names, f.Name)
		}
	}
	v.w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	v.w.Header().Set("Content-Disposition", `attachment; filename="`+kind.String()+`.csv"`)
	w := csv.NewWriter(v.w)
	_ = w.Write(names) // a browser that went away can't be told
	w.Flush()
	return nil
}

// table is what was sent: a file, or what was pasted.
func (v *visit) table() ([]byte, error) {
	f, _, err := v.r.FormFile("file")
	if err == nil {
		defer f.Close()
		b, err := io.ReadAll(f)
		if err != nil || len(b) > 0 {
			return b, err
		}
	}
	return []byte(v.r.PostFormValue("content")), nil
}

// brought looks at a table that was sent, and records it when it was looked at before.
func (v *visit) brought(p *bringPage, kind record.Kind) (done bool, err error) {
	e := p.Entry
	e.sent(v.r.PostForm)
	content, err := v.table()
	if err != nil {
		return false, err
	}
	p.Content = string(content)
	d, ok := e.draft()
	if !ok {
		return false, nil
	}
	if d.When == (record.When{}) {
		d.When = record.At(v.now)
	}
	d.Key = office.TableKey(kind, content)
	p.Digest = hex.EncodeToString(d.Key[:])
	header, rows, wrong := office.ReadTable(content)
	wrong = append(wrong, office.NotColumns(kind, header)...)
	wrong = append(wrong, office.StampRows(kind, rows, func(s string) (record.When, error) { return record.ParseWhen(s, v.now) })...)
	for _, w := range wrong {
		text := v.c.Say(w.Key, pairs(w.Args)...)
		if w.Key == "cli.csv.not-column" {
			text = v.say("page.bring.not-column")
		}
		p.bad(w.Line, w.Column, text)
	}
	if len(wrong) == 0 && len(rows) == 0 {
		e.Refused = v.say("page.bring.nothing")
	}
	if len(wrong) > 0 || len(rows) == 0 {
		return false, nil
	}
	p.Rows, p.First = len(rows), preview(header, rows)
	p.First.Title = v.say("page.bring.first")
	return v.allOrNone(p, kind, rows, d)
}

func pairs(args map[string]any) (all []any) {
	for name, value := range args {
		all = append(all, name, value)
	}
	return all
}

func (p *bringPage) bad(line int, column, text string) {
	if p.BadCount++; p.BadCount <= mostBad {
		p.Bad = append(p.Bad, badRow{line, column, text})
	}
}

// preview is the first rows as they were read.
func preview(header []string, rows []office.TableRow) *sheet {
	s := &sheet{Class: "nums", Heads: []head{{Right: true}}}
	for _, name := range header {
		s.Heads = append(s.Heads, head{Text: name})
	}
	for _, r := range rows[:min(len(rows), mostPreview)] {
		row := sheetRow{Cells: []sheetCell{{Text: quantity.Figure{Mantissa: int64(r.Line)}.Digits(), Right: true, Class: "q"}}}
		for _, name := range header {
			row.Cells = append(row.Cells, sheetCell{Text: r.Cells[name]})
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

func (v *visit) allOrNone(p *bringPage, kind record.Kind, rows []office.TableRow, d house.Draft) (done bool, err error) {
	e := p.Entry
	var before record.Entry
	repeated := false
	v.s.office.Read(func(h *office.View) { before, repeated = h.Batch(d.Key) })
	if repeated {
		first := before.Seq
		return true, v.see(withReceipt("/bring-in?kind="+p.Kind, office.Receipt{First: first, Last: first + uint64(before.Parts) - 1}))
	}
	made, wrong := v.s.office.BringIn(kind, rows, d, v.decimal())
	if asks, only := onlyAsks(wrong); only && len(asks) > 0 {
		p.Checked = true
		e.why(asks)
		return false, nil
	}
	for _, w := range wrong {
		p.bad(w.Line, w.Column, v.rowText(w.Err))
	}
	if len(wrong) > 0 {
		return false, nil
	}
	p.Checked = true
	if v.arg("step") == "check" || v.arg("checked") != p.Digest { // only what was looked at is recorded
		return false, nil
	}
	receipt, err := v.record(made)
	if err == nil {
		return true, v.see(withReceipt("/bring-in?kind="+p.Kind, receipt))
	}
	if e.why(err) {
		return false, nil
	}
	return false, err
}

// onlyAsks are the questions of a table, when nothing else is wrong with it.
func onlyAsks(wrong []office.RowError) (asks house.Asks, only bool) {
	for _, w := range wrong {
		var q house.Asks
		if !errors.As(w.Err, &q) {
			return nil, false
		}
		asks = append(asks, q...)
	}
	return asks, true
}

func (v *visit) decimal() quantity.NumberStyle {
	return map[string]quantity.NumberStyle{"point": quantity.DecimalPoint, "comma": quantity.DecimalComma}[v.arg("decimal")]
}

// rowText is what is wrong with one row.
func (v *visit) rowText(err error) string {
	var cell *record.CellError
	var no *house.Refusal
	var asks house.Asks
	switch {
	case errors.As(err, &cell):
		if text, ok := v.c.Refusal(cell.Err); ok {
			return text
		}
		return v.sentence(answer.Line{Key: cell.Key, Args: answer.Args{"column": cell.Column, "typed": cell.Typed, "want": cell.Want}})
	case errors.As(err, &no):
		return strings.TrimSpace(v.refusal(no) + " " + v.next(no))
	case errors.As(err, &asks):
		var all []string
		for _, a := range asks {
			all = append(all, v.sentence(answer.Line{Key: a.Key, Args: a.Args}))
		}
		return strings.Join(all, " ")
	}
	return err.Error()
}
