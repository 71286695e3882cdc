package cli

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"combline/internal/answer"
	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/ledger"
	"combline/internal/record"
)

type ledgerCommands struct {
	Verify     verifyCommand     `cmd:"" help:"Check every fact of the record, or a back-up."`
	BackUp     backUpCommand     `cmd:"" help:"Copy the record to one file, while it is in use, and check the copy."`
	Restore    restoreCommand    `cmd:"" help:"Make a house from a back-up."`
	Export     exportCommand     `cmd:"" help:"Write every fact as a line of JSON, its bytes beside what they say."`
	Import     importCommand     `cmd:"" help:"Make a house from an export, the same to the byte."`
	AcceptLoss acceptLossCommand `cmd:"" help:"Go on without facts that are missing at the end of the record."`
}

type verifyCommand struct {
	File string `arg:"" optional:"" help:"A back-up; without it, the house's record."`
}

func (c *verifyCommand) Run(ctx context.Context, a *app) error {
	bar := a.working("cli.progress.verify", 1)
	defer bar.end()
	if c.File != "" {
		r, err := ledger.VerifyBackup(ctx, c.File, bar.of)
		bar.end()
		return a.reported("verify", c.File, r, err)
	}
	dir, err := a.folder()
	if err != nil {
		return err
	}
	l, err := ledger.OpenReadOnly(ctx, dir)
	if err != nil {
		return inFolder(dir, err)
	}
	defer l.Close()
	if err := l.Refusal(); is[*ledger.BehindError](err) {
		return inFolder(dir, err)
	}
	r, err := l.Verify(ctx, bar.of)
	bar.end()
	return a.reported("verify", dir, r, err)
}

// reported shows what a verified ledger holds.
func (a *app) reported(what, where string, r ledger.Report, err error) error {
	if err != nil {
		return inFolder(where, err)
	}
	if abs, e := filepath.Abs(where); e == nil {
		where = abs
	}
	x := answer.Answer{Question: "ledger " + what}
	x.Say("cli.ledger-"+what, answer.Args{"facts": int64(r.Head.Seq), "blocks": int64(r.Blocks), "where": where, "end": fmt.Sprintf("%x", r.Head.Hash[:6])})
	for _, loss := range r.Losses {
		x.Warn("cli.ledger-loss", lossArgs(loss))
	}
	return a.print(x)
}

func lossArgs(l chain.Loss) answer.Args {
	return answer.Args{"first": int64(l.From()), "last": int64(l.To.Seq)}
}

type backUpCommand struct {
	File string `arg:"" help:"The file to make; it may not be there yet."`
}

func (c *backUpCommand) Run(ctx context.Context, a *app) error {
	dir, err := a.folder()
	if err != nil {
		return err
	}
	l, err := ledger.OpenReadOnly(ctx, dir)
	if err != nil {
		return inFolder(dir, err)
	}
	defer l.Close()
	bar := a.working("cli.progress.back-up", 1)
	r, err := l.Backup(ctx, c.File, bar.of)
	bar.end()
	return a.reported("back-up", c.File, r, err)
}

type restoreCommand struct {
	File      string `arg:"" help:"The back-up."`
	Dir       string `arg:"" help:"The folder to make the house in."`
	Overwrite bool   `help:"Put a house that is in the folder aside, under another name."`
}

func (c *restoreCommand) Run(ctx context.Context, a *app) error {
	bar := a.working("cli.progress.restore", 1)
	r, err := ledger.Restore(ctx, c.File, c.Dir, ledger.RestoreOptions{Overwrite: c.Overwrite, Progress: bar.of})
	bar.end()
	if err != nil {
		return inFolder(c.Dir, err)
	}
	x := answer.Answer{Question: "ledger restore"}
	x.Say("cli.ledger-restore", answer.Args{"facts": int64(r.Head.Seq), "where": c.Dir})
	for _, name := range r.Aside {
		x.Say("cli.ledger-aside", answer.Args{"file": name})
	}
	if r.Lost {
		x.Warn("cli.ledger-loss", lossArgs(r.Loss))
		err = a.recordLoss(ctx, c.Dir, r.Loss)
	}
	return errors.Join(err, a.print(x))
}

// recordLoss writes down in the house itself which facts are lost.
func (a *app) recordLoss(ctx context.Context, dir string, loss chain.Loss) error {
	h, err := a.take(ctx, dir, ledger.Options{})
	if err != nil {
		return err
	}
	defer h.Close()
	return a.writeLoss(ctx, h, loss)
}

func (a *app) writeLoss(ctx context.Context, h *opened, loss chain.Loss) error {
	d := house.Draft{Key: record.Key(loss.To.Hash[:16]), When: record.At(h.Now()),
		Facts: []record.Fact{&record.LedgerRestored{First: int64(loss.From()), Last: int64(loss.To.Seq)}}}
	_, err := h.Submit(ctx, d)
	return err
}

type acceptLossCommand struct{}

func (*acceptLossCommand) Run(ctx context.Context, a *app) error {
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	loss, missing, err := h.ledger.AcceptLoss(ctx)
	if err != nil {
		return inFolder(h.dir, err)
	}
	x := answer.Answer{Question: "ledger accept-loss"}
	if !missing {
		x.Say("cli.ledger-no-loss", nil)
		return a.print(x)
	}
	x.Warn("cli.ledger-loss", lossArgs(loss))
	return errors.Join(a.writeLoss(ctx, h, loss), a.print(x))
}

type exportCommand struct {
	File string `arg:"" optional:"" help:"The file to make; it may not be there yet. Without it, or as -: standard output."`
}

func (c *exportCommand) Run(ctx context.Context, a *app) (err error) {
	dir, err := a.folder()
	if err != nil {
		return err
	}
	l, err := ledger.OpenReadOnly(ctx, dir)
	if err != nil {
		return inFolder(dir, err)
	}
	defer l.Close()
	if c.File == "" || c.File == "-" {
		w := bufio.NewWriter(a.Out)
		_, err := l.Export(ctx, w, readable)
		return errors.Join(err, w.Flush())
	}
	f, err := os.OpenFile(c.File, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	r, err := l.Export(ctx, f, readable)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		_ = os.Remove(c.File) // half an export is none
	}
	return a.reported("export", c.File, r, err)
}

// readable is what a fact says, beside its bytes.
func readable(body []byte) (json.RawMessage, error) {
	e, err := record.Decode(string(body))
	if err != nil {
		return nil, err
	}
	return e.JSON(), nil
}

type importCommand struct {
	File string `arg:"" help:"An export; - is standard input."`
	Dir  string `arg:"" help:"The folder to make the house in; new, or empty."`
}

func (c *importCommand) Run(ctx context.Context, a *app) error {
	in := a.In
	if c.File != "-" {
		f, err := os.Open(filepath.Clean(c.File))
		if err != nil {
			return err
		}
		defer f.Close()
		in = f
	}
	r, err := ledger.Import(ctx, in, c.Dir)
	return a.reported("import", c.Dir, r, err)
}
