package web

import (
	"reflect"
	"strings"
	"testing"

	"combline/internal/office"
	"combline/internal/record"
)

// What a bad name would do if it did not stay text: end an attribute, begin an element.
const (
	evilCode = `<i x="'>`
	evilText = `"'><b onload=a()>`
)

// Every number, name and remark of the demo house with markup in it: on every page that
// taps can reach it stays text.
func TestEveryNameStaysText(t *testing.T) {
	var all []record.Entry
	clean := demoHouse(t)
	clean.o.Read(func(v *office.View) {
		for seq := uint64(1); seq <= v.Facts(); seq++ {
			e, err := v.Fact(seq)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, spoilt(e))
		}
	})
	x := houseOf(t, clean.o.Now(), func(yield func(record.Entry) bool) {
		for _, e := range all {
			if !yield(e) {
				return
			}
		}
	}).as(evilCode + "owner")
	seen, texts := 0, 0
	for _, path := range x.reached(t, 1, "/stock?q="+`%3Ci+x%3D%22%27%3E`, "/trace?of=%3Ci+x%3D%22%27%3EL05", "/trace?of=%3Cb+onload%3Da%28%29%3E", "/blank?sheet=intake", "/setup/customers") {
		page := x.get(path)
		seen++
		for _, raw := range []string{"<i x=", "<b onload", `"'>`} {
			if at := strings.Index(page, raw); at >= 0 {
				t.Errorf("%s: markup of a name: …%s…", path, page[max(0, at-80):min(len(page), at+80)])
			}
		}
		texts += strings.Count(page, "&lt;i x=") + strings.Count(page, "&lt;b onload")
	}
	if seen < 80 || texts < 1000 {
		t.Errorf("%d pages with %d such names were seen", seen, texts)
	}
}

// spoilt is a fact with markup in every number that names something, and in every
// remark as far as the record takes it.
func spoilt(e record.Entry) record.Entry {
	spoil := func(c *record.Code) {
		if *c != "" {
			*c = evilCode + *c
		}
	}
	spoil(&e.Person)
	spoil(&e.Device)
	record.Visit(e.Fact, func(f record.Field) {
		for _, c := range f.Codes {
			spoil(c)
		}
	})
	if s, ok := e.Fact.(*record.SettingChanged); ok {
		s.Setting = strings.ReplaceAll(s.Setting, "person.", "person."+evilCode)
	}
	for _, text := range texts(reflect.ValueOf(e.Fact)) {
		was := text.String()
		text.SetString(was + evilText)
		if _, err := record.Encode(e); err != nil { // a country or a language
			text.SetString(was)
		}
	}
	return e
}

// texts are the fields of a fact that hold free text and are filled in.
func texts(v reflect.Value) (all []reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		return texts(v.Elem())
	case reflect.Slice:
		for i := range v.Len() {
			all = append(all, texts(v.Index(i))...)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				all = append(all, texts(v.Field(i))...)
			}
		}
	case reflect.String:
		name := v.Type().String()
		if name == "string" && v.CanSet() && v.String() != "" {
			all = append(all, v)
		}
	}
	return all
}
