// Package words makes the sentences, numbers, dates and units that people read,
// in each person's language and style. The catalogues en.txt, es.txt and pl.txt
// hold every text; the head of en.txt says how to add one.
package words

import (
	"embed"
	"fmt"
	"maps"
	"slices"

	"golang.org/x/text/language"

	"combline/internal/quantity"
)

// A Lang is a language that the program speaks, by its ISO 639-1 code.
type Lang string

const (
	English Lang = "en"
	Spanish Lang = "es"
	Polish  Lang = "pl"
)

// Languages lists the languages that the program speaks.
func Languages() []Lang { return []Lang{English, Spanish, Polish} }

// ParseLang finds the language of a tag such as "es-MX" or "pl_PL".
func ParseLang(tag string) (Lang, error) {
	t, err := language.Parse(tag)
	if err == nil {
		base, _ := t.Base()
		if l := Lang(base.String()); slices.Contains(Languages(), l) {
			return l, nil
		}
	}
	return "", fmt.Errorf("language %q is not one of %v", tag, Languages())
}

// A Style is how one person reads and types figures.
type Style struct {
	Mass     quantity.Unit        // KgUnit (jars in g), or Lb (jars in oz)
	Temp     quantity.Unit        // DegC or DegF
	Decimal  quantity.NumberStyle // DecimalPoint or DecimalComma
	Currency string               // the house's sign, such as "€"; may be empty
	Plain    bool                 // plain spaces and hyphens, for a terminal or a text file
}

// StyleOf is the style that a language starts with: metric, its decimal sign.
func StyleOf(l Lang) Style {
	s := Style{Mass: quantity.KgUnit, Temp: quantity.DegC, Decimal: quantity.DecimalComma}
	if l == English {
		s.Decimal = quantity.DecimalPoint
	}
	return s
}

// A Catalogue speaks one language in one style. It never changes, so that many
// may use it at once.
type Catalogue struct {
	lang     Lang
	tag      language.Tag
	messages map[string]message
	style    Style
}

//go:embed en.txt es.txt pl.txt
var texts embed.FS

// For reads the catalogue of a language, in the style of [StyleOf]. Callers keep
// it: each call reads the texts anew.
func For(l Lang) (*Catalogue, error) {
	if !slices.Contains(Languages(), l) {
		return nil, fmt.Errorf("language %q is not one of %v", l, Languages())
	}
	text, err := texts.ReadFile(string(l) + ".txt")
	if err != nil {
		return nil, fmt.Errorf("texts: %w", err)
	}
	messages, err := parse(l, string(text))
	if err != nil {
		return nil, fmt.Errorf("texts %s.txt: %w", l, err)
	}
	return &Catalogue{lang: l, tag: language.Make(string(l)), messages: messages, style: StyleOf(l)}, nil
}

// In speaks the same language in another style.
func (c *Catalogue) In(s Style) *Catalogue {
	other := *c
	other.style = s
	return &other
}

// Lang is the language of c.
func (c *Catalogue) Lang() Lang { return c.lang }

// Style is the style of c.
func (c *Catalogue) Style() Style { return c.style }

// Keys lists all keys, sorted.
func (c *Catalogue) Keys() []string { return slices.Sorted(maps.Keys(c.messages)) }

// Has reports whether there is a text for key.
func (c *Catalogue) Has(key string) bool { _, ok := c.messages[key]; return ok }
