package office

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"combline/internal/blend"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

// A BlendAsk is what a blend is wanted for: an order of the house, a product, or what
// somebody typed.
type BlendAsk struct {
	Order   record.Code
	Product record.Code
	Wanted  quantity.Gram // nothing: what the order still needs
	Demands []Demand      // beyond what product and law ask; one on the same measure stands instead
	Most    int           // contents
	Parcel  quantity.Gram
	Tank    record.Code
	Due     record.Day
	Soft    bool // it is to be soft-set
	Cooking bool
	Parts   bool          // drums may be tipped in part
	Only    []AskedPart   // just these: a mix that somebody has in mind
	Must    []AskedPart   // these go in
	Not     []record.Code // these stay out
	Sold    []record.Code // what if these were gone
	Risk    quantity.Figure
	Aims    []blend.Aim
	Seconds float64
}

// An AskedPart is a content with how much of it; 0 is all.
type AskedPart struct {
	Code  record.Code
	Grams quantity.Gram
}

// A Demand is one limit or share that is asked.
type Demand struct {
	Share   bool
	By      blend.Dimension // of a share
	Name    string
	Stated  bool // a share as a label states it
	Measure blend.Measure
	Least   *quantity.Figure
	Most    *quantity.Figure
}

// measureNames are how limits are typed; the first of a measure is its own.
var measureNames = []struct {
	name string
	is   blend.Measure
}{
	{"water", blend.Measure(blend.Water)}, {"colour", blend.Measure(blend.Colour)}, {"hmf", blend.Measure(blend.HMF)},
	{"hmf-then", blend.Measure(blend.HMFThen)}, {"diastase", blend.Measure(blend.Diastase)}, {"diastase-then", blend.Measure(blend.DiastaseThen)},
	{"conductivity", blend.Measure(blend.Conductivity)}, {"sugars", blend.Sugars}, {"sucrose", blend.Measure(blend.Sucrose)},
	{"fructose", blend.Measure(blend.Fructose)}, {"glucose", blend.Measure(blend.Glucose)}, {"acid", blend.Measure(blend.FreeAcid)},
	{"insolubles", blend.Measure(blend.Insolubles)}, {"yeast", blend.Measure(blend.Yeast)},
	{"glucose/water", blend.GlucosePerWater}, {"fructose/glucose", blend.FructosePerGlucose},
	{"moisture", blend.Measure(blend.Water)}, {"color", blend.Measure(blend.Colour)},
}

// MeasureName is how a measure is typed in a limit.
func MeasureName(m blend.Measure) string {
	for _, n := range measureNames {
		if n.is == m {
			return n.name
		}
	}
	return m.String()
}

// MeasureNames lists how limits are typed.
func MeasureNames() (all []string) {
	for _, n := range measureNames {
		if MeasureName(n.is) == n.name {
			all = append(all, n.name)
		}
	}
	return all
}

// MeasureNamed finds a measure by how it is typed.
func MeasureNamed(name string) (blend.Measure, bool) {
	for _, n := range measureNames {
		if strings.EqualFold(n.name, name) {
			return n.is, true
		}
	}
	return 0, false
}

// A DemandError says what is wrong with a limit or share as it was typed: a key of
// package words with its figures.
type DemandError struct {
	Key  string
	Args map[string]any
}

func (e *DemandError) Error() string { return fmt.Sprint(e.Key, " ", e.Args) }

func wrongDemand(key, typed string, args ...any) error {
	e := &DemandError{"blend.typed." + key, map[string]any{"typed": typed}}
	for i := 0; i+1 < len(args); i += 2 {
		e.Args[args[i].(string)] = args[i+1]
	}
	return e
}

// ParseDemand reads a limit or share as people type it: "water <= 17.8", "45 <= colour
// <= 55", "hmf<15", "VM >= 60", "VM = 60" (as a label states it), "site Brackenlow <=
// 50", "kind summer >= 90". Both < and <= keep the bound itself.
func ParseDemand(text string, style quantity.NumberStyle) (Demand, error) {
	parts, signs := splitSigns(text)
	var d Demand
	switch {
	case len(parts) == 2:
	case len(parts) == 3 && signs[0] == signs[1] && signs[0] != '=':
		if signs[0] == '>' {
			slices.Reverse(parts)
		}
		signs = "<<"
	default:
		return d, wrongDemand("form", text)
	}
	name := parts[min(1, len(parts)-1)]
	if len(parts) == 2 {
		if name = parts[0]; startsAsFigure(name) { // "17.8 >= water"
			parts[0], parts[1] = parts[1], parts[0]
			name, signs = parts[0], strings.Map(turned, signs)
		}
	}
	if err := d.nameIt(name, text); err != nil {
		return d, err
	}
	bound := func(typed string) (*quantity.Figure, error) { return d.figure(typed, text, style) }
	var err error
	switch {
	case len(parts) == 3:
		if d.Least, err = bound(parts[0]); err == nil {
			d.Most, err = bound(parts[2])
		}
	case signs == "<":
		d.Most, err = bound(parts[1])
	case signs == ">":
		d.Least, err = bound(parts[1])
	case d.Share && d.By == blend.ByCountry:
		d.Stated = true
		d.Least, err = bound(parts[1])
	default:
		return d, wrongDemand("equal", text)
	}
	return d, err
}

func startsAsFigure(s string) bool { return s != "" && (s[0] >= '0' && s[0] <= '9' || s[0] == '-') }

func turned(r rune) rune {
	switch r {
	case '<':
		return '>'
	case '>':
		return '<'
	}
	return r
}

// splitSigns parts a text at <, <=, ≤, >, >=, ≥ and =.
func splitSigns(text string) (parts []string, signs string) {
	text = strings.NewReplacer("≤", "<", "≥", ">", "<=", "<", ">=", ">", "=<", "<", "=>", ">").Replace(text)
	at := 0
	for i := 0; i < len(text); i++ {
		if strings.IndexByte("<>=", text[i]) >= 0 {
			parts, signs = append(parts, strings.TrimSpace(text[at:i])), signs+string(text[i])
			at = i + 1
		}
	}
	return append(parts, strings.TrimSpace(text[at:])), signs
}

// nameIt says what is limited: a measure, or honey of a country, site or kind.
func (d *Demand) nameIt(name, text string) error {
	if m, ok := MeasureNamed(name); ok {
		d.Measure = m
		return nil
	}
	by, rest, found := strings.Cut(strings.Replace(name, ":", " ", 1), " ")
	d.Share = true
	switch {
	case found && strings.EqualFold(by, "country"):
		d.By, d.Name = blend.ByCountry, strings.ToUpper(strings.TrimSpace(rest))
	case found && strings.EqualFold(by, "site"):
		d.By, d.Name = blend.BySite, strings.TrimSpace(rest)
	case found && strings.EqualFold(by, "kind"):
		d.By, d.Name = blend.ByKind, strings.TrimSpace(rest)
	case len(name) == 2 && name == strings.ToUpper(name):
		d.By, d.Name = blend.ByCountry, name
	default:
		return wrongDemand("name", text, "name", name, "known", strings.Join(MeasureNames(), ", "))
	}
	if d.Name == "" {
		return wrongDemand("name", text, "name", name, "known", strings.Join(MeasureNames(), ", "))
	}
	return nil
}

// figure reads a bound in the unit of what it bounds.
func (d *Demand) figure(typed, text string, style quantity.NumberStyle) (*quantity.Figure, error) {
	unit := quantity.Pct
	if !d.Share {
		unit = d.Measure.Unit()
	}
	f, err := quantity.ParseFigure(typed, quantity.Want{Unit: unit, Style: style})
	var bad *quantity.ParseError
	switch {
	case errors.Is(err, quantity.ErrEmpty):
		return nil, wrongDemand("form", text)
	case errors.As(err, &bad):
		return nil, err
	case err != nil:
		return nil, wrongDemand("form", text)
	}
	if v := f.Float(); d.Share && !(0 <= v && v <= 100) {
		return nil, wrongDemand("share", text, "figure", f)
	} else if low, high := d.Measure.Range(); !d.Share && !(low <= v && v <= high) {
		return nil, wrongDemand("range", text, "figure", f, "low", bound(d.Measure, low), "high", bound(d.Measure, high))
	}
	return &f, nil
}

// Text is the demand as it is typed.
func (d Demand) Text() string {
	name := MeasureName(d.Measure)
	if d.Share {
		name = d.By.String() + " " + d.Name
	}
	bare := func(f *quantity.Figure) string { return f.Digits() }
	switch {
	case d.Stated:
		return name + " = " + bare(d.Least)
	case d.Least != nil && d.Most != nil:
		return bare(d.Least) + " <= " + name + " <= " + bare(d.Most)
	case d.Most != nil:
		return name + " <= " + bare(d.Most)
	}
	return name + " >= " + bare(d.Least)
}

// same reports whether two demands are about the same thing.
func (d Demand) same(e Demand) bool {
	return d.Share == e.Share && (d.Share && d.By == e.By && strings.EqualFold(d.Name, e.Name) || !d.Share && d.Measure == e.Measure)
}

// With returns the ask with one demand instead of those on the same thing.
func (a BlendAsk) With(d Demand) BlendAsk {
	a.Demands = append(slices.DeleteFunc(slices.Clone(a.Demands), d.same), d)
	return a
}

// and returns the ask with one more demand. A bound that is typed apart joins the
// other end of the same measure; of two at the same end the stricter counts, which
// keeps both.
func (a BlendAsk) and(d Demand) BlendAsk {
	a.Demands = slices.Clone(a.Demands)
	i := slices.IndexFunc(a.Demands, func(e Demand) bool { return d.same(e) && d.Stated == e.Stated })
	if i < 0 || d.Stated {
		a.Demands = append(a.Demands, d)
		return a
	}
	e := &a.Demands[i]
	if d.Least != nil && (e.Least == nil || d.Least.Float() > e.Least.Float()) {
		e.Least = d.Least
	}
	if d.Most != nil && (e.Most == nil || d.Most.Float() < e.Most.Float()) {
		e.Most = d.Most
	}
	return a
}

// wholeLabel refuses a label that names a country twice, or whose shares are not all of
// the honey; whole percentages may add up to 99 or 101.
func wholeLabel(label []standard.Claim) error {
	sum, text := 0.0, ""
	for i, c := range label {
		sum += float64(c.Percent)
		text += c.Country + " "
		if i > 0 && label[i-1].Country == c.Country {
			return wrongDemand("label-twice", c.Country)
		}
	}
	if len(label) > 0 && math.Abs(sum-100) > 1 {
		return wrongDemand("label", strings.TrimSpace(text), "figure", percentFigure(sum))
	}
	return nil
}

// claims are the countries that a label states, when shares are stated.
func claims(all []Demand) (label []standard.Claim) {
	for _, d := range all {
		if d.Stated {
			label = append(label, standard.Claim{Country: d.Name, Percent: quantity.Percent(d.Least.Float())})
		}
	}
	slices.SortFunc(label, func(a, b standard.Claim) int { return cmp.Compare(a.Country, b.Country) })
	return label
}
