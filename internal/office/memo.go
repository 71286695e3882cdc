package office

import "sync"

// A memo is what was worked out from one state of the record and stays right until the
// next fact: the pages that are open ask for the same again and again.
type memo struct {
	mu    sync.Mutex
	facts uint64
	all   map[string]*workedOut

	ranMu sync.Mutex
	ran   map[uint32]runThrough // by fact, whose words never change

	kept keptMemo // beyond the next fact
}

type workedOut struct {
	once sync.Once
	is   any
}

// once gives what was worked out under a name, or works it out; whoever asks meanwhile
// waits for the same. What it gives must not be changed, and work must not keep itself.
// Only the published view keeps.
func once[T any](v *View, name string, work func() T) T {
	if v.memo == nil {
		return work()
	}
	x := v.memo.one(name, v.Facts())
	x.once.Do(func() { x.is = work() })
	return x.is.(T)
}

func (k *memo) one(name string, facts uint64) *workedOut {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.all == nil || k.facts != facts {
		k.facts, k.all = facts, map[string]*workedOut{}
	}
	if k.all[name] == nil {
		k.all[name] = &workedOut{}
	}
	return k.all[name]
}
