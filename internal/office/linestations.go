package office

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/flow"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// lineStations are the machines of the line with what each can do.
func (v *View) lineStations(n *LineNow, ask LineAsk) {
	frames := v.State.Setting("frames.super", superFrames).Float()
	if !(frames >= 1 && frames <= 20) {
		frames = superFrames.Float()
	}
	n.KgSuper, n.KgLots = v.superKg(DayOf(ask.At))
	supers := func(t TypedStation) float64 {
		if t.Kg > 0 {
			return t.Kg / n.KgSuper
		}
		return t.Frames / frames
	}
	for _, t := range ask.Rates {
		n.Stations = append(n.Stations, LineStation{Name: t.Machine, Supers: supers(t), How: "line.how.typed", Kg: t.Kg})
	}
	set, _ := ParseLineRates(v.State.SettingText(house.SettingLineRates))
	for _, t := range set {
		if !named(n.Stations, t.Machine) {
			n.Stations = append(n.Stations, LineStation{Name: t.Machine, Supers: supers(t), How: "line.how.rule", Kg: t.Kg})
		}
	}
	for _, t := range v.State.OfKind(record.Machine) {
		m, ok := v.State.Named(t).(*record.MachineNamed)
		if !ok || m.Nozzles > 0 || named(n.Stations, m.Machine) || !v.onLine(m.Machine) {
			continue
		}
		if !(m.Rate.Float() > 0) || m.Rate.Unit != quantity.Each {
			n.Unrated = append(n.Unrated, m.Machine)
			continue
		}
		n.Stations = append(n.Stations, LineStation{Name: m.Machine, Supers: m.Rate.Float() / frames, How: "line.how.named"})
	}
	n.Book, n.BookSet = v.State.Setting("pull.rate", pullRate).Float()/lineUsual, true
	all := make([]flow.Station, 0, len(n.Stations))
	for _, s := range v.together(n.Stations) {
		all = append(all, flow.Station{Name: string(s.Name), PerHour: s.Supers, Goes: 1})
	}
	n.Stations = v.together(n.Stations)
	if r, at, err := flow.Bottleneck(all); err == nil {
		n.Book, n.Slowest, n.BookSet = r, at, false
	}
	for i := range n.Stations {
		if n.Live > 0 && n.Stations[i].Supers > 0 {
			n.Stations[i].Used = n.Live / n.Stations[i].Supers
		}
	}
}

func named(all []LineStation, m record.Code) bool {
	return slices.ContainsFunc(all, func(s LineStation) bool { return s.Name.Fold() == m.Fold() })
}

// together adds up machines that do the same work side by side: those whose kind begins
// with the same word.
func (v *View) together(all []LineStation) (out []LineStation) {
	at := map[string]int{}
	for _, s := range all {
		key := s.Name.Fold()
		if t, ok := v.State.Find(s.Name); ok {
			if m, is := v.State.Named(t).(*record.MachineNamed); is && firstWord(m.What) != "" {
				key = firstWord(m.What)
			}
		}
		if i, ok := at[key]; ok {
			out[i].Supers += s.Supers
			out[i].Name += " + " + s.Name
			continue
		}
		at[key] = len(out)
		out = append(out, s)
	}
	return out
}

// firstWord is the first word of a machine's kind: extractor, uncapper, pump.
func firstWord(what string) string {
	first, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(what)), " ")
	return strings.Trim(first, ",;:")
}

// ParseLineRates reads "uncapper 480; extractor A 257; sump pump 900 kg": the frames, or
// the kg of honey, an hour of machines.
func ParseLineRates(text string) ([]TypedStation, error) {
	all, bad := house.LineRates(text)
	if bad != "" {
		return nil, lineRates(bad)
	}
	return all, nil
}

// superKgUsual is the honey of a medium super, 13 to 17 kg (common practice, no source).
const superKgUsual = 15.0

// superKg is the honey of a super by the house's own lots of the last two years that were
// weighed both ways, or what is usual.
func (v *View) superKg(day record.Day) (kg float64, lots int) {
	var grams, boxes float64
	for _, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if !ok || !l.Closed || l.Opened.Pulled < day-800 || l.Opened.Pulled > day || l.Boxes <= 0 || l.WetOut <= 0 || !(l.GrossIn > l.WetOut) {
			continue
		}
		grams, boxes, lots = grams+float64(l.GrossIn-l.WetOut), boxes+float64(l.Boxes), lots+1
	}
	if kg = grams / 1000 / max(boxes, 1); !(kg >= 1 && kg <= 60) {
		return superKgUsual, 0
	}
	return kg, lots
}

func lineRates(part string) error {
	return &house.Refusal{Key: "refused.line-rates", Args: answer.Args{"typed": part}, Next: "next.line.rates"}
}

// onLine reports whether combs or raw honey go through a machine: a load was written for
// it, or a lot ran through it.
func (v *View) onLine(m record.Code) bool {
	line := once(v, "line machines", func() map[string]bool {
		is := map[string]bool{}
		for _, t := range v.State.OfKind(record.Lot) {
			for _, e := range v.Mentions(v.State.Code(t)) {
				switch f := e.Fact.(type) {
				case *record.SupersSpun:
					for _, c := range f.Machines {
						is[c.Fold()] = true
					}
				case *record.LotRanInto:
					for _, c := range f.Via {
						is[c.Fold()] = true
					}
				}
			}
		}
		return is
	})
	return line[m.Fold()]
}
