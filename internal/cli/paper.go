package cli

import (
	"context"
	"errors"
	"fmt"
	"os"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/paper"
)

// onPaper are the ways in which an answer leaves the screen.
type onPaper struct {
	PDF  string `name:"pdf" placeholder:"FILE" help:"Write it as A4 sheets."`
	XLSX string `name:"xlsx" placeholder:"FILE" help:"Write its tables as a spreadsheet, one sheet each."`
	CSV  string `name:"csv" placeholder:"DIR" help:"Write each of its tables as a CSV file into a new folder: grams as whole numbers, times as ISO 8601."`
}

// asked reports whether the answer is to leave the screen.
func (p onPaper) asked() bool { return p.PDF != "" || p.XLSX != "" || p.CSV != "" }

// write puts an answer on paper and into files, each of which must be new. Title is a
// key of package words.
func (p onPaper) write(a *app, h *opened, title string, x answer.Answer) error {
	if p.PDF != "" {
		r := paper.Report{Title: a.say().Say(title), Answer: x, Made: h.Now()}
		h.Read(func(v *office.View) { r.House, r.Facts = v.State.House().Name, int64(v.Facts()) })
		pdf, err := paper.Sheets(a.say(), r)
		if err != nil {
			return err
		}
		if err := a.newFile(p.PDF, pdf); err != nil {
			return err
		}
	}
	if p.XLSX != "" {
		book, err := paper.Workbook(a.say(), x)
		if err != nil {
			return err
		}
		if err := a.newFile(p.XLSX, book); err != nil {
			return err
		}
	}
	if p.CSV != "" {
		return a.newFolder(p.CSV, x)
	}
	return nil
}

// onPaper opens the house for reading, asks, and shows the answer or puts it where it was
// asked to.
func (a *app) onPaper(ctx context.Context, p onPaper, title string, ask func(*opened) (answer.Answer, error)) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	x, err := ask(h)
	if err != nil {
		return err
	}
	if !p.asked() || x.Cannot != nil {
		return a.show(x)
	}
	return p.write(a, h, title, x)
}

// newFile writes a whole file that is not there yet; half a file is none.
func (a *app) newFile(name string, content []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		_ = os.Remove(name)
		return err
	}
	return a.wrote(name)
}

func (a *app) wrote(name string) error {
	if a.json {
		return a.printJSON(map[string]string{"written": name})
	}
	_, err := fmt.Fprintln(a.Out, a.say().Say("cli.written", "file", name))
	return err
}

// newFolder writes the tables that have rows, by their keys.
func (a *app) newFolder(dir string, x answer.Answer) error {
	if err := os.Mkdir(dir, 0o755); err != nil {
		return err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	for _, t := range x.Tables {
		if len(t.Rows) == 0 {
			continue
		}
		content, err := paper.Table(a.say(), t)
		if err != nil {
			return err
		}
		if err := root.WriteFile(t.Name()+".csv", content, 0o644); err != nil {
			return err
		}
	}
	return a.wrote(dir)
}
