package assay

import (
	"math"

	"combline/internal/quantity"
)

// Kept is the content after some days in a store.
func (h *House) Kept(c *Content, s Store, dayOfYear float64, days quantity.Days) (*Content, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	for _, course := range s.Courses(0, dayOfYear, days) {
		var err error
		if c, err = h.Pass(c, course); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// MostDays is the longest best-before that is looked for: ten years.
const MostDays = 3653

// Longest is the longest time in a store after which the content still keeps all limits
// with a chance of at least confidence, to the day. Not even on the first day: none.
// NaN where a marker is not known.
func (h *House) Longest(c *Content, s Store, dayOfYear float64, limits []Limit, confidence float64) (quantity.Days, error) {
	risk := 1 - confidence
	breach := func(days int) (float64, error) {
		k, err := h.Kept(c, s, dayOfYear, quantity.Days(days))
		if err != nil {
			return 0, err
		}
		return k.Breach(limits...), nil
	}
	now, err := breach(0)
	if err != nil || math.IsNaN(now) {
		return quantity.Days(math.NaN()), err
	}
	if now > risk {
		return 0, nil
	}
	low, high := 0, MostDays+1
	for high-low > 1 {
		mid := (low + high) / 2
		p, err := breach(mid)
		switch {
		case err != nil:
			return 0, err
		case p <= risk:
			low = mid
		default:
			high = mid
		}
	}
	return quantity.Days(low), nil
}
