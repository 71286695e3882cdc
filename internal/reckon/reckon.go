// Package reckon answers questions about honey and its rules with no house at all:
// one at a time from flags, or a table of any length from CSV. One table of
// subjects feeds flags, CSV, the list and docs/reckon.md, so that none can drift
// from the others.
package reckon

import (
	"context"
	"fmt"
	"io"
)

// A UsageError says what is wrong with the way that a question was asked.
type UsageError struct{ Text string }

func (e *UsageError) Error() string { return e.Text }

// A NoAnswer says why a question can't be answered, in a sentence for people.
type NoAnswer struct {
	Err  error
	Text string
}

func (e *NoAnswer) Error() string { return e.Text }

func (e *NoAnswer) Unwrap() error { return e.Err }

// Run carries out "combline reckon" with the arguments that follow the word. A bad
// question is a [*UsageError], one without an answer a [*NoAnswer]; other errors
// are of reading and writing.
func Run(ctx context.Context, args []string, asJSON bool, in io.Reader, out, errs io.Writer) error {
	o, err := readOptions(args)
	if err != nil {
		return err
	}
	o.json = o.json || asJSON
	switch {
	case o.list:
		return List(out)
	case o.subject == nil && o.help:
		_, err := io.WriteString(out, usage)
		return err
	case o.subject == nil:
		return &UsageError{"name a subject, as in combline reckon water --index 1.4915; combline reckon --list lists them"}
	case o.help:
		return writeHelp(out, o.subject)
	case o.csv && o.json:
		return &UsageError{"--csv and --json exclude each other: a table is answered by a table"}
	case o.csv && o.subject.rows() < 0:
		t, err := Table(ctx, o.subject, in, out)
		if err != nil {
			return err
		}
		return t.report(errs)
	}
	return one(ctx, o, in, out, errs)
}

// one answers the question that the flags ask; what a table of rows has no place for
// goes to errs.
func one(ctx context.Context, o options, in io.Reader, out, errs io.Writer) error {
	q := newQuery(o.subject)
	q.full, q.ctx = true, ctx
	if o.csv {
		o.tableFromInput()
	}
	if err := o.fromInput(in); err != nil {
		return err
	}
	if err := q.read(o.flags); err != nil {
		return err
	}
	no := q.reckon()
	if i := o.subject.rows(); o.csv && no == nil {
		if err := q.tellNotes(errs); err != nil {
			return err
		}
		return q.out[i].rows.writeCSV(out)
	}
	if o.json {
		if err := writeJSON(out, q, no); err != nil {
			return err
		}
	} else if no == nil {
		return writeText(out, q)
	}
	if no != nil {
		return &NoAnswer{no, q.sentence(no)}
	}
	return nil
}

// tellNotes writes the notes where there is somebody to read them.
func (q *Query) tellNotes(errs io.Writer) error {
	if errs == nil {
		return nil
	}
	for _, n := range q.notes {
		if _, err := fmt.Fprintln(errs, "note:", n); err != nil {
			return err
		}
	}
	return nil
}
