package cli

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"combline/internal/chain"
	"combline/internal/ledger"
	"combline/internal/words"
)

// Whatever can be wrong with a ledger is told in every language, with its figures.
func TestLedgerErrorsAreTold(t *testing.T) {
	for _, err := range []error{
		ledger.ErrFull, ledger.ErrReadOnly, ledger.ErrDamaged, ledger.ErrNotLedger, ledger.ErrNoHouse, ledger.ErrHouse,
		ledger.ErrAltered, ledger.ErrDisk, ledger.ErrBusy, ledger.ErrNoLog, ledger.ErrOlder, ledger.ErrReader,
		ledger.ErrClosed, ledger.ErrBackUp, ledger.ErrOther, chain.ErrHeadMoved, chain.ErrNoBlock, chain.ErrBlockTaken,
		chain.ErrBlockAltered, &ledger.NewerError{Have: 9, Know: 3}, &ledger.LockedError{Program: "combline", PID: 4321},
		&ledger.BehindError{Tail: chain.Head{Seq: 41}, Witness: chain.Head{Seq: 42}}, &chain.BrokenError{Seq: 17, What: "hash differs"},
		&ledger.LineError{Line: 5, What: "no body"},
	} {
		for _, lang := range words.Languages() {
			a := &app{lang: string(lang)}
			p := a.tell(inFolder("/houses/one", err))
			if p.Key == "" || p.Text == "" || strings.Contains(p.Text+p.Next, words.Marker) {
				t.Errorf("%s, %v: %+v", lang, err, p)
			}
			if code := codeOf(fmt.Errorf("wrapped: %w", errors.Join(err, nil))); code < 3 || code > 11 {
				t.Errorf("%v: exit code %d", err, code)
			}
		}
	}
}
