package reckon

import (
	"fmt"
	"strings"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A part is one entry of a list such as "VM 2030 kg, OS 1450 kg".
type part struct {
	code   string
	amount float64
	kg     bool // a mass
	pct    bool // a percentage; neither if no unit was typed
}

// parts reads a list of codes of two capitals, each with its figure.
func (q *Query) parts(name string) ([]part, error) {
	typed := q.word(name)
	starts := codesIn(typed)
	if len(starts) == 0 || strings.Trim(typed[:starts[0]], separators) != "" {
		return nil, fmt.Errorf("%s: %s, want codes of two capitals with their parts, such as VM 58.3, OS 41.7", name, quoted(typed))
	}
	var all []part
	for i, at := range starts {
		end := len(typed)
		if i+1 < len(starts) {
			end = starts[i+1]
		}
		p, err := readPart(typed[at:at+2], strings.Trim(typed[at+2:end], separators))
		if err != nil {
			return nil, &cellError{name, err}
		}
		all = append(all, p)
	}
	return all, nil
}

// separators may stand between the entries of a list and between code and figure.
const separators = " \t\r\n,;:=+"

// codesIn finds where words of exactly two capitals start.
func codesIn(s string) []int {
	var starts []int
	for i := 0; i+2 <= len(s); i++ {
		if capital(s[i]) && capital(s[i+1]) && !(i > 0 && letter(s[i-1])) && !(i+2 < len(s) && letter(s[i+2])) {
			starts = append(starts, i)
		}
	}
	return starts
}

func capital(c byte) bool { return 'A' <= c && c <= 'Z' }

// letter takes any byte of a letter that is not ASCII for one.
func letter(c byte) bool { return capital(c&^0x20) || c >= 0x80 }

func readPart(code, figure string) (part, error) {
	if figure == "" {
		return part{}, fmt.Errorf("%s has no figure", code)
	}
	p := part{code: code}
	want := quantity.Each
	switch {
	case strings.HasSuffix(figure, "%"):
		p.pct, want = true, quantity.Pct
	case letter(figure[len(figure)-1]):
		p.kg, want = true, quantity.KgUnit
	}
	f, err := quantity.ParseFigure(figure, quantity.Want{Unit: want})
	if err != nil {
		return part{}, err
	}
	p.amount, err = f.In(want)
	return p, err
}

// figures reads a list of figures of one unit, parted by blanks, semicolons, lines or
// a comma and a blank. A first line that is the header is passed over. What the list
// is of goes into a refusal: "jar 2".
func (q *Query) figures(name string, u quantity.Unit, header, of string) ([]float64, error) {
	fields := strings.FieldsFunc(q.word(name), func(r rune) bool { return strings.ContainsRune(" \t\r\n;", r) })
	if len(fields) > 0 && columnName([]byte(fields[0])) == header {
		fields = fields[1:]
	}
	all := make([]float64, 0, len(fields))
	in := number(name, u, "")
	for _, f := range fields {
		if f = strings.Trim(f, ","); f == "" {
			continue
		}
		x, err := in.figure([]byte(f), quantity.EitherSign)
		if err != nil {
			return nil, &cellError{fmt.Sprintf("%s, %s %d", name, of, len(all)+1), err}
		}
		all = append(all, x)
	}
	return all, nil
}

// weights reads net masses in grams, as one cell or a file of one column net_g.
func (q *Query) weights(name string) ([]quantity.Milligram, error) {
	figures, err := q.figures(name, quantity.G, "net_g", "jar")
	if err != nil {
		return nil, err
	}
	if len(figures) == 0 {
		return nil, fmt.Errorf("%s: no weight in it", name)
	}
	net := make([]quantity.Milligram, len(figures))
	for i, x := range figures {
		if net[i], err = standard.LabelMass(x); err != nil {
			return nil, fmt.Errorf("%s, jar %d: net %g g, want above 0", name, i+1, x)
		}
	}
	return net, nil
}
