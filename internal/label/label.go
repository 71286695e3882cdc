package label

import (
	"fmt"

	"combline/internal/answer"
	"combline/internal/standard"
)

// A Part is one thing that a label says.
type Part uint8

const (
	NamePart Part = iota
	OriginPart
	NetPart
	CookingPart
	IngredientsPart
	AllergensPart
	BestBeforePart
	StoragePart
	LotPart
	PackerPart
	NutritionPart
	InfantPart
	TextPart
)

// An Item is one part with what it says. Its letters are at least LeastMM high: of the
// net quantity the figures, of the rest a small x.
type Item struct {
	Part    Part
	Says    []answer.Line
	LeastMM float64
	Front   bool // in one field of vision with the name
	Cite    standard.Cite
}

// A Finding is what is wrong, missing or to be looked at. [answer.Bad] must be put
// right before anything is printed; [answer.Care] is to be looked at by a person.
type Finding struct {
	Part Part
	answer.Line
	Cite standard.Cite
}

// A Label is what a pack is to say.
type Label struct {
	Items    []Item
	Findings []Finding
}

// Ready reports whether nothing stands against a proof print.
func (l Label) Ready() bool {
	for _, f := range l.Findings {
		if f.Mark == answer.Bad {
			return false
		}
	}
	return true
}

func (l *Label) say(p Part, c standard.Cite, lines ...answer.Line) *Item {
	l.Items = append(l.Items, Item{Part: p, Says: lines, Cite: c})
	return &l.Items[len(l.Items)-1]
}

func (l *Label) find(p Part, m answer.Mark, c standard.Cite, key string, args answer.Args) {
	l.Findings = append(l.Findings, Finding{p, answer.Line{Key: key, Args: args, Mark: m}, c})
}

func line(key string, args answer.Args) answer.Line { return answer.Line{Key: key, Args: args} }

// Of works out the label of a pack. The error is for a wish that no label can be made
// of, such as a pack of no size; everything else is a finding.
func Of(w Wish, t Tipped) (Label, error) {
	if w.Labelled == 0 {
		return Label{}, fmt.Errorf("no day of labelling given: the rules depend on it: %w", standard.ErrNoRule)
	}
	if w.Pack.Net <= 0 {
		return Label{}, fmt.Errorf("net quantity %g g, want above 0 g: %w", float64(w.Pack.Net)/1000, standard.ErrOutOfRange)
	}
	var l Label
	l.name(w, t)
	if w.Recipe == nil {
		if err := l.origin(w, t); err != nil {
			return Label{}, err
		}
	}
	if err := l.net(w); err != nil {
		return Label{}, err
	}
	if w.Recipe != nil {
		if err := l.recipe(*w.Recipe); err != nil {
			return Label{}, err
		}
	}
	if err := l.dates(w); err != nil {
		return Label{}, err
	}
	l.house(w)
	if err := l.nutrition(w); err != nil {
		return Label{}, err
	}
	l.texts(w, t)
	l.drawn(w)
	l.letters(w)
	return l, nil
}
