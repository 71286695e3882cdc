package ledger

import (
	"bufio"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"combline/internal/chain"
)

// Import makes the house in dir, which must not be there or be an empty folder,
// from an export, and verifies every line: the chain is the same to the byte. A
// [*LineError] names a line that can't be taken. On an error no house is left.
func Import(ctx context.Context, r io.Reader, dir string) (Report, error) {
	part := filepath.Clean(dir) + ".part"
	if err := errors.Join(vacant(dir), os.RemoveAll(part)); err != nil {
		return Report{}, err
	}
	report, err := importInto(ctx, r, part)
	if err == nil {
		err = os.Remove(dir)
		if errors.Is(err, fs.ErrNotExist) {
			err = nil
		}
	}
	if err == nil {
		err = os.Rename(part, dir)
	}
	if err != nil {
		return report, errors.Join(onFile(err), os.RemoveAll(part))
	}
	return report, onFile(syncDir(filepath.Dir(filepath.Clean(dir))))
}

// vacant reports whether a new house may take dir's place.
func vacant(dir string) error {
	in, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return onFile(err)
	case exists(filepath.Join(dir, dbFile)):
		return ErrHouse
	case len(in) > 0:
		return fmt.Errorf("folder %s is not empty: %w", dir, fs.ErrExist)
	}
	return nil
}

func importInto(ctx context.Context, r io.Reader, dir string) (Report, error) {
	l, err := Open(ctx, dir, Options{Create: true})
	if err != nil {
		return Report{}, err
	}
	i := importer{l: l, sum: sha256.New()}
	err = i.run(ctx, r)
	return i.got, errors.Join(err, l.Close())
}

// An importer takes lines in the order of an export.
type importer struct {
	l     *Ledger
	got   Report
	stage stage
	links []chain.Stored // read and checked, not yet written
	h     chain.Hasher
	sum   hash.Hash // over the lines so far
}

// A stage is how far an export has been read; it never goes back.
type stage int

const (
	atStart stage = iota
	inLinks
	inBlocks
	inLosses
	atEnd
)

const maxLine = 256 << 20 // bytes; a day's readings of one instrument are far below

func (i *importer) run(ctx context.Context, r io.Reader) error {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 0, 1<<16), maxLine)
	n := 0
	for s.Scan() {
		n++
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := i.take(ctx, s.Bytes()); err != nil {
			return lineError(n, err)
		}
		i.sum.Write(s.Bytes())
		i.sum.Write([]byte{'\n'})
	}
	switch {
	case errors.Is(s.Err(), bufio.ErrTooLong):
		return &LineError{n + 1, fmt.Sprintf("is longer than %d bytes", maxLine)}
	case s.Err() != nil:
		return s.Err()
	case i.stage != atEnd:
		return &LineError{n + 1, "is missing: the export was cut short"}
	}
	return nil
}

// lineError says where an export is wrong. What is wrong with the disk, or a
// fact, which names itself, stays what it is.
func lineError(n int, err error) error {
	if k := Key(err); k != "" {
		return fmt.Errorf("line %d: %w", n, err)
	}
	return &LineError{n, err.Error()}
}

func (i *importer) take(ctx context.Context, b []byte) error {
	line, err := parseLine(b)
	if err != nil {
		return err
	}
	switch line := line.(type) {
	case *titleLine:
		if *line != title {
			return fmt.Errorf("is an export of form %d, this program reads form %d", line.Form, title.Form)
		}
		return i.enter(inLinks, i.stage == atStart)
	case *linkLine:
		return errors.Join(i.enter(inLinks, i.stage == inLinks), i.link(line.stored()))
	case *blockLine:
		return errors.Join(i.enter(inBlocks, i.stage != atStart), i.block(ctx, line.block()))
	case *lossLine:
		return errors.Join(i.enter(inLosses, i.stage != atStart), i.loss(line.loss()))
	case *endLine:
		return errors.Join(i.enter(atEnd, i.stage != atStart && i.stage != atEnd), i.end(*line))
	}
	return errors.New("is no line of an export")
}

// enter moves on to a stage, and writes the facts when they have all come.
func (i *importer) enter(s stage, ok bool) error {
	if !ok || s < i.stage {
		return errors.New("stands in the wrong place")
	}
	i.stage = s
	if s > inLinks {
		return i.flush()
	}
	return nil
}

func (i *importer) link(l chain.Stored) error {
	if err := i.h.Check(i.got.Head, l); err != nil {
		return err
	}
	i.got.Head = chain.Head{Seq: l.Seq, Hash: l.Hash}
	if i.links = append(i.links, l); len(i.links) < 1000 {
		return nil
	}
	return i.flush()
}

func (i *importer) flush() error {
	if len(i.links) == 0 {
		return nil
	}
	bodies := make([][]byte, len(i.links))
	for n, l := range i.links {
		bodies[n] = l.Body
	}
	i.links = i.links[:0]
	head, err := i.l.Append(context.Background(), i.l.Head(), bodies...)
	if err == nil && head != i.got.Head {
		err = fmt.Errorf("fact %d was written otherwise than it was read: %w", head.Seq, ErrDisk)
	}
	return err
}

func (i *importer) block(ctx context.Context, b chain.Block) error {
	i.got.Blocks++
	if err := refuseBlock(ctx, b); err != nil {
		return err
	}
	return i.beside(func() error { return insertBlock(i.l.w, b) })
}

func (i *importer) loss(l chain.Loss) error {
	i.got.Losses = append(i.got.Losses, l)
	return i.beside(func() error { return insertLoss(i.l.w, l) })
}

func (i *importer) beside(do func() error) error {
	i.l.mu.Lock()
	defer i.l.mu.Unlock()
	return i.l.commit(do)
}

func (i *importer) end(e endLine) error {
	if e.Sum != hexHash(i.sum.Sum(nil)) {
		return errors.New("has another sum than the lines before: one of them was changed")
	}
	if e.End != headToLine(i.got.Head) || e.Blocks != i.got.Blocks || e.Losses != len(i.got.Losses) {
		return fmt.Errorf("wants fact %d, %d blocks and %d losses; the lines before have fact %d, %d and %d",
			e.End.Seq, e.Blocks, e.Losses, i.got.Head.Seq, i.got.Blocks, len(i.got.Losses))
	}
	return nil
}
