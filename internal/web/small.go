package web

import "strconv"

// num writes a number for an address.
func (v *visit) num(n int64) string { return strconv.FormatInt(n, 10) }
