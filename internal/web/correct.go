package web

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// One entry, as it was written and as it is now said to have been; and its
// correction, with what that would move before it is recorded.
type correctPage struct {
	*frame
	Entry   *entry
	Head    string
	Written []fact2
	By      *answerLine // the correction that stands in its place
	Reason  string
	Act     string // amend or strike, once its preview is seen
	Moves   []answerLine
	Sheets  []*sheet
	Fixed   bool // it can be struck, not amended
	Final   bool // it is a correction itself
}

func (v *visit) correct() error {
	seq, err := strconv.ParseUint(v.arg("fact"), 10, 64)
	if err != nil {
		return errNotFound
	}
	var e record.Entry
	var now record.Fact
	var by house.Correction
	var corrected bool
	v.s.office.Read(func(h *office.View) {
		if e, err = h.Fact(seq); err != nil {
			return
		}
		now = h.AsCorrected(e)
		by, corrected = h.Corrected(seq)
	})
	if err != nil {
		return errNotFound
	}
	p := correctPage{frame: v.frame("", v.say("page.correct", "n", int64(seq))), Head: v.say(e.Fact.Kind().Key()), Reason: v.arg("reason"), Act: v.arg("act")}
	p.Written = v.written(e, now)
	if corrected {
		l := v.line(answer.Line{Key: map[bool]string{true: "page.correct.struck", false: "page.correct.amended"}[by.Struck], Mark: answer.Care,
			Args: answer.Args{"n": int64(by.By), "who": by.Person, "when": by.When, "reason": by.Reason}})
		p.By = &l
	}
	switch e.Fact.(type) {
	case *record.Amended, *record.Struck, *record.LedgerRestored:
		p.Final = true
		return v.render("correct", p)
	}
	return v.correcting(&p, seq, e, now)
}

// written is who wrote an entry down, when, and what it says.
func (v *visit) written(e record.Entry, now record.Fact) []fact2 {
	all := []fact2{{v.say("column.when"), v.text(e.When), ""}, {v.say("column.person"), v.text(placeCell(e.Person)), ""},
		{v.say("page.correct.written"), v.text(record.At(e.Written().In(e.When.Time().Location()))), ""}}
	record.Visit(now, func(x record.Field) {
		if x.Given && x.Type != record.TypeBytes {
			href := ""
			if len(x.Codes) == 1 {
				href = thingLink(*x.Codes[0])
			}
			all = append(all, fact2{v.fieldName(x.Name), v.fieldText(x), href})
		}
	})
	return all
}

func (v *visit) correcting(p *correctPage, seq uint64, e record.Entry, now record.Fact) error {
	t := &task{Name: "correct", Back: link("/correct", "fact", v.num(int64(seq))), Keys: true}
	t.Parts, p.Fixed = v.factParts(now)
	strike := p.Act == "strike"
	if strike {
		t.Parts = nil
	}
	t.Make = func(d *house.Draft) error {
		c := office.Correction{Fact: seq, When: d.When, Reason: p.Reason}
		if p.Reason == "" {
			return &house.Refusal{Key: "refused.missing", Next: "next.type-again", Args: answer.Args{"field": answer.Key("field.reason"), "kind": answer.Key(e.Fact.Kind().Key())}}
		}
		if !strike {
			c.With = d.Facts[0]
		}
		made, err := v.s.office.CorrectionDraft(c)
		d.When, d.Facts = record.When{}, made.Facts
		return err
	}
	var err error
	var done bool
	if v.r.Method == "POST" && v.arg("step") == "preview" {
		p.Entry, err = v.preview(p, t)
	} else {
		p.Entry, done, err = v.take(t)
		if v.r.Method != "POST" {
			p.Act = ""
		}
	}
	if err != nil || done {
		return err
	}
	p.Entry.WhenSay = v.say("page.correct.when", "when", v.text(e.When))
	if strike { // the fields are shown again, so that the mind can be changed
		full := *t
		full.Parts, _ = v.factParts(now)
		p.Entry.Groups = v.entry(&full).Groups
	}
	return v.render("correct", p)
}

// preview shows what a correction would move, and records nothing.
func (v *visit) preview(p *correctPage, t *task) (*entry, error) {
	e := v.entry(t)
	e.sent(v.r.PostForm)
	d, ok := e.draft()
	if !ok {
		p.Act = ""
		return e, nil
	}
	if err := t.Make(&d); err != nil {
		p.Act = ""
		if e.why(err) {
			return e, nil
		}
		return e, err
	}
	d.When = record.At(v.now)
	a, err := v.s.office.Preview(v.r.Context(), d)
	if err != nil {
		if e.why(err) {
			p.Act = ""
			return e, nil
		}
		return e, err
	}
	for _, l := range a.Lines {
		p.Moves = append(p.Moves, v.line(l))
	}
	for _, x := range a.Tables {
		if x.Key != "original" && len(x.Rows) > 0 {
			p.Sheets = append(p.Sheets, v.sheet(x))
		}
	}
	if p.Act == "" {
		p.Act = "amend"
	}
	return e, nil
}

// factParts is a fact as the form that would write it; false when it holds bytes that
// no form can write again, so that it can only be struck.
func (v *visit) factParts(f record.Fact) (parts []part, fixed bool) {
	p := part{Kind: f.Kind(), Fixed: map[string]string{}}
	record.Visit(f, func(x record.Field) {
		switch {
		case x.Type == record.TypeBytes:
			fixed = fixed || x.Given
		case x.Type == record.TypeNew:
			if x.Given {
				p.Fixed[x.Name] = string(*x.Codes[0])
			}
		default:
			p.Cells = append(p.Cells, cell{Name: x.Name, Start: v.typed(x), Small: true, Label: v.numberedName(x.Name)})
		}
	})
	for name, how := range knownAs(f) {
		p.Fixed[name] = how
	}
	return []part{p}, fixed
}

// numberedName is a field's label with the number of the list member that it is in.
func (v *visit) numberedName(name string) string {
	parts := strings.Split(name, ".")
	if len(parts) < 3 {
		return v.fieldName(name)
	}
	return v.fieldName(parts[0]) + " " + parts[1] + ": " + v.fieldName(name)
}

// typed is a field's value as somebody would type it.
func (v *visit) typed(x record.Field) string {
	if !x.Given {
		return ""
	}
	switch x.Type {
	case record.TypeWeight, record.TypeFigure:
		digits := x.Weight.Digits()
		if v.c.Style().Decimal == quantity.DecimalComma {
			digits = strings.Replace(digits, ".", ",", 1)
		}
		return strings.TrimSpace(digits + " " + x.Weight.Unit.String())
	case record.TypeRef:
		codes := make([]string, len(x.Codes))
		for i, c := range x.Codes {
			codes[i] = string(*c)
		}
		return strings.Join(codes, "; ")
	}
	return x.Text
}

// knownAs lists how each weight of a fact is known, by the name of its cell.
func knownAs(f record.Fact) map[string]string {
	var fields map[string]any
	all := map[string]string{}
	if json.Unmarshal(record.JSON(f), &fields) == nil {
		knownIn("", fields, all)
	}
	return all
}

func knownIn(path string, fields map[string]any, all map[string]string) {
	for name, x := range fields {
		switch x := x.(type) {
		case string:
			if strings.HasSuffix(name, "_known") {
				all[path+name] = x
			}
		case []any:
			for i, member := range x {
				if m, ok := member.(map[string]any); ok {
					knownIn(fmt.Sprintf("%s%s.%d.", path, name, i+1), m, all)
				}
			}
		case map[string]any:
			knownIn(path+name+".", x, all)
		}
	}
}
