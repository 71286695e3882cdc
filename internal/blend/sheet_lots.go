package blend

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"combline/internal/quantity"
)

var lotFigures = [...]struct {
	column string
	figure Figure
}{{"moist", Water}, {"pfund", Colour}, {"hmf", HMF}, {"diast", Diastase}, {"cond", Conductivity}, {"fructose", Fructose},
	{"glucose", Glucose}, {"sucrose", Sucrose}, {"acid", FreeAcid}, {"yeast", Yeast}}

func (s *sheet) lot(row int) (Content, error) {
	c := Content{Name: s.cell(row, "id"), Figures: map[Figure]quantity.Uncertain{}}
	unit, err1 := s.must(row, "unit", 0.001, mostKg)
	count, err2 := s.must(row, "count", 0, mostKg)
	cost, err3 := s.must(row, "cost", -1e9, 1e9)
	age, _, err4 := s.num(row, "age", 0, 1e6)
	least, _, err5 := s.num(row, "minp", 0, mostKg)
	organic, err6 := s.yes(row, "organic")
	if err := errors.Join(err1, err2, err3, err4, err5, err6); err != nil {
		return c, err
	}
	c.Cost, c.AgeDays, c.Least = cost, age, grams(least)
	switch kind := s.cell(row, "kind"); kind {
	case "drum":
		if c.Drum = grams(unit); count != math.Floor(count) {
			return c, fmt.Errorf("count %g drums, want a whole number", count)
		}
		c.Grams = c.Drum * quantity.Gram(count)
	case "tank":
		c.Grams = grams(unit * count)
		c.Least = min(c.Least, c.Grams)
	default:
		return c, fmt.Errorf("kind %q, want drum or tank", kind)
	}
	if organic {
		c.Marks = []string{"organic"}
	}
	if err := s.lotFigures(row, &c); err != nil {
		return c, err
	}
	if hold := s.cell(row, "hold"); hold != "" {
		stop, err := parseStop(hold)
		if err != nil {
			return c, err
		}
		c.Stops = []Stop{stop}
	}
	var err error
	if c.Parts[ByKind], err = s.makeup(row, "f_"); err == nil {
		c.Parts[ByCountry], err = s.makeup(row, "o_")
	}
	return c, err
}

func (s *sheet) lotFigures(row int, c *Content) error {
	for _, x := range lotFigures {
		d := figures[x.figure]
		v, given, err := s.num(row, x.column, d.low, d.high)
		if err != nil {
			return fmt.Errorf("%w %s", err, d.unit)
		}
		pm, _, err := s.num(row, x.column+"_pm", 0, d.high)
		if err != nil {
			return err
		}
		if given {
			c.Figures[x.figure] = quantity.FromPlusMinus(v, pm)
		}
	}
	return nil
}

func parseStop(text string) (Stop, error) {
	var names []string
	for s := OnHold; s < barred; s++ {
		if names = append(names, s.String()); s.String() == text {
			return s, nil
		}
	}
	return 0, fmt.Errorf("hold %q, want one of %s", text, strings.Join(names, ", "))
}

// makeup reads shares to a millionth. Shares that miss 1 by a thousandth are rounded
// figures of a whole.
func (s *sheet) makeup(row int, prefix string) (Makeup, error) {
	const whole, slack = 1_000_000, 1_000
	m, sum := Makeup{}, quantity.Gram(0)
	for _, name := range s.named(prefix) {
		x, given, err := s.num(row, prefix+name, 0, 1)
		if err != nil {
			return m, err
		}
		if part := quantity.Gram(math.Round(x * whole)); given && part > 0 {
			m.Parts, sum = append(m.Parts, Part{name, part}), sum+part
		}
	}
	switch {
	case sum > whole+slack:
		return m, fmt.Errorf("shares %sNAME come to %g, want 1", prefix, float64(sum)/whole)
	case sum >= whole-slack:
		m.Of = sum
	case sum > 0:
		m.Of = whole
	}
	return m, nil
}
