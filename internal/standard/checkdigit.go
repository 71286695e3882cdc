package standard

import (
	"fmt"
	"unicode/utf8"
)

// CheckDigit gives the digit that completes a GS1 key: from the right, without
// the check digit, weights 3, 1, 3, 1 ...; digit = (10 − sum mod 10) mod 10.
// Takes 7, 11, 12, 13 or 17 digits (GTIN-8, 12, 13 and GLN, 14, SSCC). Every
// single wrong digit is found; a swap of neighbours that differ by 5 is not.
// Source: GS1, how to calculate a check digit manually (read).
func CheckDigit(digits string) (byte, Cite, error) {
	c := Cite{GS1Keys, "all keys", Read}
	place := 0
	for _, r := range digits {
		if place++; r < '0' || r > '9' {
			return 0, c, fmt.Errorf("%q at place %d is no digit", r, place)
		}
	}
	switch len(digits) {
	case 7, 11, 12, 13, 17:
	default:
		return 0, c, fmt.Errorf("%d digits, want 7, 11, 12, 13 or 17 without the check digit: %w", len(digits), ErrOutOfRange)
	}
	sum, weight := 0, 3
	for i := len(digits) - 1; i >= 0; i-- {
		sum += int(digits[i]-'0') * weight
		weight = 4 - weight
	}
	return '0' + byte((10-sum%10)%10), c, nil
}

// CodeValid reports whether a whole key of 8, 12, 13, 14 or 18 digits carries
// its right check digit.
func CodeValid(code string) (bool, Cite, error) {
	if code == "" {
		return false, Cite{}, fmt.Errorf("no digits, want 8, 12, 13, 14 or 18: %w", ErrOutOfRange)
	}
	_, last := utf8.DecodeLastRuneInString(code)
	last = len(code) - last
	if d := code[last:]; d < "0" || d > "9" {
		return false, Cite{}, fmt.Errorf("code %q ends with %q, which is no digit", code, d)
	}
	want, c, err := CheckDigit(code[:last])
	if err != nil {
		return false, c, fmt.Errorf("code %q with its check digit: %w", code, err)
	}
	return code[last] == want, c, nil
}
