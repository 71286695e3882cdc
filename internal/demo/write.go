package demo

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// A Clock is the demo house's clock: it stands where it was set. It is safe for
// concurrent use. The zero Clock stands at the season's end.
type Clock struct {
	mu sync.Mutex
	at time.Time
}

// end is when the season's record is looked at.
var end = at(time.November, 30, 18, 0)

// Now is the time on the clock.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.at.IsZero() {
		return end
	}
	return c.at
}

func (c *Clock) set(t time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = t
}

// Write records the whole season in an office, step by step, as its people did: each
// step is checked, asked back where it looks like a slip, and durable before the
// next. The office must have been opened with the clock's Now; it is left at the
// evening of 30 November. Written again into the same house, it changes nothing.
func Write(ctx context.Context, o *office.Office, clock *Clock) error {
	for i, s := range Season() {
		clock.set(s.Written)
		if err := s.submit(ctx, o, keyOf(i)); err != nil {
			return fmt.Errorf("step %d, %s of %s: %w", i+1, s.Facts[0].Kind(), s.When.Time().Format("2006-01-02 15:04"), err)
		}
	}
	clock.set(end)
	return nil
}

// keyOf is the idempotency key of a step.
func keyOf(step int) (k record.Key) {
	sum := sha256.Sum256(binary.BigEndian.AppendUint64([]byte("demo season step "), uint64(step)))
	copy(k[:], sum[:])
	return k
}

// submit records a step. A question that the person is known to have answered with
// yes is answered; any other is an error.
func (s Step) submit(ctx context.Context, o *office.Office, key record.Key) error {
	d := house.Draft{Key: key, Person: s.Person, Device: s.Device, When: s.When, Facts: s.Facts}
	for {
		_, err := o.Submit(ctx, d)
		var asks house.Asks
		if !errors.As(err, &asks) {
			return err
		}
		for _, ask := range asks {
			if !slices.Contains(s.Confirmed, ask.Key) || slices.Contains(d.Confirmed, ask.ID) {
				return err
			}
			d.Confirmed = append(d.Confirmed, ask.ID)
		}
	}
}
