package house

import (
	"net/url"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"combline/internal/answer"
	"combline/internal/record"
	"combline/internal/standard"
)

// The names of the rules that are texts for papers, labels and codes. Those that end
// with a point are followed by a country or a product.
const (
	SettingAddress  = "house.address"
	SettingCountry  = "country.name."
	SettingDomain   = "codes.domain"   // https://honey.example: where the house's own names point
	SettingCompany  = "codes.company"  // the GS1 company prefix
	SettingLocation = "codes.location" // the house's GLN
	SettingItem     = "codes.item."    // and a product's code: its GTIN
	SettingSurface  = "pack.surface."  // and a product's code: the largest surface of its pack, cm²
	SettingPlant    = "honey.plant."   // and what a honey is called in the house: the plant it is of
)

// Lengths, in characters, that still go on a label.
const (
	mostAddress = 200
	mostCountry = 60
	mostDomain  = 80
)

// setting refuses a text that can't be what its rule is for: it would be printed, or
// read by every till and telephone.
func (c *check) setting(f *record.SettingChanged) {
	text := strings.TrimSpace(f.Text)
	of := func(prefix string) (string, bool) { return strings.CutPrefix(f.Setting, prefix) }
	switch f.Setting {
	case SettingAddress:
		c.settingWords(text, mostAddress, false)
		return
	case SettingDomain:
		c.settingDomain(text)
		return
	case SettingLineRates:
		c.settingLineRates(text)
		return
	case SettingCompany:
		c.settingDigits(text, 4, 12)
		return
	case SettingLocation:
		if c.settingDigits(text, 13, 13) {
			c.settingChecked(text)
		}
		return
	}
	if code, ok := of(SettingCountry); ok {
		if len(code) != 2 || strings.Trim(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
			c.refuse("refused.setting-country", "next.type-again", inField("setting", answer.Args{"code": code}))
			return
		}
		c.settingWords(text, mostCountry, true)
	} else if code, ok := of(SettingItem); ok && c.settingProduct(code) {
		c.settingItem(text)
	} else if code, ok := of(SettingSurface); ok && c.settingProduct(code) {
		if f.Value.Given() {
			text = f.Value.String()
		}
		if _, ok := SurfaceCM2(text); !ok {
			c.settingEmpty(text)
			c.refuse("refused.setting-surface", "next.type-again", inField("text", answer.Args{"typed": text}))
		}
	} else if _, ok := of(SettingPlant); ok {
		c.settingWords(text, mostCountry, true)
	}
}

// settingEmpty refuses a rule that says nothing.
func (c *check) settingEmpty(text string) bool {
	if text == "" {
		c.refuse("refused.setting-empty", "next.type-again", inField("text", answer.Args{}))
	}
	return text == ""
}

// settingWords refuses what can't stand in one line of a label: nothing, too much,
// hidden signs and line ends; of a name also figures, and anything without a letter.
func (c *check) settingWords(text string, most int, name bool) {
	if c.settingEmpty(text) {
		return
	}
	if n := utf8.RuneCountInString(text); n > most {
		c.refuse("refused.setting-long", "next.shorter", inField("text", answer.Args{"n": int64(n), "most": int64(most)}))
		return
	}
	bad := func(r rune) bool {
		return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Zl, r) || unicode.Is(unicode.Zp, r) || r == utf8.RuneError ||
			name && (unicode.IsDigit(r) || strings.ContainsRune("<>{}[]|\\^~=+*/_#@%$;", r))
	}
	if i := strings.IndexFunc(text, bad); i >= 0 {
		r, _ := utf8.DecodeRuneInString(text[i:])
		c.refuse("refused.setting-sign", "next.type-again", inField("text", answer.Args{"sign": signOf(r)}))
	} else if !strings.ContainsFunc(text, unicode.IsLetter) {
		c.refuse("refused.setting-letters", "next.type-again", inField("text", answer.Args{"typed": text}))
	}
}

// signOf shows a sign that may be hidden.
func signOf(r rune) string {
	if unicode.IsPrint(r) && r != utf8.RuneError {
		return string(r)
	}
	return "U+" + strings.ToUpper(strconv.FormatInt(int64(r)+0x10000, 16)[1:])
}

// settingDomain takes a web address of the house's own without anything behind it that
// belongs to one page.
func (c *check) settingDomain(text string) {
	if c.settingEmpty(text) {
		return
	}
	if n := utf8.RuneCountInString(text); n > mostDomain {
		c.refuse("refused.setting-long", "next.shorter", inField("text", answer.Args{"n": int64(n), "most": int64(mostDomain)}))
		return
	}
	u, err := url.Parse(text)
	host := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '.'
	}
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.User != nil || u.RawQuery != "" || u.ForceQuery || u.Fragment != "" || strings.Contains(text, "#") ||
		!strings.Contains(strings.Trim(u.Hostname(), "."), ".") || strings.IndexFunc(u.Hostname(), func(r rune) bool { return !host(r) }) >= 0 ||
		strings.Contains(u.Host, "..") || u.EscapedPath() != u.Path || strings.ContainsFunc(u.Path, func(r rune) bool { return r <= ' ' || r > '~' }) {
		c.refuse("refused.setting-domain", "next.type-again", inField("text", answer.Args{"typed": text}))
	}
}

// settingDigits refuses what is no number of so many digits.
func (c *check) settingDigits(text string, least, most int) bool {
	if c.settingEmpty(text) {
		return false
	}
	if len(text) < least || len(text) > most || strings.Trim(text, "0123456789") != "" {
		c.refuse("refused.setting-digits", "next.type-again", inField("text", answer.Args{"typed": text, "least": int64(least), "most": int64(most)}))
		return false
	}
	return true
}

// settingItem takes the number of a trade item: 8, 12, 13 or 14 digits.
func (c *check) settingItem(text string) {
	if c.settingEmpty(text) {
		return
	}
	switch {
	case strings.Trim(text, "0123456789") != "", len(text) != 8 && (len(text) < 12 || len(text) > 14), strings.Trim(text, "0") == "":
		c.refuse("refused.setting-item", "next.type-again", inField("text", answer.Args{"typed": text}))
	default:
		c.settingChecked(text)
	}
}

// settingChecked refuses a number whose last digit does not check, with the right one.
func (c *check) settingChecked(text string) {
	last := len(text) - 1
	want, _, err := standard.CheckDigit(text[:last])
	if err == nil && want != text[last] {
		c.refuse("refused.check-digit", "next.read-digits", inField("text", answer.Args{"typed": text, "got": text[last:], "want": string(want)}))
	}
}

// settingProduct refuses a rule for a product that is not there; it must be called as
// the house calls it, or nothing would find the rule.
func (c *check) settingProduct(code string) bool {
	p, ok := c.s.Goods.Product(record.Code(code))
	if !ok {
		if kind, fresh := c.fresh[record.Code(code).Fold()]; fresh && kind == record.Product {
			return true
		}
		c.refuse("refused.not-known", "next.name-it-first", inField("setting", answer.Args{"code": record.Code(code)}))
		return false
	}
	if string(p.Product) != code {
		c.refuse("refused.setting-called", "next.type-again", inField("setting", answer.Args{"code": record.Code(code), "called": p.Product}))
		return false
	}
	return true
}

// SurfaceCM2 reads the largest surface of a pack, "90" or "90,5 cm²": above 0 and at
// most 20,000 cm², which is a large drum's side.
func SurfaceCM2(text string) (float64, bool) {
	text = strings.TrimSpace(text)
	for _, unit := range []string{"cm²", "cm2", "CM2"} {
		text = strings.TrimSpace(strings.TrimSuffix(text, unit))
	}
	if strings.Trim(text, "0123456789.,") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return v, err == nil && v > 0 && v <= 20_000
}
