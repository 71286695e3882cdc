package demo

import (
	"time"

	"combline/internal/record"
)

// washEnds is the causes of holds that a wash of this house ends: what is dissolved
// in honey or lives in it. Spores stay.
func washEnds() []record.EndsCause {
	return ends(record.CauseTreatment, record.CauseResidue, record.CauseFerment, record.CauseWater,
		record.CauseHeat, record.CauseAllergen, record.CauseOrigin)
}

func ends(causes ...record.Cause) []record.EndsCause {
	var all []record.EndsCause
	for _, c := range causes {
		all = append(all, record.EndsCause{Cause: c})
	}
	return all
}

// washed is a wash of machines or vessels with what the house uses for it. In a
// clean-down they are taken apart and looked over, so that no splinter stays either.
func washed(kind record.CleanKind, what ...record.Code) *record.Cleaned {
	c := &record.Cleaned{What: what, Clean: kind, Ends: washEnds(), Chemical: "soda, rinsed with drinking water", Dry: record.Yes}
	if kind == record.CleanDown {
		c.Ends = append(c.Ends, ends(record.CauseForeignBody)...)
	}
	return c
}

// washDowns are the washes of the harvest. Between lots of the same kind of honey
// the line is only drained; it was washed after the lot on hold, and before the
// forest honey.
func washDowns(d *diary) {
	line := append(append([]record.Code{spinner, melter}, combLine...), straining...)
	tanks := []record.Code{"S1", "S2"}
	d.at(at(time.July, 31, 15, 0), extracting, washed(record.WashDown, append(line[:len(line):len(line)], "S1", "S2", "T1", "T2")...))
	d.at(at(time.August, 13, 15, 0), extracting, washed(record.WashDown, append(line[:len(line):len(line)], tanks...)...))
	d.at(at(time.August, 21, 15, 0), extracting, washed(record.CleanDown, append(line[:len(line):len(line)], tanks...)...))
}
