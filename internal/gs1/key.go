package gs1

import (
	"fmt"
	"strings"

	"combline/internal/standard"
)

// Item makes the 14 digits of a trade item's number from 8, 12, 13 or 14 that end with
// their check digit.
func Item(number string) (Element, error) {
	ok, _, err := standard.CodeValid(number)
	switch {
	case err != nil:
		return Element{}, err
	case len(number) > 14:
		return Element{}, fmt.Errorf("%s has %d digits; a trade item's number has 8, 12, 13 or 14", number, len(number))
	case !ok:
		want, _, _ := standard.CheckDigit(number[:len(number)-1])
		return Element{}, fmt.Errorf("%s ends with the check digit %c, and should with %c: one digit is wrong; look at the packing's own print", number, number[len(number)-1], want)
	}
	return Element{"01", strings.Repeat("0", 14-len(number)) + number}, nil
}

// Case makes the number of a case of trade items: the indicator, 1 to 8, before the
// item's digits, with a new check digit.
func Case(number string, indicator int) (Element, error) {
	item, err := Item(number)
	if err != nil {
		return item, err
	}
	if indicator < 1 || indicator > 8 {
		return item, fmt.Errorf("the indicator of a case is 1 to 8, not %d", indicator)
	}
	if item.Value[0] != '0' {
		return item, fmt.Errorf("%s is a case's number already", number)
	}
	digits, err := completed(fmt.Sprint(indicator)+item.Value[1:13], 14)
	return Element{"01", digits}, err
}

// Pallet makes the serial code of a shipping container: an extension digit, the
// company's prefix of 4 to 12 digits, and a number that fills it up to 17. Source: GS1
// General Specifications, section 1.4.4 and glossary (memory).
func Pallet(company string, extension int, serial int64) (Element, error) {
	if n := len(company); n < 4 || n > 12 || strings.Trim(company, "0123456789") != "" {
		return Element{}, fmt.Errorf("%q is no company prefix of 4 to 12 digits", company)
	}
	width := 16 - len(company)
	limit := int64(1)
	for range width {
		limit *= 10
	}
	if extension < 0 || extension > 9 || serial < 0 || serial >= limit {
		return Element{}, fmt.Errorf("pallet %d of extension %d does not fit the prefix %s: 0 to %d", serial, extension, company, limit-1)
	}
	digits, err := completed(fmt.Sprintf("%d%s%0*d", extension, company, width, serial), 18)
	return Element{"00", digits}, err
}
