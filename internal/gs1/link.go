package gs1

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
)

// Home is where a canonical Digital Link address points.
const Home = "https://id.gs1.org"

// primary are the identifiers that an address is of, with the qualifiers that may
// follow in this order.
var primary = []struct {
	code, alias string
	qualifiers  []string
}{
	{"01", "gtin", []string{"22", "10", "21"}},
	{"00", "sscc", nil},
	{"414", "gln", []string{"254"}},
	{"417", "party", nil},
	{"253", "gdti", nil},
}

var aliases = map[string]string{"cpv": "22", "lot": "10", "ser": "21", "glnx": "254"}

// Link writes the elements as a Digital Link address under a domain of the packer's
// own, or under Home: the key and its qualifiers in the path, the rest in the query.
func (es Elements) Link(domain string) (string, error) {
	if err := es.Check(); err != nil {
		return "", err
	}
	for _, p := range primary {
		if !es.has(p.code) {
			continue
		}
		path := domain + "/" + p.code + "/" + escape(es.Value(p.code))
		for _, q := range p.qualifiers {
			if es.has(q) {
				path += "/" + q + "/" + escape(es.Value(q))
			}
		}
		var query []string
		for _, e := range es {
			if e.Code == p.code || slices.Contains(p.qualifiers, e.Code) {
				continue
			}
			if id, _, _ := identify(e.Code); !id.inURI {
				return "", fmt.Errorf("%s %s can't stand in an address", e.Code, id.Title)
			}
			query = append(query, e.Code+"="+escape(e.Value))
		}
		if len(query) > 0 {
			path += "?" + strings.Join(query, "&")
		}
		return path, nil
	}
	return "", fmt.Errorf("an address is of a trade item, a pallet, a place or a party: %s has none", es.Print())
}

// ParseLink reads a Digital Link address of any domain: what stands before the key in
// its path is left out, and so is what its query has beside identifiers.
func ParseLink(address string) (Elements, error) {
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" {
		return nil, fmt.Errorf("%q is no web address", clip(address, 60))
	}
	steps := strings.Split(strings.Trim(u.EscapedPath(), "/"), "/")
	err = fmt.Errorf("%q names no trade item, pallet, place or party", clip(address, 60))
	for at := range steps { // a shop's own folders may come first
		for _, p := range primary {
			if steps[at] != p.code && steps[at] != p.alias {
				continue
			}
			es, wrong := path(p.code, p.qualifiers, steps[at:])
			if wrong == nil {
				es = append(es, attributes(u)...)
				wrong = es.Check()
			}
			if wrong == nil {
				return es, nil
			}
			err = wrong
		}
	}
	return nil, err
}

// attributes are the identifiers of the query; a page's own words in it are left out.
func attributes(u *url.URL) (es Elements) {
	for code, values := range u.Query() {
		if id, rest, err := identify(code); err == nil && rest == "" && id.inURI {
			es = append(es, Element{code, values[0]})
		}
	}
	slices.SortFunc(es, func(a, b Element) int { return strings.Compare(a.Code, b.Code) })
	return es
}

func path(key string, qualifiers, steps []string) (es Elements, err error) {
	if len(steps)%2 != 0 {
		return nil, fmt.Errorf("the address ends with %q and no value", steps[len(steps)-1])
	}
	last := -1
	for i := 0; i < len(steps); i += 2 {
		code, value := steps[i], steps[i+1]
		if value, err = url.PathUnescape(value); err != nil {
			return nil, fmt.Errorf("%q is no value of an address", steps[i+1])
		}
		if i == 0 {
			code = key
		} else {
			if a, ok := aliases[code]; ok {
				code = a
			}
			place := slices.Index(qualifiers, code)
			if place <= last {
				return nil, fmt.Errorf("%s can't stand here in an address of %s", code, key)
			}
			last = place
		}
		if key == "01" && i == 0 { // shorter trade item numbers are filled up
			value = strings.Repeat("0", max(0, 14-len(value))) + value
		}
		es = append(es, Element{code, value})
	}
	return es, nil
}

// Canonical is the one address of a thing, under Home, at its finest level, without
// a query. It takes Digital Link addresses of any domain and EPC names.
// Source: CBV 2.0 section 8.9.
func Canonical(name string) (string, error) {
	if strings.HasPrefix(name, "urn:epc:") {
		return fromEPC(name)
	}
	es, err := ParseLink(name)
	if err != nil {
		return "", err
	}
	keep := Elements{es[0]}
	switch {
	case es.has("21"): // a serial says more than a lot or a variant
		keep = append(keep, Element{"21", es.Value("21")})
	case es.has("10"):
		keep = append(keep, Element{"10", es.Value("10")})
	case es.has("22"):
		keep = append(keep, Element{"22", es.Value("22")})
	case es.has("254"):
		keep = append(keep, Element{"254", es.Value("254")})
	}
	return keep.Link(Home)
}

// escape writes a value for a path or a query: everything but letters, digits and
// - . _ ~ as a percent sign and its byte.
func escape(s string) string {
	var b strings.Builder
	for i := range len(s) {
		c := s[i]
		switch {
		case c >= '0' && c <= '9', c >= 'A' && c <= 'Z', c >= 'a' && c <= 'z', strings.IndexByte("-._~", c) >= 0:
			b.WriteByte(c)
		default:
			fmt.Fprintf(&b, "%%%02X", c)
		}
	}
	return b.String()
}
