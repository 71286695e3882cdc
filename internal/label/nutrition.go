package label

import (
	"fmt"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// nutrition states a declaration where one is asked for. Plain honey needs none.
func (l *Label) nutrition(w Wish) error {
	if w.Nutrition == nil {
		return nil
	}
	c := *w.Nutrition
	kJ, kcal, cite, err := standard.EUEnergy(c)
	if err != nil {
		return fmt.Errorf("nutrition: %w", err)
	}
	if !(w.Sugars <= c.Carbohydrate+1e-9) {
		return fmt.Errorf("nutrition: %g g of sugars in %g g of carbohydrate: %w", w.Sugars, c.Carbohydrate, standard.ErrOutOfRange)
	}
	var lines []answer.Line
	for _, n := range []struct {
		key   string
		kind  standard.Nutrient
		value float64
	}{
		{"label.energy-kj", standard.Energy, kJ}, {"label.energy-kcal", standard.Energy, kcal},
		{"label.fat", standard.Macro, c.Fat}, {"label.saturates", standard.Saturates, 0},
		{"label.carbohydrate", standard.Macro, c.Carbohydrate}, {"label.sugars", standard.Macro, w.Sugars},
		{"label.protein", standard.Macro, c.Protein}, {"label.salt", standard.Salt, standard.SaltOf(w.Sodium)},
	} {
		d, err := standard.Declare(n.kind, n.value)
		if err != nil {
			return fmt.Errorf("nutrition: %w", err)
		}
		unit := quantity.G
		if n.kind == standard.Energy {
			unit = quantity.Each
		}
		key := n.key
		if d.Form != standard.Exactly {
			key += "-under"
		}
		lines = append(lines, line(key, answer.Args{"amount": quantity.Figure{Mantissa: d.Mantissa, Decimals: d.Decimals, Unit: unit}}))
	}
	l.say(NutritionPart, cite, lines...)
	return nil
}
