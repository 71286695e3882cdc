package ledger

import (
	"context"
	"errors"
	"fmt"
	"time"

	"combline/internal/chain"
)

// Append adds bodies after head, all or none, and returns the new head. They
// are on the disk and witnessed when it returns. If another writer came first
// the error wraps [chain.ErrHeadMoved] and nothing is written. After an error
// the ledger is as before, and the next Append is as good as any.
//
// ctx counts until the writing begins, which is short and is not broken off.
func (l *Ledger) Append(ctx context.Context, head chain.Head, bodies ...[]byte) (chain.Head, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if err := l.writable(ctx); err != nil {
		return l.head, err
	}
	if head != l.head {
		return l.head, moved(head, l.head)
	}
	if len(bodies) == 0 {
		return l.head, nil
	}
	next := head
	add := func() (err error) {
		next, err = insert(l.w, head, bodies)
		return err
	}
	var err error
	if len(bodies) == 1 {
		err = add() // one statement is a transaction of its own
	} else {
		err = l.commit(add)
	}
	if err != nil {
		return l.head, l.whyNot(err)
	}
	l.head = next
	// The facts are durable, so this is no failure of theirs; but nothing more
	// is written until the witness knows of them.
	_ = l.witness.note(next)
	return next, nil
}

// writable says why nothing may be written now. The caller holds l.mu.
func (l *Ledger) writable(ctx context.Context) error {
	switch {
	case l.refusal != nil:
		return l.refusal
	case ctx.Err() != nil:
		return ctx.Err()
	}
	return l.catchUp()
}

// catchUp tells the witness what it could not be told when it was written.
func (l *Ledger) catchUp() error {
	if l.witness.head == l.head {
		return nil
	}
	return l.witness.note(l.head)
}

func moved(head, now chain.Head) error {
	return fmt.Errorf("after fact %d, but the ledger ends at fact %d: %w", head.Seq, now.Seq, chain.ErrHeadMoved)
}

// whyNot looks whether the schema refused a fact because the file does not end
// where memory says: a writer that went past the lock is not overlooked.
func (l *Ledger) whyNot(err error) error {
	if code(err) != codeConstraint {
		return err
	}
	now, broken := tail(l.w)
	if broken != nil || now == l.head {
		return errors.Join(broken, err)
	}
	was := l.head
	l.head = now
	return moved(was, now)
}

// commit runs do in one transaction, which is durable when commit returns nil
// and has left no trace otherwise.
func (l *Ledger) commit(do func() error) error {
	if _, err := l.w.exec("BEGIN IMMEDIATE"); err != nil {
		return err
	}
	err := do()
	if err == nil {
		_, err = l.w.exec("COMMIT")
	}
	if err != nil {
		// SQLite has rolled back by itself after some errors, and says so.
		_, _ = l.w.exec("ROLLBACK")
	}
	return err
}

func insert(c *conn, head chain.Head, bodies [][]byte) (chain.Head, error) {
	var h chain.Hasher
	for _, body := range bodies {
		link := head.Next(body)
		sum := h.Sum(link)
		if err := insertLink(c, chain.Stored{Link: link, Hash: sum}); err != nil {
			return head, err
		}
		head = chain.Head{Seq: link.Seq, Hash: sum}
	}
	return head, nil
}

func insertLink(c *conn, l chain.Stored) error {
	body := l.Body
	if body == nil {
		body = []byte{} // nil would be NULL
	}
	n, err := c.exec("INSERT INTO link (seq, prev, hash, body) VALUES (?, ?, ?, ?)", int64(l.Seq), l.Prev[:], l.Hash[:], body)
	if err == nil && n != 1 {
		err = fmt.Errorf("fact %d was not taken: %w", l.Seq, ErrAltered)
	}
	return err
}

// AcceptLoss goes on from the facts that are left: it records which
// acknowledged facts are gone and lets Append work again. It reports false
// where nothing is missing. The caller appends a fact that says so.
func (l *Ledger) AcceptLoss(ctx context.Context) (chain.Loss, bool, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	var b *BehindError
	if !errors.As(l.refusal, &b) || ctx.Err() != nil {
		return chain.Loss{}, false, ctx.Err()
	}
	loss := chain.Loss{After: b.Tail, To: b.Witness}
	if err := l.commit(func() error { return insertLoss(l.w, loss) }); err != nil {
		return loss, false, err
	}
	if err := l.witness.reset(l.head); err != nil {
		return loss, false, err
	}
	l.refusal = nil
	return loss, true, nil
}

// keepWitness syncs the witness every second while it is written to.
func (l *Ledger) keepWitness() {
	t := time.NewTicker(time.Second)
	defer t.Stop()
	for {
		select {
		case <-l.done:
			return
		case <-t.C:
			l.syncWitness()
		}
	}
}

// syncWitness syncs outside the lock: an append need not wait for it.
func (l *Ledger) syncWitness() {
	l.mu.Lock()
	dirty := l.witness.dirty
	l.witness.dirty = false
	l.mu.Unlock()
	if dirty && l.witness.f.Sync() != nil {
		l.mu.Lock()
		l.witness.dirty = true
		l.mu.Unlock()
	}
}
