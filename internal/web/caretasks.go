package web

import (
	"slices"
	"strconv"
	"strings"

	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// What is written down about the care of the house.

// startLines are what is looked at before a start: as the house did last, or, where
// it never did, a list to begin with.
func (v *visit) startLines(h *office.View) (lines []string, of []record.Code) {
	if last, ok := h.LastStart(); ok {
		for _, l := range last.Lines {
			lines = append(lines, l.What)
		}
		return lines, last.Of
	}
	return strings.Split(v.say("page.enter.start.lines"), "; "), nil
}

const mostLines = 12

func (v *visit) startTask(record.Code) (*task, error) {
	t := &task{Note: v.say("page.enter.start.note")}
	p := part{Kind: record.KindStartChecked, Fixed: map[string]string{}}
	v.s.office.Read(func(h *office.View) {
		lines, of := v.startLines(h)
		machines := named(h, record.Machine, nil)
		choose(machines, of)
		for i, what := range lines[:min(len(lines), mostLines)] {
			at := "lines." + strconv.Itoa(i+1) + "."
			p.Fixed[at+"what"] = what
			p.Cells = append(p.Cells, cell{Name: at + "in_order", Label: what, Need: true})
		}
		p.Cells = append(p.Cells, cell{Name: "of", Label: v.say("page.enter.start.of"), Likely: machines})
	})
	t.Parts = []part{p}
	return t, nil
}

// checkTask holds an instrument against something known, in the unit that it shows.
func (v *visit) checkTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Instrument)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Keys: true, Note: v.say("page.enter.check.note")}
	unit, against := "", ""
	v.s.office.Read(func(h *office.View) {
		for _, x := range h.Care(v.day()).Tools {
			if x.Instrument.Fold() != of.Fold() {
				continue
			}
			if x.Check != nil { // as it was done last
				unit, against = x.Check.Fact.Against.Unit.String(), v.bareNumber(x.Check.Fact.Against)
			} else if x.Division.Given() {
				unit = x.Division.Unit.String()
			} else if isThermometer(&x.InstrumentNamed) {
				unit = v.c.Style().Temp.String()
			} else if isRefractometer(&x.InstrumentNamed) {
				unit = quantity.Pct.String()
			}
		}
	})
	t.Make = v.judgeScale
	hint := ""
	if unit == "" {
		hint = v.say("page.enter.check.unit")
	}
	t.Parts = []part{{Kind: record.KindInstrumentChecked, Fixed: map[string]string{"instrument": string(of)}, Cells: []cell{
		{Name: "read", Label: v.say("page.enter.check.read"), Unit: unit, Hint: hint, Need: true}, {Name: "against", Label: v.say("page.enter.check.against"), Unit: unit, Start: against},
		{Name: "in_order", Need: true}, {Name: "action"}}}}
	return t, nil
}

// roomTask reads the air of a room.
func (v *visit) roomTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Place)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindTemperatureRead, Fixed: map[string]string{"of": string(of), "where": "air"}, Cells: []cell{
			{Name: "temp", Need: true}, {Name: "humidity"}, {Name: "instrument", Likely: named(h, record.Instrument, isThermometer)}}}}
	})
	return t, nil
}

func (v *visit) problemTask(of record.Code) (*task, error) {
	t := &task{Of: of, Note: v.say("page.enter.problem.note")}
	v.s.office.Read(func(h *office.View) {
		var likely []option
		if x, ok := h.State.Find(of); ok && of != "" {
			likely = []option{{Value: string(h.State.Code(x)), Text: string(h.State.Code(x)), On: true}}
		}
		t.Parts = []part{{Kind: record.KindProblemFound, Cells: []cell{{Name: "what", Label: v.say("page.enter.problem.what"), Start: v.arg("what")}, {Name: "about", Likely: likely},
			{Name: "problem", Start: string(h.NextCode(record.Problem, "PR-01"))}}}}
	})
	return t, nil
}

func (v *visit) dealtTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Problem)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Parts: []part{{Kind: record.KindProblemDealtWith, Fixed: map[string]string{"problem": string(of)}, Cells: []cell{{Name: "action"}, {Name: "over"}}}}}
	v.s.office.Read(func(h *office.View) {
		for _, p := range h.State.Problems() {
			if p.Code.Fold() == of.Fold() {
				t.About = p.What
			}
		}
	})
	return t, nil
}

// isMachine tells machines whose name or kind says so, in any language of the program.
func (v *visit) isMachine(key string) func(record.Fact) bool {
	words := v.inEveryLanguage(key)
	return func(f record.Fact) bool {
		m, ok := f.(*record.MachineNamed)
		return ok && slices.ContainsFunc(words, func(w string) bool { return containsFold(m.What, w) || containsFold(string(m.Machine), w) })
	}
}

func (v *visit) extractorWords() []string { return v.inEveryLanguage("page.words.extractor") }

// inEveryLanguage are the words of a list in all languages: machines are named in the
// house's, whoever is at the tablet.
func (v *visit) inEveryLanguage(key string) (all []string) {
	for _, c := range v.s.tongue {
		for w := range strings.SplitSeq(c.Say(key), ",") {
			all = append(all, strings.TrimSpace(w))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}
