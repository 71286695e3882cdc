package web

import (
	"net/url"
	"slices"
	"strings"

	"combline/internal/blend"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// An askForm changes what is asked and looks again; nothing is recorded.
type askForm struct {
	Hidden  []option // name and value
	Mass    string
	Unit    string
	Limits  []limitField
	Other   []string // limits and shares that have no field of their own, as they are typed
	Most    string
	Risk    string
	Only    string
	With    string
	Without string
	Sold    string
	Parts   bool
	Soft    bool
}

// A limitField is least and most of one measure.
type limitField struct {
	Name, Text, Unit string
	Least, Most      string
	HasLeast         bool
	HasMost          bool
}

// askForm fills the form with what is asked now.
func (v *visit) askForm(a office.BlendAsk, k *office.BlendCase) askForm {
	f := askForm{Unit: v.kg(0, 0).Unit, Most: v.zeroless(a.Most), Only: partsTyped(v, a.Only), With: partsTyped(v, a.Must), Without: codesTyped(a.Not), Sold: codesTyped(a.Sold),
		Parts: a.Parts, Soft: a.Soft}
	q := a.Query()
	for _, name := range []string{"order", "product", "tank", "due", "by", "parcel", "seconds", "cooking"} {
		if q.Get(name) != "" {
			f.Hidden = append(f.Hidden, option{Text: name, Value: q.Get(name)})
		}
	}
	if a.Wanted > 0 && len(a.Only) == 0 {
		f.Mass = v.c.Number(a.Wanted.In(v.massIn(), 3).Float(), 0)
	}
	if a.Risk.Given() {
		f.Risk = v.digits(a.Risk)
	}
	v.limitFields(&f, a, k)
	return f
}

// keep puts back, as it was typed, what could not be read.
func (f *askForm) keep(q url.Values, wrong map[string]error, style quantity.NumberStyle) {
	for name, field := range map[string]*string{"mass": &f.Mass, "most": &f.Most, "risk": &f.Risk, "only": &f.Only, "with": &f.With} {
		if wrong[name] != nil {
			*field = q.Get(name)
		}
	}
	var unread []string
	for _, typed := range q["limit"] {
		if _, err := office.ParseDemand(typed, style); err != nil && strings.TrimSpace(typed) != "" {
			unread = append(unread, typed)
		}
	}
	f.Other = append(unread, f.Other...)
}

// massIn is the unit in which a bare mass is typed.
func (v *visit) massIn() quantity.Unit {
	if v.c.Style().Mass == quantity.Lb {
		return quantity.Lb
	}
	return quantity.KgUnit
}

func (v *visit) zeroless(n int) string {
	if n == 0 {
		return ""
	}
	return v.c.Count(int64(n))
}

// limitFields gives the usual measures their fields, with what is asked or promised.
func (v *visit) limitFields(f *askForm, a office.BlendAsk, k *office.BlendCase) {
	ends := map[string][2]bool{"water": {false, true}, "colour": {true, true}, "hmf": {false, true}, "diastase": {true, false}, "conductivity": {true, true}}
	for _, name := range usualLimits {
		m, _ := office.MeasureNamed(name)
		l := limitField{Name: name, Text: v.say(office.MeasureKey(m)), Unit: v.c.Unit(m.Unit()), HasLeast: ends[name][0], HasMost: ends[name][1]}
		for _, d := range a.Demands {
			if !d.Share && d.Measure == m {
				if d.Least != nil {
					l.Least, l.HasLeast = v.digits(*d.Least), true
				}
				if d.Most != nil {
					l.Most, l.HasMost = v.digits(*d.Most), true
				}
			}
		}
		f.Limits = append(f.Limits, l)
	}
	for _, d := range a.Demands {
		if d.Share || !slices.ContainsFunc(usualLimits, func(name string) bool { return office.MeasureName(d.Measure) == name }) {
			f.Other = append(f.Other, d.Text())
		}
	}
	f.Other = append(f.Other, "")
	if k == nil {
		return
	}
	for i, l := range k.Problem.Batches[0].Limits { // what the product promises stands in its field, to be changed
		if k.Origin[i] != "promise" || len(l.Ways) != 1 {
			continue
		}
		t := l.Ways[0][0]
		for j := range f.Limits {
			if m, _ := office.MeasureNamed(f.Limits[j].Name); m == t.Measure && t.Least {
				f.Limits[j].Least, f.Limits[j].HasLeast = v.bare(t), true
			} else if m == t.Measure {
				f.Limits[j].Most, f.Limits[j].HasMost = v.bare(t), true
			}
		}
	}
}

func (v *visit) bare(t blend.Term) string { return v.c.Number(t.Bound, decimalsOf(t.Bound)) }

func partsTyped(v *visit, all []office.AskedPart) string {
	var out []string
	for _, p := range all {
		s := string(p.Code)
		if p.Grams > 0 {
			s += "=" + v.c.MassTo(p.Grams, 1)
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

func codesTyped(all []record.Code) string {
	out := make([]string, len(all))
	for i, c := range all {
		out[i] = string(c)
	}
	return strings.Join(out, ", ")
}
