package quantity

import (
	"strconv"
	"strings"
)

// String prints the figure with a decimal point and its unit's symbol, the
// digits as they were written: "17.30 %". Pages print through package words.
func (f Figure) String() string {
	if !f.Given() {
		return "not given"
	}
	return f.Digits() + " " + f.Unit.String()
}

// Digits prints the number alone, with a decimal point.
func (f Figure) Digits() string {
	s, negative := strings.CutPrefix(strconv.FormatInt(f.Mantissa, 10), "-")
	if d := int(f.Decimals); d > 0 {
		for len(s) <= d {
			s = "0" + s
		}
		s = s[:len(s)-d] + "." + s[len(s)-d:]
	}
	if negative {
		s = "-" + s
	}
	return s
}
