package record

import (
	"time"

	"combline/internal/quantity"
)

// need and may say whether a fact makes sense without the field.
const (
	need = true
	may  = false
)

// A Field is one field of a fact as [Visit] and [Schema] show it.
type Field struct {
	Name    string // with the names of the lists that it stands in: "stacks.1.gross"
	Type    FieldType
	Need    bool
	Given   bool
	Of      []Entity         // for codes: what the code may name
	Unit    quantity.Unit    // for figures and weights: the unit when none is typed
	Choices []string         // for choices
	Codes   []*Code          // for codes: where they stand in the fact
	Weight  *quantity.Figure // for figures and weights
	Text    string           // for weights: how it is known
}

// A FieldType says what a field holds.
type FieldType string

const (
	TypeRef    FieldType = "code"     // names something that exists
	TypeNew    FieldType = "new code" // names something from now on
	TypeText   FieldType = "text"
	TypeWeight FieldType = "weight"
	TypeFigure FieldType = "figure"
	TypeCount  FieldType = "count"
	TypeDay    FieldType = "day"
	TypeChoice FieldType = "choice"
	TypeTruth  FieldType = "yes/no"
	TypeBytes  FieldType = "bytes"
)

// A Weight is a mass with how it is known.
type Weight struct {
	Figure quantity.Figure
	How    quantity.How
}

// Given reports whether there is a weight at all.
func (w Weight) Given() bool { return w.Figure.Given() }

// Grams is the weight to the gram; 0 when it is not given.
func (w Weight) Grams() quantity.Gram {
	if !w.Given() {
		return 0
	}
	g, _ := w.Figure.Grams() // a weight in another dimension does not decode
	return g
}

// Grams is a weight read by an instrument, to the gram.
func Grams(m quantity.Gram) Weight { return Weight{quantity.OfGrams(m), quantity.Weighed} }

// A Day is a calendar day, in days since 1970-01-01; 0 is not given.
type Day int32

// DayOf is the calendar day of t in its own zone.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// Time is the day's midnight, UTC.
func (d Day) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

func (d Day) String() string { return d.Time().Format(time.DateOnly) }

// Truth is yes, no, or not known: not known is never no.
type Truth uint8

const (
	NotKnown Truth = iota
	Yes
	No
)

var truthNames = []string{"", "yes", "no"}

func (t Truth) String() string {
	if t == NotKnown {
		return "not known"
	}
	return truthNames[t]
}
