package record

import q "combline/internal/quantity"

// Facts of warmth: what was read, what was set, what sets fine.

// TemperatureRead: a room, vessel or content was read.
type TemperatureRead struct {
	Of         Code
	Temp       q.Figure
	Humidity   q.Figure
	Instrument Code
	Depth      string // core, skin, air
}

func (x *TemperatureRead) fields(f *form) {
	f.ref(1, "of", &x.Of, need, readable)
	f.fig(2, "temp", &x.Temp, need, q.DegC)
	f.fig(3, "humidity", &x.Humidity, may, q.Pct)
	f.ref(4, "instrument", &x.Instrument, may, only[Instrument])
	f.note(5, "where", &x.Depth, may)
}

// HeatSet: a room, bath or jacket was set to a temperature. It says what a person
// set, not what the honey had.
type HeatSet struct {
	Of   Code
	Temp q.Figure
	Note string
}

func (x *HeatSet) fields(f *form) {
	f.ref(1, "of", &x.Of, need, heated)
	f.fig(2, "temp", &x.Temp, need, q.DegC)
	f.note(3, "note", &x.Note, may)
}

// StreamRead: an hour of an instrument's readings was stored as one block beside
// the chain; this fact is its summary with the digest of the stored bytes.
type StreamRead struct {
	Instrument Code
	Of         Code
	Block      string
	Digest     []byte // SHA-256
	Readings   int64
	Least      q.Figure
	Mean       q.Figure
	Most       q.Figure
}

func (x *StreamRead) fields(f *form) {
	f.ref(1, "instrument", &x.Instrument, need, only[Instrument])
	f.ref(2, "of", &x.Of, may, streamed)
	f.note(3, "block", &x.Block, need)
	f.raw(4, "digest", &x.Digest, need)
	f.count(5, "readings", &x.Readings, need)
	f.fig(6, "least", &x.Least, may, q.NoUnit)
	f.fig(7, "mean", &x.Mean, may, q.NoUnit)
	f.fig(8, "most", &x.Most, may, q.NoUnit)
}

// Seeded: fine set honey was stirred in so that a tank sets fine.
type Seeded struct {
	Vessel Code
	Seed   Code
	All    Truth
	Mass   Weight
	Temp   q.Figure
}

func (x *Seeded) fields(f *form) {
	f.ref(1, "vessel", &x.Vessel, need, only[Vessel])
	f.ref(2, "seed", &x.Seed, need, inVessel)
	f.truth(3, "emptied", &x.All, may)
	f.weight(4, "mass", &x.Mass, may, q.KgUnit)
	f.fig(5, "temp", &x.Temp, may, q.DegC)
}

// Cooled: a soft-set tank or its jars were brought to their setting temperature.
type Cooled struct {
	What Code
	Temp q.Figure
	Stir Truth
}

func (x *Cooled) fields(f *form) {
	f.ref(1, "what", &x.What, need, inVesselOrJar)
	f.fig(2, "temp", &x.Temp, need, q.DegC)
	f.truth(3, "stirred", &x.Stir, may)
}

// WarmingWanted: contents are to be warm and free of grains by a time. It is an
// intent: what was set and read is recorded as it is done.
type WarmingWanted struct {
	What  []Code
	Ready Day
	Clock string   // on that day: "07:00"
	Temp  q.Figure // that the honey is wanted at
	Room  Code
	For   Code
	Note  string
}

func (x *WarmingWanted) fields(f *form) {
	f.refs(1, "what", &x.What, need, inVessel)
	f.day(2, "ready", &x.Ready, need)
	f.note(3, "clock", &x.Clock, may)
	f.fig(4, "temp", &x.Temp, may, q.DegC)
	f.ref(5, "room", &x.Room, may, heated)
	f.ref(6, "for", &x.For, may, orderOrRun)
	f.note(7, "note", &x.Note, may)
}

// WarmingDropped: contents need not be warmed after all.
type WarmingDropped struct {
	What   []Code
	Reason string
}

func (x *WarmingDropped) fields(f *form) {
	f.refs(1, "what", &x.What, need, inVessel)
	f.note(2, "reason", &x.Reason, may)
}
