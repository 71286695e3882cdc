package house

import (
	"slices"
	"strings"

	"combline/internal/record"
)

// A SettingAt is a rule of the house as it was set at a time.
type SettingAt struct {
	record.SettingChanged
	When record.When
	Seq  uint64
}

func (s *State) settingChanged(e *record.Entry, f *record.SettingChanged) {
	s.settings[f.Setting] = *f
	s.settingsWere[f.Setting] = append(s.settingsWere[f.Setting], SettingAt{*f, e.When, e.Seq})
}

// SettingOn is a rule as it was at a minute: as it was set last by then. Where it was
// set only later, it is the first that was set, and after says so. ok is false where it
// was never set.
func (s *State) SettingOn(name string, minute int64) (at SettingAt, after, ok bool) {
	all := s.settingsWere[name]
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].When.Minute <= minute {
			return all[i], false, true
		}
	}
	if len(all) == 0 {
		return SettingAt{}, false, false
	}
	return all[0], true, true
}

// SettingNames lists the rules that were ever set and whose names begin so, in order.
func (s *State) SettingNames(prefix string) (names []string) {
	for name := range s.settingsWere {
		if strings.HasPrefix(name, prefix) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}
