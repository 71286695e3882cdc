//go:build !windows

package cli

// doubleClicked can't be told from a start in a terminal here, where a double click
// opens one.
func doubleClicked() bool { return false }
