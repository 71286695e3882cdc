package reckon

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"combline/internal/fill"
	"combline/internal/quantity"
)

// A nozzleCheck is one check of one nozzle: jars each weighed, or their mean.
type nozzleCheck struct {
	number, nozzle int
	net            []quantity.Milligram
	summary        fill.Check // only if net is empty
}

// mostNozzles bounds a table's nozzles, as package fill does.
const mostNozzles = 64

// checks reads what was weighed: a table of checks, or one nozzle's means or weights.
func (q *Query) checks() ([]nozzleCheck, error) {
	given := 0
	for _, name := range [...]string{"checks", "means_g", "weights"} {
		if q.has(name) {
			given++
		}
	}
	if given != 1 {
		return nil, errors.New("checks, means_g and weights tell the same thing: give one of them")
	}
	switch {
	case q.has("checks"):
		return readChecks(q.word("checks"))
	case q.has("means_g"):
		return q.meanChecks()
	}
	return q.weightChecks()
}

// jarsACheck is how many jars are weighed at a time.
func (q *Query) jarsACheck() (int, error) {
	n := int(q.numOr("jars", 5))
	if n < 1 || n > 1000 {
		return 0, fmt.Errorf("jars %d, want 1 to 1000 in a check", n)
	}
	return n, nil
}

func (q *Query) meanChecks() ([]nozzleCheck, error) {
	jars, err := q.jarsACheck()
	if err != nil {
		return nil, err
	}
	means, err := q.figures("means_g", quantity.G, "mean_g", "check")
	if err != nil {
		return nil, err
	}
	all := make([]nozzleCheck, len(means))
	for i, m := range means {
		c, err := fill.CheckMean(jars, m)
		if err != nil {
			return nil, fmt.Errorf("means_g, check %d: %w", i+1, err)
		}
		all[i] = nozzleCheck{number: i + 1, nozzle: 1, summary: c}
	}
	return all, nil
}

func (q *Query) weightChecks() ([]nozzleCheck, error) {
	jars, err := q.jarsACheck()
	if err != nil {
		return nil, err
	}
	net, err := q.weights("weights")
	if err != nil {
		return nil, err
	}
	if left := len(net) % jars; left > 0 {
		q.note(fmt.Sprintf("the last %d weights make no whole check of %d and were left out", left, jars))
		net = net[:len(net)-left]
	}
	var all []nozzleCheck
	for i := 0; i < len(net); i += jars {
		all = append(all, nozzleCheck{number: i/jars + 1, nozzle: 1, net: net[i : i+jars]})
	}
	return all, nil
}

// A checkTable knows which column of a table of checks is what; −1: not there.
type checkTable struct {
	records
	style                            quantity.NumberStyle
	check, nozzle, jars, mean, sd, g int
	each                             []int // a weight in every one of these
}

// readChecks reads a CSV table of checks. Its first line names the columns: nozzle
// (left out: one nozzle), check, and either mean_g with jars and sd_g, or the weights of
// a check in columns w1, w2 and so on, or one jar a row in net_g.
func readChecks(text string) ([]nozzleCheck, error) {
	t := checkTable{records: records{in: newReader(strings.NewReader(text)), sep: ','}}
	if err := t.header(); err != nil {
		return nil, err
	}
	var all []nozzleCheck
	numbers := map[int]int{}
	for {
		switch err := t.next(); {
		case err == io.EOF && len(all) == 0:
			return nil, errors.New("the table has no check")
		case err == io.EOF:
			return all, nil
		case err != nil:
			return nil, err
		case t.blank():
			continue
		}
		c, err := t.row(numbers)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", t.line, err)
		}
		if n := len(all); t.g >= 0 && n > 0 && all[n-1].nozzle == c.nozzle && all[n-1].number == c.number {
			all[n-1].net = append(all[n-1].net, c.net...)
			continue
		}
		all = append(all, c)
	}
}

func (t *checkTable) header() error {
	if err := t.next(); err != nil {
		return errors.New("there is no table; its first line names the columns, as check,nozzle,w1,w2,w3,w4,w5")
	}
	t.row0()
	t.style = quantity.EitherSign
	switch {
	case bytes.IndexByte(t.records.row, ';') >= 0:
		t.sep, t.style = ';', quantity.DecimalComma
	case bytes.IndexByte(t.records.row, ',') < 0 && bytes.IndexByte(t.records.row, '\t') >= 0:
		t.sep = '\t'
	}
	if !t.split() {
		return errors.New("line 1: a quote is left open in the names of the columns")
	}
	t.check, t.nozzle, t.jars, t.mean, t.sd, t.g = -1, -1, -1, -1, -1, -1
	place := map[string]*int{"check": &t.check, "nozzle": &t.nozzle, "jars": &t.jars, "mean_g": &t.mean, "sd_g": &t.sd, "net_g": &t.g}
	for i := range t.cells {
		name := columnName(t.content(i))
		if at, ok := place[name]; ok {
			if *at >= 0 {
				return fmt.Errorf("the table has two columns %s; leave one out", name)
			}
			*at = i
		} else if isWeight(name) {
			t.each = append(t.each, i)
		}
	}
	switch {
	case t.mean < 0 && t.g < 0 && len(t.each) == 0:
		return errors.New("the table has neither mean_g nor net_g nor weights in w1, w2 and so on")
	case t.mean >= 0 && t.jars < 0:
		return errors.New("the table has mean_g but not jars: how many were weighed")
	case t.g >= 0 && t.check < 0:
		return errors.New("the table has one jar a row but no column check to tell which belong together")
	}
	return nil
}

// row0 takes the mark of some spreadsheets off the first line.
func (t *checkTable) row0() {
	if rest, ok := bytes.CutPrefix(t.records.row, []byte(bom)); ok {
		t.records.row = append(t.records.row[:0], rest...)
	}
}

// isWeight reports a column such as w3, x3 or jar_3.
func isWeight(name string) bool {
	for _, head := range [...]string{"w", "x", "jar_", "jar"} {
		if rest, ok := strings.CutPrefix(name, head); ok && rest != "" && strings.Trim(rest, "0123456789") == "" {
			return true
		}
	}
	return false
}

func (t *checkTable) row(numbers map[int]int) (nozzleCheck, error) {
	c := nozzleCheck{nozzle: 1}
	if err := t.count("nozzle", t.nozzle, &c.nozzle); err != nil {
		return c, err
	}
	if c.nozzle < 1 || c.nozzle > mostNozzles {
		return c, fmt.Errorf("nozzle %d, want 1 to %d", c.nozzle, mostNozzles)
	}
	c.number = numbers[c.nozzle] + 1
	if err := t.count("check", t.check, &c.number); err != nil {
		return c, err
	}
	numbers[c.nozzle] = c.number
	for _, i := range append(t.each, t.g) {
		if err := t.weight(i, &c); err != nil {
			return c, err
		}
	}
	if len(c.net) > 0 || t.mean < 0 {
		if len(c.net) == 0 {
			return c, errors.New("no weight in this row")
		}
		return c, nil
	}
	return c, t.summary(&c)
}

func (t *checkTable) weight(i int, c *nozzleCheck) error {
	x, given, err := t.figure(i, quantity.G)
	if err != nil || !given {
		return err
	}
	m, err := milligrams(x)
	if err != nil {
		return fmt.Errorf("net %g g, want above 0", x)
	}
	c.net = append(c.net, m)
	return nil
}

// summary reads mean, jars and, where it was written down, spread.
func (t *checkTable) summary(c *nozzleCheck) error {
	jars := 0
	if err := t.count("jars", t.jars, &jars); err != nil {
		return err
	}
	mean, given, err := t.figure(t.mean, quantity.G)
	if err != nil {
		return err
	}
	if !given {
		return errors.New("mean_g is empty")
	}
	sd, known, err := t.figure(t.sd, quantity.G)
	if err != nil {
		return err
	}
	if known && jars > 1 {
		c.summary, err = fill.CheckSummary(jars, mean, sd)
	} else {
		c.summary, err = fill.CheckMean(jars, mean)
	}
	return err
}

func (t *checkTable) count(name string, i int, at *int) error {
	x, given, err := t.figure(i, quantity.Each)
	if err != nil {
		return err
	}
	if !given {
		return nil
	}
	if x != float64(int(x)) || x < 0 || x > 1e9 {
		return fmt.Errorf("%s %g, want a whole number", name, x)
	}
	*at = int(x)
	return nil
}

func (t *checkTable) figure(i int, u quantity.Unit) (x float64, given bool, err error) {
	if i < 0 || i >= len(t.cells) {
		return 0, false, nil
	}
	typed := bytes.TrimSpace(t.content(i))
	if len(typed) == 0 {
		return 0, false, nil
	}
	in := number("", u, "")
	if x, err = in.figure(typed, t.style); err != nil {
		return 0, false, fmt.Errorf("%s is no figure in %s", quoted(string(typed)), map[quantity.Unit]string{quantity.G: "g", quantity.Each: "whole numbers"}[u])
	}
	return x, true, nil
}
