package office

import (
	"regexp"
	"strconv"

	"combline/internal/answer"
	"combline/internal/record"
)

// without is the house as it would be if these contents were sold: facts folded into
// a copy, so nothing is recorded. With none it is the view itself.
func (v *View) without(sold []record.Code) (*View, error) {
	if len(sold) == 0 {
		return v, nil
	}
	var lines []record.SentLine
	for _, p := range v.runs(asParts(sold)) {
		c, ok := v.bulkOf(p.Code)
		if !ok {
			return nil, v.notHere(p.Code)
		}
		lines = append(lines, record.SentLine{What: c.Code})
	}
	w := &View{State: v.State.Clone(), line: v.line, log: v.log}
	w.State.Fold(&record.Entry{Seq: v.Facts() + 1, Parts: 1, When: record.When{Minute: v.State.Latest, Precision: record.ToMinute},
		Fact: &record.Sent{Dispatch: v.FreeCode("what-if"), Lines: lines}})
	return w, nil
}

func (v *View) notHere(code record.Code) error {
	near := v.State.Near(code, []record.Entity{record.Filling, record.Vessel})
	if len(near) == 0 {
		return &BlendWrong{"blend.wrong.content", answer.Args{"code": code}, "next.type-again"}
	}
	return &BlendWrong{"blend.wrong.content-near", answer.Args{"code": code, "near": near}, "next.type-again"}
}

func asParts(codes []record.Code) (all []AskedPart) {
	for _, c := range codes {
		all = append(all, AskedPart{Code: c})
	}
	return all
}

// runOfCodes is "D028-D034" or "D028-034".
var runOfCodes = regexp.MustCompile(`^(.*?)(\d+)\s*[-–]\s*(.*?)(\d+)$`)

const mostInRun = 1000

// runs writes out runs of numbers, "D028-D034", where no thing bears such a code itself.
func (v *View) runs(parts []AskedPart) (all []AskedPart) {
	for _, p := range parts {
		m := runOfCodes.FindStringSubmatch(string(p.Code))
		if _, is := v.State.Find(p.Code); is || m == nil || m[3] != "" && record.Code(m[3]).Fold() != record.Code(m[1]).Fold() {
			all = append(all, p)
			continue
		}
		first, err1 := strconv.Atoi(m[2])
		last, err2 := strconv.Atoi(m[4])
		if err1 != nil || err2 != nil || last < first || last-first > mostInRun {
			all = append(all, p)
			continue
		}
		for n := first; n <= last; n++ {
			digits := strconv.Itoa(n)
			for len(digits) < len(m[2]) {
				digits = "0" + digits
			}
			all = append(all, AskedPart{Code: record.Code(m[1] + digits), Grams: p.Grams})
		}
	}
	return all
}
