package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A Stand is one vessel as it stands on the floor, with what is in it.
type Stand struct {
	Code    record.Code // of the vessel; of a loose filling its own
	Shape   record.VesselKind
	Holds   quantity.Gram // at most; 0 when nobody wrote it down
	High    quantity.Figure
	Wide    quantity.Figure
	Empty   bool
	Content house.Content // unless it is empty
	Honey   answer.Cell   // its kind, nil when not known
	Water   answer.Cell
	Colour  Colour
	Read    bool // Colour is known
	Temp    Temperature
	Status  string // free, promised, touched, held
	Holding []record.Code
	Place   record.Code
	Clean   bool   // cleaned since it was last emptied
	Owner   string // when it is not the house's
}

// A Temperature is the last reading of a vessel or of the place where it stands.
type Temperature struct {
	Value quantity.Figure // none: never read
	When  record.When
	Place record.Code // whose it is, when it is not the vessel's own
}

// Floor lists every vessel that is not gone, and loose fillings, by code. The list is
// everybody's.
func (v *View) Floor() []Stand { return once(v, "floor", v.floor) }

func (v *View) floor() (all []Stand) {
	held, put := v.held(), v.promised()
	for _, t := range v.State.OfKind(record.Vessel) {
		x, _ := v.State.Vessel(t)
		named, ok := v.State.Named(t).(*record.VesselNamed)
		if !ok || x.Gone {
			continue
		}
		st := Stand{Code: v.State.Code(t), Shape: named.Shape, Holds: named.Capacity.Grams(), High: named.Height, Wide: named.Diameter,
			Empty: v.State.Empty(x), Clean: x.Cleaned != 0, Owner: named.Owner}
		st.Place, _, _, _ = v.State.PlaceOf(st.Code)
		if !st.Empty {
			v.filled(&st, v.State.Content(x.Node), held, put)
		}
		st.Temp = v.Temperature(st.Code)
		all = append(all, st)
	}
	for _, c := range v.State.Contents() {
		if c.Vessel == "" {
			st := Stand{Code: c.Code, Shape: record.Drum, Place: c.Place}
			v.filled(&st, c, held, put)
			st.Temp = v.Temperature(st.Code)
			all = append(all, st)
		}
	}
	slices.SortFunc(all, func(a, b Stand) int { return cmp.Compare(natural(a.Code), natural(b.Code)) })
	return all
}

// StandOf is one vessel or loose filling as it stands.
func (v *View) StandOf(code record.Code) (Stand, bool) {
	for _, st := range v.Floor() {
		if st.Code.Fold() == code.Fold() || !st.Empty && st.Content.Code.Fold() == code.Fold() {
			return st, true
		}
	}
	return Stand{}, false
}

func (v *View) filled(st *Stand, c house.Content, held house.Held, put map[string]record.Code) {
	st.Content, st.Honey, st.Water = c, honeyCell(v.honeyOf(c)), v.water(c.Node)
	st.Colour, st.Read = v.Colour(c.Node)
	st.Status = string(v.status(held, put, c))
	for _, on := range held[c.Node] {
		st.Holding = append(st.Holding, v.State.Code(on.Hold))
	}
}

// Temperature is the last reading of a thing, or of the place where it stands.
func (v *View) Temperature(code record.Code) Temperature {
	if t, ok := v.State.Find(code); ok {
		if x, ok := v.State.TemperatureOf(t); ok {
			return Temperature{Value: x.Fact.Temp, When: x.When}
		}
	}
	place, _, _, ok := v.State.PlaceOf(code)
	if !ok {
		return Temperature{}
	}
	if t, ok := v.State.Find(place); ok {
		if x, ok := v.State.TemperatureOf(t); ok {
			return Temperature{Value: x.Fact.Temp, When: x.When, Place: place}
		}
	}
	return Temperature{}
}

// Natural orders codes as people count: T2 before T10.
func Natural(c record.Code) string { return natural(c) }

func natural(c record.Code) string {
	var b strings.Builder
	digits := 0
	text := c.Fold()
	for i := 0; i <= len(text); i++ {
		if i < len(text) && text[i] >= '0' && text[i] <= '9' {
			digits++
			continue
		}
		if digits > 0 {
			b.WriteString(strings.Repeat("0", max(0, 12-digits)))
			b.WriteString(text[i-digits : i])
			digits = 0
		}
		if i < len(text) {
			b.WriteByte(text[i])
		}
	}
	return b.String()
}

// A Rank is drums that are alike: of one lot, one kind, one state, in one place.
type Rank struct {
	Lot    record.Code // "": of several, or not known
	Honey  answer.Cell
	Status string
	Place  record.Code
	Drums  []Stand
	Grams  quantity.Gram
}

// Ranks counts drums and pails that hold honey, those that are alike together, in
// the order of their lots.
func (v *View) Ranks(floor []Stand) (all []Rank) {
	at := map[string]int{}
	for _, st := range floor {
		if st.Empty || st.Shape != record.Drum && st.Shape != record.Pail {
			continue
		}
		lot := v.LotOf(st.Content)
		key := strings.Join([]string{lot.Fold(), st.Status, st.Place.Fold(), st.Shape.String()}, "\x00")
		i, ok := at[key]
		if !ok {
			i = len(all)
			at[key] = i
			all = append(all, Rank{Lot: lot, Honey: st.Honey, Status: st.Status, Place: st.Place})
		}
		all[i].Drums = append(all[i].Drums, st)
		all[i].Grams += st.Content.Grams
	}
	slices.SortStableFunc(all, func(a, b Rank) int {
		if (a.Lot == "") != (b.Lot == "") { // mixed ones last
			return cmp.Compare(len(b.Lot), len(a.Lot))
		}
		return cmp.Or(cmp.Compare(natural(a.Lot), natural(b.Lot)), cmp.Compare(a.Status, b.Status), cmp.Compare(a.Place, b.Place))
	})
	return all
}

// LotOf is the lot, delivery or opening stock that all of a content comes from, or
// nothing when it comes from several.
func (v *View) LotOf(c house.Content) (lot record.Code) {
	lines := v.State.ByOrigin(c.Node)
	for _, l := range lines {
		if l.Grams == 0 && len(lines) > 1 {
			continue
		}
		code := v.State.Code(v.State.OriginOf(l.Origin).Of)
		if lot != "" && lot != code {
			return ""
		}
		lot = code
	}
	return lot
}
