package web

import (
	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A usualVessel is a vessel as houses commonly have it (common practice, no source): its
// shape, what it holds at most, and how its numbers begin.
type usualVessel struct {
	name  string // its text is page.shape.NAME
	shape record.VesselKind
	kg    int64
	first record.Code
}

var usuals = []usualVessel{
	{"pail-14", record.Pail, 14, "P-001"},
	{"pail-25", record.Pail, 25, "P-001"},
	{"drum", record.Drum, 300, "D-001"},
	{"tote", record.Tote, 1400, "C-01"},
	{"gate-tank", record.Tank, 100, "T-1"},
	{"tank-500", record.Tank, 500, "T-1"},
	{"tank-1000", record.Tank, 1000, "T-1"},
	{"tank-3000", record.Tank, 3000, "T-1"},
	{"sump", record.Sump, 250, "SUMP-1"},
}

// mostVessels is how many one form can name: a large house's drums of a year.
const mostVessels = 1000

// vesselsForm shows the usual shapes, then asks for the numbers of one shape.
func (v *visit) vesselsForm(p *setupPage) *task {
	var u usualVessel
	for _, x := range usuals {
		on := x.name == v.arg("shape")
		if on {
			u = x
		}
		p.Shapes = append(p.Shapes, shapeRow{Name: v.say("page.shape." + x.name), Href: link("/setup/vessels", "shape", x.name) + "#add", On: on,
			Draw: elevation(office.Stand{Shape: x.shape, Holds: quantity.Gram(x.kg) * 1000, Empty: true})})
	}
	if u.name == "" {
		return &task{}
	}
	p.Ranged, p.From, p.To = true, v.arg("from"), v.arg("to")
	if p.From == "" && v.r.Method != "POST" {
		v.s.office.Read(func(h *office.View) { p.From = string(h.FreeCode(u.first)) })
	}
	cells := []cell{{Name: "capacity", Start: v.typedMass(u.kg), Small: true}, {Name: "tare", Hint: v.say("page.setup.vessels.tare-hint"), Guess: true, Small: true},
		{Name: "place", Likely: v.thingsOf(record.Place)}}
	if u.shape != record.Drum && u.shape != record.Pail {
		cells = append(cells, cell{Name: "diameter", Small: true}, cell{Name: "height", Small: true})
	}
	return &task{Parts: []part{{Kind: record.KindVesselNamed, Fixed: map[string]string{"vessel": p.From, "shape": u.shape.String()}, Cells: cells}},
		Make: func(d *house.Draft) error { return inARow(d, record.Code(p.From), record.Code(p.To)) }}
}

// typedMass is a weight as the person would type it.
func (v *visit) typedMass(kg int64) string {
	f := v.kg(quantity.Gram(kg)*1000, 0)
	return f.Value
}

func (v *visit) thingsOf(kind record.Entity) (all []option) {
	v.s.office.Read(func(h *office.View) { all = named(h, kind, nil) })
	return all
}

// inARow names the same vessel under each number from the first to the last.
func inARow(d *house.Draft, first, last record.Code) error {
	one, ok := d.Facts[0].(*record.VesselNamed)
	if !ok || last == "" {
		return nil
	}
	codes, ok := office.CodesFrom(first, last, mostVessels)
	if !ok {
		return &house.Refusal{Key: "page.refused.row", Args: answer.Args{"first": first, "last": last, "most": int64(mostVessels)}}
	}
	d.Facts = d.Facts[:0]
	for _, c := range codes {
		x := *one
		x.Vessel = c
		d.Facts = append(d.Facts, &x)
	}
	return nil
}
