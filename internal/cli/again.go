package cli

import (
	"context"
	"errors"
	"net/http"
	"path/filepath"
	"time"

	"combline/internal/answer"
	"combline/internal/ledger"
)

// A second double click means "show me the pages", not "open the house twice".

// addressFile keeps where the pages of a house are served, or were last.
const addressFile = "address"

// keepAddress keeps where a house's pages are. Where that does not work, a second
// start says that the house is open.
func keepAddress(dir, address string) { _ = pagesFolder(dir).Save(addressFile, []byte(address)) }

// showAgain shows the pages of a house that this computer serves already, and reports
// whether it could.
func (a *app) showAgain(ctx context.Context, dir string, err error, s serving) bool {
	var locked *ledger.LockedError
	if !errors.As(err, &locked) {
		return false
	}
	abs, e := filepath.Abs(dir)
	if e != nil {
		return false
	}
	address, e := pagesFolder(abs).Load(addressFile)
	if e != nil || !answers(ctx, string(address)) {
		return false
	}
	x := answer.Answer{Question: "open"}
	x.Say("cli.serving-already", answer.Args{"address": string(address), "dir": abs})
	if a.print(x) == nil && !s.NoBrowser {
		browse(string(address))
	}
	return true
}

// answers reports whether pages are served at an address of this computer.
func answers(ctx context.Context, address string) bool {
	const patience = 2 * time.Second
	ctx, stop := context.WithTimeout(ctx, patience)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, address+"asset/mark.svg", nil)
	if err != nil {
		return false
	}
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		return false
	}
	defer resp.Body.Close()
	return resp.StatusCode == http.StatusOK
}
