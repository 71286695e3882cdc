package gs1

import (
	"fmt"
	"net/url"
	"strings"

	"combline/internal/standard"
)

// fromEPC gives the canonical address of an EPC name: the company prefix and the
// reference are joined, the indicator or extension digit goes in front, and the check
// digit is added. Source: EPC Tag Data Standard, section 6; CBV 2.0 section 8.9.
func fromEPC(name string) (string, error) {
	scheme, rest, ok := strings.Cut(strings.TrimPrefix(name, "urn:epc:"), ":")
	sub, value, more := strings.Cut(rest, ":")
	if !ok || !more {
		return "", fmt.Errorf("%q is no EPC name", clip(name, 60))
	}
	parts := strings.SplitN(value, ".", 3)
	wrong := fmt.Errorf("%q is no %s name that is known here", clip(name, 60), sub)
	if scheme != "id" && scheme != "class" && scheme != "idpat" {
		return "", wrong
	}
	serial := ""
	if len(parts) == 3 {
		var err error
		if serial, err = url.PathUnescape(parts[2]); err != nil {
			return "", wrong
		}
	} else if len(parts) < 2 {
		return "", wrong
	}
	company, reference := parts[0], parts[1]
	var es Elements
	switch kind := scheme + " " + sub; {
	case kind == "id sgtin" && len(parts) == 3, kind == "class lgtin" && len(parts) == 3, kind == "idpat sgtin" && serial == "*":
		if len(reference) == 0 {
			return "", wrong
		}
		key, err := completed(reference[:1]+company+reference[1:], 14)
		if err != nil {
			return "", err
		}
		es = Elements{{"01", key}}
		switch sub {
		case "lgtin":
			es = append(es, Element{"10", serial})
		case "sgtin":
			if scheme == "id" {
				es = append(es, Element{"21", serial})
			}
		}
	case kind == "id sscc" && len(parts) == 2 && reference != "":
		key, err := completed(reference[:1]+company+reference[1:], 18)
		if err != nil {
			return "", err
		}
		es = Elements{{"00", key}}
	case kind == "id sgln" && len(parts) == 3:
		key, err := completed(company+reference, 13)
		if err != nil {
			return "", err
		}
		if es = (Elements{{"414", key}}); serial != "0" {
			es = append(es, Element{"254", serial})
		}
	case kind == "id pgln" && len(parts) == 2:
		key, err := completed(company+reference, 13)
		if err != nil {
			return "", err
		}
		es = Elements{{"417", key}}
	case kind == "id gdti" && len(parts) == 3:
		key, err := completed(company+reference, 13)
		if err != nil {
			return "", err
		}
		es = Elements{{"253", key + serial}}
	default:
		return "", wrong
	}
	return es.Link(Home)
}

// completed adds the check digit to a key of so many digits.
func completed(digits string, length int) (string, error) {
	if len(digits) != length-1 {
		return "", fmt.Errorf("%q has %d digits, want %d", digits, len(digits), length-1)
	}
	d, _, err := standard.CheckDigit(digits)
	if err != nil {
		return "", err
	}
	return digits + string(d), nil
}
