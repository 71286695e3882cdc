package blend

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"combline/internal/quantity"
)

// FromTables makes a problem of two tables as people keep them: lots and orders.
// Cells are parted by commas, or by semicolons with decimal commas. An empty cell is
// a figure that was not read, or no limit.
//
// Lots: id; kind (drum or tank); unit, kg a drum (1 for a tank); count, drums or kg;
// cost a kg; age in days; moist, pfund, hmf, diast, cond, and if wanted fructose,
// glucose, sucrose, acid, yeast, each with ± (two standard uncertainties) in a column
// moist_pm and so on; organic, 1 or 0; minp, least kg from a tank; flora, for people;
// f_NAME, share of a kind, and o_NAME, of a country, 0 to 1; hold, a rule under which
// the lot is never proposed.
//
// Orders: id; qty in kg; over and under, what is allowed, as a part of qty; tank in kg;
// k, most lots; moist_max, pfund_min, pfund_max, hmf_max, diast_min, cond_min,
// cond_max; main and flora_min, least share of that kind; p_NAME, share of a country,
// with otol each way; organic; keeps, 1 if the blend must keep without fermenting;
// style, for people. An order that states any country takes no honey of others.
func FromTables(lots, orders []byte) (Problem, error) {
	p := Problem{Colour: ColourByMM, Risk: 0.5, Prices: TablePrices(), Far: TableFar(), Aims: []Aim{Cheapest}}
	ls, err := readSheet("lots", lots)
	if err != nil {
		return p, err
	}
	os, err := readSheet("orders", orders)
	if err != nil {
		return p, err
	}
	for i := range ls.rows {
		c, err := ls.lot(i)
		if err != nil {
			return p, ls.at(i, err)
		}
		if c.Grams == 0 { // used up: its row stands in the list, there is nothing to draw
			continue
		}
		for f := range c.Figures {
			if c.Figures[f].Own > 0 {
				p.Risk = quantity.UsualRisk
			}
		}
		p.Contents = append(p.Contents, c)
	}
	countries := ls.named("o_")
	for i := range os.rows {
		b, err := os.order(i, countries)
		if err != nil {
			return p, os.at(i, err)
		}
		p.Batches = append(p.Batches, b)
	}
	return p, p.check()
}

// TablePrices are the prices of a problem from tables: a credit of 0.0004 a kg and day,
// 15 for each lot in an order, 20 for a kg short and 1 for a kg over (common practice,
// no source; change them where yours differ).
func TablePrices() Prices { return Prices{AgeKgDay: 0.0004, Handling: 15, ShortKg: 20, OverKg: 1} }

// TableFar is how far off a lot may be in a problem from tables: 2 points of water,
// twice the HMF, 45 mm of colour, half the share (a quicker search; common practice).
func TableFar() Far { return Far{WaterPts: 2, HMFTimes: 2, ColourMM: 45, ShareTime: 0.5} }

type sheet struct {
	name   string
	head   []string
	rows   [][]string
	lines  []int
	commas bool // decimal commas
}

func readSheet(name string, text []byte) (*sheet, error) {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	r := csv.NewReader(bytes.NewReader(text))
	s := &sheet{name: name}
	if first, _, _ := bytes.Cut(text, []byte("\n")); bytes.ContainsRune(first, ';') {
		r.Comma, s.commas = ';', true
	}
	r.TrimLeadingSpace = true
	for {
		row, err := r.Read()
		switch {
		case err == io.EOF:
			return s, s.check()
		case err != nil:
			return nil, fmt.Errorf("%s: %w", name, err)
		case s.head == nil:
			for _, h := range row {
				s.head = append(s.head, strings.TrimSpace(h))
			}
		default:
			line, _ := r.FieldPos(0)
			s.rows, s.lines = append(s.rows, row), append(s.lines, line)
		}
	}
}

// mostRows bounds a table.
const mostRows = 100_000

func (s *sheet) check() error {
	if len(s.rows) == 0 || len(s.rows) > mostRows {
		return fmt.Errorf("%s: %d rows under the head, want 1 to %d", s.name, len(s.rows), mostRows)
	}
	known := strings.Fields(lotColumns)
	prefixes := []string{"f_", "o_"}
	if s.name == "orders" {
		known, prefixes = strings.Fields(orderColumns), []string{"p_"}
	}
	seen := map[string]bool{}
	for _, h := range s.head {
		good := false
		for _, k := range known {
			good = good || h == k
		}
		for _, p := range prefixes {
			good = good || strings.HasPrefix(h, p) && len(h) > len(p)
		}
		if !good {
			return fmt.Errorf("%s: unknown column %q; known are %s and %sNAME", s.name, h, strings.Join(known, ", "), strings.Join(prefixes, "NAME, "))
		}
		if seen[h] {
			return fmt.Errorf("%s: column %q comes twice", s.name, h)
		}
		seen[h] = true
	}
	return nil
}

const (
	lotColumns = "id kind flora organic age moist moist_pm pfund pfund_pm hmf hmf_pm diast diast_pm cond cond_pm " +
		"fructose fructose_pm glucose glucose_pm sucrose sucrose_pm acid acid_pm yeast cost unit count minp hold"
	orderColumns = "id style main organic qty tank over under k moist_max pfund_min pfund_max hmf_max diast_min cond_min cond_max flora_min otol keeps"
)

func (s *sheet) at(row int, err error) error {
	return fmt.Errorf("%s, line %d: %w", s.name, s.lines[row], err)
}

func (s *sheet) cell(row int, column string) string {
	for i, h := range s.head {
		if h == column {
			return strings.TrimSpace(s.rows[row][i])
		}
	}
	return ""
}

// named lists the columns of a prefix, without it.
func (s *sheet) named(prefix string) (names []string) {
	for _, h := range s.head {
		if name, ok := strings.CutPrefix(h, prefix); ok {
			names = append(names, name)
		}
	}
	return names
}

// num reads a figure; given tells whether there is one.
func (s *sheet) num(row int, column string, low, high float64) (x float64, given bool, err error) {
	text := s.cell(row, column)
	if text == "" {
		return 0, false, nil
	}
	plain := text
	if s.commas {
		plain = strings.Replace(text, ",", ".", 1)
	}
	x, err = strconv.ParseFloat(plain, 64)
	if err != nil || strings.ContainsAny(plain, "xXpP_") {
		return 0, false, fmt.Errorf("%s %q is not a number", column, text)
	}
	if !within(x, low, high) {
		return 0, false, fmt.Errorf("%s %s, want %g to %g", column, text, low, high)
	}
	return x, true, nil
}

func (s *sheet) must(row int, column string, low, high float64) (float64, error) {
	x, given, err := s.num(row, column, low, high)
	if err == nil && !given {
		err = fmt.Errorf("%s is empty", column)
	}
	return x, err
}

// yes reads 1 and 0.
func (s *sheet) yes(row int, column string) (bool, error) {
	x, _, err := s.num(row, column, 0, 1)
	if err == nil && x != 0 && x != 1 {
		err = fmt.Errorf("%s %g, want 1 or 0", column, x)
	}
	return x == 1, err
}

func grams(kg float64) quantity.Gram { return quantity.Gram(math.Round(kg * 1000)) }

const mostKg = mostGrams / 1000
