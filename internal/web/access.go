package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	crand "crypto/rand"

	"combline/internal/record"
)

// access is who may come in and who may do what needs a PIN: paired devices, PINs,
// people who gave theirs a short while ago. None of it is a fact of the house; it is
// kept beside the facts, and what is secret only as a digest.
type access struct {
	mu    sync.Mutex
	store Store            // nil: kept as long as the program runs
	wall  func() time.Time // the computer's clock: a house's own may be simulated
	cost  pinCost
	work  chan struct{} // one PIN is worked on at a time: each takes much memory

	devices map[string]pairedDevice // by the digest of the device's token
	pins    map[string]pin          // by person
	unlocks map[string]unlock       // by the digest of the browser's token
	open    *pairing                // the pairing code that is shown, if one is
	tries   map[string]*tries
	asked   map[string]*bucket
}

// A pairedDevice is a browser that gave a code from the office PC.
type pairedDevice struct {
	Device record.Code
	Since  time.Time
}

// An unlock is somebody who gave their PIN on a device a short while ago.
type unlock struct {
	Person, Device record.Code
	Until          time.Time
}

// unlockFor is how long a PIN holds: long enough for some corrections in a row, short
// enough that the next one at the tablet is not taken for the last.
const unlockFor = 10 * time.Minute

// What the store keeps, each under its name, so that one can be taken away: without
// "pins" everybody chooses a new one, without "devices" all pair again.
const (
	keptDevices = "devices"
	keptPINs    = "pins"
	keptUnlocks = "unlocks"
)

func newAccess(store Store) (*access, error) {
	a := &access{store: store, wall: time.Now, cost: pinCostNow, work: make(chan struct{}, 1),
		devices: map[string]pairedDevice{}, pins: map[string]pin{}, unlocks: map[string]unlock{},
		tries: map[string]*tries{}, asked: map[string]*bucket{}}
	if store == nil {
		return a, nil
	}
	return a, errors.Join(load(store, keptDevices, &a.devices), load(store, keptPINs, &a.pins), load(store, keptUnlocks, &a.unlocks))
}

func load(store Store, name string, into any) error {
	b, err := store.Load(name)
	if err == nil && len(b) > 0 {
		err = json.Unmarshal(b, into)
	}
	if err != nil {
		return fmt.Errorf("what the pages keep in %s can't be read: %w; take that file away to begin it anew", name, err)
	}
	return nil
}

// save keeps a value under its name; a is locked.
func (a *access) save(name string, value any) error {
	if a.store == nil {
		return nil
	}
	b, err := json.MarshalIndent(value, "", " ")
	if err != nil {
		return err
	}
	return a.store.Save(name, b)
}

// newToken is a secret that nobody guesses.
func newToken() string {
	var b [32]byte
	crand.Read(b[:])
	return hex.EncodeToString(b[:])
}

// digest is what is kept of a token: a copy of the files opens nothing.
func digest(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// deviceOf is the device to which a token was given.
func (a *access) deviceOf(token string) (record.Code, bool) {
	if token == "" {
		return "", false
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	d, ok := a.devices[digest(token)]
	return d.Device, ok
}

// pair gives a device its token.
func (a *access) pair(device record.Code) (token string, err error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	token = newToken()
	a.devices[digest(token)] = pairedDevice{device, a.wall()}
	if err = a.save(keptDevices, a.devices); err != nil {
		delete(a.devices, digest(token))
	}
	return token, err
}

// forgetDevice makes a device's tokens worthless.
func (a *access) forgetDevice(device record.Code) error {
	a.mu.Lock()
	defer a.mu.Unlock()
	for key, d := range a.devices {
		if d.Device.Fold() == device.Fold() {
			delete(a.devices, key)
		}
	}
	return a.save(keptDevices, a.devices)
}

// unlock lets somebody do for a while what needs a PIN, on one device.
func (a *access) unlock(person, device record.Code) (token string, err error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	now := a.wall()
	for key, u := range a.unlocks { // those that are over, and this one's earlier
		if !now.Before(u.Until) || u.Person == person && u.Device == device {
			delete(a.unlocks, key)
		}
	}
	token = newToken()
	a.unlocks[digest(token)] = unlock{person, device, now.Add(unlockFor)}
	return token, a.save(keptUnlocks, a.unlocks)
}

// lock ends an unlock.
func (a *access) lock(token string) error {
	a.mu.Lock()
	defer a.mu.Unlock()
	if _, ok := a.unlocks[digest(token)]; !ok {
		return nil
	}
	delete(a.unlocks, digest(token))
	return a.save(keptUnlocks, a.unlocks)
}

// unlocked reports whether the token says that this person gave their PIN on this
// device a short while ago.
func (a *access) unlocked(token string, person, device record.Code) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	u, ok := a.unlocks[digest(token)]
	return ok && token != "" && a.wall().Before(u.Until) && sameCode(u.Person, person) && u.Device == device
}

func sameCode(a, b record.Code) bool { return a.Fold() == b.Fold() }

// pinKey is under which a person's PIN is kept.
func pinKey(person record.Code) string { return strings.ToUpper(person.Fold()) }
