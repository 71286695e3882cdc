package office

import (
	"context"
	"runtime/debug"
	"slices"
	"strings"
	"sync"

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

// window is how many facts wait to be folded while the record is read: a fact that
// was written late takes its place among them. Some days of the busiest house; only
// what is later still, and corrections, make it fold again from the start.
const window = 4096

// load reads the whole record and folds it: one goroutine reads and verifies,
// one decodes, this one folds. progress, if any, is told how many facts are folded.
func load(ctx context.Context, book Book, progress func(folded uint64)) (*View, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	// nearly all that is made while loading stays: collecting early finds nothing
	defer debug.SetGCPercent(debug.SetGCPercent(1000))
	facts := int(book.Head().Seq)
	l := loader{v: &View{State: house.NewFor(facts), line: house.NewTimeline(facts), log: &journal{bodies: make([]string, 0, facts)},
		keys: make(map[record.Key]uint32, facts/2)}}
	for b := range decoded(ctx, links(ctx, book)) {
		if b.err != nil {
			return nil, b.err
		}
		for i := range b.items {
			l.take(&b.items[i])
		}
		if progress != nil {
			progress(l.v.Facts())
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return l.view()
}

type loader struct {
	v       *View
	waiting []*record.Entry // in the order of folding
	folded  int64           // the minute of the last fact folded
	again   bool            // something does not fit into the window
}

func (l *loader) take(x *loaded) {
	l.v.log.bodies = append(l.v.log.bodies, x.body)
	l.v.log.head = x.head
	e := &x.entry
	if e.Part == 0 {
		l.v.keys[e.Batch] = uint32(e.Seq)
	}
	l.v.line.Add(e)
	switch e.Fact.(type) {
	case *record.Amended, *record.Struck:
		l.again = true
	}
	if l.again || e.When.Minute < l.folded {
		l.again, l.waiting = true, nil
		return
	}
	at := len(l.waiting)
	for at > 0 && l.waiting[at-1].When.Minute > e.When.Minute {
		at--
	}
	l.waiting = slices.Insert(l.waiting, at, e)
	if len(l.waiting) >= 2*window {
		l.fold(window)
		l.waiting = append(l.waiting[:0], l.waiting[window:]...)
	}
}

func (l *loader) fold(n int) {
	var yard sync.WaitGroup // it shares nothing with the rest of the house
	yard.Go(func() {
		for _, e := range l.waiting[:n] {
			l.v.State.Yard.Fold(e)
		}
	})
	l.v.State.FoldYardApart(true)
	for _, e := range l.waiting[:n] {
		l.v.State.Fold(e)
		l.folded = e.When.Minute
	}
	yard.Wait()
	l.v.State.FoldYardApart(false)
}

func (l *loader) view() (v *View, err error) {
	if l.again {
		l.v.State, err = refold(l.v.line, l.v.log.read)
	} else {
		l.fold(len(l.waiting))
	}
	if err == nil {
		l.v.State.Trim()
	}
	return l.v, err
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
			for i, body := range together(b.items) {
				l := &b.items[i]
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

// together makes the bodies parts of one text: one piece of memory for hundreds.
func together(links []chain.Stored) []string {
	size := 0
	for i := range links {
		size += len(links[i].Body)
	}
	var b strings.Builder
	b.Grow(size)
	for i := range links {
		b.Write(links[i].Body)
	}
	all, at := b.String(), 0
	bodies := make([]string, len(links))
	for i := range links {
		bodies[i] = all[at : at+len(links[i].Body)]
		at += len(links[i].Body)
	}
	return bodies
}
