package label

import (
	"fmt"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// dates says the best-before date as finely as it must be, and the lot.
func (l *Label) dates(w Wish) error {
	cite := standard.Cite{Set: standard.EULotAndDate, Place: "Annex X 1", Got: standard.Read}
	if w.BestBefore == 0 {
		l.find(BestBeforePart, answer.Bad, cite, "label.best-before-missing", nil)
	} else if err := l.bestBefore(w); err != nil {
		return err
	}
	surface := w.Pack.LargestCM2
	if surface == 0 {
		surface = 80 // not known: taken as a pack that needs all
	}
	needed, cite, err := standard.LotNeeded(w.FullDate && w.BestBefore != 0, surface)
	if err != nil {
		return fmt.Errorf("lot mark: %w", err)
	}
	switch lot := strings.TrimSpace(w.Lot); {
	case lot != "":
		l.say(LotPart, cite, line("label.lot", answer.Args{"lot": lot}))
	case needed:
		l.find(LotPart, answer.Bad, cite, "label.lot-missing", nil)
	default:
		l.find(LotPart, answer.Care, cite, "label.lot-not-needed", nil)
	}
	return nil
}

func (l *Label) bestBefore(w Wish) error {
	p, cite, err := standard.DatePrecisionOf(w.KeepsMonths)
	if err != nil {
		return fmt.Errorf("best before: %w", err)
	}
	if w.BestBefore <= w.Labelled {
		l.find(BestBeforePart, answer.Bad, cite, "label.best-before-past", answer.Args{"date": w.BestBefore.String(), "day": w.Labelled.String()})
	}
	key, shown, end, chance := "label.best-before-end", w.BestBefore, w.BestBefore, w.Keeps.Chance
	switch {
	case w.FullDate || p == standard.DayAndMonth:
		key = "label.best-before"
	case p == standard.MonthAndYear:
		shown -= shown % 100
		end, chance = monthEnd(shown), w.Keeps.MonthEnd
	default:
		shown -= shown % 10000
		end, chance = shown+1231, w.Keeps.YearEnd
	}
	l.say(BestBeforePart, cite, line(key, answer.Args{"date": shown.String()}))
	args := answer.Args{"chance": quantity.Percent(100 * w.Keeps.Chance), "asked": quantity.Percent(100 * w.Keeps.Asked), "date": w.BestBefore.String()}
	switch {
	case !w.Keeps.Known:
		l.find(BestBeforePart, answer.Care, cite, "label.keeping-unknown", args)
	case !(w.Keeps.Chance >= w.Keeps.Asked):
		l.find(BestBeforePart, answer.Bad, cite, "label.keeping-short", args)
	default:
		l.find(BestBeforePart, answer.Good, cite, "label.keeping-good", args)
		if end > w.BestBefore && !(chance >= w.Keeps.Asked) { // the words say more than the day that was judged
			l.find(BestBeforePart, answer.Care, cite, "label.keeping-words", answer.Args{"chance": quantity.Percent(100 * chance), "asked": args["asked"], "date": args["date"], "end": end.String()})
		}
	}
	return nil
}

// monthEnd is the last day of a month that is told without a day.
func monthEnd(month standard.Date) standard.Date {
	last := time.Date(int(month/10000), time.Month(month/100%100)+1, 0, 0, 0, 0, 0, time.UTC)
	return standard.DateOf(last.Date())
}

// house says what does not depend on the honey: how to store it, who packed it, and
// the advice for infants.
func (l *Label) house(w Wish) {
	cite := standard.Cite{Set: standard.EULabels, Place: "art. 9", Got: standard.Memory}
	l.say(StoragePart, cite, line("label.storage", nil))
	if p := strings.TrimSpace(w.Packer); p != "" {
		l.say(PackerPart, cite, line("label.text", answer.Args{"text": p}))
	} else {
		l.find(PackerPart, answer.Bad, cite, "label.packer-missing", nil)
	}
	if !w.Bulk {
		advice := standard.Cite{Set: standard.EULabels, Place: "public-health advice (INSPQ), common practice; no duty", Got: standard.Read}
		l.say(InfantPart, advice, line("label.infant", nil))
	}
}
