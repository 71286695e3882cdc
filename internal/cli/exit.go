package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"combline/internal/reckon"

	"github.com/alecthomas/kong"
)

// An exit is an exit code, what it means, and which errors lead to it.
type exit struct {
	code  int
	means string
	is    func(error) bool
}

// exits is the table of exit codes: the first row that fits an error is its code.
func exits() []exit {
	return []exit{
		{0, "done", func(err error) bool { return err == nil }},
		{2, "wrong usage", func(err error) bool { return is[*kong.ParseError](err) || is[*reckon.UsageError](err) }},
		{1, "the question can't be answered, or the step is refused", func(err error) bool { return is[*reckon.NoAnswer](err) }},
		{4, "interrupted", func(err error) bool { return errors.Is(err, context.Canceled) }},
		{3, "reading or writing did not work", func(err error) bool { return err != nil }},
	}
}

// is reports whether err is or wraps an E.
func is[E error](err error) bool {
	var e E
	return errors.As(err, &e)
}

// report tells people what went wrong and returns the exit code.
func report(w io.Writer, err error) int {
	if err != nil {
		fmt.Fprintln(w, "combline:", err)
	}
	for _, e := range exits() {
		if e.is(err) {
			return e.code
		}
	}
	return 3
}

// exitCodes is the table for help pages.
func exitCodes() string {
	var b strings.Builder
	b.WriteString("Exit codes:\n")
	for code := 0; ; code++ {
		row, ok := exitOf(code)
		if !ok {
			return b.String()
		}
		fmt.Fprintf(&b, "  %d  %s\n", row.code, row.means)
	}
}

func exitOf(code int) (exit, bool) {
	for _, e := range exits() {
		if e.code == code {
			return e, true
		}
	}
	return exit{}, false
}
