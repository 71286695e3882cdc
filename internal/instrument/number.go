package instrument

import (
	"math/bits"

	"combline/internal/quantity"
)

// A decimal is a number as it stands in a frame: mantissa × 10^−decimals.
type decimal struct {
	mantissa int64
	decimals int
}

// number reads a decimal number at the start of b: a sign, blanks after it, digits with
// a point or comma, unless that sign parts it from what follows. n is how many bytes it
// took; 0: there is none.
func number(b []byte, parts byte) (d decimal, n int, ok bool) {
	i, negative := 0, false
	if i < len(b) && (b[i] == '+' || b[i] == '-') {
		negative = b[i] == '-'
		for i++; i < len(b) && b[i] == ' '; i++ {
		}
	}
	digits, point := 0, false
	for ; i < len(b); i++ {
		switch c := b[i]; {
		case '0' <= c && c <= '9':
			if d.mantissa > (1<<62)/10 {
				return d, i, false // more than any scale shows
			}
			d.mantissa = d.mantissa*10 + int64(c-'0')
			digits++
			if point {
				d.decimals++
			}
			continue
		case (c == '.' || c == ',') && c != parts && !point && digits > 0 && i+1 < len(b) && '0' <= b[i+1] && b[i+1] <= '9':
			point = true
			continue
		}
		break
	}
	if digits == 0 {
		return d, 0, false
	}
	if negative {
		d.mantissa = -d.mantissa
	}
	return d, i, true
}

// A unit is what one of a weight's unit is: num/den milligrams. The pound is 0.45359237 kg
// exactly (international yard and pound agreement of 1959), the ounce a sixteenth.
type unit struct{ num, den int64 }

var (
	grams     = unit{1000, 1}
	kilograms = unit{1_000_000, 1}
)

// unitOf reads the word of a unit; letters of either case.
func unitOf(word []byte) (unit, bool) {
	var low [3]byte
	if len(word) == 0 || len(word) > len(low) {
		return unit{}, false
	}
	for i, c := range word {
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		low[i] = c
	}
	switch string(low[:len(word)]) {
	case "g", "gr":
		return grams, true
	case "kg":
		return kilograms, true
	case "mg":
		return unit{1, 1}, true
	case "t":
		return unit{1_000_000_000, 1}, true
	case "lb", "lbs":
		return unit{45_359_237, 100}, true
	case "oz":
		return unit{45_359_237, 1600}, true
	}
	return unit{}, false
}

// heaviest is more than any jar, bucket or tank weighs: 1,000 t.
const heaviest = 1_000_000_000_000

// milligrams is d in milligrams, halves away from zero; false above 1,000 t.
func (d decimal) milligrams(u unit) (quantity.Milligram, bool) {
	if d.decimals > 15 {
		return 0, false
	}
	den := uint64(u.den)
	for range d.decimals {
		if den > 1<<58 {
			return 0, false
		}
		den *= 10
	}
	m, negative := uint64(d.mantissa), d.mantissa < 0
	if negative {
		m = uint64(-d.mantissa)
	}
	hi, lo := bits.Mul64(m, uint64(u.num))
	lo, carry := bits.Add64(lo, den/2, 0)
	if hi += carry; hi >= den {
		return 0, false
	}
	q, _ := bits.Div64(hi, lo, den)
	if q > heaviest {
		return 0, false
	}
	if negative {
		return -quantity.Milligram(q), true
	}
	return quantity.Milligram(q), true
}
