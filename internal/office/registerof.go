package office

import (
	"slices"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/record"
)

// RegisterKinds are the kinds of facts of a chapter of the register, by its short name
// ("intake"), or the one kind of that name; ok is false when there is neither.
func RegisterKinds(name string) (kinds []record.Kind, ok bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	for _, c := range chapters {
		if name == strings.TrimPrefix(c.key, "register-") {
			return c.kinds, true
		}
	}
	k, ok := record.KindOf(name)
	if !ok {
		return nil, false
	}
	return []record.Kind{k}, true
}

// RegisterNames are the short names of the register's chapters, in order.
func RegisterNames() (all []string) {
	for _, c := range chapters {
		all = append(all, strings.TrimPrefix(c.key, "register-"))
	}
	return all
}

// RegisterOf lays open the facts of some kinds from one day to another (both included), a
// table each kind, with every field in a column of its own: as they are now said to have
// been, each with the entry that corrected it. Without kinds it takes every kind.
func (v *View) RegisterOf(kinds []record.Kind, from, to record.Day) answer.Answer {
	a := answer.Answer{Question: "register"}
	a.Say("register.period", answer.Args{"from": from, "to": to})
	if kinds == nil {
		for _, c := range chapters {
			kinds = append(kinds, c.kinds...)
		}
	}
	by := map[uint64]uint64{}
	for _, c := range v.State.Corrections() {
		by[c.Of] = c.By
	}
	found := map[record.Kind][]factRow{}
	n := int64(0)
	for step, err := range v.during(from, to) {
		if err != nil {
			return unread(a, err)
		}
		e := step.Entry
		if day := DayOf(e.When); day < from || day > to || step.Struck || !slices.Contains(kinds, e.Fact.Kind()) {
			continue
		}
		n++
		found[e.Fact.Kind()] = append(found[e.Fact.Kind()], rowOf(e, by[e.Seq]))
	}
	for _, k := range kinds { // more than an answer has tables when all are asked for
		if rows := found[k]; len(rows) > 0 {
			a.Tables = append(a.Tables, kindTable(k, rows))
		}
	}
	a.Say("register.facts", answer.Args{"n": n})
	v.restsOnRecord(&a)
	return a
}

// A factRow is one fact with its fields by name.
type factRow struct {
	cells [4]any // entry, when, who, corrected by
	names []string
	field map[string]any
}

func rowOf(e record.Entry, by uint64) factRow {
	r := factRow{cells: [4]any{int64(e.Seq), e.When, orNil(e.Person), nil}, field: map[string]any{}}
	if by != 0 {
		r.cells[3] = int64(by)
	}
	put := func(name string, v any) {
		r.names, r.field[name] = append(r.names, name), v
	}
	record.Visit(e.Fact, func(f record.Field) {
		if !f.Given {
			return
		}
		put(f.Name, fieldCell(f))
		if f.Type == record.TypeWeight && f.Text != "" {
			put(f.Name+"_known", answer.Key("how."+f.Text))
		}
	})
	return r
}

// fieldCell is what stands in a field, as an answer holds it.
func fieldCell(f record.Field) any {
	switch f.Type {
	case record.TypeWeight, record.TypeFigure:
		return *f.Weight
	case record.TypeCount:
		if n, err := strconv.ParseInt(f.Text, 10, 64); err == nil {
			return n
		}
	case record.TypeChoice, record.TypeTruth:
		return answer.Key(record.ChoiceKey(f.Text))
	case record.TypeRef, record.TypeNew:
		if len(f.Codes) == 1 {
			return *f.Codes[0]
		}
		all := make([]record.Code, len(f.Codes))
		for i, c := range f.Codes {
			all[i] = *c
		}
		return all
	case record.TypeDay:
		if d, err := record.ParseDay(f.Text); err == nil {
			return d
		}
	}
	return f.Text
}

// kindTable puts the facts of one kind under the columns that any of them has, in the
// order of the kind's fields; members of a list follow one another.
func kindTable(k record.Kind, rows []factRow) answer.Table {
	t := answer.Table{Key: k.Key()}
	for _, key := range []string{"fact", "when", "person", "corrected_by"} {
		t.Columns = append(t.Columns, answer.Column{Key: key})
	}
	names := columnsOf(rows)
	for _, name := range names {
		t.Columns = append(t.Columns, answer.Column{Key: answer.FieldColumn(name)})
	}
	for _, r := range rows {
		cells := slices.Clone(r.cells[:])
		mark := answer.Plain
		if r.cells[3] != nil {
			mark = answer.Care
		}
		for _, name := range names {
			cells = append(cells, r.field[name])
		}
		t.Row(mark, cells...)
	}
	return t
}

// columnsOf merges the names of the fields of all rows: a name that a row has first comes
// before the name that follows it there.
func columnsOf(rows []factRow) (all []string) {
	seen := map[string]bool{}
	for _, r := range rows {
		at := 0
		for _, name := range r.names {
			if seen[name] {
				at = slices.Index(all, name) + 1
				continue
			}
			seen[name] = true
			all = slices.Insert(all, at, name)
			at++
		}
	}
	return all
}
