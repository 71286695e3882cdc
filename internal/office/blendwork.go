package office

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"combline/internal/blend"
	"combline/internal/linear"
	"combline/internal/record"
)

// A Solver solves models until ctx ends; then each that is not solved gets the best
// point so far.
type Solver func(ctx context.Context, models []linear.Model, o linear.Options) ([]linear.Solution, error)

// ErrNoSolver means that the program was built without what blends are searched with.
var ErrNoSolver = errors.New("this program was built without the blend search; take a complete one")

// ErrBlendStopped means that a search was ended before it had found a blend or knew
// that there is none.
var ErrBlendStopped = errors.New("the search was stopped before it found a blend")

// ErrBlendTime means that a search had no blend when its time was up, nor knew that
// there is none.
var ErrBlendTime = errors.New("no blend was found in the time that was given, nor that there is none")

const (
	usualSeconds = 30.0 // for one search, where nobody says
	mostSeconds  = 600.0
	firstSeconds = 2.0  // then the best blend so far is shown
	firstGap     = 0.02 // part of the cost
	lastGap      = 1e-3 // enough: below the noise of prices
	afterStop    = 5 * time.Second
	mostWorks    = 24 // searches kept to be looked at again
)

// blendWorks are the searches of a house.
type blendWorks struct {
	mu    sync.Mutex
	solve Solver
	all   []*BlendWork
	seats chan struct{} // one search at a time: each uses every core
	wait  sync.WaitGroup
	ended bool

	watch sync.Mutex
	subs  map[chan string]struct{}
}

// WatchBlends returns a channel that gets the name of a search whenever it came further;
// it never holds a search up and may skip some. Call stop when done.
func (o *Office) WatchBlends() (news <-chan string, stop func()) {
	b := &o.blends
	c := make(chan string, 8)
	b.watch.Lock()
	defer b.watch.Unlock()
	if b.subs == nil {
		b.subs = map[chan string]struct{}{}
	}
	b.subs[c] = struct{}{}
	return c, func() {
		b.watch.Lock()
		defer b.watch.Unlock()
		delete(b.subs, c)
	}
}

func (b *blendWorks) tell(id string) {
	b.watch.Lock()
	defer b.watch.Unlock()
	for c := range b.subs {
		select {
		case c <- id:
		default: // whoever listens is behind: the page is read whole anyway
		}
	}
}

// SetSolver gives the office what blends are searched with.
func (o *Office) SetSolver(s Solver) {
	o.blends.mu.Lock()
	defer o.blends.mu.Unlock()
	o.blends.solve = s
}

// A BlendWork is one search, under way or done.
type BlendWork struct {
	ID    string
	Case  *BlendCase
	Facts uint64 // of which it knows
	Limit time.Duration

	stop  context.CancelFunc
	began time.Time
	done  chan struct{}
	tell  func(id string)
	mu    sync.Mutex
	state BlendState
}

// A BlendState is how far a search is.
type BlendState struct {
	Waiting bool // another search is under way
	Done    bool
	Stopped bool // by somebody, with the best so far
	Found   *blend.Result
	Checked *Checked // of a mix that somebody has in mind
	Solved  int      // models
	Took    time.Duration
	Err     error
}

// State is how far the search is now.
func (w *BlendWork) State() BlendState {
	w.mu.Lock()
	defer w.mu.Unlock()
	s := w.state
	if !s.Done {
		s.Took = time.Since(w.began) // how long it has taken, not what time it is
	}
	return s
}

// Done is closed when the search is over.
func (w *BlendWork) Done() <-chan struct{} { return w.done }

// Stop ends the search with the best blend so far.
func (w *BlendWork) Stop() {
	w.set(func(s *BlendState) { s.Stopped = s.Stopped || !s.Done })
	w.stop()
}

// set changes the state. Who looks at it hears of what they can see: not of every
// model that was solved.
func (w *BlendWork) set(change func(*BlendState)) {
	w.mu.Lock()
	was := w.state
	change(&w.state)
	now := w.state
	w.mu.Unlock()
	if was.Done != now.Done || was.Waiting != now.Waiting || was.Stopped != now.Stopped || was.Found != now.Found || was.Checked != now.Checked {
		w.tell(w.ID)
	}
}

// Blend searches in the background for what is asked, on what the house knows now. The
// same ask of the same record is the same search.
func (o *Office) Blend(ask BlendAsk) (*BlendWork, error) {
	today := record.DayOf(o.now())
	var k *BlendCase
	var facts uint64
	var err error
	o.Read(func(v *View) {
		facts = v.Facts()
		k, err = v.BlendCaseIf(ask, today)
	})
	if err != nil {
		return nil, err
	}
	return o.Search(k, facts)
}

// Search searches for a case in the background.
func (o *Office) Search(k *BlendCase, facts uint64) (*BlendWork, error) {
	b := &o.blends
	id := k.id()
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.ended {
		return nil, ErrClosed
	}
	for _, w := range b.all {
		if w.ID == id {
			return w, nil
		}
	}
	if b.solve == nil && len(k.Ask.Only) == 0 {
		return nil, ErrNoSolver
	}
	ctx, stop := context.WithCancel(context.Background())
	w := &BlendWork{ID: id, Case: k, Facts: facts, Limit: k.limit(), stop: stop, began: time.Now(), done: make(chan struct{}), tell: b.tell}
	w.state.Waiting = true
	b.keep(w)
	if b.seats == nil {
		b.seats = make(chan struct{}, 1)
	}
	solve := b.solve
	b.wait.Go(func() {
		defer stop()
		w.run(ctx, solve, b.seats)
	})
	return w, nil
}

// keep forgets the oldest searches that are over.
func (b *blendWorks) keep(w *BlendWork) {
	for len(b.all) >= mostWorks {
		i := slices.IndexFunc(b.all, func(w *BlendWork) bool { return w.State().Done })
		if i < 0 {
			i = 0
			b.all[0].Stop()
		}
		b.all = slices.Delete(b.all, i, i+1)
	}
	b.all = append(b.all, w)
}

// BlendWork is a search by its name.
func (o *Office) BlendWork(id string) (*BlendWork, bool) {
	o.blends.mu.Lock()
	defer o.blends.mu.Unlock()
	for _, w := range o.blends.all {
		if w.ID == id {
			return w, true
		}
	}
	return nil, false
}

// end stops every search and waits for it.
func (b *blendWorks) end() {
	b.mu.Lock()
	b.ended = true
	for _, w := range b.all {
		w.Stop()
	}
	b.mu.Unlock()
	b.wait.Wait()
}

func (k *BlendCase) limit() time.Duration {
	s := k.Ask.Seconds
	if !(s > 0) {
		s = usualSeconds
	}
	return time.Duration(min(s, mostSeconds) * float64(time.Second))
}

// id names a search by all that it depends on: the same ask of the same honey, though
// other facts were recorded meanwhile, is the same search.
func (k *BlendCase) id() string {
	text := fmt.Appendf(nil, "%d %s %v", k.Today, k.Ask.Key(), k.Problem)
	for _, list := range [][]Candidate{k.There, k.Out} {
		for _, x := range list {
			text = fmt.Appendf(text, " %s %d %v", x.Shown, x.Free, x.Out)
		}
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// run searches twice: shortly, so that there is a blend to show, then to the end.
func (w *BlendWork) run(ctx context.Context, solve Solver, seats chan struct{}) {
	defer close(w.done)
	select {
	case seats <- struct{}{}:
		defer func() { <-seats }()
	case <-ctx.Done():
		w.set(func(s *BlendState) { s.Done, s.Waiting, s.Err = true, false, ErrBlendStopped })
		return
	}
	began := time.Now()
	w.set(func(s *BlendState) { s.Waiting, w.began = false, began })
	h := &hunt{w: w, ctx: ctx, solve: solve, until: began.Add(w.Limit)}
	found, err := h.hunt()
	w.set(func(s *BlendState) {
		s.Done, s.Took = true, time.Since(began)
		switch {
		case err == nil:
			s.Found = found
		case s.Found == nil || s.Found.Plan == nil: // what was found earlier stands
			s.Err = err
		}
	})
}

// A hunt is one search with its time and its end.
type hunt struct {
	w     *BlendWork
	ctx   context.Context
	solve Solver
	until time.Time
	stops time.Time // when it was told to stop
}

func (h *hunt) hunt() (*blend.Result, error) {
	p := h.w.Case.Problem
	if len(h.w.Case.Ask.Only) > 0 {
		x, err := h.w.Case.check()
		h.w.set(func(s *BlendState) { s.Checked = x })
		return nil, err
	}
	first, err := blend.Find(p, h.models, linear.Options{Gap: firstGap, Seconds: min(firstSeconds, h.w.Limit.Seconds())})
	if err != nil {
		return nil, h.why(err)
	}
	h.w.set(func(s *BlendState) { s.Found = first })
	if first.Status == linear.Impossible || first.Plan != nil && first.Plan.Proven && gapOf(first) <= lastGap || h.ctx.Err() != nil {
		return first, h.settled(first)
	}
	found, err := blend.Find(p, h.models, linear.Options{Gap: lastGap, Seconds: max(1, time.Until(h.until).Seconds())})
	if err != nil {
		return nil, h.why(err)
	}
	if found.Plan == nil && found.Clash == nil && first.Plan != nil {
		return first, nil
	}
	return found, h.settled(found)
}

// settled says what a search that found neither a blend nor that there is none is.
func (h *hunt) settled(r *blend.Result) error {
	switch {
	case r.Plan != nil || r.Clash != nil:
		return nil
	case h.ctx.Err() != nil:
		return ErrBlendStopped
	}
	return ErrBlendTime
}

func (h *hunt) why(err error) error {
	if h.ctx.Err() != nil && errors.Is(err, ErrBlendStopped) {
		return ErrBlendStopped
	}
	return err
}

// models solves within the time that is left. Once somebody has stopped the search it
// gets some seconds more, in small pieces: the best so far is put in whole grams.
func (h *hunt) models(all []linear.Model, o linear.Options) ([]linear.Solution, error) {
	ctx := h.ctx
	switch left := time.Until(h.until).Seconds(); {
	case ctx.Err() != nil:
		if h.stops.IsZero() {
			h.stops = time.Now()
		}
		if time.Since(h.stops) > afterStop {
			return nil, ErrBlendStopped
		}
		var end context.CancelFunc
		ctx, end = context.WithTimeout(context.Background(), afterStop)
		defer end()
		o.Seconds = 1
	case left < -h.w.Limit.Seconds():
		return nil, ErrBlendTime
	default:
		o.Seconds = max(0.5, min(left, o.Seconds))
	}
	out, err := h.solve(ctx, all, o)
	h.w.set(func(s *BlendState) { s.Solved += len(all) })
	return out, err
}

// Checked is a mix that somebody has in mind, held against what is asked.
type Checked struct {
	Draws  []blend.Draw
	Blend  blend.Blend
	Faults []blend.Fault
}

// check holds the mix of an ask against what is asked, in whole grams.
func (k *BlendCase) check() (*Checked, error) {
	x := &Checked{}
	p := k.Problem
	p.Contents = slices.Clone(p.Contents)
	for i := range k.There {
		j := slices.IndexFunc(k.Ask.Only, func(p AskedPart) bool { return p.Code == k.There[i].Content.Code })
		if j < 0 {
			continue
		}
		c := &p.Contents[i]
		d := blend.Draw{Content: i, Grams: k.Ask.Only[j].Grams}
		c.Split, c.Least = true, 0 // as it was said, it may be opened
		switch {
		case c.Drum > 0 && d.Grams == c.Drum:
			d.Drums = 1
		case c.Drum > 0:
			d.Part = true
		}
		x.Draws = append(x.Draws, d)
	}
	if len(x.Draws) == 0 {
		return x, nil
	}
	blends, faults, err := blend.Check(&p, x.Draws)
	if err != nil {
		return nil, err
	}
	x.Blend, x.Faults = blends[0], faults
	return x, nil
}

// gapOf is how far a plan may be from the best by its first aim.
func gapOf(r *blend.Result) float64 {
	if len(r.Plan.Scores) == 0 {
		return 0
	}
	return r.Plan.Scores[0].Gap()
}
