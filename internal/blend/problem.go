package blend

import (
	"errors"
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Problem is what is there, what is wanted and what counts.
type Problem struct {
	Contents []Content
	Batches  []Batch
	Aims     []Aim // the first counts most; none: cost, then age, then part drums
	Prices   Prices
	// Risk is the chance that a blend breaks a limit that is still taken, for each
	// limit; 0 is [quantity.UsualRisk], 0.5 takes the readings as they stand.
	Risk   float64
	Colour ColourRule
	Far    Far
	// Table bars honey that is itself over the law's HMF or under its diastase from
	// table honey: an overheated drum is not lost in a good tank.
	Table bool
}

// An Aim is what a plan is judged by; later aims decide between plans that are equal
// by the earlier ones.
type Aim uint8

const (
	Cheapest     Aim = iota // cost of the honey with the prices
	OldestFirst             // most kg·days of age used
	FewPartDrums            // fewest drums left in part
	FewContents             // fewest contents in the batches
	LeastHoney              // least honey in all, for a batch that may be of any size
	LeastShort              // least kg too little, where batches may fall short
	aimCount
)

var aimNames = [aimCount]string{"cost", "age", "part_drums", "contents", "honey", "short"}

// String is the aim's stable key.
func (a Aim) String() string {
	if a >= aimCount {
		return "unknown"
	}
	return aimNames[a]
}

// Prices are what a plan pays besides the honey's cost, in the house's money.
type Prices struct {
	AgeKgDay float64 // credit for a kg that is a day old
	Handling float64 // for each content in a batch
	ShortKg  float64 // for a kg too little; 0: a batch must be met
	OverKg   float64 // for a kg too much
}

// Far leaves out contents so far off a batch's limits that they hardly help: a
// quicker search that may miss a blend. Zeros leave nothing out.
type Far struct {
	WaterPts  float64 // over the most water, points
	HMFTimes  float64 // times the most HMF
	ColourMM  float64 // outside the window of colour
	ShareTime float64 // of the least share of a kind: a lot with less of it
}

// aims gives the aims in their order. A batch that may fall short must not, before
// anything else counts; the price of a short kg sees to it where cost comes first.
func (p *Problem) aims() []Aim {
	aims := p.Aims
	if len(aims) == 0 {
		aims = []Aim{Cheapest, OldestFirst, FewPartDrums}
	}
	if p.Prices.ShortKg > 0 && aims[0] != Cheapest {
		aims = append([]Aim{LeastShort}, aims...)
	}
	return aims
}

func (p *Problem) check() error {
	if len(p.Contents) == 0 || len(p.Batches) == 0 {
		return fmt.Errorf("%d contents and %d batches: nothing to blend", len(p.Contents), len(p.Batches))
	}
	if !(p.Risk == 0 || 1e-6 <= p.Risk && p.Risk <= 0.5) {
		return fmt.Errorf("chance of a breach %g, want 0.000001 to 0.5", p.Risk)
	}
	for _, x := range [...]float64{p.Prices.AgeKgDay, p.Prices.Handling, p.Prices.ShortKg, p.Prices.OverKg,
		p.Far.WaterPts, p.Far.HMFTimes, p.Far.ColourMM, p.Far.ShareTime} {
		if !within(x, 0, 1e9) {
			return fmt.Errorf("price or distance %g, want 0 or more", x)
		}
	}
	for _, a := range p.Aims {
		if a >= aimCount {
			return fmt.Errorf("no aim %d", a)
		}
	}
	contents := map[string]bool{}
	for i := range p.Contents {
		c := &p.Contents[i]
		if err := c.check(); err != nil {
			return fmt.Errorf("content %s: %w", c.Name, err)
		}
		if contents[c.Name] {
			return fmt.Errorf("content %s comes twice", c.Name)
		}
		contents[c.Name] = true
	}
	return p.checkBatches(contents)
}

func (p *Problem) checkBatches(contents map[string]bool) error {
	batches := map[string]bool{}
	for i := range p.Batches {
		b := &p.Batches[i]
		if err := b.check(); err != nil {
			return fmt.Errorf("batch %s: %w", b.Name, err)
		}
		// Where a batch may not fall short the search tells what clashes; where it may,
		// it would only come out empty.
		if err := errors.Join(b.contradiction(), b.overfull()); err != nil && p.Prices.ShortKg > 0 {
			return fmt.Errorf("batch %s: %w", b.Name, err)
		}
		if batches[b.Name] {
			return fmt.Errorf("batch %s comes twice", b.Name)
		}
		batches[b.Name] = true
		for _, name := range b.named() {
			if !contents[name] {
				return fmt.Errorf("batch %s: no content %s", b.Name, name)
			}
		}
	}
	return nil
}

// named lists the contents that a batch names.
func (b *Batch) named() (names []string) {
	for _, u := range b.Use {
		names = append(names, u.Content)
	}
	for _, a := range b.Apart {
		names = append(append(names, a.One...), a.Other...)
	}
	return names
}

// z is how many standard deviations a blend must keep from a limit.
func (p *Problem) z() float64 {
	risk := p.Risk
	if risk == 0 {
		risk = quantity.UsualRisk
	}
	return max(0, math.Sqrt2*math.Erfinv(1-2*risk))
}
