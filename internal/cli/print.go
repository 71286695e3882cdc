package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
)

// show prints an answer, as text or as JSON. One that can't be given is an error
// once it is printed.
func (a *app) show(x answer.Answer) error {
	err := a.print(x)
	if err == nil && x.Cannot != nil {
		err = &told{&refused{x.Cannot.Key}}
	}
	return err
}

func (a *app) print(x answer.Answer) error {
	if a.json {
		b, err := answer.JSON(a.say(), x)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(a.Out, "%s\n", b)
		return err
	}
	_, err := io.WriteString(a.Out, text(a.say(), x))
	return err
}

// printJSON prints what is not an answer of the house.
func (a *app) printJSON(v any) error {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(a.Out, "%s\n", b)
	return err
}

// text is an answer for a terminal: its sentences, its tables, then what to do next.
func text(c *words.Catalogue, x answer.Answer) string {
	var b strings.Builder
	if x.Cannot != nil {
		b.WriteString(answer.Sentence(c, *x.Cannot) + "\n")
	}
	sentences(&b, c, x.Lines)
	marked := false
	for _, t := range x.Tables {
		if len(t.Rows) == 0 {
			continue
		}
		b.WriteString("\n" + answer.Title(c, t) + "\n")
		marked = grid(&b, c, t) || marked
	}
	if len(x.Next) > 0 {
		b.WriteString("\n" + c.Say("cli.next") + "\n")
		sentences(&b, c, once(c, x.Next))
	}
	if marked {
		b.WriteString("\n" + c.Say("cli.signs") + "\n")
	}
	if len(x.Rests)+len(x.Sources) > 0 {
		b.WriteString("\n")
		sentences(&b, c, x.Rests)
		sentences(&b, c, x.Sources)
	}
	return b.String()
}

// once leaves out a step that was named before.
func once(c *words.Catalogue, all []answer.Line) (out []answer.Line) {
	seen := map[string]bool{}
	for _, l := range all {
		if s := answer.Sentence(c, l); !seen[s] {
			seen[s] = true
			out = append(out, l)
		}
	}
	return out
}

func sentences(b *strings.Builder, c *words.Catalogue, lines []answer.Line) {
	for _, l := range lines {
		b.WriteString(sign(l.Mark) + plain(answer.Sentence(c, l)) + "\n")
	}
}

// sign is how a mark is seen without colour.
func sign(m answer.Mark) string {
	switch m {
	case answer.Bad:
		return "!! "
	case answer.Care:
		return "! "
	}
	return ""
}

// cell prints one cell. Where a figure or a place is missing it is not known; where
// a name is missing there is none.
func cell(c *words.Catalogue, t answer.Table, r answer.Row, j int) string {
	v, column := r.Cells[j], t.Columns[j].Key
	if answer.Nothing(t, r, j) {
		return "-"
	}
	if raw, ok := v.(json.RawMessage); ok {
		return plain(says(raw))
	}
	if n, ok := v.(int64); ok && slices.Contains([]string{"fact", "corrected_by"}, column) {
		return strconv.FormatInt(n, 10) // a name: it is typed as it stands
	}
	if code, ok := v.(record.Code); ok && code == "" {
		return "-" // nobody said who
	}
	return plain(answer.Text(c, v))
}

// plain is text that came from outside as a terminal may have it: in one line, and
// without signs that steer the terminal or turn the direction of writing.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r):
			return '·'
		}
		return r
	}, s)
}

func isFigure(v any) bool {
	switch v.(type) {
	case int64, quantity.Gram, quantity.Milligram, quantity.Percent, quantity.Figure, quantity.Uncertain:
		return true
	}
	return false
}
