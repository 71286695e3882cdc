package words

import (
	"golang.org/x/text/language"
	"golang.org/x/text/language/display"
)

// Country is how a country is called in the language, by its two-letter code (CLDR);
// "" for a code that no country has.
func (c *Catalogue) Country(code string) string {
	r, err := language.ParseRegion(code)
	if err != nil || !r.IsCountry() {
		return ""
	}
	tag, err := language.Parse(string(c.lang))
	if err != nil {
		return ""
	}
	return display.Regions(tag).Name(r)
}
