package record

import q "combline/internal/quantity"

// Facts of intake and extraction, from the truck to the drum.

// LotOpened: honey of one site and one pull day has a name from now on.
type LotOpened struct {
	Lot    Code
	Site   Code
	Pulled Day
	Honey  string // the house's word for the kind: spring, summer, forest
	Owner  string // whose honey, when not the house's
}

func (x *LotOpened) fields(f *form) {
	f.names(1, "lot", &x.Lot, need, Lot)
	f.ref(2, "site", &x.Site, need, only[Site])
	f.day(3, "pulled", &x.Pulled, need)
	f.note(4, "honey", &x.Honey, may)
	f.note(5, "owner", &x.Owner, may)
}

// A HotRoomSide says on which side of the hot room a stack was weighed: drying
// takes water off, so the balance must know.
type HotRoomSide uint8

const (
	BeforeHotRoom HotRoomSide = 1
	AfterHotRoom  HotRoomSide = 2
)

var hotRoomNames = []string{"", "before", "after"}

// A Stack is a pile of supers weighed on its tray.
type Stack struct {
	Boxes int64
	Gross Weight
	Tray  Weight
}

func (x *Stack) fields(f *form) {
	f.count(1, "boxes", &x.Boxes, need)
	f.weight(2, "gross", &x.Gross, need, q.KgUnit)
	f.weight(3, "tray", &x.Tray, may, q.KgUnit)
}

// Net is gross less tray, to the gram.
func (x *Stack) Net() q.Gram { return x.Gross.Grams() - x.Tray.Grams() }

// SupersReceived: stacks of full supers were weighed in.
type SupersReceived struct {
	Lot     Code
	Side    HotRoomSide
	Scale   Code
	Stacks  []Stack
	Signed  string // supplier who signed the weights
	Sheeted Truth
}

func (x *SupersReceived) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	choice(f, 2, "hot_room", &x.Side, may, hotRoomNames)
	f.ref(3, "scale", &x.Scale, may, only[Instrument])
	each(f, 4, "stacks", &x.Stacks, func(f *form, s *Stack) { s.fields(f) })
	f.note(5, "signed", &x.Signed, may)
	f.truth(6, "sheeted", &x.Sheeted, may)
}

// HotRoomEntered: supers of a lot went into the hot room.
type HotRoomEntered struct {
	Lot   Code
	Room  Code
	Boxes int64
	Water q.Figure // worst comb
}

func (x *HotRoomEntered) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "room", &x.Room, need, only[Place])
	f.count(3, "boxes", &x.Boxes, need)
	f.fig(4, "water", &x.Water, may, q.Pct)
}

// HotRoomLeft: supers of a lot came out of the hot room.
type HotRoomLeft struct {
	Lot   Code
	Room  Code
	Boxes int64
	Water q.Figure
}

func (x *HotRoomLeft) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "room", &x.Room, need, only[Place])
	f.count(3, "boxes", &x.Boxes, need)
	f.fig(4, "water", &x.Water, may, q.Pct)
}

// SupersSpun: supers of a lot went through uncapper and extractor.
type SupersSpun struct {
	Lot      Code
	Boxes    int64
	Loads    int64
	Machines []Code // every machine that the honey or the combs touched
	Note     string
}

func (x *SupersSpun) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.count(2, "boxes", &x.Boxes, need)
	f.count(3, "loads", &x.Loads, may)
	f.refs(4, "machines", &x.Machines, need, only[Machine])
	f.note(5, "note", &x.Note, may)
}

// WetSupersWeighed: spun supers of a lot were weighed out again.
type WetSupersWeighed struct {
	Lot    Code
	Scale  Code
	Stacks []Stack
}

func (x *WetSupersWeighed) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "scale", &x.Scale, may, only[Instrument])
	each(f, 3, "stacks", &x.Stacks, func(f *form, s *Stack) { s.fields(f) })
}

// LotRanInto: honey of a lot ran, unweighed, into a vessel.
type LotRanInto struct {
	Lot  Code
	Into Code
	Via  []Code
}

func (x *LotRanInto) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "into", &x.Into, need, only[Vessel])
	f.refs(3, "via", &x.Via, may, only[Machine])
}

// LotClosed: a lot's extraction is over. Reason explains the gap, when it is known.
type LotClosed struct {
	Lot    Code
	Reason string
}

func (x *LotClosed) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.note(2, "reason", &x.Reason, may)
}

// CappingsSpun: honey was spun cold from a lot's cappings and ran back to the lot.
type CappingsSpun struct {
	Lot     Code
	Machine Code
	Wet     Weight // cappings before
	Dry     Weight // cappings after
}

func (x *CappingsSpun) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "machine", &x.Machine, need, only[Machine])
	f.weight(3, "wet", &x.Wet, may, q.KgUnit)
	f.weight(4, "dry", &x.Dry, may, q.KgUnit)
}

// WaxCast: wax of a lot's cappings was weighed as a block.
type WaxCast struct {
	Wax     Code
	Lot     Code
	Mass    Weight
	Machine Code
	Place   Code
}

func (x *WaxCast) fields(f *form) {
	f.names(1, "wax", &x.Wax, need, WaxBlock)
	f.ref(2, "lot", &x.Lot, need, only[Lot])
	f.weight(3, "mass", &x.Mass, need, q.KgUnit)
	f.ref(4, "machine", &x.Machine, may, only[Machine])
	f.ref(5, "place", &x.Place, may, only[Place])
}

// MelterHoneyDrawn: honey that came out of the wax melter was put in a vessel.
type MelterHoneyDrawn struct {
	Lot     Code
	To      Code
	Mass    Weight
	Machine Code
}

func (x *MelterHoneyDrawn) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "to", &x.To, need, only[Vessel])
	f.weight(3, "mass", &x.Mass, need, q.KgUnit)
	f.ref(4, "machine", &x.Machine, may, only[Machine])
}

// HoneyBought: honey came in from outside, with its owner, supplier and papers.
type HoneyBought struct {
	Delivery  Code
	Supplier  Code
	Owner     string // whose it is until the dock
	Country   string
	District  string
	TheirLot  string
	Honey     string
	Papers    []Bought
	FarmerDay Day // harvest statement's day
}

// Bought is one paper that came with honey.
type Bought struct {
	Paper string
	Day   Day
}

func (x *HoneyBought) fields(f *form) {
	f.names(1, "delivery", &x.Delivery, need, Delivery)
	f.ref(2, "supplier", &x.Supplier, need, only[Supplier])
	f.note(3, "owner", &x.Owner, may)
	f.note(4, "country", &x.Country, need)
	f.note(5, "district", &x.District, may)
	f.note(6, "their_lot", &x.TheirLot, may)
	f.note(7, "honey", &x.Honey, may)
	each(f, 8, "papers", &x.Papers, func(f *form, p *Bought) {
		f.note(1, "paper", &p.Paper, need)
		f.day(2, "day", &p.Day, may)
	})
	f.day(9, "harvested", &x.FarmerDay, may)
}

// DrumReceived: one drum of a delivery was weighed in.
type DrumReceived struct {
	Filling  Code
	Steel    Code
	Delivery Code
	Gross    Weight
	Tare     Weight
	Net      Weight // when the net itself was read or is from the paper
	Scale    Code
}

func (x *DrumReceived) fields(f *form) {
	f.names(1, "drum", &x.Filling, need, Filling)
	f.ref(2, "steel", &x.Steel, may, only[Vessel])
	f.ref(3, "delivery", &x.Delivery, need, only[Delivery])
	f.weight(4, "gross", &x.Gross, may, q.KgUnit)
	f.weight(5, "tare", &x.Tare, may, q.KgUnit)
	f.weight(6, "net", &x.Net, may, q.KgUnit)
	f.ref(7, "scale", &x.Scale, may, only[Instrument])
}

// StockOpened: honey that was here before the record began.
type StockOpened struct {
	Filling Code
	Steel   Code
	Honey   string
	Country string
	Mass    Weight
	Purpose Purpose
	Note    string
}

func (x *StockOpened) fields(f *form) {
	f.names(1, "filling", &x.Filling, need, Filling)
	f.ref(2, "vessel", &x.Steel, may, only[Vessel])
	f.note(3, "honey", &x.Honey, may)
	f.note(4, "country", &x.Country, may)
	f.weight(5, "mass", &x.Mass, need, q.KgUnit)
	choice(f, 6, "purpose", &x.Purpose, may, purposeNames)
	f.note(7, "note", &x.Note, may)
}
