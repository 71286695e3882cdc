package cli

import (
	"sync"
	"time"
)

// simulated is the setting that holds a house's own clock: the moment, as RFC 3339,
// at which the house stands whenever it is opened. The demo house has it.
const simulated = "clock.simulated"

// A clock is the house's: the computer's, or a simulated one, which goes on from its
// moment. It is safe for concurrent use.
type clock struct {
	mu     sync.Mutex
	from   time.Time // zero: the computer's clock
	opened time.Time
}

// Now is the house's time.
func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.from.IsZero() {
		return time.Now()
	}
	return c.from.Add(time.Since(c.opened))
}

// simulate sets the clock to what a setting says; to the computer's when it says nothing.
func (c *clock) simulate(text string) {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		t = time.Time{}
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.from, c.opened = t, time.Now()
}

// simulated reports whether the clock is not the computer's.
func (c *clock) simulated() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return !c.from.IsZero()
}
