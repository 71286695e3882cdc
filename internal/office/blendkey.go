package office

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"combline/internal/blend"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Query writes an ask as the values of an address, so that a page can be linked and
// looked at again.
func (a BlendAsk) Query() url.Values {
	q := url.Values{}
	set := func(name, value string) {
		if value != "" {
			q.Set(name, value)
		}
	}
	set("order", string(a.Order))
	set("product", string(a.Product))
	if a.Wanted > 0 && len(a.Only) == 0 {
		q.Set("mass", strconv.FormatInt(int64(a.Wanted), 10)+" g")
	}
	for _, d := range a.Demands {
		q.Add("limit", d.Text())
	}
	if a.Most > 0 {
		q.Set("most", strconv.Itoa(a.Most))
	}
	if a.Parcel > 0 {
		q.Set("parcel", strconv.FormatInt(int64(a.Parcel), 10)+" g")
	}
	set("tank", string(a.Tank))
	if a.Due > 0 {
		q.Set("due", a.Due.String())
	}
	for name, on := range map[string]bool{"soft": a.Soft, "cooking": a.Cooking, "parts": a.Parts} {
		if on {
			q.Set(name, "yes")
		}
	}
	set("only", partsText(a.Only))
	set("with", partsText(a.Must))
	set("without", codesText(a.Not))
	set("sold", codesText(a.Sold))
	if a.Risk.Given() {
		q.Set("risk", a.Risk.Digits())
	}
	if len(a.Aims) > 0 {
		q.Set("by", AimsText(a.Aims))
	}
	if a.Seconds > 0 {
		q.Set("seconds", strconv.FormatFloat(a.Seconds, 'g', -1, 64))
	}
	return q
}

// Key is the ask as one text, the same for the same ask.
func (a BlendAsk) Key() string { return a.Query().Encode() }

func partsText(all []AskedPart) string {
	var out []string
	for _, p := range all {
		s := string(p.Code)
		if p.Grams > 0 {
			s += "=" + strconv.FormatInt(int64(p.Grams), 10) + " g"
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

func codesText(all []record.Code) string {
	out := make([]string, len(all))
	for i, c := range all {
		out[i] = string(c)
	}
	return strings.Join(out, ", ")
}

// aimNames are how aims are typed.
var aimNames = []struct {
	name string
	is   blend.Aim
}{{"cost", blend.Cheapest}, {"age", blend.OldestFirst}, {"parts", blend.FewPartDrums}, {"contents", blend.FewContents}, {"honey", blend.LeastHoney}}

// AimsText are aims as they are typed: "cost, age, parts".
func AimsText(aims []blend.Aim) string {
	var out []string
	for _, a := range aims {
		for _, n := range aimNames {
			if n.is == a {
				out = append(out, n.name)
			}
		}
	}
	return strings.Join(out, ", ")
}

// UsualAims are the aims where none are named.
func UsualAims() []blend.Aim {
	return []blend.Aim{blend.Cheapest, blend.OldestFirst, blend.FewPartDrums}
}

// ParseAims reads "cost, age, parts".
func ParseAims(text string) (aims []blend.Aim, err error) {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		i := slices.IndexFunc(aimNames, func(n struct {
			name string
			is   blend.Aim
		}) bool {
			return strings.EqualFold(n.name, word)
		})
		if i < 0 || slices.Contains(aims, aimNames[i].is) {
			return nil, wrongDemand("aim", word)
		}
		aims = append(aims, aimNames[i].is)
	}
	return aims, nil
}

// ParseParts reads "D001, D008 = 100 kg": contents, with how much of each where it is
// not all.
func ParseParts(text string, style quantity.NumberStyle) (all []AskedPart, err error) {
	for _, one := range splitList(text) {
		code, mass, has := strings.Cut(one, "=")
		p := AskedPart{Code: record.Code(strings.TrimSpace(code))}
		if has {
			if p.Grams, err = ParseMass(mass, style); err != nil {
				return nil, err
			}
			if p.Grams == 0 {
				return nil, wrongDemand("part", one)
			}
		}
		if p.Code == "" {
			return nil, wrongDemand("part", one)
		}
		all = append(all, p)
	}
	return all, nil
}

// ParseCodes reads "D065, D066"; what a run of numbers stands for, the house knows.
func ParseCodes(text string) (all []record.Code) {
	for _, one := range splitList(text) {
		all = append(all, record.Code(one))
	}
	return all
}

func splitList(text string) (all []string) {
	for _, s := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' || r == '\t' }) {
		if s = strings.TrimSpace(s); s != "" {
			all = append(all, s)
		}
	}
	return all
}

// ParseMass reads a mass; a bare figure is in kg. Nothing typed is nothing.
func ParseMass(text string, style quantity.NumberStyle) (quantity.Gram, error) {
	if strings.TrimSpace(text) == "" {
		return 0, nil
	}
	f, err := quantity.ParseFigure(text, quantity.Want{Unit: quantity.KgUnit, Style: style})
	if err != nil {
		return 0, err
	}
	g, err := f.Grams()
	if err == nil && g <= 0 {
		err = wrongDemand("mass", strings.TrimSpace(text))
	}
	return g, err
}

// ReadBlendAsk reads an ask from the values of an address or form; wrong lists what
// can't be read, by name.
func ReadBlendAsk(q url.Values, style quantity.NumberStyle) (a BlendAsk, wrong map[string]error) {
	wrong = map[string]error{}
	take := func(name string, err error) {
		if err != nil {
			wrong[name] = err
		}
	}
	get := func(name string) string { return strings.TrimSpace(q.Get(name)) }
	var err error
	a.Order, a.Product, a.Tank = record.Code(get("order")), record.Code(get("product")), record.Code(get("tank"))
	a.Wanted, err = ParseMass(get("mass"), style)
	take("mass", err)
	a.Parcel, err = ParseMass(get("parcel"), style)
	take("parcel", err)
	for _, typed := range q["limit"] {
		if strings.TrimSpace(typed) == "" {
			continue
		}
		d, err := ParseDemand(typed, style)
		if take("limit", err); err == nil {
			a = a.and(d)
		}
	}
	if _, bad := wrong["limit"]; !bad {
		take("limit", wholeLabel(claims(a.Demands)))
	}
	if s := get("most"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 || n > 1000 {
			take("most", wrongDemand("most", s))
		} else {
			a.Most = n
		}
	}
	if s := get("due"); s != "" {
		w, err := record.ParseDay(s)
		if a.Due = w; err != nil {
			take("due", wrongDemand("day", s))
		}
	}
	a.Soft, a.Cooking, a.Parts = get("soft") == "yes", get("cooking") == "yes", get("parts") == "yes"
	a.Only, err = ParseParts(get("only"), style)
	take("only", err)
	a.Must, err = ParseParts(get("with"), style)
	take("with", err)
	a.Not, a.Sold = ParseCodes(get("without")), ParseCodes(get("sold"))
	if s := get("risk"); s != "" {
		f, err := quantity.ParseFigure(s, quantity.Want{Unit: quantity.Pct, Style: style})
		if err != nil || !(f.Float() >= 0.0001 && f.Float() <= 50) {
			take("risk", wrongDemand("risk", s))
		} else {
			a.Risk = f
		}
	}
	a.Aims, err = ParseAims(get("by"))
	take("by", err)
	if s := get("seconds"); s != "" {
		n, err := strconv.ParseFloat(s, 64)
		if err != nil || !(n > 0 && n <= mostSeconds) {
			take("seconds", wrongDemand("seconds", s, "most", fmt.Sprint(mostSeconds)))
		} else {
			a.Seconds = n
		}
	}
	return a, wrong
}
