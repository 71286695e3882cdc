package blend

import (
	"errors"
	"fmt"
	"math"

	"combline/internal/quantity"
)

func (s *sheet) order(row int, countries []string) (Batch, error) {
	b := Batch{Name: s.cell(row, "id")}
	qty, err1 := s.must(row, "qty", 0.001, mostKg)
	tank, _, err2 := s.num(row, "tank", 0, mostKg)
	over, _, err3 := s.num(row, "over", 0, 10)
	under, _, err4 := s.num(row, "under", 0, 1)
	k, _, err5 := s.num(row, "k", 0, 1e6)
	organic, err6 := s.yes(row, "organic")
	if err := errors.Join(err1, err2, err3, err4, err5, err6); err != nil {
		return b, err
	}
	if k != math.Floor(k) {
		return b, fmt.Errorf("k %g lots, want a whole number", k)
	}
	b.Grams, b.Tank, b.Over, b.Under, b.Most = grams(qty), grams(tank), grams(over*qty), grams(under*qty), int(k)
	if organic {
		b.Marks = []string{"organic"}
	}
	if err := s.orderLimits(row, &b); err != nil {
		return b, err
	}
	return b, s.orderShares(row, &b, countries)
}

var orderLimits = [...]struct {
	column  string
	measure Measure
	least   bool
}{{"moist_max", Measure(Water), false}, {"pfund_min", Measure(Colour), true}, {"pfund_max", Measure(Colour), false},
	{"hmf_max", Measure(HMF), false}, {"diast_min", Measure(Diastase), true}, {"cond_min", Measure(Conductivity), true},
	{"cond_max", Measure(Conductivity), false}}

func (s *sheet) orderLimits(row int, b *Batch) error {
	for _, x := range orderLimits {
		v, given, err := s.num(row, x.column, -1e9, 1e9)
		if err != nil {
			return err
		}
		if !given {
			continue
		}
		if err := x.measure.checkLimit(v); err != nil {
			return fmt.Errorf("%s: %w", x.column, err)
		}
		l := AtMost(x.measure, v)
		if x.least {
			l = AtLeast(x.measure, v)
		}
		b.Limits = append(b.Limits, l)
	}
	keeps, err := s.yes(row, "keeps")
	if err != nil || !keeps {
		return err
	}
	l, err := Keeps(0)
	b.Limits = append(b.Limits, l)
	return err
}

func (s *sheet) orderShares(row int, b *Batch, countries []string) error {
	flora, _, err := s.num(row, "flora_min", 0, 1)
	if err != nil {
		return err
	}
	if main := s.cell(row, "main"); flora > 0 {
		if main == "" {
			return fmt.Errorf("flora_min %g without main: of which kind?", flora)
		}
		b.Shares = append(b.Shares, Share{ByKind, main, percent(flora), 100})
	}
	tolerance, _, err := s.num(row, "otol", 0, 1)
	if err != nil {
		return err
	}
	stated := map[string]bool{}
	for _, name := range s.named("p_") {
		p, given, err := s.num(row, "p_"+name, 0, 1)
		if err != nil {
			return err
		}
		if given {
			stated[name] = true
			b.Shares = append(b.Shares, Share{ByCountry, name, max(0, percent(p-tolerance)), min(100, percent(p+tolerance))})
		}
	}
	for _, name := range countries {
		if len(stated) > 0 && !stated[name] {
			b.Shares = append(b.Shares, Share{ByCountry, name, 0, 0})
		}
	}
	return nil
}

// percent turns a part of 1 into %, to the digits that it was typed with.
func percent(part float64) quantity.Percent { return quantity.Percent(math.Round(part*1e9) / 1e7) }
