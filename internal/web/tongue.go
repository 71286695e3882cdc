package web

import (
	"strings"

	"golang.org/x/text/language"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
)

// tongues are the catalogues, read once.
type tongues map[words.Lang]*words.Catalogue

func loadTongues() (tongues, error) {
	all := tongues{}
	for _, l := range words.Languages() {
		c, err := words.For(l)
		if err != nil {
			return nil, err
		}
		all[l] = c
	}
	return all, nil
}

// of is the catalogue of the first tag that the program speaks, in a style.
func (t tongues) of(house record.HouseNamed, units string, tags ...string) *words.Catalogue {
	c := t[words.English]
	for _, tag := range tags {
		if l, err := words.ParseLang(tag); err == nil {
			c = t[l]
			break
		}
	}
	style := words.StyleOf(c.Lang())
	style.Currency = house.Currency
	if units == "" {
		units = house.Units
	}
	if isPounds(units) {
		style.Mass, style.Temp = quantity.Lb, quantity.DegF
	}
	return c.In(style)
}

// isPounds reports whether somebody reads pounds and degrees Fahrenheit. Facts hold
// "metric" or "us"; what a table brought in may say it otherwise.
func isPounds(units string) bool {
	switch strings.ToLower(units) {
	case "us", "lb", "pounds", "imperial":
		return true
	}
	return false
}

// wanted lists the languages that a browser asks for, best first.
func wanted(header string) (tags []string) {
	all, _, err := language.ParseAcceptLanguage(header)
	if err != nil {
		return nil
	}
	for _, t := range all {
		tags = append(tags, t.String())
	}
	return tags
}
