package web

import (
	"fmt"
	"time"
)

// tries are the wrong tries in a row at one thing.
type tries struct {
	wrong int
	until time.Time // none is looked at before
	last  time.Time
}

const (
	firstDelay = 30 * time.Second
	mostDelay  = time.Hour
	forgetTry  = 24 * time.Hour // a wrong try counts no longer
	mostTried  = 10_000         // keys kept: more is somebody who floods
)

// A limit lets so many wrong tries pass, then each further one waits twice as long.
type limit struct {
	key  string
	free int
}

// try counts one try at all the limits, or says how long to wait. It counts as wrong
// until [access.right] says otherwise, so that many tries at once gain nothing.
func (a *access) try(limits ...limit) (wait time.Duration) {
	a.mu.Lock()
	defer a.mu.Unlock()
	now := a.wall()
	if len(a.tries) > mostTried {
		for key, t := range a.tries {
			if now.Sub(t.last) > forgetTry || t.until.Before(now) && len(a.tries) > 2*mostTried {
				delete(a.tries, key)
			}
		}
	}
	for _, l := range limits {
		if t := a.tries[l.key]; t != nil && now.Before(t.until) {
			wait = max(wait, t.until.Sub(now))
		}
	}
	if wait > 0 {
		return wait
	}
	for _, l := range limits {
		t := a.tries[l.key]
		if t == nil || now.Sub(t.last) > forgetTry {
			t = &tries{}
			a.tries[l.key] = t
		}
		t.wrong++
		t.last = now
		if over := t.wrong - l.free; over >= 0 {
			t.until = now.Add(min(firstDelay<<min(over, 10), mostDelay))
		}
	}
	return 0
}

// right takes back what try counted, and what was counted before it.
func (a *access) right(limits ...limit) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, l := range limits {
		delete(a.tries, l.key)
	}
}

// A bucket holds how many requests an address may still make at once.
type bucket struct {
	left float64
	at   time.Time
}

const (
	perSecond = 40  // requests of one address, far above what taps make
	atOnce    = 240 // a page with all that it needs, some times over
	mostAsked = 4096
)

// mayAsk takes one request of an address out of its bucket.
func (a *access) mayAsk(address string) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	now := a.wall()
	b := a.asked[address]
	if b == nil {
		if len(a.asked) >= mostAsked {
			clear(a.asked) // full buckets for all is better than memory without end
		}
		b = &bucket{left: atOnce, at: now}
		a.asked[address] = b
	}
	b.left = min(atOnce, b.left+perSecond*max(0, now.Sub(b.at).Seconds()))
	b.at = now
	if b.left < 1 {
		return false
	}
	b.left--
	return true
}

// minutes words a wait.
func (v *visit) minutes(wait time.Duration) string {
	if wait <= 90*time.Second {
		return v.say("page.wait.seconds", "n", int64(wait.Round(time.Second)/time.Second)+1)
	}
	return v.say("page.wait.minutes", "n", int64((wait+time.Minute-1)/time.Minute))
}

func deviceKey(of string, device any) string { return fmt.Sprintf("%s/%v", of, device) }
