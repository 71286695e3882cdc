package cli

import (
	"context"
	"errors"

	"combline/internal/ledger"
)

// serving is how pages are served.
type serving struct {
	Listen    string `default:"127.0.0.1:8377" placeholder:"ADDRESS" help:"Where to serve the pages; the next free port if this one is taken. Another address than this computer's own lets others in the network see them."`
	NoBrowser bool   `help:"Do not open the browser."`
}

func (a *app) open(ctx context.Context, dir string, o ledger.Options, s serving) error {
	return errors.New("pages are not there yet: use --no-pages")
}
