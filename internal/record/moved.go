package record

import q "combline/internal/quantity"

// Facts of honey that goes into, out of and about vessels.

// DrumFilled: a drum or pail was filled from a lot or vessel and weighed.
type DrumFilled struct {
	Filling Code // its own number; left out, it is the vessel's number and how often it was filled
	Steel   Code
	From    Code
	Gross   Weight
	Tare    Weight
	Net     Weight // when the net itself was read
	Purpose Purpose
	Scale   Code
	Via     []Code
}

func (x *DrumFilled) fields(f *form) {
	f.names(1, "drum", &x.Filling, may, Filling)
	f.ref(2, "steel", &x.Steel, need, only[Vessel])
	f.ref(3, "from", &x.From, need, honeyAt)
	f.weight(4, "gross", &x.Gross, may, q.KgUnit)
	f.weight(5, "tare", &x.Tare, may, q.KgUnit)
	f.weight(6, "net", &x.Net, may, q.KgUnit)
	choice(f, 7, "purpose", &x.Purpose, may, purposeNames)
	f.ref(8, "scale", &x.Scale, may, only[Instrument])
	f.refs(9, "via", &x.Via, may, only[Machine])
}

// Sealed: a seal was put on a filling.
type Sealed struct {
	What Code
	Seal string
}

func (x *Sealed) fields(f *form) {
	f.ref(1, "what", &x.What, need, sealable)
	f.note(2, "seal", &x.Seal, need)
}

// Placed: things were moved to a place, or seen there.
type Placed struct {
	What  []Code
	Place Code
	Seen  Truth // yes: read there, not moved
}

func (x *Placed) fields(f *form) {
	f.refs(1, "what", &x.What, need, movable)
	f.ref(2, "place", &x.Place, need, only[Place])
	f.truth(3, "seen", &x.Seen, may)
}

// A Pour is one source of a move: all of it, or a weighed part.
type Pour struct {
	From Code
	All  Truth // yes: emptied
	Mass Weight
}

func (x *Pour) fields(f *form) {
	f.ref(1, "from", &x.From, need, honeyAt)
	f.truth(2, "emptied", &x.All, may)
	f.weight(3, "mass", &x.Mass, may, q.KgUnit)
}

// HoneyMoved: honey was tipped, pumped or poured into a vessel.
type HoneyMoved struct {
	Pours   []Pour
	To      Code
	Filling Code // a name for the new content, when it gets one
	Purpose Purpose
	Via     []Code
	For     Code // the run that it is for
}

func (x *HoneyMoved) fields(f *form) {
	each(f, 1, "pours", &x.Pours, func(f *form, p *Pour) { p.fields(f) })
	f.ref(2, "to", &x.To, need, only[Vessel])
	f.names(3, "filling", &x.Filling, may, Filling)
	choice(f, 4, "purpose", &x.Purpose, may, purposeNames)
	f.refs(5, "via", &x.Via, may, only[Machine])
	f.ref(6, "for", &x.For, may, only[Run])
}

// Mixed: vessels were pumped round until they held one mix.
type Mixed struct {
	Vessels []Code
	Via     []Code
}

func (x *Mixed) fields(f *form) {
	f.refs(1, "vessels", &x.Vessels, need, only[Vessel])
	f.refs(2, "via", &x.Via, may, only[Machine])
}

// Stirred: a vessel was stirred.
type Stirred struct {
	Vessel  Code
	Minutes q.Figure
}

func (x *Stirred) fields(f *form) {
	f.ref(1, "vessel", &x.Vessel, need, inVessel)
	f.fig(2, "time", &x.Minutes, may, q.Minute)
}

// Strained: honey went through a sieve, or a sieve was looked at.
type Strained struct {
	Sieve  Code
	Mesh   q.Figure
	Whole  Truth // no: torn
	Moment SieveMoment
	Of     Code // the lot or run
	Note   string
}

// A SieveMoment is when a sieve was looked at.
type SieveMoment uint8

const (
	SieveBefore SieveMoment = iota + 1
	SieveAfter
	SieveChanged
)

var sieveMomentNames = []string{"", "before", "after", "changed"}

func (x *Strained) fields(f *form) {
	f.ref(1, "sieve", &x.Sieve, need, only[Machine])
	f.fig(2, "mesh", &x.Mesh, may, q.MM)
	f.truth(3, "whole", &x.Whole, need)
	choice(f, 4, "moment", &x.Moment, may, sieveMomentNames)
	f.ref(5, "of", &x.Of, may, lotOrRun)
	f.note(6, "note", &x.Note, may)
}

// Skimmed: foam and wax were taken off the top.
type Skimmed struct {
	From Code
	To   Code // a vessel; left out, the skim was thrown away
	Mass Weight
}

func (x *Skimmed) fields(f *form) {
	f.ref(1, "from", &x.From, need, honeyAt)
	f.ref(2, "to", &x.To, may, only[Vessel])
	f.weight(3, "mass", &x.Mass, need, q.KgUnit)
}

// TippedBack: packed honey was emptied into a vessel and is honey in bulk again.
type TippedBack struct {
	Batch Code
	Units int64
	Mass  Weight
	To    Code
}

func (x *TippedBack) fields(f *form) {
	f.ref(1, "batch", &x.Batch, need, only[Batch])
	f.count(2, "units", &x.Units, need)
	f.weight(3, "mass", &x.Mass, may, q.KgUnit)
	f.ref(4, "to", &x.To, need, only[Vessel])
}

// Sampled: a sample was drawn. Its mass leaves what it was drawn from.
type Sampled struct {
	Sample Code
	From   Code
	Mass   Weight
	Of     Code // the drum that it stands for, when drawn at the gate as the drum filled
	Kept   Truth
	Core   Truth // full-depth core of set honey
}

func (x *Sampled) fields(f *form) {
	f.names(1, "sample", &x.Sample, may, Sample)
	f.ref(2, "from", &x.From, need, anyHoney)
	f.weight(3, "mass", &x.Mass, need, q.G)
	f.ref(4, "of", &x.Of, may, inVesselOrLot)
	f.truth(5, "kept", &x.Kept, may)
	f.truth(6, "core", &x.Core, may)
}

// SampleSent: samples went to a laboratory.
type SampleSent struct {
	Of    []Code
	Lab   string
	Tests string
	Due   Day
}

func (x *SampleSent) fields(f *form) {
	f.refs(1, "of", &x.Of, need, anyHoney)
	f.note(2, "lab", &x.Lab, need)
	f.note(3, "tests", &x.Tests, may)
	f.day(4, "due", &x.Due, may)
}

// Destroyed: honey or packed goods were made unusable and thrown away.
type Destroyed struct {
	What   Code
	Units  int64
	Mass   Weight
	Reason string
}

func (x *Destroyed) fields(f *form) {
	f.ref(1, "what", &x.What, need, anyHoney)
	f.count(2, "units", &x.Units, may)
	f.weight(3, "mass", &x.Mass, may, q.KgUnit)
	f.note(4, "reason", &x.Reason, need)
}

// Lost: honey went missing in a known way: hoses, floor, heel washed out.
type Lost struct {
	From   Code
	Mass   Weight
	Reason string
	Of     Code // the run or lot that it is booked to
}

func (x *Lost) fields(f *form) {
	f.ref(1, "from", &x.From, need, honeyAt)
	f.weight(2, "mass", &x.Mass, need, q.KgUnit)
	f.note(3, "reason", &x.Reason, need)
	f.ref(4, "of", &x.Of, may, lotOrRun)
}

// StockChecked: a content was weighed or measured as it stands.
type StockChecked struct {
	What   Code
	Found  Weight // may be 0 g
	Reason string
}

func (x *StockChecked) fields(f *form) {
	f.ref(1, "what", &x.What, need, honeyAt)
	f.weight(2, "found", &x.Found, need, q.KgUnit)
	f.note(3, "reason", &x.Reason, may)
}
