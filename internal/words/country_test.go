package words

import "testing"

// The names are the Unicode CLDR's, by golang.org/x/text.
func TestCountry(t *testing.T) {
	for lang, want := range map[Lang]string{"en": "Poland", "es": "Polonia", "pl": "Polska"} {
		c, err := For(lang)
		if err != nil {
			t.Fatal(err)
		}
		if got := c.Country("PL"); got != want {
			t.Errorf("%s: %q, want %q", lang, got, want)
		}
		for _, none := range []string{"", "VM", "XX", "P", "150", "polska"} {
			if got := c.Country(none); got != "" {
				t.Errorf("%s: %q is called %q", lang, none, got)
			}
		}
	}
}
