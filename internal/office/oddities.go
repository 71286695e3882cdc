package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/record"
	"combline/internal/yard"
)

// flagsOf lists what is odd about facts that follow each other: the fold's own flags
// from the before-th on, those of the yard and the goods, and contents that are now
// below zero.
func flagsOf(s *house.State, before int, entries []record.Entry) (lines []answer.Line) {
	if len(entries) == 0 {
		return nil
	}
	first, last := entries[0].Seq, entries[len(entries)-1].Seq
	for _, f := range s.Flags()[before:] {
		if first <= f.Fact && f.Fact <= last {
			lines = append(lines, answer.Line{Key: f.Key, Args: answer.Args{"of": f.Of, "also": f.Also}, Mark: answer.Care})
		}
	}
	if slices.ContainsFunc(entries, aboutBoxes) {
		for _, f := range s.Yard.Flags() {
			if first <= f.Fact && f.Fact <= last {
				lines = append(lines, yardLine(f))
			}
		}
	}
	if slices.ContainsFunc(entries, aboutGoods) {
		for _, f := range s.Goods.Flags() {
			if first <= f.Fact && f.Fact <= last {
				lines = append(lines, goodsLine(f))
			}
		}
	}
	return append(lines, belowZero(s, entries)...)
}

// belowZero lists contents that facts name and that hold less than nothing now.
func belowZero(s *house.State, entries []record.Entry) (lines []answer.Line) {
	seen := map[record.Code]bool{}
	for i := range entries {
		record.Names(entries[i].Fact, func(c record.Code, _ bool, _ []record.Entity) {
			for _, n := range s.RootsOf(c) {
				m, code := s.Graph().Left(n), s.NodeCode(n)
				if m < 0 && s.NodeKind(n) == house.ContentNode && !seen[code] {
					seen[code] = true
					lines = append(lines, answer.Line{Key: "odd.below-zero", Args: answer.Args{"of": code, "mass": m}, Mark: answer.Bad})
				}
			}
		})
	}
	return lines
}

// aboutBoxes reports whether a fact can be odd to the yard.
func aboutBoxes(e record.Entry) bool {
	switch e.Fact.(type) {
	case *record.SupersPulled, *record.SupersPlaced, *record.SupersReceived, *record.SupersSpun, *record.WetSupersWeighed,
		*record.SupersSentBack, *record.CombsStored, *record.Treated, *record.Fed, *record.EnquiryOpened:
		return true
	}
	return false
}

// aboutGoods reports whether a fact can be odd to the goods.
func aboutGoods(e record.Entry) bool {
	switch e.Fact.(type) {
	case *record.Sent, *record.Returned, *record.Cased, *record.Palletised, *record.Promised, *record.Destroyed, *record.Retained,
		*record.Regraded, *record.TippedBack, *record.BatchMade, *record.MaterialUsed, *record.MaterialCounted,
		*record.ComplaintAnswered, *record.RecallEnded:
		return true
	}
	return false
}

func goodsLine(f goods.Flag) answer.Line {
	return answer.Line{Key: f.Key, Mark: answer.Care, Args: answer.Args{"batch": f.Batch, "of": f.Of, "order": f.Order, "dispatch": f.Dispatch,
		"cases": caseText(f.Cases), "units": f.Units, "most": f.Most}}
}

// caseText is a run of cases as it stands on them: "R1-C1–90".
func caseText(c record.Cases) string {
	if c.First == 0 {
		return ""
	}
	return c.Prefix + itoa(c.First) + "–" + itoa(c.Last)
}

func yardLine(f yard.Flag) answer.Line {
	return answer.Line{Key: f.Key, Mark: answer.Care, Args: answer.Args{"site": f.Site, "lot": f.Lot, "of": f.Of,
		"boxes": f.Boxes, "most": f.Most, "why": answer.Key(f.Reason)}}
}
