package record

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// An Entity is a kind of thing that bears a code.
type Entity uint8

const (
	NoEntity   Entity = iota
	Site              // place where hives stand
	Treatment         // one treatment of a site's colonies
	Enquiry           // one disease enquiry
	Lot               // honey of one site and one pull day
	Vessel            // steel: a tank, drum, pail or tote, filled again and again
	Filling           // one content with a code of its own, as a drum's number
	Place             // where things stand
	Machine           // extractor, uncapper, pump, filler, sieve
	Instrument        // scale, refractometer, logger
	Supplier
	Customer
	Delivery // honey bought in under one paper
	WaxBlock
	Sample
	Hold
	Product
	Run   // one packing of one product, start to end
	Batch // the jars of a run, or of one half-hour of it: the lot mark
	Pallet
	Order
	Dispatch
	Complaint
	Recall
	Material
	MaterialLot
	Problem
	Person
	Device
	Plan
	Paper // something printed that left the house
	entityCount
)

var entityNames = [entityCount]string{"", "site", "treatment", "enquiry", "lot", "vessel", "filling", "place", "machine",
	"instrument", "supplier", "customer", "delivery", "wax block", "sample", "hold", "product", "run", "batch", "pallet",
	"order", "dispatch", "complaint", "recall", "material", "material lot", "problem", "person", "device", "plan", "paper"}

func (e Entity) String() string { return entityNames[e] }

// What a field may name, where several kinds fit.
var (
	honeyAt   = []Entity{Lot, Vessel, Filling}                          // honey that can be drawn, sampled, read
	anyHoney  = []Entity{Lot, Vessel, Filling, Delivery, Batch, Sample} // honey in any shape
	holdRoot  = []Entity{Site, Lot, Vessel, Filling, Delivery, WaxBlock, Sample, Run, Batch, Pallet, Machine, MaterialLot, Treatment, Enquiry, Dispatch}
	touchable = []Entity{Vessel, Filling, Lot, Batch, WaxBlock, Delivery, Sample, MaterialLot, Pallet}
	anyThing  = []Entity{Site, Treatment, Enquiry, Lot, Vessel, Filling, Place, Machine, Instrument, Supplier, Customer, Delivery,
		WaxBlock, Sample, Hold, Product, Run, Batch, Pallet, Order, Dispatch, Complaint, Recall, Material, MaterialLot, Problem,
		Person, Device, Plan, Paper}
)

// Sets that one field or two take, and the set of each kind alone; made once, for
// a set in the call would be made for every fact read.
var (
	sellable      = []Entity{Batch, Filling, Vessel, Pallet}
	marked        = []Entity{Batch, Run, Filling}
	inVessel      = []Entity{Filling, Vessel}
	inVesselOrLot = []Entity{Filling, Vessel, Lot}
	sealable      = []Entity{Filling, Vessel, Pallet}
	lotOrRun      = []Entity{Lot, Run}
	orderOrRun    = []Entity{Order, Run, Plan}
	cleanable     = []Entity{Machine, Vessel, Place}
	checkable     = []Entity{Machine, Vessel, Place, Run}
	material      = []Entity{Material, MaterialLot}
	readable      = []Entity{Place, Vessel, Filling, Lot, Machine}
	streamed      = []Entity{Place, Vessel, Filling, Run}
	heated        = []Entity{Place, Vessel, Machine}
	packed        = []Entity{Run, Batch}
	workedOn      = []Entity{Run, Batch, Lot}
	printable     = []Entity{Run, Batch, Filling, Vessel, Lot, Dispatch, Recall, Pallet}
	inVesselOrJar = []Entity{Vessel, Filling, Batch}
	movable       = []Entity{Vessel, Filling, Batch, Pallet, WaxBlock, Sample, MaterialLot}
	ingredient    = []Entity{Vessel, Filling, MaterialLot}
)

var only = func() (sets [entityCount][]Entity) {
	for e := range entityCount {
		sets[e] = []Entity{e}
	}
	return sets
}()

// MaxCode is the longest code in bytes: it must fit on a drum and on a label.
const MaxCode = 64

// Valid reports what is wrong with a code: it is empty or too long, starts or
// ends with a space, or has a sign that can't be read back from a label.
func (c Code) Valid() error {
	s := string(c)
	switch {
	case s == "":
		return fmt.Errorf("a code is empty")
	case len(s) > MaxCode:
		return fmt.Errorf("code %q is longer than %d bytes", s[:16]+"…", MaxCode)
	case !utf8.ValidString(s):
		return fmt.Errorf("code %q is not UTF-8", s)
	}
	ascii := true
	for i := 0; i < len(s); i++ {
		if b := s[i]; b >= utf8.RuneSelf {
			ascii = false
		} else if b < ' ' || b == 0x7f || b == '/' && i == 0 {
			return fmt.Errorf("code %q has a sign that can't stand in a code", s)
		}
	}
	if s[0] == ' ' || s[len(s)-1] == ' ' {
		return fmt.Errorf("code %q starts or ends with a space", s)
	}
	if !ascii {
		for _, r := range s {
			if !unicode.IsPrint(r) {
				return fmt.Errorf("code %q has a sign that can't be printed", s)
			}
		}
	}
	return nil
}

// Fold is the form in which codes are compared: "d041 " typed is D041 painted.
func (c Code) Fold() string {
	s := string(c)
	for i := 0; i < len(s); i++ {
		if b := s[i]; 'a' <= b && b <= 'z' || b >= utf8.RuneSelf {
			return strings.ToUpper(strings.TrimSpace(s))
		}
	}
	return strings.TrimSpace(s)
}
