package cli

import (
	"syscall"
	"unsafe"
)

// doubleClicked reports whether the program was started from the desktop: then it is
// alone in its console window.
func doubleClicked() bool {
	var ids [2]uint32
	n, _, _ := syscall.NewLazyDLL("kernel32.dll").NewProc("GetConsoleProcessList").
		Call(uintptr(unsafe.Pointer(&ids[0])), uintptr(len(ids)))
	return n == 1
}
