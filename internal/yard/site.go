package yard

import (
	"maps"
	"slices"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// A Site is a place where hives stand, as it is now.
type Site struct {
	Code    record.Code
	Opened  record.Truth // was its opening written down
	Country string
	Place   string
	Owner   string
	Hives   q.Figure // as counted last, or as opened; not given when nobody wrote it down
	HivesAt Stamp
	OnHives int64        // boxes on the hives, by what was written down
	Known   record.Truth // yes when the boxes that were placed were written down; otherwise there may be more
	Homes   []Home       // the boxes by home site
	Capped  q.Figure     // ripeness, as read last
	Water   q.Figure
	RipeAt  Stamp
	About   Description
}

// A Description is what is known of a site for the planning of a pull; what nobody wrote
// down is not given.
type Description struct {
	Drive     q.Figure // one way, from the house
	Crop      string
	CropAt    Stamp    // when the crop, or how soon it sets, was written down
	SetsAfter q.Figure // days from capped to set in the comb
	Note      string
}

// A Feeding is feed given to the colonies of a site.
type Feeding struct {
	Feed     string
	Hives    int64
	EachHive record.Weight
	SupersOn record.Truth
	Stamp
}

// NotFed is a period for which it is written down that no feed was given, or no
// treatment placed.
type NotFed struct {
	From, To record.Day
	Stamp
}

type site struct {
	code       record.Code
	opened     *record.SiteOpened
	openedAt   Stamp
	counted    *record.HivesCounted
	countedAt  Stamp
	ripe       *record.RipenessRead
	ripeAt     Stamp
	about      Description
	fed        []Feeding
	notFed     []NotFed
	notTreated []NotFed
	treated    []string // treatments by folded code, in order
	exposed    []exposure
	boxes      mix   // on the hives
	placed     bool  // were boxes ever written down as placed
	touched    bool  // is there any word of boxes here
	short      int64 // boxes pulled though not known to be on the hives, since placing is written down
	shortAt    Stamp
	moves      []int32 // that say this site or pull from it
}

func (s *site) clone() *site {
	c := *s
	c.notTreated = slices.Clip(s.notTreated)
	c.fed, c.notFed, c.treated = slices.Clip(s.fed), slices.Clip(s.notFed), slices.Clip(s.treated)
	c.exposed, c.boxes = slices.Clone(s.exposed), s.boxes.clone()
	c.moves = slices.Clip(s.moves)
	return &c
}

// site returns the state of a site, also of one that no fact has opened.
func (y *Yard) site(c record.Code) *site {
	k := c.Fold()
	s := y.sites[k]
	if s == nil {
		if y.sites == nil {
			y.sites = map[string]*site{}
		}
		s = &site{code: c}
		y.sites[k] = s
	}
	return s
}

// describe takes what a description gives; the rest stands as it was. Another crop sets
// in its own time: how soon the one before set says nothing of it.
func (s *site) describe(f *record.SiteDescribed, at Stamp) {
	d := &s.about
	if f.Drive.Given() {
		d.Drive = f.Drive
	}
	if f.Crop != "" {
		if f.Crop != d.Crop {
			d.SetsAfter = q.Figure{}
		}
		d.Crop, d.CropAt = f.Crop, at
	}
	if f.SetsAfter.Given() {
		d.SetsAfter, d.CropAt = f.SetsAfter, at
	}
	if f.Note != "" {
		d.Note = f.Note
	}
}

func (y *Yard) fed(f *record.Fed, at Stamp) {
	s := y.site(f.Site)
	s.fed = append(s.fed, Feeding{f.Feed, f.Hives, f.EachHive, f.SupersOn, at})
	switch on := s.supersOn(); {
	case f.SupersOn == record.Yes:
		s.exposed = append(s.exposed, exposure{from: at.Day(), sure: true, at: at})
	case f.SupersOn == record.NotKnown && on != record.No:
		s.exposed = append(s.exposed, exposure{from: at.Day(), at: at})
	case f.SupersOn == record.No && on == record.Yes:
		y.odd = append(y.odd, Flag{Key: FlagFedSupersOn, Site: s.code, Boxes: s.boxes.total, Stamp: at})
	}
}

// supersOn says whether boxes are on the hives: not known while nobody wrote of any.
func (s *site) supersOn() record.Truth {
	switch {
	case s.boxes.total > 0:
		return record.Yes
	case s.touched && s.placed:
		return record.No
	}
	return record.NotKnown
}

// Site returns a site as it is now.
func (y *Yard) Site(c record.Code) (Site, bool) {
	s, ok := y.sites[c.Fold()]
	if !ok {
		return Site{}, false
	}
	v := Site{Code: s.code, Opened: record.No, OnHives: s.boxes.total, Known: record.NotKnown, Homes: s.boxes.sorted(), About: s.about}
	if o := s.opened; o != nil {
		v.Opened, v.Country, v.Place, v.Owner = record.Yes, o.Country, o.Place, o.Owner
		if o.Hives != 0 {
			v.Hives, v.HivesAt = q.Figure{Mantissa: o.Hives, Unit: q.Each}, s.openedAt
		}
	}
	if s.placed {
		v.Known = record.Yes
	}
	if s.counted != nil {
		v.Hives, v.HivesAt = s.counted.Hives, s.countedAt
	}
	if s.ripe != nil {
		v.Capped, v.Water, v.RipeAt = s.ripe.Capped, s.ripe.Water, s.ripeAt
	}
	return v, true
}

// Sites lists every site that a fact has named, by code.
func (y *Yard) Sites() []Site {
	var all []Site
	for _, k := range slices.Sorted(maps.Keys(y.sites)) {
		s, _ := y.Site(record.Code(k))
		all = append(all, s)
	}
	return all
}

// Feedings lists the feed of a site and the periods without, as written down. Both
// empty: nobody wrote anything down, which is not the same as none.
func (y *Yard) Feedings(c record.Code) ([]Feeding, []NotFed) {
	s, ok := y.sites[c.Fold()]
	if !ok {
		return nil, nil
	}
	return slices.Clone(s.fed), slices.Clone(s.notFed)
}
