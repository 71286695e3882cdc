package reckon

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/standard"
	"combline/internal/words"
)

// writeText prints the answer for people.
func writeText(w io.Writer, q *Query) error {
	c, err := english()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if i := q.subject.rows(); i >= 0 && q.out[i].given {
		if err := q.out[i].rows.writeText(&b); err != nil {
			return err
		}
	}
	tw := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for i, a := range q.subject.Answers {
		if a.Kind == Rows {
			continue // it stands below
		}
		fmt.Fprintf(tw, "%s\t%s\t%s\n", a.Name, q.shown(c, i), a.Help)
	}
	for _, l := range q.behind() {
		fmt.Fprintf(tw, "%s\t%s\n", l.key, l.text)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	for line := range strings.Lines(b.String()) {
		if _, err := fmt.Fprintln(w, strings.TrimRight(line, " \n")); err != nil {
			return err
		}
	}
	return nil
}

// shown is one answer with its unit and within what 9 in 10 lie.
func (q *Query) shown(c *words.Catalogue, i int) string {
	a, v := q.subject.Answers[i], q.out[i]
	switch {
	case !v.given:
		return "not known"
	case a.Kind == Word || a.Kind == Truth || a.Kind == Text:
		return v.word
	}
	s := a.print(c, v.number)
	if a.Unit != "" {
		s += " " + a.Unit
	}
	if !math.IsNaN(q.low[i]) {
		s += fmt.Sprintf(" (9 in 10: %s to %s)", a.print(c, q.low[i]), a.print(c, q.high[i]))
	}
	return s
}

// print rounds to the answer's significant digits, but never before the point.
func (a Answer) print(c *words.Catalogue, x float64) string {
	switch {
	case a.Kind == Count:
		return c.Number(x, 0)
	case a.Digits == 0:
		s := c.Number(x, 3)
		return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	case x != 0 && math.Abs(x) < 1e-4:
		return fmt.Sprintf("%.*g", a.Digits, x)
	}
	decimals := a.Digits - 1
	if x != 0 {
		decimals -= int(math.Floor(math.Log10(math.Abs(x))))
	}
	return c.Number(x, max(0, decimals))
}

// A backing is one line of what stands behind an answer.
type backing struct{ key, text string }

// behind lists what stands behind the answer: doubt, range, source, whom to ask.
func (q *Query) behind() []backing {
	var lines []backing
	add := func(key, text string) {
		if text != "" {
			lines = append(lines, backing{key, text})
		}
	}
	for _, n := range q.notes {
		add("note", n)
	}
	add("doubt", q.subject.doubt())
	add("range", q.subject.validRange())
	for _, s := range q.sources() {
		add("source", s.String())
	}
	add("ask", q.ask())
	add("mind", q.subject.Caution)
	return lines
}

func (s *Subject) model() honey.Model {
	m, ok := honey.ModelOf(s.Model)
	if !ok {
		m, _ = flow.ModelOf(s.Model)
	}
	return m
}

func (s *Subject) doubt() string {
	if s.Doubt != "" {
		return s.Doubt
	}
	return s.model().Accuracy
}

func (s *Subject) validRange() string {
	if s.Range != "" {
		return s.Range
	}
	return s.model().Range
}

// A source says where an answer comes from.
type source struct {
	Text    string `json:"text"`
	Formula string `json:"formula,omitempty"`
	Memory  string `json:"from_memory,omitempty"` // what was recalled and not read again
	Grade   string `json:"grade,omitempty"`
	Rule    string `json:"rule_set,omitempty"`
	Edition string `json:"edition,omitempty"`
	Dated   string `json:"dated,omitempty"`
	Got     string `json:"got,omitempty"`
}

func (s source) String() string {
	t := s.Text
	if s.Rule != "" {
		t = s.Rule + ": " + t
	}
	switch {
	case s.Edition != "":
		t += ", edition " + s.Edition + " (" + s.Dated + ")"
	case s.Rule != "":
		t += ", " + s.Dated
	}
	if s.Memory != "" {
		t += "; from memory: " + s.Memory
	}
	return t
}

// sources lists the model and the rules that answered.
func (q *Query) sources() []source {
	all := []source{}
	if q.subject.Source != "" {
		all = append(all, source{Text: q.subject.Source})
	} else if m := q.subject.model(); m.Source != "" {
		all = append(all, source{Text: m.Source, Formula: m.Formula, Memory: m.Memory, Grade: m.Grade})
	}
	for _, c := range q.cites {
		set := c.Set.Set()
		s := source{Text: set.Title + ", " + c.Place, Rule: set.ID, Edition: set.Edition, Got: c.Got.String()}
		s.Dated = set.Dated.String()
		if c.Got == standard.Memory {
			s.Memory = "this figure; check it in the publication"
		}
		all = append(all, s)
	}
	return all
}

// ask names whom to ask, by the key of the rule that answered.
func (q *Query) ask() string {
	for _, c := range q.cites {
		switch c.Set.Set().Ask {
		case "ask.food-authority":
			return "your food authority; this is no legal advice"
		case "ask.weights-authority":
			return "your weights and measures authority; this is no legal advice"
		case "ask.buyer":
			return "your buyer: the grades are voluntary"
		}
	}
	return ""
}
