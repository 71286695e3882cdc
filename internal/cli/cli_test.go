package cli

import (
	"context"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"combline": func() {
		os.Exit(Run(context.Background(), os.Args[1:], Streams{os.Stdin, os.Stdout, os.Stderr}))
	}})
}

// TestScripts runs testdata/*.txtar, one script for each task of a worker.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata"})
}
