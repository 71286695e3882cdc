package label

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Recipe is a batch of goods with honey in it, as it was made.
type Recipe struct {
	Parts    []Ingredient
	Finished quantity.Gram // what came out
}

// An Ingredient is one thing that went in.
type Ingredient struct {
	Name     string
	Grams    quantity.Gram
	Allergen string // the word in the name that must stand out, or ""
	Stated   bool   // its share stands on the label: it is in the name, or shown
	Honey    bool   // honey itself, called so in the label's language
}

var (
	inOrder    = standard.Cite{Set: standard.EULabels, Place: "art. 18, 21", Got: standard.Memory}
	statedPart = standard.Cite{Set: standard.EULabels, Place: "art. 22, Annex VIII 3", Got: standard.Memory}
)

// StatedShare is an ingredient's share for a label: its weight at use against the
// finished weight, in tenths of a per cent, halves up; over 100 % it is said as grams
// in 100 g of the finished product. Source: Regulation (EU) 1169/2011 Annex VIII 3
// (memory).
func StatedShare(part, finished quantity.Gram) (tenths int64, asGrams bool, err error) {
	if part < 0 || finished <= 0 || part > 1_000_000_000_000 {
		return 0, false, fmt.Errorf("%d g in %d g finished, want masses above 0: %w", part, finished, standard.ErrOutOfRange)
	}
	tenths = (2000*int64(part) + int64(finished)) / (2 * int64(finished))
	return tenths, part > finished, nil
}

func (l *Label) recipe(r Recipe) error {
	parts := slices.Clone(r.Parts)
	slices.SortStableFunc(parts, func(a, b Ingredient) int { return cmp.Compare(b.Grams, a.Grams) })
	var lines []answer.Line
	var allergens []string
	for _, p := range parts {
		if strings.TrimSpace(p.Name) == "" || p.Grams <= 0 {
			return fmt.Errorf("ingredient %q of %d g, want a name and a mass: %w", p.Name, p.Grams, standard.ErrOutOfRange)
		}
		args := answer.Args{"name": emphasised(p)}
		if p.Honey {
			args["name"] = answer.Key("label.honey")
		}
		key := "label.ingredient"
		if p.Stated {
			tenths, asGrams, err := StatedShare(p.Grams, r.Finished)
			if err != nil {
				return err
			}
			key, args["amount"] = "label.ingredient-share", quantity.Figure{Mantissa: tenths, Decimals: 1, Unit: quantity.Pct}
			if asGrams {
				key, args["amount"] = "label.ingredient-grams", quantity.Figure{Mantissa: tenths, Decimals: 1, Unit: quantity.G}
			}
		}
		lines = append(lines, line(key, args))
		if p.Allergen != "" {
			allergens = append(allergens, p.Allergen)
		}
	}
	l.say(IngredientsPart, inOrder, lines...)
	if !slices.ContainsFunc(parts, func(p Ingredient) bool { return p.Stated }) {
		l.find(IngredientsPart, answer.Care, statedPart, "label.no-share", nil)
	}
	l.find(NutritionPart, answer.Care, inOrder, "label.nutrition-by-recipe", nil)
	if len(allergens) > 0 {
		l.find(AllergensPart, answer.Care, inOrder, "label.allergens", answer.Args{"list": strings.Join(allergens, ", ")})
	}
	return nil
}

// emphasised writes an allergen in capitals.
func emphasised(p Ingredient) string {
	if p.Allergen == "" {
		return p.Name
	}
	at := strings.Index(strings.ToLower(p.Name), strings.ToLower(p.Allergen))
	if at < 0 || len(strings.ToLower(p.Name)) != len(p.Name) {
		return p.Name + " (" + strings.ToUpper(p.Allergen) + ")"
	}
	return p.Name[:at] + strings.ToUpper(p.Name[at:at+len(p.Allergen)]) + p.Name[at+len(p.Allergen):]
}
