package assay

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Store is how warm jars stand until somebody eats them: a mean, a yearly swing about
// it, and blocks of other warmth such as a summer lorry.
type Store struct {
	Key     string // two contents in stores of one key share its error
	Mean    quantity.Celsius
	Swing   float64 // K from the mean to the warmest day; 0: the same all year
	SD      float64 // of the mean, K
	Warmest float64 // day of the year, 1 to 366, when it is warmest; 0: 205, late July
	Lorries []Lorry
}

// A Lorry is some hours at another temperature.
type Lorry struct {
	After quantity.Days // from the start
	Hours float64
	C     quantity.Celsius
}

const usualWarmest = 205

// Check refuses what no store is.
func (s Store) Check() error {
	if !(-20 <= s.Mean && s.Mean <= 50) {
		return fmt.Errorf("a store of %g °C, want -20 to 50", float64(s.Mean))
	}
	if !(0 <= s.Swing && s.Swing <= 30) || !(0 <= s.SD && s.SD <= 15) || !(0 <= s.Warmest && s.Warmest <= 366) {
		return fmt.Errorf("a store's swing is 0 to 30 K, its doubt 0 to 15 K, its warmest day 1 to 366")
	}
	for _, l := range s.Lorries {
		if !(-20 <= l.C && l.C <= 80) || !(0 < l.Hours && l.Hours <= 2000) || !(0 <= l.After && l.After <= 36525) {
			return fmt.Errorf("a lorry of %g h at %g °C, want up to 2000 h of -20 to 80 °C", l.Hours, float64(l.C))
		}
	}
	return nil
}

// At is the store's temperature on a day of the year, lorries left out.
func (s Store) At(dayOfYear float64) quantity.Celsius {
	warmest := s.Warmest
	if warmest == 0 {
		warmest = usualWarmest
	}
	return s.Mean + quantity.Celsius(s.Swing*math.Cos(2*math.Pi*(dayOfYear-warmest)/365.25))
}

// Courses are the store's temperatures from an hour on for some days; dayOfYear is that
// of the first. The lorries come as courses of their own and take the place of the
// store's hours. A point every ten days keeps a swing of 10 K within 0.03 K.
func (s Store) Courses(from float64, dayOfYear float64, days quantity.Days) []Course {
	c := Course{Key: "store:" + s.Key, SD: s.SD}
	step := 10.0
	if s.Swing == 0 {
		step = max(float64(days), 1e-9)
	}
	for d := 0.0; ; d = min(d+step, float64(days)) {
		c.Points = append(c.Points, Point{from + 24*d, s.At(dayOfYear + d)})
		if d >= float64(days) {
			break
		}
	}
	all := []Course{c}
	for _, l := range s.Lorries {
		all = s.with(all, l, from, float64(days))
	}
	return all
}

// with puts a lorry in the place of the store's own hours.
func (s Store) with(all []Course, l Lorry, from, days float64) (out []Course) {
	start := from + 24*float64(l.After)
	end := min(start+l.Hours, from+24*days)
	if start >= end {
		return all
	}
	for _, c := range all {
		for _, part := range [2]Course{c.To(start), c.From(end)} {
			if part.Hours() > 0 {
				out = append(out, part)
			}
		}
	}
	return append(out, Course{Key: "lorry", SD: 3, Points: []Point{{start, l.C}, {end, l.C}}})
}
