package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"

	"combline/internal/answer"
	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/record"
)

// A problem is an error in the words of whoever reads it.
type problem struct {
	Key  string     `json:"key"`  // stable; "" for an error that has none
	Text string     `json:"text"` // what is wrong, with its figures
	Next string     `json:"next,omitempty"`
	Asks []question `json:"asks,omitempty"`
	Code int        `json:"exit_code"`
}

// A question is something that must be answered with --confirm ID.
type question struct {
	ID   string `json:"id"`
	Key  string `json:"key"`
	Text string `json:"text"`
}

// report tells people what went wrong and returns the exit code.
func (a *app) report(err error) int {
	code := codeOf(err)
	if err == nil || is[*told](err) {
		return code
	}
	p := a.tell(err)
	p.Code = code
	if a.json {
		b, _ := json.MarshalIndent(map[string]problem{"error": p}, "", "  ") // strings and a number
		fmt.Fprintf(a.Err, "%s\n", b)
		return code
	}
	fmt.Fprintln(a.Err, "combline:", p.Text)
	for _, q := range p.Asks {
		fmt.Fprintf(a.Err, "  --confirm %s\n", q.ID)
	}
	if p.Next != "" {
		fmt.Fprintln(a.Err, p.Next)
	}
	return code
}

// tell puts an error in words: what is wrong, and what to do next.
func (a *app) tell(err error) problem {
	c := a.say()
	var no *house.Refusal
	var asks house.Asks
	var cell *record.CellError
	var wrong *usageError
	var file *fs.PathError
	switch key := ledger.Key(err); {
	case errors.As(err, &no):
		return problem{Key: no.Key, Text: answer.Sentence(c, answer.Line{Key: no.Key, Args: no.Args}), Next: a.next(no)}
	case errors.As(err, &asks):
		return a.ask(asks)
	case errors.As(err, &cell):
		return problem{Key: cell.Key, Text: a.cellText(cell)}
	case key != "":
		args := ledgerArgs(err)
		return problem{Key: key, Text: c.Say("cli."+key, args), Next: a.ledgerNext(key)}
	case errors.As(err, &wrong):
		return problem{Key: strings.TrimPrefix(wrong.key, "cli."), Text: c.Say(wrong.key, wrong.args)}
	case errors.As(err, &file):
		return a.fileProblem(file)
	case errors.Is(err, fs.ErrExist):
		return problem{Key: "file.there", Text: c.Say("cli.file.there", ledgerArgs(err))}
	case errors.Is(err, office.ErrKeyReused):
		return problem{Key: "key-reused", Text: c.Say("cli.key-reused")}
	case errors.Is(err, context.Canceled):
		return problem{Key: "interrupted", Text: c.Say("cli.interrupted")}
	}
	return problem{Text: err.Error()}
}

// fileProblem says what is the matter with a file that was named.
func (a *app) fileProblem(e *fs.PathError) problem {
	key := "file"
	for _, known := range []struct {
		is  error
		key string
	}{{fs.ErrNotExist, "file.none"}, {fs.ErrPermission, "file.closed"}, {fs.ErrExist, "file.there"}, {syscall.EISDIR, "file.folder"}} {
		if errors.Is(e, known.is) {
			key = known.key
			break
		}
	}
	return problem{Key: key, Text: a.say().Say("cli."+key, map[string]any{"file": e.Path, "detail": e.Err.Error()})}
}

func (a *app) next(no *house.Refusal) string {
	if no.Next == "" {
		return ""
	}
	return answer.Sentence(a.say(), answer.Line{Key: no.Next, Args: no.Args})
}

func (a *app) ask(asks house.Asks) problem {
	p := problem{Key: "asked-back", Next: a.say().Say("cli.confirm")}
	var texts []string
	for _, q := range asks {
		t := answer.Sentence(a.say(), answer.Line{Key: q.Key, Args: q.Args})
		texts = append(texts, t)
		p.Asks = append(p.Asks, question{short(q), q.Key, t})
	}
	p.Text = strings.Join(texts, "\n")
	return p
}

// cellText says what is wrong with one typed cell, and its column.
func (a *app) cellText(e *record.CellError) string {
	return a.say().Say("cli.in-column", "column", e.Column, "what", a.cellAlone(e))
}

// cellAlone says what is wrong with a cell, without its column.
func (a *app) cellAlone(e *record.CellError) string {
	c := a.say()
	if text, ok := c.Refusal(e.Err); ok {
		return text
	}
	if key := "cli." + e.Key; e.Key != "" && c.Has(key) {
		return c.Say(key, map[string]any{"typed": e.Typed, "want": e.Want})
	}
	return e.Error()
}

// ledgerArgs are the figures of an error of package ledger.
func ledgerArgs(err error) map[string]any {
	args := map[string]any{"dir": "", "file": "", "detail": ledger.Detail(err), "program": "", "pid": 0, "have": 0, "know": 0, "last": 0, "fact": 0, "line": 0}
	var in *folderError
	var locked *ledger.LockedError
	var newer *ledger.NewerError
	var behind *ledger.BehindError
	var broken *chain.BrokenError
	var line *ledger.LineError
	if errors.As(err, &in) {
		args["dir"], args["file"] = in.dir, in.dir
	}
	if errors.As(err, &locked) {
		args["program"], args["pid"] = locked.Program, fmt.Sprint(locked.PID)
	}
	if errors.As(err, &newer) {
		args["have"], args["know"] = newer.Have, newer.Know
	}
	if errors.As(err, &behind) {
		args["last"], args["fact"] = int64(behind.Tail.Seq), int64(behind.Witness.Seq)
	}
	if errors.As(err, &broken) {
		args["fact"], args["detail"] = int64(broken.Seq), broken.What
	}
	if errors.As(err, &line) {
		args["line"], args["detail"] = line.Line, line.What
	}
	return args
}

func (a *app) ledgerNext(key string) string {
	if c := a.say(); c.Has("cli." + key + ".next") {
		return c.Say("cli." + key + ".next")
	}
	return ""
}
