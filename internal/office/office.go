package office

import (
	"context"
	"errors"
	"sync"
	"time"
)

// An Office is one house at work. Any number of goroutines may read and write.
type Office struct {
	book Book
	now  func() time.Time
	in   chan *request
	quit chan struct{}
	done chan struct{}

	mu  sync.RWMutex // held while the published view changes, never across the disk
	pub *View

	watch sync.Mutex
	subs  map[chan uint64]struct{}
	live  map[string]*Filling // runs that are being filled under a scale, by code

	blends blendWorks
	sheets daySheets
}

// ErrClosed means that the office is closed; nothing was recorded.
var ErrClosed = errors.New("the house is closed")

// Open reads the whole record of book and starts to take facts. now is the house's
// clock. progress, if any, is told how many facts are folded.
func Open(ctx context.Context, book Book, now func() time.Time, progress func(folded uint64)) (*Office, error) {
	v, err := load(ctx, book, progress)
	if err != nil {
		return nil, err
	}
	v.memo = &memo{}
	o := &Office{book: book, now: now, in: make(chan *request), quit: make(chan struct{}), done: make(chan struct{}),
		pub: v, subs: map[chan uint64]struct{}{}}
	go o.write()
	return o, nil
}

// Close ends the office when what is being written is written.
func (o *Office) Close() {
	o.blends.end()
	close(o.quit)
	<-o.done
}

// Now is the house's clock.
func (o *Office) Now() time.Time { return o.now() }

// Read lends the published view to use. It must not be kept, nor the office called
// from within.
func (o *Office) Read(use func(*View)) {
	o.mu.RLock()
	defer o.mu.RUnlock()
	use(o.pub)
}

// Watch returns a channel that gets the number of the last fact whenever facts were
// recorded; it never blocks the writer and may skip numbers. Call stop when done.
func (o *Office) Watch() (news <-chan uint64, stop func()) {
	c := make(chan uint64, 1)
	o.watch.Lock()
	o.subs[c] = struct{}{}
	o.watch.Unlock()
	return c, func() {
		o.watch.Lock()
		delete(o.subs, c)
		o.watch.Unlock()
	}
}

func (o *Office) tell(seq uint64) {
	o.watch.Lock()
	defer o.watch.Unlock()
	for c := range o.subs {
		select {
		case <-c: // an older number that nobody has taken yet
		default:
		}
		c <- seq
	}
}
