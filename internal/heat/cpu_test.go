//go:build unix

package heat

import (
	"syscall"
	"time"
)

// cpuTime is what the process has had of the processors: on a shared machine the clock on
// the wall measures the others too.
func cpuTime() time.Duration {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		return 0
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}
