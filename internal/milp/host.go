package milp

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// The solver imports 20 functions of its compiler's run-time library. It needs a
// clock, more memory, and somewhere to write; it gets no file, no variable and no
// network. Which letter is which stands in build/highs.js beside the binary.

// A sitting is what one instance may use: until when, and how much memory. The host
// finds it in the context of the call.
type sitting struct {
	began    time.Time
	deadline time.Time // from here on the solver's clock says that time is up
	guard    time.Time // from here on a call for the clock ends the instance
	cancel   <-chan struct{}
	memory   uint32    // bytes at most
	refused  bool      // more memory was asked for and refused
	ahead    float64   // how far the clock has jumped, s
	jumped   time.Time // when it first did
	log      []byte    // the last of what the solver wrote
}

type sittingKey struct{}

func sittingOf(ctx context.Context) *sitting { return ctx.Value(sittingKey{}).(*sitting) }

// errGuard ends an instance that has not stopped long after it was told to.
var errGuard = errors.New("the solver did not stop when told to")

const (
	farFuture = 1e9 // seconds: beyond any time limit, so the solver stops by itself
	logKept   = 4096
	badFile   = -44 // no such file, in the library's numbering
	noTTY     = -59
)

// seconds is the solver's clock: real until it is told to stop, then jumping ahead at
// each look, for what is timed may have begun after the first jump. HiGHS looks at it
// often and knows no other way to be interrupted that leaves the best solution so far
// readable.
func (s *sitting) seconds() float64 {
	now := time.Now()
	if s.stopped() || now.After(s.deadline) {
		if s.jumped.IsZero() {
			s.jumped = now
		}
		s.ahead += farFuture
	}
	if now.After(s.guard) || !s.jumped.IsZero() && now.Sub(s.jumped) > grace {
		panic(errGuard)
	}
	return now.Sub(s.began).Seconds() + s.ahead
}

func (s *sitting) stopped() bool {
	select {
	case <-s.cancel:
		return true
	default:
		return false
	}
}

// grow gives the instance at least size bytes, and a fifth more if there is room.
func (s *sitting) grow(memory api.Memory, size uint32) uint32 {
	const page = 65536
	for _, want := range []uint64{uint64(size) + uint64(size)/5, uint64(size)} {
		if want > uint64(s.memory) {
			continue
		}
		more := (want - min(want, uint64(memory.Size())) + page - 1) / page
		if _, ok := memory.Grow(uint32(more)); ok {
			return 1
		}
	}
	s.refused = true
	return 0
}

func (s *sitting) write(text []byte) {
	s.log = append(s.log, text...)
	if over := len(s.log) - logKept; over > 0 {
		s.log = s.log[over:]
	}
}

// stop is what an import does that means the end: the panic reaches the caller of the
// solver as an error.
func stop(what string) func() {
	return func() { panic(errors.New("the solver ended itself: " + what)) }
}

// buildHost makes the module "a" that the solver imports.
func buildHost(ctx context.Context, r wazero.Runtime) error {
	b := r.NewHostModuleBuilder("a")
	give := func(name string, f any) { b.NewFunctionBuilder().WithFunc(f).Export(name) }
	giveEnds(give)
	giveClock(give)
	giveFiles(give)
	give("q", func(ctx context.Context, m api.Module, size uint32) uint32 {
		return sittingOf(ctx).grow(m.Memory(), size)
	})
	give("s", func() {})
	give("l", func(uint32, float64) uint32 { return 0 })
	_, err := b.Instantiate(ctx)
	return err
}

func giveEnds(give func(string, any)) {
	give("a", func(_, _, _ uint32) { stop("out of memory, or an error inside")() })
	give("b", func(code uint32) { stop(fmt.Sprintf("exit %d", code))() })
	give("r", func(code uint32) { stop(fmt.Sprintf("exit %d", code))() })
	give("k", stop("abort"))
}

func giveClock(give func(string, any)) {
	millis := func(ctx context.Context) float64 { return sittingOf(ctx).seconds() * 1000 }
	give("c", millis)
	give("j", millis) // the date too: nothing may depend on the day
	give("p", func(ctx context.Context, m api.Module, _ uint32, _ uint64, at uint32) uint32 {
		m.Memory().WriteUint64Le(at, uint64(sittingOf(ctx).seconds()*1e9))
		return 0
	})
	give("m", func(_ context.Context, m api.Module, offset, daylight, name, daylightName uint32) {
		m.Memory().WriteUint32Le(offset, 0)
		m.Memory().WriteUint32Le(daylight, 0)
		m.Memory().Write(name, []byte("UTC\x00"))
		m.Memory().Write(daylightName, []byte("UTC\x00"))
	})
}

func giveFiles(give func(string, any)) {
	give("n", func(_, _ uint32) uint32 { return 0 })
	give("o", func(_ context.Context, m api.Module, count, size uint32) uint32 {
		m.Memory().WriteUint32Le(count, 0)
		m.Memory().WriteUint32Le(size, 0)
		return 0
	})
	give("e", func(_, _, _ uint32) uint32 { return 0 })
	give("h", func(_, _, _ uint32) uint32 { return asUint(noTTY) })
	give("i", func(_, _, _, _ uint32) uint32 { return asUint(badFile) })
	give("d", func(uint32) uint32 { return 0 })
	give("g", func(_ context.Context, m api.Module, _, _, _, read uint32) uint32 {
		m.Memory().WriteUint32Le(read, 0)
		return 0
	})
	give("t", func(_ uint32, _ uint64, _, _ uint32) uint32 { return 70 }) // not a file that can be sought
	give("f", func(ctx context.Context, m api.Module, _, parts, count, written uint32) uint32 {
		total := uint32(0)
		for i := range count {
			at, _ := m.Memory().ReadUint32Le(parts + 8*i)
			size, _ := m.Memory().ReadUint32Le(parts + 8*i + 4)
			if text, ok := m.Memory().Read(at, size); ok {
				sittingOf(ctx).write(text)
			}
			total += size
		}
		m.Memory().WriteUint32Le(written, total)
		return 0
	})
}

func asUint(code int32) uint32 { return uint32(code) }

// infinity is what the solver takes for no bound.
func infinity(x float64) float64 {
	if math.IsInf(x, 0) {
		return math.Copysign(1e30, x)
	}
	return x
}
