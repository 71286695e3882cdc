package quantity

import (
	"strconv"
	"strings"
)

// typedNumber is a number as typed, without its sign: digits with decimal and
// thousands signs between them.
type typedNumber struct {
	text  string
	style NumberStyle
	small bool // the figure can't reach thousands, so one sign is the decimal sign
}

func isDigit(r rune) bool       { return '0' <= r && r <= '9' }
func isDecimalSign(r rune) bool { return r == '.' || r == ',' }

// isGroupSign knows the spaces (no-break, figure, thin and narrow ones too) and
// the apostrophes that people and papers set between thousands.
func isGroupSign(r rune) bool {
	switch r {
	case ' ', '\u00a0', '\u2007', '\u2009', '\u202f', '\'', '’':
		return true
	}
	return false
}

// figure reads the number. With [KeyAmbiguous] it returns both readings, the
// one with decimals first.
func (n typedNumber) figure(u Unit) (f, other Figure, key string) {
	decimal, group, key := n.signs()
	if key == KeyAmbiguous {
		f, _ = n.read(u, decimal, 0)
		other, _ = n.read(u, 0, group)
		return f, other, key
	}
	if key == "" {
		f, key = n.read(u, decimal, group)
	}
	return f, Figure{}, key
}

// signs finds which sign stands before the decimals and which between the
// thousands; 0 is none.
func (n typedNumber) signs() (decimal, group rune, key string) {
	points, commas := strings.Count(n.text, "."), strings.Count(n.text, ",")
	for _, r := range n.text {
		if isGroupSign(r) {
			group = r // another kind further on fails as a digit does
		}
	}
	sign, times := '.', points
	if commas > 0 {
		sign, times = ',', commas
	}
	switch {
	case points > 0 && commas > 0:
		if group != 0 {
			return 0, 0, KeyGrouping
		}
		if strings.LastIndexByte(n.text, '.') > strings.LastIndexByte(n.text, ',') {
			return '.', ',', ""
		}
		return ',', '.', ""
	case times == 0:
		return 0, group, ""
	case group != 0:
		return sign, group, ""
	case times > 1:
		return 0, sign, ""
	case n.small || !n.looksGrouped(sign):
		return sign, 0, ""
	}
	return n.byStyle(sign)
}

// looksGrouped reports whether the one sign could part thousands: 1,234.
func (n typedNumber) looksGrouped(sign rune) bool {
	before, after, _ := strings.Cut(n.text, string(sign))
	return len(after) == 3 && 1 <= len(before) && len(before) <= 3 && before[0] != '0'
}

func (n typedNumber) byStyle(sign rune) (decimal, group rune, key string) {
	switch {
	case n.style == EitherSign:
		return sign, sign, KeyAmbiguous
	case (n.style == DecimalPoint) == (sign == '.'):
		return sign, 0, ""
	}
	return 0, sign, ""
}

// read takes the number with its signs known.
func (n typedNumber) read(u Unit, decimal, group rune) (Figure, string) {
	whole, frac, hasFrac := n.text, "", false
	if decimal != 0 {
		whole, frac, hasFrac = strings.Cut(n.text, string(decimal))
	}
	if group != 0 {
		parts := strings.Split(whole, string(group))
		if !grouped(parts) {
			return Figure{}, KeyGrouping
		}
		whole = strings.Join(parts, "")
	}
	digits := whole + frac
	if strings.IndexFunc(digits, func(r rune) bool { return !isDigit(r) }) >= 0 || (hasFrac && frac == "") {
		return Figure{}, KeyGrouping
	}
	if len(frac) > MaxDecimals {
		return Figure{}, KeyDecimals
	}
	m, err := strconv.ParseInt(digits, 10, 64)
	if err != nil {
		return Figure{}, KeySize
	}
	return Figure{Mantissa: m, Decimals: uint8(len(frac)), Unit: u}, ""
}

// grouped reports whether parts are thousands: one to three digits, the first
// not 0, then threes. A single part is free.
func grouped(parts []string) bool {
	if len(parts) == 1 {
		return true
	}
	if first := parts[0]; len(first) < 1 || len(first) > 3 || first[0] == '0' {
		return false
	}
	for _, p := range parts[1:] {
		if len(p) != 3 {
			return false
		}
	}
	return true
}
