package epcis

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math/big"
	"slices"
	"strings"
	"time"

	"combline/internal/gs1"
)

// HashID names an event, given as JSON, by the SHA-256 of its pre-hash text.
// Source: CBV 2.0 section 8.9.
func HashID(event []byte, c Context) (string, error) {
	text, err := Prehash(event, c)
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("ni:///sha-256;%x?ver=CBV2.0", sha256.Sum256([]byte(text))), nil
}

// A field of the pre-hash text, and how its value is written.
type field struct {
	name       string
	form       form
	vocabulary string // of the words that the standard lists
}

type form byte

const (
	single     form = iota // name=value
	names                  // the list's name, then epc=value each
	quantities             // the list's name, then quantityElement with its parts
	word                   // a word of the vocabulary
	place                  // its id
	pairs                  // type= and the thing, each
	state                  // words set and unset
)

// order is that of epcis_hash_order.csv, but for two things that the reference vectors
// show: certificationInfo comes right after the offset, and the destinations come
// before the sources.
var order = []field{
	{"certificationInfo", single, ""},
	{"epcList", names, ""},
	{"parentID", single, ""},
	{"inputEPCList", names, ""},
	{"childEPCs", names, ""},
	{"quantityList", quantities, ""},
	{"childQuantityList", quantities, ""},
	{"inputQuantityList", quantities, ""},
	{"outputEPCList", names, ""},
	{"outputQuantityList", quantities, ""},
	{"action", single, ""},
	{"transformationID", single, ""},
	{"bizStep", word, "BizStep"},
	{"disposition", word, "Disp"},
	{"persistentDisposition", state, "Disp"},
	{"readPoint", place, ""},
	{"bizLocation", place, ""},
	{"bizTransactionList", pairs, "BTT"},
	{"destinationList", pairs, "SDT"},
	{"sourceList", pairs, "SDT"},
}

// left are the fields that say nothing of what happened, or were written before.
var left = []string{"type", "eventTime", "eventTimeZoneOffset", "recordTime", "eventID", "errorDeclaration", "@context", "ilmd"}

type hasher struct{ context Context }

// Prehash writes the canonical text of an event: its fields in one order, each value
// in one form. Readings of sensors are not known here and refused.
func Prehash(event []byte, c Context) (string, error) {
	d := json.NewDecoder(bytes.NewReader(event))
	d.UseNumber()
	var e map[string]any
	if err := d.Decode(&e); err != nil {
		return "", fmt.Errorf("the event is no JSON object: %w", err)
	}
	if _, ok := e["sensorElementList"]; ok {
		return "", fmt.Errorf("readings of sensors in an event can't be hashed here")
	}
	h := hasher{c}
	text := "eventType=" + fmt.Sprint(e["type"])
	at, err := instant(e["eventTime"])
	if err != nil {
		return "", err
	}
	text += "eventTime=" + at + "eventTimeZoneOffset=" + fmt.Sprint(e["eventTimeZoneOffset"])
	known := slices.Clone(left)
	for _, f := range order {
		known = append(known, f.name)
		v, ok := e[f.name]
		if !ok {
			continue
		}
		s, err := h.field(f, v)
		if err != nil {
			return "", fmt.Errorf("%s: %w", f.name, err)
		}
		text += s
	}
	if ilmd, ok := e["ilmd"].(map[string]any); ok {
		s, err := h.extensions(ilmd, nil)
		if err != nil {
			return "", fmt.Errorf("ilmd: %w", err)
		}
		text += "ilmd" + s
	}
	more, err := h.extensions(e, known)
	return text + more, err
}

// instant is a time in UTC with exactly three decimals, half up.
func instant(v any) (string, error) {
	t, err := time.Parse(time.RFC3339Nano, fmt.Sprint(v))
	if err != nil {
		return "", fmt.Errorf("%v is no time with its zone", v)
	}
	return t.UTC().Round(time.Millisecond).Format("2006-01-02T15:04:05.000Z"), nil
}

// plain is one value: a number without trailing zeros, a truth, or a text, of which
// names of things take their canonical form.
func (h hasher) plain(v any) (string, error) {
	switch v := v.(type) {
	case json.Number:
		r, ok := new(big.Rat).SetString(v.String())
		if !ok || len(v) > 40 {
			return "", fmt.Errorf("%s is no figure that can be hashed", v)
		}
		s := r.FloatString(40)
		return strings.TrimSuffix(strings.TrimRight(s, "0"), "."), nil
	case bool:
		return fmt.Sprint(v), nil
	case string:
		if t, err := time.Parse(time.RFC3339Nano, v); err == nil {
			return instant(t.Format(time.RFC3339Nano))
		}
		if s, err := gs1.Canonical(v); err == nil {
			return s, nil
		}
		return v, nil
	}
	return "", fmt.Errorf("%v is no single value", v)
}

func (h hasher) field(f field, v any) (string, error) {
	switch f.form {
	case names:
		return members(f.name, v, func(v any) (string, error) { return h.named("epc", v) })
	case quantities:
		return members(f.name, v, h.quantity)
	case word:
		return f.name + "=" + uri(f.vocabulary, fmt.Sprint(v)), nil
	case place:
		return h.part(f.name, v, "id")
	case pairs:
		return members(f.name, v, func(v any) (string, error) { return h.pair(f.vocabulary, v) })
	case state:
		return states(f, v)
	}
	if list, ok := v.([]any); ok { // certificates: one or several
		return members("", list, func(v any) (string, error) { return h.named(f.name, v) })
	}
	return h.named(f.name, v)
}

func (h hasher) named(name string, v any) (string, error) {
	s, err := h.plain(v)
	return name + "=" + s, err
}

// members writes what is in a list, sorted, after its name.
func members(name string, v any, write func(any) (string, error)) (string, error) {
	items, ok := v.([]any)
	if !ok {
		return "", fmt.Errorf("%v is no list", v)
	}
	out := make([]string, len(items))
	for i, item := range items {
		s, err := write(item)
		if err != nil {
			return "", err
		}
		out[i] = s
	}
	slices.Sort(out)
	return name + strings.Join(out, ""), nil
}

// part writes those fields of an object that it has, in the order asked for.
func (h hasher) part(name string, v any, fields ...string) (string, error) {
	o, ok := v.(map[string]any)
	if !ok {
		return "", fmt.Errorf("%v is no object", v)
	}
	text := name
	for _, f := range fields {
		if v, ok := o[f]; ok {
			s, err := h.named(f, v)
			if err != nil {
				return "", err
			}
			text += s
		}
	}
	return text, nil
}

func (h hasher) quantity(v any) (string, error) {
	return h.part("quantityElement", v, "epcClass", "quantity", "uom")
}

// pair writes the type before the thing.
func (h hasher) pair(vocabulary string, v any) (string, error) {
	o, _ := v.(map[string]any)
	if kind, ok := o["type"].(string); ok {
		o["type"] = uri(vocabulary, kind)
	}
	return h.part("", v, "type", "bizTransaction", "source", "destination")
}

func states(f field, v any) (string, error) {
	o, ok := v.(map[string]any)
	if !ok {
		return "", fmt.Errorf("%v is no object", v)
	}
	text := f.name
	for _, which := range []string{"set", "unset"} {
		list, ok := o[which]
		if !ok {
			continue
		}
		s, err := members("", list, func(v any) (string, error) { return which + "=" + uri(f.vocabulary, fmt.Sprint(v)), nil })
		if err != nil {
			return "", err
		}
		text += s
	}
	return text, nil
}

// extensions writes the fields that the standard does not have, sorted: {namespace} and
// the name, then the value, or the fields of what stands within.
func (h hasher) extensions(o map[string]any, known []string) (string, error) {
	var out []string
	for key, v := range o {
		if slices.Contains(known, key) {
			continue
		}
		name, err := h.qualified(key)
		if err != nil {
			return "", err
		}
		items, ok := v.([]any)
		if !ok {
			items = []any{v}
		}
		for _, item := range items {
			s := ""
			if inner, ok := item.(map[string]any); ok {
				s, err = h.extensions(inner, []string{"@context"})
			} else if s, err = h.plain(item); err == nil {
				s = "=" + s
			}
			if err != nil {
				return "", fmt.Errorf("%s: %w", key, err)
			}
			out = append(out, name+s)
		}
	}
	slices.Sort(out)
	return strings.Join(out, ""), nil
}

// qualified writes prefix:name, or a whole address, as {namespace}name.
func (h hasher) qualified(key string) (string, error) {
	if prefix, name, ok := strings.Cut(key, ":"); ok && !strings.HasPrefix(name, "//") && prefix != "urn" {
		if ns := h.context.of(prefix); ns != "" {
			return "{" + ns + "}" + name, nil
		}
		return "", fmt.Errorf("the prefix of %q is not told in the context", key)
	}
	if at := strings.LastIndexAny(key, "/#:"); at >= 0 && at < len(key)-1 {
		return "{" + key[:at+1] + "}" + key[at+1:], nil
	}
	return "", fmt.Errorf("%q is no field of an event, and has no namespace", key)
}

// uri is the address of a word that the standard lists; a name of one's own stays.
func uri(vocabulary, word string) string {
	const home = "https://ref.gs1.org/cbv/"
	if name, ok := strings.CutPrefix(word, "urn:epcglobal:cbv:"+strings.ToLower(vocabulary)+":"); ok {
		word = name
	}
	if strings.ContainsAny(word, ":/") {
		return word
	}
	return home + vocabulary + "-" + word
}
