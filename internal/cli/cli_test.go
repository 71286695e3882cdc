package cli

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"combline": func() {
		os.Exit(Run(context.Background(), os.Args[1:], Streams{os.Stdin, os.Stdout, os.Stderr}))
	}})
}

// Exit codes are a promise to scripts.
func TestExitCodes(t *testing.T) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	for _, c := range []struct {
		ctx  context.Context
		line string
		in   io.Reader
		out  io.Writer
		want int
	}{
		{t.Context(), "--version", nil, io.Discard, 0},
		{t.Context(), "reckon ferment --water-pct 17", nil, io.Discard, 0},
		{t.Context(), "reckon ferment --csv", strings.NewReader("water_pct\n\n17\n"), io.Discard, 0},
		{t.Context(), "reckon ferment --water-pct 99", nil, io.Discard, 1},
		{t.Context(), "reckon ferment --water-pct wet", nil, io.Discard, 2},
		{t.Context(), "reckon ferment --csv", strings.NewReader("wet\n17\n"), io.Discard, 2},
		{t.Context(), "fly", nil, io.Discard, 2},
		{t.Context(), "reckon ferment --water-pct 17", nil, full{}, 3},
		{t.Context(), "reckon ferment --csv", strings.NewReader("water_pct\n17\n"), full{}, 3},
		{ended, "reckon ferment --csv", strings.NewReader("water_pct\n17\n"), io.Discard, 4},
	} {
		var errs bytes.Buffer
		if got := Run(c.ctx, strings.Fields(c.line), Streams{c.in, c.out, &errs}); got != c.want {
			t.Errorf("%s: exit code %d, want %d; %s", c.line, got, c.want, errs.String())
		}
	}
}

// A full takes nothing, as a full disk.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// Every exit code is documented once, from 0 on without a gap.
func TestExitTable(t *testing.T) {
	if n := strings.Count(exitCodes(), "\n") - 1; n != len(exits()) {
		t.Errorf("%d codes in help, %d in the table", n, len(exits()))
	}
}
