package milp

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"strings"
)

// What scripts/assets.mjs puts here at build time: the solver, the names of its
// functions, and its licence.
//
//go:embed all:asset
var assetFiles embed.FS

// ErrNotBuilt reports a program that was built without the solver.
var ErrNotBuilt = errors.New("the solver is not in this program: build it with make build, which fetches it")

// A delivery is the solver as it is delivered: its code and, by the name that HiGHS
// gives a function, the short name under which the code exports it.
type delivery struct {
	version string
	code    []byte
	exports map[string]string
}

func loadDelivery() (delivery, error) {
	code, err := assetFiles.ReadFile("asset/built/highs.wasm")
	if errors.Is(err, fs.ErrNotExist) {
		return delivery{}, ErrNotBuilt
	}
	if err != nil {
		return delivery{}, err
	}
	names, err := assetFiles.ReadFile("asset/built/exports.txt")
	if err != nil {
		return delivery{}, fmt.Errorf("%w (%w)", ErrNotBuilt, err)
	}
	b := delivery{code: code, exports: map[string]string{}}
	for line := range strings.Lines(string(names)) {
		name, short, ok := strings.Cut(strings.TrimSpace(line), " ")
		if !ok {
			return delivery{}, fmt.Errorf("names of the solver's functions: line %q has no second word", line)
		}
		b.exports[name] = short
	}
	b.version = b.exports["highs"]
	delete(b.exports, "highs")
	return b, nil
}

// Notices gives the licence texts of what is built in, to be shown with the program's
// own.
func Notices() (string, error) {
	var all strings.Builder
	for _, name := range []string{"asset/NOTICES.txt", "asset/built/HiGHS-LICENSE.txt", "asset/wazero-LICENSE.txt"} {
		text, err := assetFiles.ReadFile(name)
		if errors.Is(err, fs.ErrNotExist) {
			return "", ErrNotBuilt
		}
		if err != nil {
			return "", err
		}
		all.Write(text)
		all.WriteByte('\n')
	}
	return all.String(), nil
}
