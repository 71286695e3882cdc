package standard

import (
	"fmt"

	"combline/internal/quantity"
)

// A variation is a row of the US table: labels up to and including so many
// hundredths of a pound may vary by a mass printed in grams, which is truncated
// from pounds, never rounded.
type variation struct {
	upTo int64 // 0.01 lb
	by   quantity.Milligram
	got  Got
}

// NIST Handbook 133 Table 2-5. The row of 113 g was read in the handbook's
// chapter 2; the others, and that row's ends, are from memory.
var variations = [...]variation{
	{12, 3600, Memory}, {18, 5400, Memory}, {26, 7200, Read}, {34, 9000, Memory}, {46, 10800, Memory},
	{58, 12700, Memory}, {70, 14500, Memory}, {84, 16300, Memory}, {94, 18100, Memory}, {108, 19900, Memory},
	{126, 21700, Memory}, {140, 23500, Memory}, {154, 25400, Memory}, {170, 27200, Memory}, {188, 29000, Memory},
	{214, 31700, Memory}, {248, 35300, Memory}, {276, 39000, Memory}, {320, 42600, Memory}, {390, 49 * g, Memory},
	{470, 54 * g, Memory}, {580, 63 * g, Memory}, {680, 68 * g, Memory}, {790, 77 * g, Memory}, {940, 86 * g, Memory},
	{1170, 99 * g, Memory}, {1430, 113 * g, Memory}, {1770, 127 * g, Memory}, {2320, 140 * g, Memory},
	{3160, 167 * g, Memory}, {4240, 199 * g, Memory}, {5440, 226 * g, Memory},
}

const (
	tenPercentUpTo = 8 // 0.01 lb
	massLimit      = 1_000_000 * g
)

// pounds is n hundredths of a pound (0.45359237 kg exactly) to the nearest
// milligram, which is how a label converted from pounds arrives: so a label
// exactly at a band's end stays in that band.
func pounds(n int64) quantity.Milligram { return quantity.Milligram((n*45_359_237 + 5000) / 10000) }

// allowableVariation truncates the percentages of the table's ends to whole
// milligrams: an error in whole milligrams exceeds the one when it exceeds the
// other.
func allowableVariation(label quantity.Milligram) (Tolerance, error) {
	if label <= 0 || label > massLimit {
		return Tolerance{}, fmt.Errorf("label %g g, the us table runs from above 0 g to %g g: %w", grams(label), grams(massLimit), ErrOutOfRange)
	}
	by, got := label/50, Memory // 2 % above the table
	if label <= pounds(tenPercentUpTo) {
		by = label / 10
	} else {
		for i := range variations {
			if v := &variations[i]; label <= pounds(v.upTo) {
				by, got = v.by, v.got
				break
			}
		}
	}
	return Tolerance{Label: label, T: by, T1: label - by, Cite: Cite{USContents, "Appendix A Table 2-5", got}}, nil
}
