package cli

import (
	"io"
	"os"
)

// mostTyped is the largest table that is brought in, in bytes: larger is not a table
// of a honey house.
const mostTyped = 64 << 20

// contents reads a file, or standard input for "-".
func (a *app) contents(file string) ([]byte, error) {
	in := a.In
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	b, err := io.ReadAll(io.LimitReader(in, mostTyped+1))
	if err == nil && len(b) > mostTyped {
		err = usage("too-large", "file", file, "mb", int64(mostTyped>>20))
	}
	return b, err
}
