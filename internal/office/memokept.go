package office

import "sync"

// A keptMemo is what was worked out and stays right for as long as what it was worked out
// from is the same, whatever else is written down meanwhile.
type keptMemo struct {
	mu  sync.Mutex
	all map[string]*keptResult
}

type keptResult struct {
	from any
	once sync.Once
	is   any
}

const mostKept = 1000

// keptWhile gives what was worked out under a name from the same, or works it out.
// What it gives must not be changed; from is compared. Only the published view keeps.
func keptWhile[T any](v *View, name string, from any, work func() T) T {
	if v.memo == nil {
		return work()
	}
	x := v.memo.kept.one(name, from)
	x.once.Do(func() { x.is = work() })
	return x.is.(T)
}

func (k *keptMemo) one(name string, from any) *keptResult {
	k.mu.Lock()
	defer k.mu.Unlock()
	if x := k.all[name]; x != nil && x.from == from {
		return x
	}
	if k.all == nil || len(k.all) >= mostKept {
		k.all = map[string]*keptResult{}
	}
	k.all[name] = &keptResult{from: from}
	return k.all[name]
}
