package answer

import (
	"encoding/json"
	"maps"
	"strings"
	"time"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
)

// Sentence makes the sentence of a line in a person's language and units.
func Sentence(c *words.Catalogue, l Line) string {
	args := make(map[string]any, len(l.Args))
	for name, v := range l.Args {
		args[name] = printable(c, v)
	}
	inner := maps.Clone(args) // a text inside the sentence sees the sentence's figures
	for name, v := range l.Args {
		if k, ok := v.(Key); ok {
			args[name] = c.Say(string(k), inner)
		}
	}
	return c.Say(l.Key, args)
}

// Text prints one cell; an unknown one as the word for it, never as nothing or 0.
func Text(c *words.Catalogue, v any) string { return c.Text(printable(c, v)) }

// Title is a table's heading; that of facts of one kind is the kind's own word.
func Title(c *words.Catalogue, t Table) string {
	if strings.HasPrefix(t.Key, ofKind) {
		return c.Say(t.Key)
	}
	return c.Say("table." + t.Key)
}

// ofKind begins the key of a table of facts of one kind: "kind.drum-filled".
const ofKind = "kind."

// Name is the table's name as files have it.
func (t Table) Name() string { return strings.TrimPrefix(t.Key, ofKind) }

// ofFact begins the key of a column that holds a field of a fact.
const ofFact = "field."

// FieldColumn is the key of a column that holds a field of a fact, by the field's own
// name: "stacks.2.gross".
func FieldColumn(name string) string { return ofFact + name }

// Head is the heading of a column. That of a field of a fact is the field's own label,
// with the number of the list member that it stands in.
func Head(c *words.Catalogue, column Column) string {
	name, ok := strings.CutPrefix(column.Key, ofFact)
	if !ok {
		return c.Say("column." + column.Key)
	}
	text := ""
	if field, ok := strings.CutSuffix(name, "_known"); ok {
		name = field
		text = ", " + c.Say("column.known")
	}
	for part := range strings.SplitSeq(name, ".") {
		if strings.Trim(part, "0123456789") == "" {
			text = " " + part + text
		}
	}
	return c.Say(record.FieldKey(name)) + text
}

// Plain is a column's key as files have it: a field by its own name.
func (c Column) Plain() string { return strings.TrimPrefix(c.Key, ofFact) }

// printable turns what an answer may hold into what package words prints.
func printable(c *words.Catalogue, v any) any {
	switch v := v.(type) {
	case nil:
		return words.Key("unknown")
	case Key:
		return words.Key(v)
	case Line:
		return Sentence(c, v)
	case record.Code:
		return string(v)
	case []record.Code:
		names := make([]string, len(v))
		for i, code := range v {
			names[i] = string(code)
		}
		return c.List(names)
	case record.When:
		return c.Moment(v.Time(), words.Precision(v.Precision-record.ToMinute))
	case record.Day:
		return c.DateShort(v.Time())
	case record.Truth:
		if v == record.NotKnown {
			return words.Key("unknown")
		}
		return v == record.Yes
	case time.Time:
		return c.DateShort(v)
	case Known:
		return c.Mass(v.Mass) + " " + c.HowMark(v.How)
	case json.RawMessage:
		return said(c, v)
	}
	return v
}

// JSON is the answer for programs: tables by key with typed cells under their column
// keys, sentences in the language of c beside their keys.
func JSON(c *words.Catalogue, a Answer) ([]byte, error) {
	out := map[string]any{"question": a.Question}
	if a.Of != "" {
		out["of"] = a.Of
	}
	if len(a.Lines) > 0 {
		out["lines"] = lines(c, a.Lines)
	}
	if len(a.Next) > 0 {
		out["next"] = lines(c, a.Next)
	}
	if a.Cannot != nil {
		out["cannot"] = line(c, *a.Cannot)
	}
	tables := map[string]any{}
	for _, t := range a.Tables {
		rows := []map[string]any{}
		for _, r := range t.Rows {
			row := map[string]any{}
			for i, col := range t.Columns {
				row[col.Plain()] = cellOf(c, r.Cells[i])
			}
			if r.Mark != Plain {
				row["mark"] = r.Mark.String()
			}
			rows = append(rows, row)
		}
		tables[t.Name()] = rows
	}
	if len(tables) > 0 {
		out["tables"] = tables
	}
	if len(a.Rests) > 0 {
		out["rests_on"] = lines(c, a.Rests)
	}
	if len(a.Sources) > 0 {
		out["follows"] = lines(c, a.Sources)
	}
	return json.MarshalIndent(out, "", "  ")
}

func lines(c *words.Catalogue, all []Line) (out []map[string]any) {
	for _, l := range all {
		out = append(out, line(c, l))
	}
	return out
}

func line(c *words.Catalogue, l Line) map[string]any {
	m := map[string]any{"key": l.Key, "text": Sentence(c, l)}
	for name, v := range l.Args {
		m[name] = value(v)
	}
	if l.Mark != Plain {
		m["mark"] = l.Mark.String()
	}
	return m
}

// cellOf is a cell for programs; a sentence stands beside its key.
func cellOf(c *words.Catalogue, v any) any {
	if l, ok := v.(Line); ok {
		return line(c, l)
	}
	return value(v)
}

// bare is a line inside an answer for programs: its key and figures, without a sentence.
func bare(l Line) map[string]any {
	m := map[string]any{"key": l.Key}
	for name, v := range l.Args {
		m[name] = value(v)
	}
	return m
}

// value is a cell as JSON: numbers stay numbers, words their keys, unknown is null.
func value(v any) any {
	switch v := v.(type) {
	case nil:
		return nil
	case Key:
		return string(v)
	case Line:
		return bare(v)
	case quantity.Figure:
		return v.String()
	case quantity.Uncertain:
		if !v.Known() {
			return nil
		}
		low, high := v.Band9in10()
		return map[string]float64{"value": v.Value, "low": low, "high": high}
	case record.When:
		return v.Time().Format("2006-01-02T15:04-07:00")
	case record.Day:
		return v.String()
	case record.Truth:
		if v == record.NotKnown {
			return nil
		}
		return v == record.Yes
	case time.Time:
		return v.Format(time.RFC3339)
	case Known:
		return map[string]any{"mass_g": v.Mass, "known": v.How.String()}
	}
	return v
}

var marks = [...]string{"", "good", "care", "bad"}

func (m Mark) String() string { return marks[m] }
