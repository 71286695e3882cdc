package web

import (
	crand "crypto/rand"
	"crypto/subtle"
	"fmt"
	"math/big"
	"strings"
	"time"
)

// A pairing is a code that the office PC shows, for one device.
type pairing struct {
	code  string
	until time.Time
	left  int // wrong tries before it is worth nothing
}

const (
	codeDigits = 8
	codeFor    = 5 * time.Minute
	codeTries  = 5
)

// newCode makes the code that is shown from now on; an earlier one is worth nothing.
// It is not kept: a restart ends it.
func (a *access) newCode() {
	most := big.NewInt(1)
	for range codeDigits {
		most.Mul(most, big.NewInt(10))
	}
	n, _ := crand.Int(crand.Reader, most) // never fails
	a.mu.Lock()
	defer a.mu.Unlock()
	a.open = &pairing{code: fmt.Sprintf("%0*d", codeDigits, n), until: a.wall().Add(codeFor), left: codeTries}
}

// code is the one that is shown now, and how long it holds.
func (a *access) code() (code string, left time.Duration, ok bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.open == nil || !a.wall().Before(a.open.until) {
		return "", 0, false
	}
	return a.open.code, a.open.until.Sub(a.wall()), true
}

// useCode reports whether somebody typed the code that is shown. It is used up by it,
// and by too many wrong ones.
func (a *access) useCode(typed string) bool {
	typed = strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, typed)
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.open == nil || !a.wall().Before(a.open.until) {
		return false
	}
	if subtle.ConstantTimeCompare([]byte(typed), []byte(a.open.code)) == 1 {
		a.open = nil
		return true
	}
	if a.open.left--; a.open.left <= 0 {
		a.open = nil
	}
	return false
}

// endCode takes the code away.
func (a *access) endCode() {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.open = nil
}
