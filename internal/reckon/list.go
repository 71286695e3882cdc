package reckon

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// List prints the subjects with one line each.
func List(w io.Writer) error {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range Subjects() {
		fmt.Fprintf(tw, "%s\t%s\n", s.Name, s.Help)
	}
	return tw.Flush()
}

const usage = `Answers a question about honey or its rules, with no house at all.

  combline reckon --list                                list the subjects
  combline reckon SUBJECT --help                        what a subject takes and answers
  combline reckon water --index 1.4915 --temp-c 25      one answer; with --json for programs
  combline reckon density --csv < drums.csv             a table in, the same table with its answers out
`

// writeHelp prints what a subject takes and answers.
func writeHelp(w io.Writer, s *Subject) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n\nFlags (in a table, columns with _ for -):\n", s.Name, s.Help)
	tw := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, in := range s.Inputs {
		fmt.Fprintf(tw, "  %s\t%s\t%s\n", in.Flag(), in.Need, in.about())
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	b.WriteString("\nAnswers:\n")
	tw = tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, a := range s.Answers {
		fmt.Fprintf(tw, "  %s\t%s\n", a.Name, a.about())
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	if s.About != "" {
		fmt.Fprintf(&b, "\n%s\n", s.About)
	}
	fmt.Fprintf(&b, "\nRange: %s\nDoubt: %s\n\nExample: combline reckon %s %s\n", s.validRange(), s.doubt(), s.Name, s.Example)
	_, err := io.WriteString(w, b.String())
	return err
}

func (n Need) String() string {
	return [...]string{Required: "needed", Optional: "may be left out", Either: "at least one of these"}[n]
}

func (i Input) about() string {
	if len(i.Words) > 0 && !strings.Contains(i.Help, strings.Join(i.Words, ", ")) {
		return i.Help + ": " + strings.Join(i.Words, ", ")
	}
	return i.Help
}

func (a Answer) about() string {
	if a.Kind == Truth {
		return a.Help + ": yes or no"
	}
	if a.Unit != "" && !strings.Contains(a.Help, a.Unit) {
		return a.Help + ", " + a.Unit
	}
	return a.Help
}
