package office

import (
	"combline/internal/record"
)

// A Person works, or worked, in the house.
type Person struct {
	record.PersonNamed
	Fact uint64 // that named them
	Left bool
}

// People lists who works here, in the order in which they were named; those who left
// come with Left.
func (v *View) People() (all []Person) {
	for _, t := range v.State.OfKind(record.Person) {
		named, ok := v.State.Named(t).(*record.PersonNamed)
		if !ok {
			continue
		}
		p := Person{PersonNamed: *named}
		for _, seq := range v.State.Mentions(t) {
			e, err := v.Fact(uint64(seq))
			if err != nil {
				continue
			}
			switch f := e.Fact.(type) {
			case *record.PersonNamed:
				if p.Fact == 0 {
					p.Fact = e.Seq
				}
			case *record.PersonLeft:
				p.Left = p.Left || f.Person.Fold() == named.Person.Fold()
			}
		}
		if set := v.State.SettingText(LanguageSetting(p.Person)); set != "" {
			p.Language = set
		}
		if set := v.State.SettingText(UnitsSetting(p.Person)); set != "" {
			p.Units = set
		}
		all = append(all, p)
	}
	return all
}

// Person is somebody of the house by their code.
func (v *View) Person(code record.Code) (Person, bool) {
	for _, p := range v.People() {
		if p.Person.Fold() == code.Fold() {
			return p, true
		}
	}
	return Person{}, false
}

// Settings of one person, which they may change themselves: their language and units
// as they are from then on.
const (
	languageOf = ".language"
	unitsOf    = ".units"
)

// LanguageSetting and UnitsSetting are the names of a person's own settings.
func LanguageSetting(person record.Code) string { return personSetting(person) + languageOf }
func UnitsSetting(person record.Code) string    { return personSetting(person) + unitsOf }

func personSetting(person record.Code) string { return "person." + person.Fold() }

// OwnSetting reports whether a setting is one of this person alone.
func OwnSetting(setting string, person record.Code) bool {
	return person != "" && (setting == LanguageSetting(person) || setting == UnitsSetting(person))
}
