package cli

import (
	"context"

	"combline/internal/ledger"
	"combline/internal/office"
)

// rehearse submits groups to a copy of the house in memory. Nobody else can write
// while this process has the house, so that what goes well here goes well in the
// house: rows of several times and people are recorded all or none, unless the disk
// gives up in between. Then bringing the same table in again records the rest.
func (a *app) rehearse(ctx context.Context, h *opened, groups []*group, confirm []string) error {
	copied := new(ledger.Memory)
	var bodies [][]byte
	for l, err := range h.ledger.Links(ctx, 0) {
		if err != nil {
			return inFolder(h.dir, err)
		}
		bodies = append(bodies, l.Body)
	}
	if _, err := copied.Append(ctx, copied.Head(), bodies...); err != nil {
		return err
	}
	o, err := office.Open(ctx, copied, h.Now, nil)
	if err != nil {
		return err
	}
	defer o.Close()
	for _, g := range groups {
		if _, err := submit(ctx, o, g.draft, confirm); err != nil {
			return a.atLine(g, err)
		}
	}
	return nil
}
