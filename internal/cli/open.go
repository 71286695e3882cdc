package cli

import (
	"context"
	"crypto/sha256"
	"errors"
	"os"
	"path/filepath"

	"combline/internal/house"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/record"
)

type openCommand struct {
	Dir  string `arg:"" optional:"" help:"The house's folder; a house is set up where there is none. Without it: as --house."`
	Name string `help:"What a house that is set up is called; the folder's name if nothing is said."`
	serving
}

func (c *openCommand) Run(ctx context.Context, a *app) error {
	dir, create, err := c.folder(a)
	if err != nil {
		return err
	}
	h, err := a.take(ctx, dir, ledger.Options{Create: create})
	if a.showAgain(ctx, dir, err, c.serving) {
		return nil
	}
	if err != nil {
		return err
	}
	defer h.Close()
	if err := a.setUp(ctx, h, c.Name); err != nil {
		return inFolder(dir, err)
	}
	remember(dir)
	return a.serve(ctx, h, c.serving)
}

// folder is the house to open, and whether it may be set up.
func (c *openCommand) folder(a *app) (dir string, create bool, err error) {
	if c.Dir != "" {
		return c.Dir, true, nil
	}
	dir, err = a.folder()
	if errors.Is(err, ledger.ErrNoHouse) && doubleClicked() {
		dir, err = firstHouse()
		create = true
	}
	return dir, create, err
}

// firstHouse is where a house is set up for somebody who only started the program
// with a double click: in the home folder.
func firstHouse() (string, error) {
	home, err := os.UserHomeDir()
	return filepath.Join(home, "honey house"), err
}

// setUp names a house that has no fact yet. The pages ask for the rest.
func (a *app) setUp(ctx context.Context, h *opened, name string) error {
	new := false
	h.Read(func(v *office.View) { new = v.Facts() == 0 })
	if !new {
		return nil
	}
	if name == "" {
		abs, err := filepath.Abs(h.dir)
		if err != nil {
			return err
		}
		name = filepath.Base(abs)
	}
	sum := sha256.Sum256([]byte("set up"))
	named := record.HouseNamed{Name: name, Language: string(a.say().Lang()), Units: "metric"}
	_, err := h.Submit(ctx, house.Draft{Key: record.Key(sum[:16]), When: record.At(h.Now()), Facts: []record.Fact{&named}})
	if err != nil {
		return err
	}
	return a.speakAs(named)
}
