package record

import q "combline/internal/quantity"

// Facts of vessels, places and machines.

// A VesselKind is the shape of steel or plastic.
type VesselKind uint8

const (
	Tank VesselKind = iota + 1
	Drum
	Pail
	Tote
	Sump
)

var vesselKindNames = []string{"", "tank", "drum", "pail", "tote", "sump"}

func (k VesselKind) String() string { return vesselKindNames[k] }

// A Purpose is what a content is for.
type Purpose uint8

const (
	TableHoney Purpose = iota + 1
	CookingGrade
	SkimHoney
	SeedHoney
	Heel
	Spread
)

var purposeNames = []string{"", "table", "cooking", "skim", "seed", "heel", "spread"}

func (p Purpose) String() string { return purposeNames[p] }

// VesselNamed: a tank, drum, pail or tote bears a number that it keeps for good.
type VesselNamed struct {
	Vessel   Code
	Shape    VesselKind
	Tare     Weight
	Capacity Weight
	Diameter q.Figure
	Height   q.Figure
	Place    Code
	Owner    string // when it is not the house's
}

func (x *VesselNamed) fields(f *form) {
	f.names(1, "vessel", &x.Vessel, need, Vessel)
	choice(f, 2, "shape", &x.Shape, need, vesselKindNames)
	f.weight(3, "tare", &x.Tare, may, q.KgUnit)
	f.weight(4, "capacity", &x.Capacity, may, q.KgUnit)
	f.fig(5, "diameter", &x.Diameter, may, q.Metre)
	f.fig(6, "height", &x.Height, may, q.Metre)
	f.ref(7, "place", &x.Place, may, only[Place])
	f.note(8, "owner", &x.Owner, may)
}

// VesselGone: a vessel left the house for good, sold or scrapped.
type VesselGone struct {
	Vessel Code
	Note   string
}

func (x *VesselGone) fields(f *form) {
	f.ref(1, "vessel", &x.Vessel, need, only[Vessel])
	f.note(2, "note", &x.Note, may)
}

// A PlaceKind is what a place is for.
type PlaceKind uint8

const (
	Store PlaceKind = iota + 1
	ColdStore
	HotRoom
	WarmingRoom
	Bath
	Dock
	HoldBay
	PackRoom
)

var placeKindNames = []string{"", "store", "cold store", "hot room", "warming room", "bath", "dock", "hold bay", "pack room"}

func (k PlaceKind) String() string { return placeKindNames[k] }

// PlaceNamed: a place where things stand has a name.
type PlaceNamed struct {
	Place    Code
	For      PlaceKind
	Capacity int64 // drums, or supers in a hot room
	SetTemp  q.Figure
}

func (x *PlaceNamed) fields(f *form) {
	f.names(1, "place", &x.Place, need, Place)
	choice(f, 2, "for", &x.For, need, placeKindNames)
	f.count(3, "capacity", &x.Capacity, may)
	f.fig(4, "set_temp", &x.SetTemp, may, q.DegC)
}

// MachineNamed: a machine that honey or combs touch has a name.
type MachineNamed struct {
	Machine Code
	What    string // uncapper, extractor, pump, filler, sieve
	Rate    q.Figure
	Nozzles int64
}

func (x *MachineNamed) fields(f *form) {
	f.names(1, "machine", &x.Machine, need, Machine)
	f.note(2, "what", &x.What, need)
	f.fig(3, "rate_h", &x.Rate, may, q.Each)
	f.count(4, "nozzles", &x.Nozzles, may)
}
