package milp

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// An instance is one solver with memory of its own, used by one goroutine for one
// model and then closed. After any error it must not be used again.
type instance struct {
	module  api.Module
	exports map[string]string
	ctx     context.Context // carries the sitting, never a cancellation: see sitting.cancel
	highs   uint64
}

func newInstance(ctx context.Context, r wazero.Runtime, code wazero.CompiledModule, exports map[string]string) (*instance, error) {
	module, err := r.InstantiateModule(ctx, code, wazero.NewModuleConfig().WithName("").WithStartFunctions())
	if err != nil {
		return nil, err
	}
	i := &instance{module: module, exports: exports, ctx: ctx}
	if _, err = i.call("start"); err == nil {
		i.highs, err = i.call("Highs_create")
	}
	if err != nil {
		i.close()
		return nil, err
	}
	return i, nil
}

func (i *instance) close() { _ = i.module.Close(context.Background()) }

// call calls a function of the solver. A trap or a panic of the host comes back as an
// error.
func (i *instance) call(name string, args ...uint64) (uint64, error) {
	f := i.module.ExportedFunction(i.exports[name])
	if f == nil {
		return 0, fmt.Errorf("the solver has no function %s", name)
	}
	out, err := f.Call(i.ctx, args...)
	if err != nil || len(out) == 0 {
		return 0, err
	}
	return out[0], nil
}

// do calls a function that answers with a status: 0 is well, 1 a warning, −1 an error.
func (i *instance) do(name string, args ...uint64) (int32, error) {
	out, err := i.call(name, append([]uint64{i.highs}, args...)...)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	if status := int32(out); status < 0 {
		return status, fmt.Errorf("%s was refused by the solver (status %d)", name, status)
	}
	return int32(out), nil
}

// room asks the solver for n bytes.
func (i *instance) room(n int) (uint64, error) {
	at, err := i.call("malloc", uint64(max(n, 8)))
	if err == nil && at == 0 {
		err = fmt.Errorf("%w: %d bytes more", ErrMemory, n)
	}
	return at, err
}

func (i *instance) put(bytes []byte) (uint64, error) {
	at, err := i.room(len(bytes))
	if err == nil && !i.module.Memory().Write(uint32(at), bytes) {
		err = fmt.Errorf("%d bytes do not fit the solver's memory", len(bytes))
	}
	return at, err
}

func (i *instance) putFloats(v []float64) (uint64, error) {
	b := make([]byte, 0, 8*len(v))
	for _, x := range v {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(infinity(x)))
	}
	return i.put(b)
}

func (i *instance) putInts(v []int32) (uint64, error) {
	b := make([]byte, 0, 4*len(v))
	for _, x := range v {
		b = binary.LittleEndian.AppendUint32(b, uint32(x))
	}
	return i.put(b)
}

func (i *instance) floats(at uint64, n int) ([]float64, error) {
	b, ok := i.module.Memory().Read(uint32(at), uint32(8*n))
	if !ok {
		return nil, fmt.Errorf("%d figures at %d are outside the solver's memory", n, at)
	}
	v := make([]float64, n)
	for k := range v {
		v[k] = math.Float64frombits(binary.LittleEndian.Uint64(b[8*k:]))
	}
	return v, nil
}

// set gives one of the solver's options its value; an option that it does not know is
// an error.
func (i *instance) set(option string, value any) error {
	name, err := i.put(append([]byte(option), 0))
	if err != nil {
		return err
	}
	switch v := value.(type) {
	case bool:
		_, err = i.do("Highs_setBoolOptionValue", name, boolean(v))
	case int:
		_, err = i.do("Highs_setIntOptionValue", name, uint64(uint32(int32(v))))
	case float64:
		_, err = i.do("Highs_setDoubleOptionValue", name, math.Float64bits(v))
	case string:
		var text uint64
		if text, err = i.put(append([]byte(v), 0)); err == nil {
			_, err = i.do("Highs_setStringOptionValue", name, text)
		}
	default:
		err = fmt.Errorf("no option takes a %T", value)
	}
	if err != nil {
		return fmt.Errorf("option %s: %w", option, err)
	}
	return nil
}

func boolean(b bool) uint64 {
	if b {
		return 1
	}
	return 0
}

// figure reads one of the solver's figures after a run.
func (i *instance) figure(name string) (float64, error) {
	text, err := i.put(append([]byte(name), 0))
	if err != nil {
		return 0, err
	}
	at, err := i.room(8)
	if err != nil {
		return 0, err
	}
	if _, err := i.do("Highs_getDoubleInfoValue", text, at); err != nil {
		return 0, fmt.Errorf("figure %s: %w", name, err)
	}
	v, err := i.floats(at, 1)
	if err != nil {
		return 0, err
	}
	return v[0], nil
}

// count reads one of the solver's whole figures after a run.
func (i *instance) count(name string) (int32, error) {
	text, err := i.put(append([]byte(name), 0))
	if err != nil {
		return 0, err
	}
	at, err := i.room(8)
	if err != nil {
		return 0, err
	}
	if _, err := i.do("Highs_getIntInfoValue", text, at); err != nil {
		return 0, fmt.Errorf("figure %s: %w", name, err)
	}
	v, _ := i.module.Memory().ReadUint32Le(uint32(at))
	return int32(v), nil
}
