package gs1

import (
	"fmt"
	"strings"
	"time"

	"combline/internal/standard"
)

// A check is what a part of a value must keep beyond its form.
type check byte

const (
	free      check = iota
	checksum        // the last digit is the GS1 check digit
	date            // YYMMDD of the calendar
	dateOrEnd       // the same, where day 00 is the month's last
	country         // ISO 3166-1, three digits
)

// A part of a value: from min to max digits, or characters if text.
type part struct {
	text     bool
	min, max int
	check    check
}

// An Identifier is an application identifier: what follows its digits.
type Identifier struct {
	Code  string
	Title string
	parts []part
	needs [][]string // one of these sets must be there too
	bars  []string   // none of these may be
	inURI bool       // may stand in the query of a Digital Link address
}

var (
	gtin14 = []part{{min: 14, max: 14, check: checksum}}
	gln13  = []part{{min: 13, max: 13, check: checksum}}
	day    = []part{{min: 6, max: 6, check: dateOrEnd}}
	weight = []part{{min: 6, max: 6}}
	land   = part{min: 3, max: 3, check: country}
	more   = part{min: 0, max: 3, check: country}

	ofItem  = [][]string{{"01"}, {"02"}, {"03"}, {"8006"}, {"8026"}}
	ofTrade = [][]string{{"01"}, {"02"}, {"03"}}
)

func text(max int) []part   { return []part{{text: true, min: 1, max: max}} }
func digits(max int) []part { return []part{{min: 1, max: max}} }

// known is in the order of the digits. Of 310n and its like the fourth digit is the
// number of decimals.
var known = []Identifier{
	{"00", "serial shipping container code", []part{{min: 18, max: 18, check: checksum}}, nil, nil, true},
	{"01", "trade item", gtin14, nil, []string{"02", "255", "37"}, true},
	{"02", "trade item contained", gtin14, [][]string{{"37"}}, []string{"01", "03"}, true},
	{"10", "batch or lot", text(20), ofItem, nil, true},
	{"11", "production date", day, ofItem, nil, true},
	{"13", "packaging date", day, ofItem, nil, true},
	{"15", "best before", day, ofItem, nil, true},
	{"17", "use by", day, append([][]string{{"255"}}, ofItem...), nil, true},
	{"21", "serial number", text(20), [][]string{{"01"}, {"03"}, {"8006"}}, []string{"235"}, true},
	{"22", "consumer product variant", text(20), [][]string{{"01"}}, nil, true},
	{"240", "additional product identification", text(30), ofItem, nil, true},
	{"251", "reference to source", text(30), [][]string{{"01"}, {"03"}, {"8006"}}, nil, true},
	{"253", "document type", []part{{min: 13, max: 13, check: checksum}, {text: true, min: 0, max: 17}}, nil, nil, true},
	{"254", "extension of a location", text(20), [][]string{{"414"}}, nil, false},
	{"30", "count of items of variable measure", digits(8), [][]string{{"01"}, {"02"}}, nil, true},
	{"310", "net weight, kg", weight, [][]string{{"01"}, {"02"}}, nil, true},
	{"320", "net weight, lb", weight, [][]string{{"01"}, {"02"}}, nil, true},
	{"330", "gross weight, kg", weight, [][]string{{"00"}, {"01"}}, nil, true},
	{"37", "count of trade items contained", digits(8), [][]string{{"00", "02"}, {"00", "8026"}}, nil, true},
	{"410", "ship to", gln13, nil, nil, true},
	{"414", "location", gln13, nil, nil, true},
	{"417", "party", gln13, nil, nil, true},
	{"421", "ship to, postcode with country", []part{land, {text: true, min: 1, max: 9}}, nil, []string{"4307"}, true},
	{"422", "country of origin", []part{land}, ofItem, []string{"426"}, true},
	{"423", "countries of first processing", []part{land, more, more, more, more}, ofTrade, []string{"426"}, true},
	{"424", "country of processing", []part{land}, ofTrade, []string{"426"}, true},
	{"426", "country of every step", []part{land}, ofTrade, nil, true},
	{"7007", "harvested", []part{{min: 6, max: 6, check: date}, {min: 0, max: 6, check: date}}, [][]string{{"01"}, {"02"}}, nil, true},
}

// identify finds the identifier at the beginning of s, with the digit of its decimals.
func identify(s string) (Identifier, string, error) {
	for _, id := range known {
		rest, ok := strings.CutPrefix(s, id.Code)
		if !ok {
			continue
		}
		if !id.decimals() {
			return id, rest, nil
		}
		if rest == "" || rest[0] < '0' || rest[0] > '5' {
			return id, "", fmt.Errorf("after %s comes the number of decimals, 0 to 5, not %q", id.Code, clip(rest, 1))
		}
		id.Code += rest[:1]
		return id, rest[1:], nil
	}
	return Identifier{}, "", fmt.Errorf("%q begins with no identifier that is known here", clip(s, 8))
}

func (id Identifier) decimals() bool {
	return id.Code == "310" || id.Code == "320" || id.Code == "330"
}

// fixed reports whether the identifier is in the table of those whose length is known
// to every reader, so that nothing needs to end the value. A country (422) has one
// length too, but is not in it. Source: GS1 General Specifications, figure 7.8.5-2
// (memory); each row of the syntax dictionary's extract is held to it by a test.
func (id Identifier) fixed() bool {
	switch p := id.Code[:2]; p {
	case "00", "01", "02", "03", "04", "41":
		return true
	default:
		return p >= "11" && p <= "20" || p >= "31" && p <= "36"
	}
}

// verify holds a value against the identifier's form.
func (id Identifier) verify(value string) error {
	rest := value
	for i, p := range id.parts {
		n := min(p.max, len(rest))
		if i == len(id.parts)-1 {
			n = len(rest)
		}
		if n == 0 && p.min == 0 {
			continue
		}
		if n < p.min && n > 0 || n < p.min || n > p.max {
			return fmt.Errorf("%s %s: %q has %d characters, want %s", id.Code, id.Title, value, len(value), id.lengths())
		}
		if err := p.verify(rest[:n]); err != nil {
			return fmt.Errorf("%s %s: %w", id.Code, id.Title, err)
		}
		rest = rest[n:]
	}
	return nil
}

func (id Identifier) lengths() string {
	least, most := 0, 0
	for _, p := range id.parts {
		least, most = least+p.min, most+p.max
	}
	if least == most {
		return fmt.Sprint(most)
	}
	return fmt.Sprintf("%d to %d", least, most)
}

func (p part) verify(s string) error {
	if p.text {
		if i := strings.IndexFunc(s, func(r rune) bool { return !inSet82(r) }); i >= 0 {
			return fmt.Errorf("%q has a character that codes of this kind can't carry: %q", s, s[i:i+1])
		}
		return nil
	}
	if i := strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' }); i >= 0 {
		return fmt.Errorf("%q must be digits", s)
	}
	switch p.check {
	case checksum:
		want, _, err := standard.CheckDigit(s[:len(s)-1])
		if err != nil {
			return err
		}
		if got := s[len(s)-1]; got != want {
			return fmt.Errorf("%s ends with the check digit %c, and should with %c: one digit is wrong", s, got, want)
		}
	case date, dateOrEnd:
		return verifyDate(s, p.check == dateOrEnd)
	case country:
		if len(s) != 3 || s == "000" {
			return fmt.Errorf("%q is no country: three digits of ISO 3166-1", s)
		}
	}
	return nil
}

// verifyDate holds YYMMDD to the calendar. Of the years that two digits can mean, a
// leap one is taken when there is one.
func verifyDate(s string, endAllowed bool) error {
	if len(s) != 6 {
		return fmt.Errorf("%q is no date: YYMMDD", s)
	}
	if endAllowed && s[4:] == "00" {
		s = s[:4] + "01"
	}
	if _, err := time.Parse("20060102", "20"+s); err != nil {
		return fmt.Errorf("%q is no date of the calendar: YYMMDD", s)
	}
	return nil
}

// inSet82 reports whether r is in the set of 82 characters that lots and serials use.
// Source: GS1 General Specifications, figure 7.11-1 (ISO/IEC 646 subset, memory).
func inSet82(r rune) bool {
	switch {
	case r >= '0' && r <= '9', r >= 'A' && r <= 'Z', r >= 'a' && r <= 'z':
		return true
	}
	return strings.ContainsRune(`!"%&'()*+,-./:;<=>?_`, r)
}

// clip shows the beginning of what can be long.
func clip(s string, n int) string {
	if len(s) <= n {
		return s
	}
	return s[:n]
}
