package web

import (
	crand "crypto/rand"
	"crypto/subtle"
	"strings"
	"time"

	"golang.org/x/crypto/argon2"

	"combline/internal/record"
)

// pinCost is how much work one PIN makes.
type pinCost struct {
	Passes    uint32
	MemoryKiB uint32
	Threads   uint8
}

// pinCostNow is the second choice of RFC 9106, section 4, for where memory is short:
// Argon2id with 3 passes, 64 MiB, 4 lanes, a salt of 128 and a tag of 256 bits.
var pinCostNow = pinCost{Passes: 3, MemoryKiB: 64 << 10, Threads: 4}

// A pin is what is kept of somebody's PIN.
type pin struct {
	Cost   pinCost
	Salt   []byte
	Digest []byte
	Since  time.Time
	Device record.Code // on which it was chosen
}

const (
	leastPIN = 4
	mostPIN  = 12
)

// A PIN is digits alone, for gloves and a number pad.
func goodPIN(s string) bool {
	if len(s) < leastPIN || len(s) > mostPIN || strings.Trim(s, "0123456789") != "" {
		return false
	}
	step := int(s[1]) - int(s[0])
	for i := 2; i < len(s); i++ {
		if int(s[i])-int(s[i-1]) != step {
			return true
		}
	}
	return step < -1 || step > 1 // 0000, 1234 and 4321 are tried first
}

// digestPIN works a PIN out, one at a time.
func (a *access) digestPIN(typed string, salt []byte, c pinCost) []byte {
	a.work <- struct{}{}
	defer func() { <-a.work }()
	return argon2.IDKey([]byte(typed), salt, c.Passes, c.MemoryKiB, c.Threads, 32)
}

// hasPIN reports whether somebody chose a PIN.
func (a *access) hasPIN(person record.Code) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	_, ok := a.pins[pinKey(person)]
	return ok
}

// anyPIN reports whether anybody of these people chose one.
func (a *access) anyPIN(people []record.Code) bool {
	for _, p := range people {
		if a.hasPIN(p) {
			return true
		}
	}
	return false
}

// pinOf is what is kept of somebody's PIN.
func (a *access) pinOf(person record.Code) (pin, bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	p, ok := a.pins[pinKey(person)]
	return p, ok
}

// isPIN compares what was typed with somebody's PIN, in the same time whether it is
// right or not.
func (a *access) isPIN(person record.Code, typed string) bool {
	p, ok := a.pinOf(person)
	if !ok || len(typed) > mostPIN {
		return false
	}
	return subtle.ConstantTimeCompare(a.digestPIN(typed, p.Salt, p.Cost), p.Digest) == 1
}

// setPIN keeps a new PIN. As a first one it does not replace another that came
// meanwhile.
func (a *access) setPIN(person, device record.Code, typed string, first bool) (ok bool, err error) {
	p := pin{Cost: a.cost, Salt: make([]byte, 16), Since: a.wall(), Device: device}
	crand.Read(p.Salt)
	p.Digest = a.digestPIN(typed, p.Salt, p.Cost)
	a.mu.Lock()
	defer a.mu.Unlock()
	was, had := a.pins[pinKey(person)]
	if had && first {
		return false, nil
	}
	a.pins[pinKey(person)] = p
	if err = a.save(keptPINs, a.pins); err != nil {
		delete(a.pins, pinKey(person))
		if had {
			a.pins[pinKey(person)] = was
		}
	}
	return err == nil, err
}

// dropPIN lets somebody who forgot their PIN choose a new one.
func (a *access) dropPIN(person record.Code) error {
	a.mu.Lock()
	defer a.mu.Unlock()
	delete(a.pins, pinKey(person))
	for key, u := range a.unlocks {
		if sameCode(u.Person, person) {
			delete(a.unlocks, key)
		}
	}
	if err := a.save(keptPINs, a.pins); err != nil {
		return err
	}
	return a.save(keptUnlocks, a.unlocks)
}
