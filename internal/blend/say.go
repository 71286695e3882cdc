package blend

import (
	"fmt"
	"strings"
)

// ParseAims reads aims as typed: their keys parted by commas.
func ParseAims(text string) ([]Aim, error) {
	var aims []Aim
	for word := range strings.SplitSeq(text, ",") {
		aim := aimCount
		for a := range aimCount {
			if a.String() == strings.TrimSpace(word) {
				aim = a
			}
		}
		if aim == aimCount {
			return nil, fmt.Errorf("no aim %q, want some of %s", strings.TrimSpace(word), strings.Join(aimNames[:], ", "))
		}
		aims = append(aims, aim)
	}
	return aims, nil
}

// Say names a demand for plain text answers; pages word it in their own language.
func (p *Problem) Say(d Demand) string {
	b := &p.Batches[d.Batch]
	what := d.Kind.String()
	switch d.Kind {
	case AskGrams:
		what = fmt.Sprintf("%g kg", kg(b.Grams))
	case AskTank:
		what = fmt.Sprintf("a tank of %g kg", kg(b.Tank))
	case AskContents:
		what = fmt.Sprintf("at most %d lots", b.Most)
	case AskParcel:
		what = fmt.Sprintf("parcels of at least %g kg", kg(b.Parcel))
	case AskLimit:
		what = b.Limits[d.Index].say()
	case AskShare:
		what = b.Shares[d.Index].say()
	case AskLabel:
		what = fmt.Sprintf("%s %g %% on the label", b.Label[d.Index].Country, float64(b.Label[d.Index].Percent))
	case AskUse:
		what = fmt.Sprintf("%g kg of %s", kg(b.Use[d.Index].Grams), b.Use[d.Index].Content)
	case AskApart:
		what = fmt.Sprintf("%s apart from %s", strings.Join(b.Apart[d.Index].One, " "), strings.Join(b.Apart[d.Index].Other, " "))
	case AskMark:
		what = b.Marks[d.Index]
	case AskTime:
		what = fmt.Sprintf("ready in %g days", float64(b.Within))
	case AskWhole:
		what = "whole drums"
	}
	return b.Name + ": " + what
}

func (l *Limit) say() string {
	var ways []string
	for _, way := range l.Ways {
		var terms []string
		for _, t := range way {
			terms = append(terms, t.say())
		}
		ways = append(ways, strings.Join(terms, " with "))
	}
	return strings.Join(ways, ", or ")
}

func (t Term) say() string {
	sign := "at most"
	if t.Least {
		sign = "at least"
	}
	return strings.TrimSuffix(fmt.Sprintf("%s %s %g %s", strings.ReplaceAll(t.Measure.String(), "_", " "), sign, t.Bound, t.Measure.Unit()), " ×")
}

func (s *Share) say() string {
	switch {
	case s.Most == 0:
		return "no " + s.Name
	case s.Least == 0:
		return fmt.Sprintf("%s at most %g %%", s.Name, float64(s.Most))
	case s.Most == 100:
		return fmt.Sprintf("%s at least %g %%", s.Name, float64(s.Least))
	}
	return fmt.Sprintf("%s %g to %g %%", s.Name, float64(s.Least), float64(s.Most))
}

// SayChange names a change likewise.
func (p *Problem) SayChange(x *Change) string {
	if x.Honey != nil {
		return fmt.Sprintf("%g kg more honey: %s", kg(x.Honey.Grams), x.Honey.Content.Name)
	}
	switch x.Demand.Kind {
	case AskApart, AskMark, AskWhole:
		return "without " + p.Say(x.Demand)
	}
	changed := x.Apply(*p)
	return changed.Say(x.Demand)
}
