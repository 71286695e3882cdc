package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"combline/internal/ledger"
	"combline/internal/milp"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
)

// An opened is a house at work.
type opened struct {
	*office.Office
	ledger *ledger.Ledger
	clock  *clock
	dir    string
	solver *milp.Solver
}

// folder finds the house: what --house names, the current folder, or the last one opened.
func (a *app) folder() (string, error) {
	if a.house != "" {
		return a.house, nil
	}
	if hasHouse(".") {
		return ".", nil
	}
	if last := lastOpened(); last != "" {
		return last, nil
	}
	return "", ledger.ErrNoHouse
}

func hasHouse(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, "combline.db"))
	return err == nil
}

// lastFile keeps which house was opened last, for this user of the computer.
func lastFile() (string, error) {
	dir, err := os.UserConfigDir()
	return filepath.Join(dir, "combline", "last-house"), err
}

func lastOpened() string {
	file, err := lastFile()
	if err != nil {
		return ""
	}
	b, err := os.ReadFile(file)
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(b))
}

// remember keeps dir as the last house opened. Where that does not work nothing is
// lost: --house names it.
func remember(dir string) {
	file, err := lastFile()
	if err != nil {
		return
	}
	if dir, err = filepath.Abs(dir); err != nil {
		return
	}
	if os.MkdirAll(filepath.Dir(file), 0o755) == nil {
		_ = os.WriteFile(file, []byte(dir+"\n"), 0o644)
	}
}

// reading opens the house for a question, beside whoever has it open.
func (a *app) reading(ctx context.Context) (*opened, error) {
	dir, err := a.folder()
	if err != nil {
		return nil, err
	}
	l, err := ledger.OpenReadOnly(ctx, dir)
	if err != nil {
		return nil, inFolder(dir, err)
	}
	return a.start(ctx, dir, l)
}

// writing opens the house for this process alone.
func (a *app) writing(ctx context.Context) (*opened, error) {
	dir, err := a.folder()
	if err != nil {
		return nil, err
	}
	return a.take(ctx, dir, ledger.Options{})
}

func (a *app) take(ctx context.Context, dir string, o ledger.Options) (*opened, error) {
	l, err := ledger.Open(ctx, dir, o)
	if err != nil {
		return nil, inFolder(dir, err)
	}
	return a.start(ctx, dir, l)
}

// inFolder says in which folder something went wrong.
func inFolder(dir string, err error) error {
	if abs, e := filepath.Abs(dir); e == nil {
		dir = abs
	}
	return &folderError{dir, err}
}

type folderError struct {
	dir string
	err error
}

func (e *folderError) Error() string { return e.dir + ": " + e.err.Error() }
func (e *folderError) Unwrap() error { return e.err }

// start reads the whole record and speaks the house's language from then on.
func (a *app) start(ctx context.Context, dir string, l *ledger.Ledger) (*opened, error) {
	h := &opened{ledger: l, clock: &clock{}, dir: dir}
	bar := a.slow("cli.progress.reading", int(l.Head().Seq))
	var err error
	h.Office, err = office.Open(ctx, l, h.clock.Now, func(n uint64) { bar.at(int(n)) })
	bar.end()
	if err != nil {
		return nil, errors.Join(inFolder(dir, err), l.Close())
	}
	h.solver = milp.New(milp.CacheFolder())
	h.SetSolver(h.solver.Solve)
	h.Read(func(v *office.View) {
		h.clock.simulate(v.State.SettingText(simulated))
		err = a.speakAs(v.State.House())
	})
	if err != nil {
		return nil, errors.Join(err, h.Close())
	}
	if missing := l.Refusal(); missing != nil && ledger.Key(missing) == "ledger.behind" {
		fmt.Fprintln(a.Err, "combline:", a.tell(inFolder(dir, missing)).Text)
	}
	return h, nil
}

// Close ends the office, then lets go of the ledger.
func (h *opened) Close() error {
	if h.Office != nil {
		h.Office.Close()
	}
	if h.solver != nil {
		return errors.Join(h.solver.Close(), h.ledger.Close())
	}
	return h.ledger.Close()
}

// say is the catalogue in which the command speaks.
func (a *app) say() *words.Catalogue {
	if a.words == nil {
		_ = a.speakAs(record.HouseNamed{})
	}
	return a.words
}

// speakAs takes the language of --lang, else the house's, else English; the units
// and the currency are the house's.
func (a *app) speakAs(h record.HouseNamed) error {
	lang, err := words.ParseLang(h.Language)
	if err != nil {
		lang = words.English
	}
	if a.lang != "" {
		if lang, err = words.ParseLang(a.lang); err != nil {
			lang = words.English
		}
	}
	c, wrong := words.For(lang)
	if wrong != nil {
		return wrong
	}
	a.words = c.In(styleOf(lang, h))
	if err != nil && a.lang != "" {
		return usage("language", "typed", a.lang, "known", fmt.Sprint(words.Languages()))
	}
	return nil
}

// styleOf is how figures are printed on a terminal.
func styleOf(l words.Lang, h record.HouseNamed) words.Style {
	s := words.StyleOf(l)
	s.Plain, s.Currency = true, h.Currency
	if u := strings.ToLower(h.Units); u == "us" || u == "imperial" {
		s.Mass, s.Temp = quantity.Lb, quantity.DegF
	}
	return s
}

// local is the zone of the house at a moment. On the computer's clock it is the
// computer's own; on a simulated one it is what the record used then.
func (h *opened) local(wall time.Time) *time.Location {
	if !h.clock.simulated() {
		return wall.Location()
	}
	zone := h.Now().Location()
	h.Read(func(v *office.View) {
		n := sort.Search(int(v.Facts()), func(i int) bool {
			e, err := v.Fact(uint64(i) + 1)
			return err != nil || e.Written().After(wall)
		})
		if e, err := v.Fact(uint64(n)); err == nil {
			zone = e.When.Time().Location()
		}
	})
	return zone
}

// when reads a time as it was typed; none is now.
func (h *opened) when(text string) (record.When, error) {
	now := h.Now()
	if text == "" {
		return record.At(now), nil
	}
	w, err := record.ParseWhen(text, now)
	if err != nil {
		return w, usage("time", "typed", text)
	}
	return record.ParseWhen(text, now.In(h.local(w.Time())))
}
