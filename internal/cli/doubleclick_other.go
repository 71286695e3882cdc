//go:build !windows

package cli

import (
	"os"
	"path/filepath"
	"runtime"

	"golang.org/x/term"
)

// doubleClicked reports whether the program was started from the desktop. On macOS
// that opens a terminal in the home folder, with the program by its full name;
// elsewhere there is a desktop and no terminal at all.
func doubleClicked() bool {
	if runtime.GOOS == "darwin" {
		home, err := os.UserHomeDir()
		here, err2 := os.Getwd()
		return err == nil && err2 == nil && here == home && len(os.Args) == 1 && filepath.IsAbs(os.Args[0])
	}
	desktop := os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
	return desktop && len(os.Args) == 1 && !term.IsTerminal(int(os.Stdin.Fd())) && !term.IsTerminal(int(os.Stdout.Fd()))
}
