package cli

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"

	"combline/internal/house"
	"combline/internal/office"
)

// short is a question's name to answer it by: its key and a few digits that stand for
// all that it asks about. When that changes, so does the name.
func short(q house.Ask) string {
	sum := sha256.Sum256([]byte(q.ID))
	return fmt.Sprintf("%s-%x", q.Key, sum[:4])
}

// answered are the questions that --confirm answers with yes.
func answered(asks house.Asks, confirm []string) (ids []string) {
	for _, q := range asks {
		if slices.Contains(confirm, short(q)) {
			ids = append(ids, q.ID)
		}
	}
	return ids
}

// submit records a draft in an office, with the questions that --confirm answers. It
// goes round again only when one more is answered.
func submit(ctx context.Context, o *office.Office, d house.Draft, confirm []string) (office.Receipt, error) {
	for {
		r, err := o.Submit(ctx, d)
		var asks house.Asks
		if !errors.As(err, &asks) {
			return r, err
		}
		yes := answered(asks, confirm)
		if len(yes) == 0 {
			return r, err
		}
		d.Confirmed = append(d.Confirmed, yes...)
	}
}
