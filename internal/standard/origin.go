package standard

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"combline/internal/quantity"
)

// A Share is the honey of one country in a lot, from the traceability records.
type Share struct {
	Country string // ISO 3166-1 alpha-2, capitals; empty: not known
	Mass    quantity.Gram
}

// An OriginOption is what the statement depends on besides the shares.
type OriginOption struct {
	Labelled    Date               // day of labelling or placing on the market: earlier stock keeps the earlier wording
	FourLargest bool               // the member state allows percentages for the four largest alone
	Net         quantity.Milligram // of the pack; under 30 g codes may stand for names
	Decimals    uint8              // of the percentages, 0 to 2
}

// BlendWording is the wording before Directive (EU) 2024/1438 for honey of
// several countries, in place of naming them.
type BlendWording uint8

const (
	NoBlend BlendWording = iota
	BlendEU
	BlendNonEU
	BlendBoth
)

// An OriginLine is one country of the statement.
type OriginLine struct {
	Country    string
	HasPercent bool
	Mantissa   int64            // percentage × 10^Decimals, largest remainder; adds up to 100
	Share      quantity.Percent // unrounded, for the record
}

// An Origin is an origin statement as the rules ask for it.
type Origin struct {
	Lines       []OriginLine // falling share, then by code
	Decimals    uint8
	Blend       BlendWording // earlier rules only: may stand in place of the lines
	CodesMayDo  bool         // two-letter codes may stand for names
	FourLargest bool         // the option was used
	Cite        Cite
}

const (
	smallPack     = 30 * g
	mostGrams     = 100_000_000_000 // keeps a share in whole numbers
	fourMost      = 4
	originPercent = 100
)

// StateOrigin makes the origin statement of a lot for the Union's market: every
// country in falling share, with percentages that add up to 100 by largest
// remainder (ties to the larger share, then by code). With the four-largest
// option, more than four countries, and those four over half, only they carry a
// percentage. Labelled before 14 June 2026, the earlier wording holds. Honey of
// no known country has no statement. Source: Directive 2001/110/EC art. 2(4),
// before and as amended by Directive (EU) 2024/1438 (read; sale of earlier
// stock: memory).
func StateOrigin(shares []Share, o OriginOption) (Origin, error) {
	lines, total, err := merge(shares)
	if err != nil {
		return Origin{}, err
	}
	if o.Labelled == 0 {
		return Origin{}, fmt.Errorf("no day of labelling given; the rules change on %v: %w", originChange, ErrNoRule)
	}
	if o.Decimals > 2 || o.Net <= 0 {
		return Origin{}, fmt.Errorf("%d decimals and net %g g, want 0 to 2 and above 0 g: %w", o.Decimals, grams(o.Net), ErrOutOfRange)
	}
	a := Origin{Decimals: o.Decimals, Lines: make([]OriginLine, len(lines))}
	for i, s := range lines {
		a.Lines[i] = OriginLine{Country: s.Country, Share: quantity.Percent(100 * float64(s.Mass) / float64(total))}
	}
	if o.Labelled < originChange {
		a.Blend, a.Cite = blendOf(lines), Cite{EUOrigin2001, "art. 2(4)", Read}
		return a, nil
	}
	a.Cite, a.CodesMayDo = Cite{EUOrigin2024, "art. 2(4)", Read}, o.Net < smallPack
	if len(lines) > 1 {
		percentages(&a, lines, total, o.FourLargest)
	}
	return a, nil
}

func percentages(a *Origin, lines []Share, total quantity.Gram, option bool) {
	for i, n := range largestRemainder(lines, total, originPercent*int64(pow10[a.Decimals])) {
		a.Lines[i].Mantissa = n
	}
	shown := len(lines)
	if option && shown > fourMost && 2*sum(lines[:fourMost]) > total {
		shown, a.FourLargest = fourMost, true
	}
	for i := range shown {
		a.Lines[i].HasPercent = true
	}
}

var pow10 = [...]int{1, 10, 100}

func sum(s []Share) (total quantity.Gram) {
	for _, x := range s {
		total += x.Mass
	}
	return total
}

// merge adds up a country's shares, drops those of 0 g (possible, but nothing
// to state), and sorts by falling share, then by code.
func merge(shares []Share) ([]Share, quantity.Gram, error) {
	var out []Share
	var total quantity.Gram
	for _, s := range shares {
		if s.Mass < 0 || s.Mass > mostGrams {
			return nil, 0, fmt.Errorf("share of %q is %d g, want 0 g to %d g: %w", s.Country, s.Mass, int64(mostGrams), ErrOutOfRange)
		}
		if s.Mass == 0 {
			continue
		}
		if !countryCode(s.Country) {
			return nil, 0, fmt.Errorf("%d g of country %q; find its two-letter code before stating an origin: %w", s.Mass, s.Country, ErrNoRule)
		}
		if total += s.Mass; total > mostGrams {
			return nil, 0, fmt.Errorf("shares add up to more than %d g: %w", int64(mostGrams), ErrOutOfRange)
		}
		if i := slices.IndexFunc(out, func(x Share) bool { return x.Country == s.Country }); i >= 0 {
			out[i].Mass += s.Mass
		} else {
			out = append(out, s)
		}
	}
	if total == 0 {
		return nil, 0, fmt.Errorf("no honey to state an origin of: %w", ErrOutOfRange)
	}
	slices.SortFunc(out, func(a, b Share) int {
		return cmp.Or(cmp.Compare(b.Mass, a.Mass), strings.Compare(a.Country, b.Country))
	})
	return out, total, nil
}

func countryCode(s string) bool {
	return len(s) == 2 && 'A' <= s[0] && s[0] <= 'Z' && 'A' <= s[1] && s[1] <= 'Z'
}

// largestRemainder parts units among sorted shares so that they add up: each
// takes its whole part, and the units left go to the largest remainders.
func largestRemainder(lines []Share, total quantity.Gram, units int64) []int64 {
	out, order, left := make([]int64, len(lines)), make([]int, len(lines)), units
	rest := func(i int) int64 { return int64(lines[i].Mass) * units % int64(total) }
	for i, s := range lines {
		out[i], order[i] = int64(s.Mass)*units/int64(total), i
		left -= out[i]
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(rest(j), rest(i)) })
	for _, i := range order[:left] {
		out[i]++
	}
	return out
}

// members are the Union's member states since 1 February 2020 (memory), as ISO
// codes; Greece is GR.
const members = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"

func blendOf(lines []Share) BlendWording {
	if len(lines) < 2 {
		return NoBlend
	}
	inside := 0
	for _, s := range lines {
		if strings.Contains(members, s.Country) {
			inside++
		}
	}
	switch inside {
	case len(lines):
		return BlendEU
	case 0:
		return BlendNonEU
	}
	return BlendBoth
}
