package blend

import (
	"bytes"
	"encoding/csv"
	"errors"
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
