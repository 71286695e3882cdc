package reckon

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/standard"
	"combline/internal/words"
)

// A Query is one question and its answer; a table uses one again and again.
type Query struct {
	subject *Subject
	full    bool            // doubts and sources are wanted too
	ctx     context.Context // of a question that may take long; nil in a table
	in      []value         // one an input
	out     []value         // one an answer
	low     []float64
	high    []float64 // 9 in 10 lie between; NaN if not told
	notes   []string
	cites   []standard.Cite
	words   *words.Catalogue // nil until a sentence is needed
}

// A value is a figure or a word; or not given, which is never zero.
type value struct {
	given  bool
	column bool // the table has the input's column, whether or not the cell is filled
	number float64
	word   string
	rows   *rowTable // of an answer of many rows
}

func newQuery(s *Subject) *Query {
	q := &Query{subject: s, in: make([]value, len(s.Inputs)), out: make([]value, len(s.Answers)),
		low: make([]float64, len(s.Answers)), high: make([]float64, len(s.Answers))}
	q.forget()
	return q
}

// forget makes room for the next answer.
func (q *Query) forget() {
	clear(q.out)
	q.notes, q.cites = q.notes[:0], q.cites[:0]
	for i := range q.low {
		q.low[i], q.high[i] = math.NaN(), math.NaN()
	}
}

// reckon answers, or says why there is no answer.
func (q *Query) reckon() error {
	err := q.complete()
	if err == nil {
		err = q.subject.answer(q)
	}
	if err != nil {
		q.forget()
	}
	return err
}

// complete checks that what the question needs is there.
func (q *Query) complete() error {
	choice, chosen := false, false
	for i := range q.subject.Inputs {
		switch in := &q.subject.Inputs[i]; in.Need {
		case Required:
			if !q.in[i].given {
				return fmt.Errorf("%s is not given", in.Name)
			}
		case Either:
			choice = true
			chosen = chosen || q.in[i].given
		}
	}
	if choice && !chosen {
		return fmt.Errorf("none of %s is given", strings.Join(q.subject.names(Either), ", "))
	}
	return nil
}

// input finds an input. A wrong name is a slip in the subject's own code.
func (q *Query) input(name string) *value {
	for i := range q.subject.Inputs {
		if q.subject.Inputs[i].Name == name {
			return &q.in[i]
		}
	}
	panic("reckon: " + q.subject.Name + " has no input " + name)
}

func (q *Query) answerAt(name string) int {
	for i := range q.subject.Answers {
		if q.subject.Answers[i].Name == name {
			return i
		}
	}
	panic("reckon: " + q.subject.Name + " has no answer " + name)
}

func (q *Query) has(name string) bool { return q.input(name).given }

// empty reports an optional input whose column the table has but whose cell is empty.
func (q *Query) empty(name string) bool { v := q.input(name); return v.column && !v.given }

func (q *Query) num(name string) float64 { return q.input(name).number }

// numOr is the input, or what is usual if it was not given. An empty cell under a
// column that others fill is told: what was taken is not what was known.
func (q *Query) numOr(name string, usual float64) float64 {
	v := q.input(name)
	if v.given {
		return v.number
	}
	if v.column {
		q.note(fmt.Sprintf("%s is empty, %g was taken", name, usual))
	}
	return usual
}

// context is that of the question; one in a table is short and has none.
func (q *Query) context() context.Context {
	if q.ctx == nil {
		return context.Background()
	}
	return q.ctx
}

func (q *Query) count(name string) int    { return int(q.num(name)) }
func (q *Query) word(name string) string  { return q.input(name).word }
func (q *Query) temp() quantity.Celsius   { return quantity.Celsius(q.num("temp_c")) }
func (q *Query) water() quantity.WaterPct { return quantity.WaterPct(q.num("water_pct")) }

// yes is a truth that is no if it was not given, which is told of an empty cell.
func (q *Query) yes(name string) bool {
	if q.empty(name) {
		q.note(name + " is empty, no was taken")
	}
	return q.word(name) == "yes"
}

// without tells of an empty cell that it leaves answers empty too.
func (q *Query) without(name, says string) {
	if q.empty(name) {
		q.note(name + " is empty: " + says)
	}
}

func (q *Query) rules() standard.Rules {
	r, err := standard.ParseRules(q.word("rules"))
	if err != nil {
		return standard.NoRules // which every rule refuses
	}
	return r
}

func (q *Query) label() (quantity.Milligram, error) { return standard.LabelMass(q.num("label_g")) }

// put sets a figure of the answer. What is not a number is left out and told.
func (q *Query) put(name string, v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		q.note(name + " can't be said")
		return
	}
	q.out[q.answerAt(name)] = value{given: true, number: v}
}

func (q *Query) say(name, word string) { q.out[q.answerAt(name)] = value{given: true, word: word} }

func (q *Query) tell(name string, yes bool) {
	q.say(name, map[bool]string{true: "yes", false: "no"}[yes])
}

// between tells within what 9 in 10 lie.
// A band of no width is none: it would claim a certainty that nobody has.
func (q *Query) between(name string, low, high float64) {
	if i := q.answerAt(name); low < high {
		q.low[i], q.high[i] = low, high
	}
}

// note tells once what the asker should know about this one answer.
func (q *Query) note(text string) {
	if !slices.Contains(q.notes, text) {
		q.notes = append(q.notes, text)
	}
}

// cite names the rule that answered.
func (q *Query) cite(c ...standard.Cite) {
	for _, one := range c {
		if q.full && !slices.Contains(q.cites, one) {
			q.cites = append(q.cites, one)
		}
	}
}

// outOf refuses a figure that no rule or model has looked at.
func outOf(name string, x float64, want string) error {
	return fmt.Errorf("%s %g, want %s", name, x, want)
}

// plain takes the errors' own sentinel off the end of their sentence: a person
// does not need "out of range" twice.
func plain(err error) string {
	s := err.Error()
	for _, sentinel := range [...]error{standard.ErrOutOfRange, standard.ErrNoRule, honey.ErrOutOfRange} {
		if errors.Is(err, sentinel) {
			s = strings.TrimSuffix(s, ": "+sentinel.Error())
		}
	}
	return s
}
