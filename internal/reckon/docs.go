package reckon

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
)

const docsHead = `# Questions that need no house: combline reckon

<!-- Written by a test from the table of subjects in internal/reckon. Change that, then:
     go test ./internal/reckon -run Docs -update -->

    combline reckon water --index 1.4915 --temp-c 25
    combline reckon --list

Each subject below takes the flags in its first table and answers with the columns in its second. ` + "`--json`" + ` gives the
same names as keys, with doubt, range and source. Names and sentences are English whatever ` + "`--lang`" + ` says. A figure may carry
a unit, as in ` + "`--temp-c \"77 °F\"`" + `: it is converted; a unit of another kind is refused, and so is a flag that the subject does
not know. A decimal comma is taken where it can mean nothing else. Where an input takes any text, ` + "`-`" + ` stands for standard input, as in ` + "`--weights - < jars.txt`" + `.

**Tables.** With ` + "`--csv`" + ` a table comes on standard input, its headers the names of the inputs, and goes to standard output with
the answer's columns and a ` + "`note`" + ` behind its own:

    combline reckon density --csv < drums.csv > drums-density.csv

Columns that are no input, such as a drum's number, are carried along; what was read and what was only carried is told at
the end on standard error. A column that is an input already is not added again. An empty cell is not known: it is never
taken as 0, and a row that needs it comes out with empty answers and a note that says why, as does every row that can't be
answered. Where an input may be left out, the note tells what was taken for an empty cell. Figures are written to full double precision, truth as yes or no. A table parted by semicolons has decimal
commas, and is answered with decimal commas; in one parted by commas a decimal comma must stand in quotes. Tabs part a
table too. "Temp C" and "temp-c" name the column temp_c. Quoted cells, Windows line ends and a byte order mark stay as they
are. A row is up to 64 KiB long, and a quote left open ends the table with the line's number, so that no row is swallowed.
Memory does not grow with the rows.

Exit codes: 0 answered (for a table: all rows written, whether or not each has an answer); 1 the question can't be answered;
2 wrong usage, such as an unknown flag, a unit that does not fit or a table without a column that every row needs; 3 reading
or writing did not work; 4 interrupted.

"9 in 10" is the band that holds nine cases in ten. "From memory" marks what was recalled from a publication and not read again
in it: check it there before it decides anything legal or costly. What the models rest on stands in [models.md](models.md).

`

// Docs writes docs/reckon.md from the subjects and their own answers.
func Docs(w io.Writer) error {
	var b bytes.Buffer
	b.WriteString(docsHead)
	b.WriteString("| subject | answers the question |\n| --- | --- |\n")
	all := Subjects()
	for i := range all {
		fmt.Fprintf(&b, "| [%s](#%s) | %s |\n", all[i].Name, all[i].Name, all[i].Help)
	}
	for i := range all {
		if err := all[i].section(&b); err != nil {
			return err
		}
	}
	_, err := w.Write(b.Bytes())
	return err
}

func (s *Subject) section(b *bytes.Buffer) error {
	fmt.Fprintf(b, "\n## %s\n\n%s.\n\n| flag | column | | what it is |\n| --- | --- | --- | --- |\n", s.Name, upperFirst(s.Help))
	for _, in := range s.Inputs {
		fmt.Fprintf(b, "| `%s` | %s | %s | %s |\n", in.Flag(), in.Name, in.Need, in.about())
	}
	b.WriteString("\n| answer | what it is |\n| --- | --- |\n")
	for _, a := range s.Answers {
		fmt.Fprintf(b, "| %s | %s |\n", a.Name, a.about())
	}
	fmt.Fprintf(b, "\n    combline reckon %s %s\n", s.Name, strings.ReplaceAll(s.Example, "\n", "\n    "))
	var out bytes.Buffer
	if err := Run(context.Background(), append([]string{s.Name}, parted(s.Example)...), false, nil, &out, nil); err != nil {
		return fmt.Errorf("example of %s: %w", s.Name, err)
	}
	b.WriteString("\n```\n" + out.String() + "```\n")
	return nil
}

// parted parts a line at blanks, but not inside quotes, as a shell does.
func parted(line string) []string {
	var args []string
	var arg strings.Builder
	quote := rune(0)
	for _, r := range line + " " {
		switch {
		case r == quote:
			quote = 0
		case quote == 0 && (r == '"' || r == '\''):
			quote = r
		case r != ' ' || quote != 0:
			arg.WriteRune(r)
		case arg.Len() > 0:
			args = append(args, arg.String())
			arg.Reset()
		}
	}
	return args
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
