package web

import (
	"strconv"
	"strings"
)

// num writes a number for an address.
func (v *visit) num(n int64) string { return strconv.FormatInt(n, 10) }

// containsFold reports whether text has a part, in letters of either case.
func containsFold(text, part string) bool {
	return strings.Contains(strings.ToLower(text), strings.ToLower(part))
}
