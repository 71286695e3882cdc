package ledger

import (
	"context"
	"errors"
	"path/filepath"
)

// OpenReadOnly opens the house in dir for reading, beside the process that has
// it open if there is one. Links sees what was appended meanwhile.
func OpenReadOnly(ctx context.Context, dir string) (*Ledger, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if err := ready(dir, false); err != nil {
		return nil, err
	}
	l := &Ledger{dir: dir, readOnly: true, idle: make(chan *conn, maxIdle), done: make(chan struct{})}
	if err := l.startReading(); err != nil {
		return nil, errors.Join(err, l.shut())
	}
	return l, nil
}

func (l *Ledger) startReading() error {
	// The witness first: what it knows of is in the file already.
	witness, found, err := readWitness(filepath.Join(l.dir, witnessFile))
	if err != nil {
		return err
	}
	c, err := l.reader()
	if err != nil {
		return err
	}
	defer l.takeBack(c)
	if err := current(c); err != nil {
		return err
	}
	l.witnessed = found
	if l.head, l.refusal, err = end(c, witness); err == nil && l.refusal == nil {
		l.refusal = ErrReader
	}
	return err
}

// oldestForm is the oldest form that can be read as it is; Open brings an
// older one up to date.
const oldestForm = 2

// current reports whether the file is a ledger of a form that can be read.
func current(c *conn) error {
	form, err := ours(c, len(migrationNames()))
	switch {
	case err != nil:
		return err
	case form == 0:
		return ErrNotLedger
	case form < oldestForm:
		return ErrOlder
	}
	return unaltered(c, form)
}
