package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// morningChecks: on every day on which something was weighed, the platform and the
// bench scale are checked with a mass of 20 kg and of 500 g; on portion days the
// portion scale with 10 g.
func morningChecks(d *diary) {
	for t := at(time.May, 24, 5, 10); t.Before(at(time.December, 1, 0, 0)); t = t.AddDate(0, 0, 1) {
		_, m, n := t.Date()
		kinds := weighings(d.steps, m, n)
		morning := at(m, n, 5, 10)
		by := extracting
		if m >= time.September {
			by = packLead
		}
		if kinds.platform {
			d.at(morning, by, checked(platformScale, fig(20, 0, q.KgUnit), fig(200, 1, q.KgUnit)))
		}
		if kinds.bench {
			d.at(minutes(morning, 5), by, checked(benchScale, fig(500, 0, q.G), fig(5000, 1, q.G)))
		}
		if kinds.portion {
			d.at(minutes(morning, 10), by, checked(portionScale, fig(10, 0, q.G), fig(1000, 2, q.G)))
		}
	}
}

func checked(scale record.Code, against, read q.Figure) record.Fact {
	return &record.InstrumentChecked{Instrument: scale, Against: against, Read: read, InOrder: record.Yes}
}

type scalesUsed struct{ platform, bench, portion bool }

// weighings tells which scales were used on a day.
func weighings(steps []Step, m time.Month, day int) (w scalesUsed) {
	for _, s := range steps {
		if _, sm, sd := s.When.Time().Date(); sm != m || sd != day {
			continue
		}
		for _, f := range s.Facts {
			switch f := f.(type) {
			case *record.SupersReceived, *record.DrumFilled, *record.DrumReceived, *record.WaxCast, *record.Skimmed:
				w.platform = true
			case *record.JarsFilled:
				w.bench = true
				w.portion = w.portion || f.Run == "R5" || f.Run == "R6"
			case *record.Regraded:
				w.bench = true
			}
		}
	}
	return w
}
