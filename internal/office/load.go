package office

import (
	"context"

	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/record"
)

// chunk is how many facts go from one stage of loading to the next at once.
const chunk = 512

type batchOf[T any] struct {
	items []T
	err   error
}

// load reads the whole record and folds it: one goroutine reads and verifies,
// one decodes, this one folds. progress, if any, is told how many facts are folded.
func load(ctx context.Context, book Book, progress func(folded uint64)) (*View, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	v := &View{State: house.New(), line: &house.Timeline{}, log: &journal{}, keys: map[record.Key]uint64{}}
	again := false // something is out of order: fold from the start when all is read
	for b := range decoded(ctx, links(ctx, book)) {
		if b.err != nil {
			return nil, b.err
		}
		for i := range b.items {
			x := &b.items[i]
			v.log.bodies = append(v.log.bodies, x.body)
			v.log.head = x.head
			if x.entry.Part == 0 {
				v.keys[x.entry.Batch] = x.entry.Seq
			}
			if v.line.Add(&x.entry) == house.Inside {
				again = true
			}
			if !again {
				v.State.Fold(&x.entry)
			}
		}
		if progress != nil {
			progress(uint64(len(v.log.bodies)))
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if again {
		var err error
		if v.State, err = refold(v.line, v.log.read); err != nil {
			return nil, err
		}
	}
	return v, nil
}

// links reads the ledger in its own goroutine.
func links(ctx context.Context, book Book) <-chan batchOf[chain.Stored] {
	out := make(chan batchOf[chain.Stored], 4)
	go func() {
		defer close(out)
		send := func(b batchOf[chain.Stored]) bool {
			select {
			case out <- b:
				return true
			case <-ctx.Done():
				return false
			}
		}
		var b batchOf[chain.Stored]
		for l, err := range book.Links(ctx, 0) {
			if err != nil {
				b.err = err
				break
			}
			if b.items = append(b.items, l); len(b.items) == chunk {
				if !send(b) {
					return
				}
				b = batchOf[chain.Stored]{items: make([]chain.Stored, 0, chunk)}
			}
		}
		send(b)
	}()
	return out
}

type loaded struct {
	entry record.Entry
	body  string
	head  chain.Head
}

// decoded decodes links in its own goroutine.
func decoded(ctx context.Context, in <-chan batchOf[chain.Stored]) <-chan batchOf[loaded] {
	out := make(chan batchOf[loaded], 4)
	go func() {
		defer close(out)
		for b := range in {
			next := batchOf[loaded]{err: b.err, items: make([]loaded, 0, len(b.items))}
			for _, l := range b.items {
				body := string(l.Body)
				e, err := record.Decode(body)
				if err != nil {
					next.err = &chain.BrokenError{Seq: l.Seq, What: "can't be read: " + err.Error()}
					break
				}
				e.Seq = l.Seq
				next.items = append(next.items, loaded{e, body, chain.Head{Seq: l.Seq, Hash: l.Hash}})
			}
			select {
			case out <- next:
			case <-ctx.Done():
				return
			}
			if next.err != nil {
				return
			}
		}
	}()
	return out
}
