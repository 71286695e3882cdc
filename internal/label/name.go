package label

import (
	"strings"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
)

var (
	honeyName  = standard.Cite{Set: standard.EUHoney, Place: "Directive 2001/110/EC art. 2(2)", Got: standard.Read}
	cookingWay = standard.Cite{Set: standard.EUHoney, Place: "Directive 2001/110/EC art. 2(2), baker's honey", Got: standard.Read}
)

// name says what it is, and holds the plant and the place of the name against the
// record: the plant wholly or mainly, with taste, laboratory and pollen; the place
// entirely.
func (l *Label) name(w Wish, t Tipped) {
	name := strings.TrimSpace(w.Name)
	if name == "" {
		l.find(NamePart, answer.Bad, honeyName, "label.name-missing", nil)
	} else {
		l.say(NamePart, honeyName, line("label.text", answer.Args{"text": name})).Front = true
	}
	if t.Cooking {
		l.say(CookingPart, cookingWay, line("label.cooking-only", nil)).Front = true
	}
	if w.Plant != "" {
		l.plant(w.Plant, t)
	}
	if w.Region != "" {
		l.region(w.Region, t)
	}
}

// mainly is what "mainly" is taken to mean: more than half. The directive gives no
// figure.
const mainly = 0.5

func (l *Label) plant(plant string, t Tipped) {
	part, unknown, total := share(t.Plants, plant)
	args := answer.Args{"plant": plant, "part": percent(part, total)}
	switch {
	case t.Cooking:
		l.find(NamePart, answer.Bad, cookingWay, "label.cooking-no-claim", answer.Args{"word": plant})
	case total == 0 || unknown == total:
		l.find(NamePart, answer.Bad, honeyName, "label.plant-not-recorded", args)
	case float64(part) <= mainly*float64(total):
		l.find(NamePart, answer.Bad, honeyName, "label.plant-not-mainly", args)
	}
	for _, c := range []struct {
		truth   Truth
		missing string
		against string
	}{
		{t.Taste, "label.plant-no-taste", "label.plant-taste-against"},
		{t.Lab, "label.plant-no-lab", "label.plant-lab-against"},
		{t.Pollen, "label.plant-no-pollen", "label.plant-pollen-against"},
	} {
		switch c.truth {
		case NotKnown:
			l.find(NamePart, answer.Bad, honeyName, c.missing, args)
		case No:
			l.find(NamePart, answer.Bad, honeyName, c.against, args)
		}
	}
}

func (l *Label) region(region string, t Tipped) {
	part, _, total := share(t.Regions, region)
	switch {
	case t.Cooking:
		l.find(NamePart, answer.Bad, cookingWay, "label.cooking-no-claim", answer.Args{"word": region})
	case total == 0:
		l.find(NamePart, answer.Bad, honeyName, "label.region-not-recorded", answer.Args{"region": region})
	case part < total:
		l.find(NamePart, answer.Bad, honeyName, "label.region-not-entirely", answer.Args{"region": region, "part": percent(part, total), "other": total - part})
	}
}

// share is how much of the honey has the name, how much has none, and how much there is.
func share(all []Mass, name string) (part, unknown, total quantity.Gram) {
	for _, m := range all {
		total += m.Grams
		switch {
		case strings.TrimSpace(m.Name) == "":
			unknown += m.Grams
		case strings.EqualFold(strings.TrimSpace(m.Name), strings.TrimSpace(name)):
			part += m.Grams
		}
	}
	return part, unknown, total
}

func percent(part, total quantity.Gram) any {
	if total == 0 {
		return nil // not known
	}
	return quantity.Percent(100 * float64(part) / float64(total))
}
