package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"combline/internal/house"
	"combline/internal/ledger"
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
		{2, "wrong usage", func(err error) bool {
			return is[*kong.ParseError](err) || is[*reckon.UsageError](err) || is[*usageError](err)
		}},
		{5, "asked back, nothing was recorded: answer with --confirm", is[house.Asks]},
		{1, "the question can't be answered, or the step is refused", func(err error) bool {
			return is[*reckon.NoAnswer](err) || is[*house.Refusal](err) || is[*refused](err)
		}},
		{4, "interrupted", func(err error) bool { return errors.Is(err, context.Canceled) }},
		{6, "the disk is full, nothing was recorded", key("ledger.full")},
		{7, "the folder can't be written", key("ledger.read-only")},
		{8, "a newer version wrote this house", key("ledger.newer")},
		{10, "facts that were acknowledged are missing", key("ledger.behind")},
		{9, "the record is damaged or cut short", key("ledger.damaged", "ledger.broken", "ledger.altered",
			"ledger.not-ledger", "ledger.back-up", "ledger.block-altered", "ledger.line")},
		{11, "another process has the house open", key("ledger.locked", "ledger.busy")},
		{12, "a nozzle wanders, or jars break the rules", is[*filled]},
		{3, "reading or writing did not work", func(err error) bool { return err != nil }},
	}
}

// is reports whether err is or wraps an E.
func is[E error](err error) bool {
	var e E
	return errors.As(err, &e)
}

// key reports whether an error is one of these of package ledger.
func key(keys ...string) func(error) bool {
	return func(err error) bool { return err != nil && slices.Contains(keys, ledger.Key(err)) }
}

// usageError says that a command was called with what it can't mean: a key of package
// words and its figures.
type usageError struct {
	key  string
	args map[string]any
}

func (e *usageError) Error() string { return fmt.Sprint(e.key, " ", e.args) }

// usage is a usage error of names and figures in turn.
func usage(key string, args ...any) error {
	e := &usageError{"cli.usage." + key, map[string]any{}}
	for i := 0; i+1 < len(args); i += 2 {
		e.args[args[i].(string)] = args[i+1]
	}
	return e
}

// refused says that a question has no answer, or that rows of a table are not in order.
type refused struct{ why string }

func (e *refused) Error() string { return e.why }

// told is an error that was printed already.
type told struct{ err error }

func (e *told) Error() string { return e.err.Error() }
func (e *told) Unwrap() error { return e.err }

// codeOf is the exit code of an error.
func codeOf(err error) int {
	for _, e := range exits() {
		if e.is(err) {
			return e.code
		}
	}
	return 3
}

// exitCodes is the table for help pages.
func exitCodes() string {
	all := exits()
	slices.SortFunc(all, func(a, b exit) int { return a.code - b.code })
	var b strings.Builder
	b.WriteString("Exit codes:\n")
	for _, e := range all {
		fmt.Fprintf(&b, "  %-2d %s\n", e.code, e.means)
	}
	return b.String()
}
