package ledger

import (
	"bytes"
	"context"
	"iter"
	"sync"

	"combline/internal/chain"
)

// A Memory is a ledger that lives as long as the process: for tests, and for
// trying things out. The zero Memory is ready. Its methods may be called from
// several goroutines.
type Memory struct {
	mu     sync.RWMutex
	links  []chain.Stored
	blocks map[string]chain.Block
}

// Head is the end of the chain.
func (m *Memory) Head() chain.Head {
	m.mu.RLock()
	defer m.mu.RUnlock()
	return m.end()
}

func (m *Memory) end() chain.Head {
	if len(m.links) == 0 {
		return chain.Head{}
	}
	last := m.links[len(m.links)-1]
	return chain.Head{Seq: last.Seq, Hash: last.Hash}
}

// Append adds bodies after head, all or none, and returns the new head. If
// another writer came first the error wraps [chain.ErrHeadMoved].
func (m *Memory) Append(ctx context.Context, head chain.Head, bodies ...[]byte) (chain.Head, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	now := m.end()
	if err := ctx.Err(); err != nil {
		return now, err
	}
	if head != now {
		return now, moved(head, now)
	}
	var h chain.Hasher
	for _, body := range bodies {
		link := now.Next(bytes.Clone(body))
		s := chain.Stored{Link: link, Hash: h.Sum(link)}
		m.links = append(m.links, s)
		now = chain.Head{Seq: s.Seq, Hash: s.Hash}
	}
	return now, nil
}

// Links yields the links after seq, in order. A body is the caller's own.
func (m *Memory) Links(ctx context.Context, after uint64) iter.Seq2[chain.Stored, error] {
	return func(yield func(chain.Stored, error) bool) {
		m.mu.RLock()
		links := m.links // what is in it never changes
		m.mu.RUnlock()
		for i := after; i < uint64(len(links)); i++ {
			if err := ctx.Err(); err != nil {
				yield(chain.Stored{}, err)
				return
			}
			l := links[i]
			l.Body = bytes.Clone(l.Body)
			if !yield(l, nil) {
				return
			}
		}
	}
}

// PutBlock keeps a block of readings. The same block again changes nothing.
func (m *Memory) PutBlock(ctx context.Context, b chain.Block) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := refuseBlock(ctx, b); err != nil {
		return err
	}
	if kept, ok := m.blocks[b.ID]; ok {
		return sameBlock(kept, b)
	}
	if m.blocks == nil {
		m.blocks = map[string]chain.Block{}
	}
	b.Bytes = bytes.Clone(b.Bytes)
	m.blocks[b.ID] = b
	return nil
}

// Block returns a kept block; the error wraps [chain.ErrNoBlock] if there is none.
func (m *Memory) Block(ctx context.Context, id string) (chain.Block, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	b, ok := m.blocks[id]
	if !ok {
		return b, noBlock(id)
	}
	b.Bytes = bytes.Clone(b.Bytes)
	return b, ctx.Err()
}
