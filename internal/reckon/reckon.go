// Package reckon answers questions about honey and its rules with no house at all:
// one at a time from flags, or a table of any length from CSV. One table of
// subjects feeds flags, CSV, the list and docs/reckon.md.
package reckon

import (
	"context"
	"io"
)

// A UsageError says what is wrong with the way that a question was asked.
type UsageError struct{ Text string }

func (e *UsageError) Error() string { return e.Text }

// A NoAnswer says why a question can't be answered.
type NoAnswer struct{ Err error }

func (e *NoAnswer) Error() string { return e.Err.Error() }
func (e *NoAnswer) Unwrap() error { return e.Err }

// Run carries out "combline reckon" with the arguments that follow the word.
func Run(ctx context.Context, args []string, json bool, in io.Reader, out, errs io.Writer) error {
	return &UsageError{"name a subject"}
}
