package record

import q "combline/internal/quantity"

// Facts of the yard: sites, colonies, supers.

// SiteOpened: hives stand at a site from now on.
type SiteOpened struct {
	Site    Code
	Country string // ISO 3166 code, or the house's own word
	Place   string
	Owner   string
	Hives   int64
}

func (x *SiteOpened) fields(f *form) {
	f.names(1, "site", &x.Site, need, Site)
	f.note(2, "country", &x.Country, need)
	f.note(3, "place", &x.Place, may)
	f.note(4, "owner", &x.Owner, may)
	f.count(5, "hives", &x.Hives, may)
}

// HivesCounted: so many hives stand at a site.
type HivesCounted struct {
	Site  Code
	Hives q.Figure // may be 0
	Note  string
}

func (x *HivesCounted) fields(f *form) {
	f.ref(1, "site", &x.Site, need, only[Site])
	f.fig(2, "hives", &x.Hives, need, q.Each)
	f.note(3, "note", &x.Note, may)
}

// Fed: colonies got feed.
type Fed struct {
	Site     Code
	Feed     string // what was fed
	Hives    int64
	EachHive Weight
	SupersOn Truth
}

func (x *Fed) fields(f *form) {
	f.ref(1, "site", &x.Site, need, only[Site])
	f.note(2, "feed", &x.Feed, need)
	f.count(3, "hives", &x.Hives, need)
	f.weight(4, "each_hive", &x.EachHive, may, q.KgUnit)
	f.truth(5, "supers_on", &x.SupersOn, may)
}

// NotFed: it is written down that a site got no feed in a period; no word is not none.
type NotFed struct {
	Site     Code
	From, To Day
}

func (x *NotFed) fields(f *form) {
	f.ref(1, "site", &x.Site, need, only[Site])
	f.day(2, "from", &x.From, need)
	f.day(3, "to", &x.To, need)
}

// Treated: a product against mites or disease was put in the colonies of a site.
type Treated struct {
	Treatment     Code
	Site          Code
	Product       string
	Against       string
	ProductBatch  string
	Dose          string
	Hives         int64
	WaitDays      q.Figure // days after the end before supers may be pulled; may be 0
	SupersAllowed Truth    // does the product's label allow supers during treatment
	Adviser       string   // who prescribed or advised it
}

func (x *Treated) fields(f *form) {
	f.names(1, "treatment", &x.Treatment, need, Treatment)
	f.ref(2, "site", &x.Site, need, only[Site])
	f.note(3, "product", &x.Product, need)
	f.note(4, "against", &x.Against, may)
	f.note(5, "product_batch", &x.ProductBatch, may)
	f.note(6, "dose", &x.Dose, may)
	f.count(7, "hives", &x.Hives, may)
	f.fig(8, "wait_days", &x.WaitDays, may, q.Day)
	f.truth(9, "supers_allowed", &x.SupersAllowed, may)
	f.note(10, "adviser", &x.Adviser, may)
}

// NotTreated: it is written down that a site got no treatment in a period; no word is
// not none.
type NotTreated struct {
	Site     Code
	From, To Day
}

func (x *NotTreated) fields(f *form) {
	f.ref(1, "site", &x.Site, need, only[Site])
	f.day(2, "from", &x.From, need)
	f.day(3, "to", &x.To, need)
}

// TreatmentEnded: the product was taken out, or its course is over.
type TreatmentEnded struct {
	Treatment Code
	Note      string
}

func (x *TreatmentEnded) fields(f *form) {
	f.ref(1, "treatment", &x.Treatment, need, only[Treatment])
	f.note(2, "note", &x.Note, may)
}

// EnquiryOpened: a bee disease is suspected at sites; their combs stand still.
type EnquiryOpened struct {
	Enquiry Code
	Sites   []Code
	Disease string
	Hive    string // which hive, as marked
	Told    string // which authority was told
	Note    string
}

func (x *EnquiryOpened) fields(f *form) {
	f.names(1, "enquiry", &x.Enquiry, need, Enquiry)
	f.refs(2, "sites", &x.Sites, need, only[Site])
	f.note(3, "disease", &x.Disease, need)
	f.note(4, "hive", &x.Hive, may)
	f.note(5, "told", &x.Told, may)
	f.note(6, "note", &x.Note, may)
}

// A Ruling is how an enquiry ended.
type Ruling uint8

const (
	Cleared   Ruling = 1
	Confirmed Ruling = 2
)

var rulingNames = []string{"", "cleared", "confirmed"}

// EnquiryRuled: the inspector ruled on an enquiry.
type EnquiryRuled struct {
	Enquiry Code
	Ruling  Ruling
	By      string
	Note    string
}

func (x *EnquiryRuled) fields(f *form) {
	f.ref(1, "enquiry", &x.Enquiry, need, only[Enquiry])
	choice(f, 2, "ruling", &x.Ruling, need, rulingNames)
	f.note(3, "by", &x.By, need)
	f.note(4, "note", &x.Note, may)
}

// RipenessRead: combs of a site were looked at before the pull.
type RipenessRead struct {
	Site   Code
	Capped q.Figure
	Water  q.Figure
	Note   string
}

func (x *RipenessRead) fields(f *form) {
	f.ref(1, "site", &x.Site, need, only[Site])
	f.fig(2, "capped", &x.Capped, may, q.Pct)
	f.fig(3, "water", &x.Water, may, q.Pct)
	f.note(4, "note", &x.Note, may)
}

// A Marks is a run of super marks: prefix and first to last number, "LC-" 1 to 130.
type Marks struct {
	Prefix      string
	First, Last int64
}

func (x *Marks) fields(f *form) {
	f.note(1, "prefix", &x.Prefix, may)
	f.count(2, "first", &x.First, need)
	f.count(3, "last", &x.Last, need)
}

// SupersMarked: boxes got marks that name their own site.
type SupersMarked struct {
	Site  Code
	Boxes int64
	Marks []Marks
}

func (x *SupersMarked) fields(f *form) {
	f.ref(1, "site", &x.Site, need, only[Site])
	f.count(2, "boxes", &x.Boxes, need)
	each(f, 3, "marks", &x.Marks, func(f *form, m *Marks) { m.fields(f) })
}

// SupersPlaced: boxes were set on the hives of a site. From is the site that the
// boxes belong to, when it is another or is known.
type SupersPlaced struct {
	Site  Code
	Boxes int64
	From  Code
	Marks []Marks
}

func (x *SupersPlaced) fields(f *form) {
	f.ref(1, "site", &x.Site, need, only[Site])
	f.count(2, "boxes", &x.Boxes, need)
	f.ref(3, "from", &x.From, may, only[Site])
	each(f, 4, "marks", &x.Marks, func(f *form, m *Marks) { m.fields(f) })
}

// SupersPulled: boxes of honey were taken off the hives for a lot.
type SupersPulled struct {
	Lot     Code
	Site    Code
	Boxes   int64
	Capped  q.Figure
	Vehicle string
	Clean   Truth // was the vehicle clean
	Marks   []Marks
}

func (x *SupersPulled) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "site", &x.Site, need, only[Site])
	f.count(3, "boxes", &x.Boxes, need)
	f.fig(4, "capped", &x.Capped, may, q.Pct)
	f.note(5, "vehicle", &x.Vehicle, may)
	f.truth(6, "vehicle_clean", &x.Clean, may)
	each(f, 7, "marks", &x.Marks, func(f *form, m *Marks) { m.fields(f) })
}

// SupersSentBack: wet or clean combs of a lot went to a site.
type SupersSentBack struct {
	Lot   Code
	Site  Code
	Boxes int64
	Marks []Marks
	Note  string
}

func (x *SupersSentBack) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "site", &x.Site, need, only[Site])
	f.count(3, "boxes", &x.Boxes, need)
	each(f, 4, "marks", &x.Marks, func(f *form, m *Marks) { m.fields(f) })
	f.note(5, "note", &x.Note, may)
}

// CombsStored: boxes of a lot were put away in the house.
type CombsStored struct {
	Lot   Code
	Place Code
	Boxes int64
}

func (x *CombsStored) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[Lot])
	f.ref(2, "place", &x.Place, need, only[Place])
	f.count(3, "boxes", &x.Boxes, need)
}
