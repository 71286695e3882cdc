package web

import (
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
	"combline/internal/words"
)

// Language and units of whoever is at the tablet: a person's are in the record, so
// they find them on every device.
type settingsPage struct {
	*frame
	Languages []option
	Units     []option
	Nobody    bool
	Refused   string
	Key       string
}

func (v *visit) settings() error {
	if v.r.Method == "POST" {
		return v.setTongue()
	}
	return v.settingsPage("")
}

func (v *visit) settingsPage(refused string) error {
	p := settingsPage{frame: v.frame("", v.say("page.settings")), Nobody: v.person == "", Refused: refused, Key: newKey()}
	for _, l := range words.Languages() {
		p.Languages = append(p.Languages, option{Value: string(l), Text: v.s.tongue[l].Say("page.language"), On: l == v.c.Lang()})
	}
	pounds := v.c.Style().Mass != words.StyleOf(words.English).Mass
	p.Units = []option{{Value: "metric", Text: v.say("page.units.metric"), On: !pounds}, {Value: "us", Text: v.say("page.units.us"), On: pounds}}
	return v.render("settings", p)
}

// setTongue writes down how a person reads from now on; without a person this device
// alone remembers the language.
func (v *visit) setTongue() error {
	l, err := words.ParseLang(v.arg("language"))
	if err != nil {
		l = v.c.Lang()
	}
	if v.person == "" {
		v.remember(langCookie, string(l))
		return v.see("/settings")
	}
	d := house.Draft{Person: v.person, Device: v.device}
	var who office.Person
	v.s.office.Read(func(h *office.View) { who, _ = h.Person(v.person) })
	if who.Language != string(l) {
		d.Facts = append(d.Facts, &record.SettingChanged{Setting: office.LanguageSetting(v.person), Text: string(l)})
	}
	if u := v.arg("units"); (u == "metric" || u == "us") && u != who.Units {
		d.Facts = append(d.Facts, &record.SettingChanged{Setting: office.UnitsSetting(v.person), Text: u})
	}
	if len(d.Facts) == 0 {
		return v.see("/settings")
	}
	key, ok := keyOf(v.arg("key"))
	if !ok {
		return v.settingsPage(v.say("page.form.stale"))
	}
	d.Key = key
	if _, err := v.record(d); err != nil {
		return err
	}
	return v.see("/settings")
}
