// Package answer is the one shape in which the program answers: figures with
// their doubt, what they rest on, where they come from, and the next step; or why
// it can't say. It holds keys and typed figures; package words makes the sentences.
package answer

import (
	"combline/internal/quantity"
	"combline/internal/record"
)

// An Answer answers one question about one thing.
type Answer struct {
	Question string      // stable key: "trace", "stock", "balance"
	Of       record.Code // what it is about, if one thing
	Lines    []Line      // the answer in short
	Tables   []Table
	Rests    []Line // what it rests on, and how old that is
	Sources  []Line // the model or rule that it follows, with its source
	Next     []Line // what to do next
	Cannot   *Line  // why there is no answer; the rest may still help
}

// A Line is one sentence: its key in package words and the figures in it.
type Line struct {
	Key  string
	Args Args
	Mark Mark
}

// Args are a sentence's figures by name. Values are those of [Cell].
type Args map[string]any

// A Mark says how a line or row is to be seen: as colour, word and shape on a page.
type Mark uint8

const (
	Plain Mark = iota
	Good
	Care // look here
	Bad  // stop
)

// A Table has rows of cells under column keys.
type Table struct {
	Key     string   // stable: "from", "customers"
	Columns []Column // in order
	Rows    []Row
}

// A Column has a stable key that ends in its unit where it has one: "mass_g".
type Column struct{ Key string }

// A Row is one line of a table.
type Row struct {
	Cells []any // one a column; see [Cell]
	Mark  Mark
}

// Cell documents what stands in a cell or an argument: nil for unknown (never
// zero), string for free text, Key for a word of package words, Line for a sentence, record.Code,
// int64 for a count, quantity.Gram, quantity.Milligram, quantity.Figure,
// quantity.Uncertain, quantity.Percent, record.When, record.Day, time.Time, bool,
// Known, or a list of codes.
type Cell = any

// A Key is a word of package words in a cell.
type Key string

// Known is a mass with how it is known.
type Known struct {
	Mass quantity.Gram
	How  quantity.How
}

// Say adds a line.
func (a *Answer) Say(key string, args Args) { a.Lines = append(a.Lines, Line{Key: key, Args: args}) }

// Warn adds a line that asks to be looked at.
func (a *Answer) Warn(key string, args Args) {
	a.Lines = append(a.Lines, Line{Key: key, Args: args, Mark: Care})
}

// RestsOn adds something that the answer rests on.
func (a *Answer) RestsOn(key string, args Args) {
	a.Rests = append(a.Rests, Line{Key: key, Args: args})
}

// Follows adds the model or rule that the answer follows.
func (a *Answer) Follows(key string, args Args) {
	a.Sources = append(a.Sources, Line{Key: key, Args: args})
}

// Then adds a next step.
func (a *Answer) Then(key string, args Args) { a.Next = append(a.Next, Line{Key: key, Args: args}) }

// mostTables is how many tables an answer may have. Their room is made with the first,
// so that a table given out for its rows stays the answer's own when others are added.
const mostTables = 32

// Table adds an empty table and returns it for its rows.
func (a *Answer) Table(key string, columns ...string) *Table {
	if cap(a.Tables) < mostTables {
		a.Tables = append(make([]Table, 0, mostTables), a.Tables...)
	}
	if len(a.Tables) == mostTables {
		panic("answer: more than 32 tables")
	}
	t := Table{Key: key}
	for _, c := range columns {
		t.Columns = append(t.Columns, Column{c})
	}
	a.Tables = append(a.Tables, t)
	return &a.Tables[len(a.Tables)-1]
}

// Row adds a row.
func (t *Table) Row(mark Mark, cells ...any) { t.Rows = append(t.Rows, Row{cells, mark}) }
