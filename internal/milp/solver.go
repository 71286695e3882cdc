// Package milp solves mixed integer linear problems: of few rows with package branch,
// of parts that share stock with package split, and any other with HiGHS, compiled to
// WebAssembly and run without leaving the process. It is where clock, cores and memory
// come in.
package milp

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"combline/internal/linear"

	"github.com/tetratelabs/wazero"
)

// ErrMemory reports a model that needs more memory than a solver may have.
var ErrMemory = errors.New("out of memory")

// A Solver solves models, several at once. The first of them waits for the solver to
// be compiled: some seconds once an installation, then a fraction of a second, for
// the machine code is kept in a folder. Close it when nothing solves any more.
type Solver struct {
	cache  string
	memory uint32
	seats  chan struct{} // one a core: instances run one to a core

	mu      sync.Mutex // guards what follows
	closed  bool
	runtime wazero.Runtime
	code    wazero.CompiledModule
	exports map[string]string
	store   wazero.CompilationCache
}

// memoryEach is the most memory of one model's solver: a thousand lots with one order
// need 50 MB, two hundred lots with twelve orders at once 90 MB.
const memoryEach = 384 << 20

// New makes a solver that keeps its machine code in the folder cache (made if need
// be); with "" or a folder that can't be written it is compiled each time the program
// runs. It costs nothing before the first model.
func New(cache string) *Solver {
	return &Solver{cache: cache, memory: memoryEach, seats: make(chan struct{}, runtime.GOMAXPROCS(0))}
}

// CacheFolder is where a user's machine code is kept by the customs of the system;
// "" if it has no such place.
func CacheFolder() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "combline", "solver")
}

// Ready compiles the solver unless that was done: call it ahead, so that the first
// question need not wait.
func (s *Solver) Ready(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return errors.New("the solver is closed")
	}
	if s.code != nil {
		return nil
	}
	b, err := loadDelivery()
	if err != nil {
		return err
	}
	if err := s.compile(ctx, b, s.open()); err != nil {
		return fmt.Errorf("solver %s: %w", b.version, err)
	}
	return nil
}

// open gives the store of machine code, nil if there can be none. wazero makes the
// folder but only finds out at the first file that it may not write there.
func (s *Solver) open() wazero.CompilationCache {
	if s.cache == "" || os.MkdirAll(s.cache, 0o755) != nil {
		return nil
	}
	f, err := os.CreateTemp(s.cache, "try-*")
	if err != nil {
		return nil
	}
	_ = f.Close()
	if os.Remove(f.Name()) != nil {
		return nil
	}
	store, err := wazero.NewCompilationCacheWithDir(s.cache)
	if err != nil {
		return nil
	}
	return store
}

// compile makes machine code. What went wrong with a store, a damaged file or a full
// disk, does not matter without one.
func (s *Solver) compile(ctx context.Context, b delivery, store wazero.CompilationCache) error {
	config := wazero.NewRuntimeConfig()
	if store != nil {
		config = config.WithCompilationCache(store)
	}
	r := wazero.NewRuntimeWithConfig(ctx, config)
	err := buildHost(ctx, r)
	var code wazero.CompiledModule
	if err == nil {
		code, err = r.CompileModule(ctx, b.code)
	}
	if err == nil {
		s.runtime, s.code, s.exports, s.store = r, code, b.exports, store
		return nil
	}
	_ = r.Close(ctx)
	if store != nil {
		_ = store.Close(ctx)
		if ctx.Err() == nil {
			return s.compile(ctx, b, nil)
		}
	}
	return err
}

// Close frees what the solver holds. A model being solved ends with an error.
func (s *Solver) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.closed = true
	if s.code == nil {
		return nil
	}
	ctx := context.Background()
	err := s.runtime.Close(ctx)
	if s.store != nil {
		err = errors.Join(err, s.store.Close(ctx))
	}
	s.code = nil
	return err
}

// Solve solves each model, as many at once as there are cores, and returns the
// solutions in their order; it is safe for concurrent use. When ctx ends, each model
// that is not solved yet gets [linear.Cancelled] with the best point so far. A model
// that is not well formed, has no end, or needs too much memory is an error that
// names it. After an error the solver can be used again.
func (s *Solver) Solve(ctx context.Context, models []linear.Model, o linear.Options) ([]linear.Solution, error) {
	for i := range models {
		if err := models[i].Check(); err != nil {
			return nil, fmt.Errorf("model %d: %w", i+1, err)
		}
	}
	if !(o.Gap >= 0) || !(o.Seconds >= 0) {
		return nil, fmt.Errorf("a gap of %g and %g s were asked for; neither may be negative", o.Gap, o.Seconds)
	}
	return s.each(models, func(m *linear.Model) (linear.Solution, error) {
		solution, err := s.task(o).solve(ctx, m)
		if err == nil && solution.Found() {
			if err := m.Breaks(solution.Values, near); err != nil {
				return solution, fmt.Errorf("the answer breaks the model: %w", err)
			}
		}
		if err == nil && ctx.Err() != nil && solution.Status != linear.Proven && solution.Status != linear.Impossible {
			solution.Status = linear.Cancelled
		}
		return solution, err
	})
}

// each solves models at the same time.
func (s *Solver) each(models []linear.Model, solve func(*linear.Model) (linear.Solution, error)) ([]linear.Solution, error) {
	solutions, errs := make([]linear.Solution, len(models)), make([]error, len(models))
	var all sync.WaitGroup
	for i := range models {
		all.Go(func() {
			if solutions[i], errs[i] = solve(&models[i]); errs[i] != nil {
				errs[i] = fmt.Errorf("model %d: %w", i+1, errs[i])
			}
		})
	}
	all.Wait()
	return solutions, errors.Join(errs...)
}
