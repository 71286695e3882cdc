package yard

import (
	"slices"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// A Treatment is one product in the colonies of one site. Treated is nil while
// only its end was written down.
type Treatment struct {
	Code    record.Code
	Treated *record.Treated
	At      Stamp // when it was placed
	Over    record.Truth
	OverAt  Stamp
}

// An exposure is supers that were on the hives with a product whose label forbids
// that, or with feed. It is over when the hives were empty of supers.
type exposure struct {
	treatment   string // folded code; empty for feed
	from, until record.Day
	sure        bool // false: it is not known whether supers were on, or what the label says
	at          Stamp
}

func (y *Yard) treated(f *record.Treated, at Stamp) {
	k := f.Treatment.Fold()
	t := y.treatment(f.Treatment)
	t.Treated, t.At = f, at
	y.treatments[k] = t
	s := y.site(f.Site)
	s.treated = append(s.treated, k)
	s.expose(f, k, s.supersOn(), at)
}

// expose notes that supers and a treatment are, or may be, on together.
func (s *site) expose(f *record.Treated, k string, on record.Truth, at Stamp) {
	if f.SupersAllowed == record.Yes || on == record.No {
		return
	}
	sure := f.SupersAllowed == record.No && on == record.Yes
	for i := range s.exposed {
		if x := &s.exposed[i]; x.treatment == k && x.until == 0 {
			x.sure = x.sure || sure
			return
		}
	}
	s.exposed = append(s.exposed, exposure{treatment: k, from: at.Day(), sure: sure, at: at})
}

// exposeBoxes notes boxes that came onto hives with treatments in.
func (y *Yard) exposeBoxes(s *site, at Stamp) {
	for _, k := range s.treated {
		if t := y.treatments[k]; t.Over != record.Yes {
			s.expose(t.Treated, k, record.Yes, at)
		}
	}
}

// emptied ends what supers were exposed to once none is left.
func (s *site) emptied(day record.Day) {
	if s.supersOn() != record.No {
		return
	}
	for i := range s.exposed {
		if s.exposed[i].until == 0 {
			s.exposed[i].until = day
		}
	}
}

func (y *Yard) treatmentEnded(f *record.TreatmentEnded, at Stamp) {
	t := y.treatment(f.Treatment)
	if t.Treated == nil {
		y.odd = append(y.odd, Flag{Key: FlagTreatmentUnknown, Of: f.Treatment, Stamp: at})
	}
	t.Over, t.OverAt = record.Yes, at
	y.treatments[f.Treatment.Fold()] = t
}

func (y *Yard) treatment(c record.Code) Treatment {
	if y.treatments == nil {
		y.treatments = map[string]Treatment{}
	}
	t, ok := y.treatments[c.Fold()]
	if !ok {
		t = Treatment{Code: c, Over: record.No}
	}
	return t
}

// Treatments lists the treatments of a site in order.
func (y *Yard) Treatments(c record.Code) []Treatment {
	s, ok := y.sites[c.Fold()]
	if !ok {
		return nil
	}
	var all []Treatment
	for _, k := range s.treated {
		all = append(all, y.treatments[k])
	}
	return slices.Clip(all)
}

const maxWait = 100_000 // days; keeps a slip of the pen inside the calendar

// Wait is the waiting time after the end in whole days, a part day as a day; false
// when nobody wrote it down.
func (t Treatment) Wait() (record.Day, bool) {
	if t.Treated == nil || !t.Treated.WaitDays.Given() {
		return 0, false
	}
	f := t.Treated.WaitDays
	minutes := map[q.Unit]int64{q.Day: 1440, q.Hour: 60, q.Minute: 1}[f.Unit]
	if minutes == 0 || f.Mantissa < 0 || f.Check() != nil || f.Mantissa > 1<<40 {
		return 0, false
	}
	n, den := f.Mantissa*minutes, int64(1440)
	for range f.Decimals {
		den *= 10
	}
	days := (n + den - 1) / den
	return record.Day(min(days, maxWait)), true
}
