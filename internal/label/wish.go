package label

import (
	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Pack is what is filled, and how large it is.
type Pack struct {
	Net        quantity.Milligram
	LargestCM2 float64 // its largest surface; 0: not known
	Shape      standard.Panel
	High, Wide float64 // of the display panel, inches, for the United States; 0: not known
}

// A Mass is a part of the honey that was tipped, by name: a site, a plant, a supplier.
type Mass struct {
	Name  string
	Grams quantity.Gram
}

// A Truth is what the record shows: not known is neither yes nor no.
type Truth uint8

const (
	NotKnown Truth = iota
	Yes
	No
)

// Measured is one property of the honey, with its doubt.
type Measured struct {
	Property standard.Property
	Reading  standard.Reading
}

// Tipped is the honey in the pack, from the record of what was tipped.
type Tipped struct {
	Countries []standard.Share // Country "" is honey of no known country
	Regions   []Mass           // by site or district; Name "" is not known
	Plants    []Mass           // by the plant that a lot's honey is of; Name "" is not known
	Measured  []Measured       // what was read or worked out of it, for the limits of a plant
	Taste     Truth            // does it have the taste and smell of the plant that is named
	Pollen    Truth            // does the pollen count bear it out
	Cooking   bool             // graded for cooking: over a limit of table honey
	Organic   Truth            // all of it under a certificate
	Unheated  Truth            // never over the temperature that the house means by raw
}

// A Wish is what somebody wants printed.
type Wish struct {
	Rules    standard.Rules
	Labelled standard.Date // the day of labelling: the rules of that day hold
	Pack     Pack
	Name     string   // as typed
	Texts    []string // whatever else is to stand there, as typed
	Language string   // en, es or pl: the one in which claim words are looked for first

	Plant   string // the plant that the name says the honey is of, or ""
	Region  string // the place that it says the honey is from, or ""
	Origin  []standard.Claim
	Country map[string]string // how a country is called in the label's language

	Lot         string
	BestBefore  standard.Date
	KeepsMonths float64 // from filling to the best-before date
	FullDate    bool    // day and month printed uncoded
	Keeps       Keeping
	Packer      string // name and address

	FourLargest bool // the member state allows percentages for the four largest alone
	Bulk        bool // not for the final consumer: no infant advice
	Nutrition   *standard.Composition
	Sodium      float64 // g in 100 g, with Nutrition
	Sugars      float64
	Recipe      *Recipe // goods with honey as an ingredient

	// Draws reports whether the printer can draw a sign; nil: it was not asked.
	Draws func(rune) bool
}

// Keeping is what the shelf-life forecast says of the best-before date.
type Keeping struct {
	Known             bool
	Chance            float64 // that every limit is kept on that day
	MonthEnd, YearEnd float64 // and on the last day of its month and of its year
	Asked             float64 // the house's own demand
}
