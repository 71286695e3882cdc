package ledger

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"

	"combline/internal/chain"
)

// Export writes the ledger as JSON Lines. readable gives a fact's readable form
// beside its bytes; it may be nil.
func (l *Ledger) Export(ctx context.Context, w io.Writer, readable func(body []byte) (json.RawMessage, error)) (Report, error) {
	c, err := l.reader()
	if err != nil {
		return Report{}, err
	}
	defer l.takeBack(c)
	if _, err := c.exec("BEGIN DEFERRED"); err != nil {
		return Report{}, err
	}
	defer func() { _, _ = c.exec("ROLLBACK") }() // nothing was written
	e := exporter{w: bufio.NewWriterSize(w, 1<<16), sum: sha256.New(), readable: readable}
	e.print(title)
	r, err := e.run(ctx, c)
	return r, errors.Join(err, e.err, e.w.Flush())
}

type exporter struct {
	w        *bufio.Writer
	sum      hash.Hash // over the lines so far
	readable func([]byte) (json.RawMessage, error)
	err      error
}

// print writes a line unless an error came before.
func (e *exporter) print(line any) bool {
	if e.err != nil {
		return false
	}
	b, err := printLine(line)
	if err == nil {
		b = append(b, '\n')
		e.sum.Write(b)
		_, err = e.w.Write(b)
	}
	e.err = err
	return err == nil
}

func (e *exporter) run(ctx context.Context, c *conn) (r Report, err error) {
	if r.Head, _, err = walk(ctx, c, 0, e.link); err != nil || e.err != nil {
		return r, err
	}
	err = eachBlock(ctx, c, func(b chain.Block) error {
		r.Blocks++
		e.print(blockToLine(b))
		return e.err
	})
	if err == nil {
		r.Losses, err = losses(c)
	}
	if err != nil {
		return r, err
	}
	for _, l := range r.Losses {
		e.print(lossToLine(l))
	}
	e.print(endLine{headToLine(r.Head), r.Blocks, len(r.Losses), hexHash(e.sum.Sum(nil))})
	return r, nil
}

func (e *exporter) link(l chain.Stored) bool {
	line := linkToLine(l)
	if e.readable != nil {
		if line.Readable, e.err = e.readable(l.Body); e.err != nil {
			e.err = fmt.Errorf("fact %d: %w", l.Seq, e.err)
			return false
		}
	}
	return e.print(line)
}
